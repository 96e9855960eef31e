/* pages.h - the manual pages, from the tables that --help is printed from. */
#ifndef POOLWRIGHT_VERBS_MANUAL_PAGES_H
#define POOLWRIGHT_VERBS_MANUAL_PAGES_H

#include "verbs/options/options.h"

/* Appends poolwright(1), the program as a whole. `share` is the folder in which poolwright and doc/poolwright are
 * installed. */
void manual_program(Text *out, const char *share);
/* Appends poolwright-VERB(1). */
void manual_verb(Text *out, const VerbInfo *verb);

#endif
