/* align.h - a programme stated in the columns and rows of another one of the same candidates, so that what was learned
 * of that one serves it: where only sides, bounds and the worth of columns differ. Columns of the other that are not
 * needed (banned cards) stay at 0, rows that are not needed have no sides. */
#ifndef POOLWRIGHT_PROGRAMME_ALIGN_H
#define POOLWRIGHT_PROGRAMME_ALIGN_H

#include "programme/programme.h"

typedef struct {
    int *column;                 /* [now's columns] the base's column of each */
    int64_t *low, *high, *worth; /* [base's columns] bounds and objective */
    int64_t *row_low, *row_high; /* [base's rows] */
    bool whole;                  /* every row of now has its row: the columns and rows above state all of now */
    bool within;                 /* no point that now allows is forbidden by the base, and the objective is the same */
} Alignment;

/* False where columns or coefficients differ, or a row is protected: then there is nothing to release. */
bool programme_align(const Programme *base, const Programme *now, Alignment *alignment);
void alignment_release(Alignment *alignment);

#endif
