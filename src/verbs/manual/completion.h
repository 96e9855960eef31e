/* completion.h - what a shell offers at the Tab key, from the tables that --help is printed from. */
#ifndef POOLWRIGHT_VERBS_MANUAL_COMPLETION_H
#define POOLWRIGHT_VERBS_MANUAL_COMPLETION_H

#include "base/text.h"

/* Appends a script for bash: verbs, the options of each, the words that an option takes; else files. */
void completion_bash(Text *out);

#endif
