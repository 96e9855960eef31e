/* roff.h - text in the language of manual pages, so that each character is shown as it is. */
#ifndef POOLWRIGHT_VERBS_MANUAL_ROFF_H
#define POOLWRIGHT_VERBS_MANUAL_ROFF_H

#include "base/text.h"

/* What one types, such as a command: no character becomes another one's typographic sister. */
void roff_typed(Text *out, const char *text, size_t length);
/* A paragraph, ended by a line's end; each sentence begins a line. `Quoted` words and options (--cap) are bold. */
void roff_paragraph(Text *out, const char *text);
/* A command on a line of its own, whose words single blanks part. */
void roff_command(Text *out, const char *text, size_t length);
/* A usage line: what is typed is bold, what stands for something (FILE) is slanted. */
void roff_usage(Text *out, const char *text);

#endif
