/* exchange.h - exchange search: solutions by swapping columns in and out. */
#ifndef POOLWRIGHT_SEARCH_CORE_EXCHANGE_H
#define POOLWRIGHT_SEARCH_CORE_EXCHANGE_H

#include <stdatomic.h>

#include "search/linear/matrix.h"

typedef struct {
    const Matrix *matrix;   /* of the columns that may move, without protected rows */
    const double *start;    /* [columns] where to begin; rounded into the bounds */
    const double *row_dual; /* [rows] of a relaxation: what a unit of each row is worth about */
    int64_t pivots;         /* the most work, as so many pivots of the simplex method */
    const atomic_int *cancel;
} ExchangeSearch;

/* True when a feasible point was found: x[columns] is then the best. *pivots is the work done. Deterministic: work is
 * counted in entries looked at. */
bool exchange_search(const ExchangeSearch *exchange, int64_t *x, int64_t *pivots);

#endif
