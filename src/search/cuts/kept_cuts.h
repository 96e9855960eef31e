/* kept_cuts.h - cuts of one part of a core, kept for the nodes that are left open in it.
 *
 * A cut that was rounded for a box holds in all of that box. So a node in it goes on with the rows that its relaxation
 * was tight at, instead of having them derived again. Each is written down once, in the core's columns, and shared by
 * all nodes that start with it. */
#ifndef POOLWRIGHT_SEARCH_CUTS_KEPT_CUTS_H
#define POOLWRIGHT_SEARCH_CUTS_KEPT_CUTS_H

#include "search/core/core.h"

typedef struct KeptCut KeptCut; /* sum value x <= high; counts those that hold it */

typedef struct {
    KeptCut **cut; /* [count] held */
    int count;
} KeptCuts;

/* The part's row, which has only a high side, in the columns of the core it is a part of; held once. NULL where its
 * numbers are too large to be kept. */
KeptCut *kept_cut_of_row(const Core *part, int row);
KeptCut *kept_cut_hold(KeptCut *cut);             /* the cut */
void kept_cut_let_go(KeptCut *cut);               /* freed with the last; NULL is allowed */
void kept_cuts_add(KeptCuts *cuts, KeptCut *cut); /* held by the caller till now */
void kept_cuts_release(KeptCuts *cuts);
/* Puts them behind the rows of a smaller part of the core, whose fixed columns go to their sides. row[cuts->count]: the
 * row of each, -1 where it says nothing there. */
void kept_cuts_append(const KeptCuts *cuts, Core *part, int *row);

#endif
