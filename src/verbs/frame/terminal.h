/* terminal.h - what the terminal can show: styles on standard output, one line of progress on standard error. */
#ifndef POOLWRIGHT_VERBS_FRAME_TERMINAL_H
#define POOLWRIGHT_VERBS_FRAME_TERMINAL_H

#include "report/layout/table.h"

/* Colour only on a terminal that is no TERM=dumb, and not under NO_COLOR. The width is the terminal's; of files and
 * pipes that of COLUMNS, else 80. */
Style terminal_style(void);

/* Is standard error a terminal that can write a line again? */
bool terminal_shows_progress(void);
/* Writes the line over the one before, cut to the terminal's width so that it stays one line. */
void terminal_progress(const char *line);
/* Wipes it. */
void terminal_progress_end(void);

#endif
