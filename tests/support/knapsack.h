/* knapsack.h - multidimensional knapsacks in the layout of the OR-Library (J. E. Beasley): the number of problems, then
 * for each n, m, a known value or 0, n profits, m rows of n weights, m limits. */
#ifndef POOLWRIGHT_SUPPORT_KNAPSACK_H
#define POOLWRIGHT_SUPPORT_KNAPSACK_H

#include <stdio.h>

#include "search/search.h"

/* How many problems follow; negative if it is no such file. */
int knapsack_count(FILE *f);
/* The next one, in tenths (some collections hold tenths), and its known value in tenths (0: none given). NULL if it is
 * broken. Freed by family_free. */
SearchProblem *knapsack_read(FILE *f, int64_t *known);
/* One drawn as P. C. Chu and J. E. Beasley drew theirs (Journal of Heuristics 4, 1998): weights from 0 to 1000, limits
 * of so many quarters of their sums, profits of the mean weight and up to 500 more, in tenths and rounded to units.
 * Freed by family_free. */
SearchProblem *knapsack_drawn(int limits, int items, int quarters, uint64_t seed);

#endif
