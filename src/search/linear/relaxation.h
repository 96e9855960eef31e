/* relaxation.h - how a relaxation can end. */
#ifndef POOLWRIGHT_SEARCH_LINEAR_RELAXATION_H
#define POOLWRIGHT_SEARCH_LINEAR_RELAXATION_H

typedef enum {
    RELAXATION_OPTIMAL,
    RELAXATION_INFEASIBLE, /* floating point says so: only exact_evaluate in Farkas form proves it */
    RELAXATION_LIMIT,      /* pivots ran out or cancelled; y may still give a bound */
    RELAXATION_TROUBLE     /* numerics: nothing is known */
} RelaxationStatus;

#endif
