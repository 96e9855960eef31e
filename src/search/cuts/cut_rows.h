/* cut_rows.h - which cuts become rows, and the matrix with them. */
#ifndef POOLWRIGHT_SEARCH_CUTS_CUT_ROWS_H
#define POOLWRIGHT_SEARCH_CUTS_CUT_ROWS_H

#include "search/cuts/mir.h"

/* Leaves the deepest cuts of a pool, deepest first, no two of them nearly parallel, and not more than a round can use;
 * the others are released. */
void cut_pool_choose(CutPool *pool, int columns);
/* The problem with a pool's cuts (or NULL) behind its rows, and without those rows that drop[rows] (or NULL) names.
 * Freed with problem_free. */
SearchProblem *cut_rows_change(const SearchProblem *problem, const CutPool *pool, const bool *drop);
/* The same for a matrix, unless its numbers are too large to be exact; true if it is changed. What its rows have been
 * divided by is remembered. */
bool matrix_change_rows(Matrix *matrix, const CutPool *pool, const bool *drop);

/* Puts a pool's cuts behind the matrix's rows, in place, unless their numbers are too large to be exact; true if it
 * did. */
bool matrix_append(Matrix *matrix, const CutPool *pool);

#endif
