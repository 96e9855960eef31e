/* programme_make.h - random programmes for tests of the search, and their optimum by trying every point. Invented data.
 */
#ifndef POOLWRIGHT_SUPPORT_PROGRAMME_MAKE_H
#define POOLWRIGHT_SUPPORT_PROGRAMME_MAKE_H

#include "search/search.h"

/* SMALL: few enough points to try them all. MIDDLE: 18 to 32 columns, too many for that, hard enough to branch. */
typedef enum { PROGRAMME_SMALL, PROGRAMME_MIDDLE } ProgrammeSize;

/* 0/1, integer and continuous columns; limits on weights, counts, shares, equalities; coefficients of both signs. Most
 * have a solution. Freed by family_free. */
SearchProblem *programme_make(ProgrammeSize size, uint64_t seed);

/* Tries every point of a small one; false when none is feasible. Written from the meaning of the data alone. */
bool programme_try_all(const SearchProblem *problem, int64_t *best);

/* One random change of a row's sides, a column's box or a coefficient, of the problem and of the search that has it
 * loaded. */
void programme_change(SearchProblem *problem, Search *search, uint64_t *state);

uint64_t programme_random(uint64_t *state);

#endif
