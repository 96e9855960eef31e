/* mir.h - cutting planes by mixed-integer rounding, in whole numbers.
 *
 * A cut is an inequality sum value x <= high that every integer point of the box satisfies and the relaxation's point
 * does not. It is derived in integers from rows of the matrix, so it needs no trust in floating point, which only
 * chooses. */
#ifndef POOLWRIGHT_SEARCH_CUTS_MIR_H
#define POOLWRIGHT_SEARCH_CUTS_MIR_H

#include "search/linear/matrix.h"

#define MIR_MOST_ROWS 5

typedef struct {
    int row;
    int64_t multiplier; /* > 0 prices the high side, < 0 the low side */
} MirPart;

/* The rows that a cut was rounded from. With it the cut can be derived anew when sides, bounds or objective have
 * changed: from the same rows, in the same way, but with divisor and complements that suit the new point. */
typedef struct {
    MirPart part[MIR_MOST_ROWS];
    int parts;
} Aggregation;

/* Exactly how a cut is made. */
typedef struct {
    Aggregation from;
    int64_t divisor;
    bool *upper; /* [columns of the matrix] measured from the upper bound */
} MirForm;

typedef struct {
    int *column;    /* [count] ascending */
    int64_t *value; /* [count] not zero, greatest common divisor 1 */
    size_t count;
    int64_t high;
    int64_t divisor; /* that the sum was rounded with */
    double scale;    /* what rounding the sum by the divisor gives, both as fractions, is so many times this cut */
    bool *upper;     /* [columns of the matrix] measured from the upper bound */
    double efficacy; /* distance by which the point is cut off */
    Aggregation from;
    size_t number; /* of mir_derive and mir_remake: which of the list */
} Cut;

typedef struct {
    Cut *cut;
    size_t count, capacity;
} CutPool;

/* Adds cuts that x[columns] violates, best of each base row. low and high: a box that holds every point of interest. */
void mir_separate(const Matrix *matrix, const int64_t *low, const int64_t *high, const double *x, CutPool *pool);
/* Adds the cuts that x violates among those that the listed aggregations give, the best of each. Aggregations of which
 * a side is missing now give none. */
void mir_derive(const Matrix *matrix, const int64_t *low, const int64_t *high, const double *x, const Aggregation *list,
                size_t count, CutPool *pool);
/* Adds the cuts that aggregations give with given divisors and complements, where they are cuts. */
void mir_remake(const Matrix *matrix, const MirForm *list, size_t count, CutPool *pool);
void cut_pool_release(CutPool *pool);
void cut_release(Cut *cut);

#endif
