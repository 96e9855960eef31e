/* neighbourhood.h - small boxes in which good solutions are likely. */
#ifndef POOLWRIGHT_SEARCH_CORE_NEIGHBOURHOOD_H
#define POOLWRIGHT_SEARCH_CORE_NEIGHBOURHOOD_H

#include "search/linear/matrix.h"

/* Fills low and high: `size` columns stay as in the matrix, the others are fixed where `centre` is (rounded into their
 * bounds). Columns are kept by how little reduced cost (the sign does not matter) they have, those at which centre and
 * other differ first; other may be NULL. seed 0: no chance; otherwise the order is shaken. */
void neighbourhood_box(const Matrix *matrix, const double *centre, const double *other, const double *reduced_cost,
                       int size, uint64_t seed, int64_t *low, int64_t *high);

/* Moves both sides of a box into from..to: nothing is lost where less is possible. */
void box_clamp(int columns, const int64_t *from, const int64_t *to, int64_t *low, int64_t *high);

#endif
