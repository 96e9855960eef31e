/* relaxed.h - the point at which the relaxation has its greatest value, for those who look for rows that cut it off. It
 * only steers: nothing is proven by it. */
#ifndef POOLWRIGHT_SEARCH_RELAXED_H
#define POOLWRIGHT_SEARCH_RELAXED_H

#include <stdatomic.h>

#include "search/search.h"

/* x[columns]. False when there is none or it was not found (x may then be anything); *pivots grows by the work done. */
bool search_relaxed(const SearchProblem *problem, const atomic_int *cancel, double *x, int64_t *pivots);

#endif
