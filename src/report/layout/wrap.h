/* wrap.h - sentences within the width of a screen. Tables see to their own (table.h). */
#ifndef POOLWRIGHT_REPORT_LAYOUT_WRAP_H
#define POOLWRIGHT_REPORT_LAYOUT_WRAP_H

#include "base/text.h"

/* Breaks lines that are wider than `width` (0: none are) at blanks. What follows is indented as the line is; in a list,
 * whose texts stand behind a gap of two blanks or more, as far as its text. Words are never broken; escape sequences
 * take no room. */
void wrap_lines(Text *text, int width);

#endif
