/* substitute.h - columns that an equality makes the sum of others are put in for. */
#ifndef POOLWRIGHT_SEARCH_CORE_SUBSTITUTE_H
#define POOLWRIGHT_SEARCH_CORE_SUBSTITUTE_H

#include "search/search.h"

/* Looks for rows  x = z1 + z2 + ...  (all with one coefficient but for the sign) and puts the sum in for x everywhere:
 * the row keeps x's bounds as its sides, x becomes an empty column fixed at 0. Rows and columns keep their numbers.
 * by_row[columns] receives the row that replaced a column, or -1. NULL when there is no such row. Freed with
 * problem_free. */
SearchProblem *substitute(const SearchProblem *problem, int *by_row);

/* A point of the loaded problem as one of the other, and back; in place. */
void substitute_into(const SearchProblem *problem, const int *by_row, int64_t *x);
void substitute_back(const SearchProblem *problem, const int *by_row, int64_t *x);

#endif
