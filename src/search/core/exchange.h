/* exchange.h - exchange search: solutions by swapping columns in and out. */
#ifndef POOLWRIGHT_SEARCH_EXCHANGE_H
#define POOLWRIGHT_SEARCH_EXCHANGE_H

#include <stdatomic.h>

#include "search/linear/matrix.h"

typedef struct {
    const Matrix *matrix;
    const int64_t *low, *high;  /* [columns] the box to stay in */
    const double *start;        /* [columns] where to begin; rounded into the box */
    const double *row_dual;     /* [rows] of a relaxation: what a unit of each row is worth about */
    const double *reduced_cost; /* [columns] columns of least |reduced cost| move, the others stay */
    int size;                   /* how many may move */
    int64_t steps, patience;    /* most steps; steps without a better solution after the first one */
    const atomic_int *cancel;
} Exchange;

/* True when a feasible point was found: x[columns] and *value are then the best. *used is the number of steps.
 * Deterministic. */
bool exchange_search(const Exchange *exchange, int64_t *x, int64_t *value, int64_t *used);

#endif
