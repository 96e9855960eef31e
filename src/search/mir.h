/* mir.h - cutting planes by mixed-integer rounding, in whole numbers.
 *
 * A cut is an inequality sum value x <= high that every integer point of the box satisfies and the relaxation's point does not. It is derived in integers from
 * rows of the matrix, so it needs no trust in floating point, which only chooses. */
#ifndef POOLWRIGHT_SEARCH_MIR_H
#define POOLWRIGHT_SEARCH_MIR_H

#include "search/matrix.h"

typedef struct {
    int *column;      /* [count] ascending */
    int64_t *value;   /* [count] not zero, greatest common divisor 1 */
    size_t count;
    int64_t high;
    double efficacy;  /* distance by which the point is cut off */
} Cut;

typedef struct {
    Cut *cut;
    size_t count, capacity;
} CutPool;

/* Adds cuts that x[columns] violates, best of each base row. low and high: a box that holds every point of interest. */
void mir_separate(const Matrix *matrix, const int64_t *low, const int64_t *high, const double *x, CutPool *pool);
void cut_pool_release(CutPool *pool);
void cut_release(Cut *cut);

#endif
