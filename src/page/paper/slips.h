/* slips.h - for the hand: slips to print and cut, nine to a page, that stand in for cards until these are bought; and
 * a list to tick while the box is filled. HTML without scripts, laid out for paper. */
#ifndef POOLWRIGHT_PAGE_PAPER_SLIPS_H
#define POOLWRIGHT_PAGE_PAPER_SLIPS_H

#include "base/text.h"
#include "model/instance/instance.h"

#define SLIPS_TO_A_PAGE 9

/* copies[cards]: so many slips of each, in the order of sections, costs and names. How many texts were too long for a
 * slip and end with "...". */
int slips_page(const Instance *instance, const int *copies, const char *title, Text *out);

/* copies[cards]: the whole list; what is not owned yet is marked. */
void ticks_page(const Instance *instance, const int *copies, const char *title, Text *out);

#endif
