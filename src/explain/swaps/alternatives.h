/* alternatives.h - further pools that are nearly as good and not nearly the same. */
#ifndef POOLWRIGHT_EXPLAIN_SWAPS_ALTERNATIVES_H
#define POOLWRIGHT_EXPLAIN_SWAPS_ALTERNATIVES_H

#include "explain/explain.h"

typedef struct {
    int *copies; /* [cards] */
    int64_t fit, cost;
    Range loss;        /* against the best pool */
    bool best;         /* proven: no better pool differs so much from the answer and all alternatives before */
    Exchange exchange; /* from the answer's pool */
} Alternative;

typedef struct {
    Alternative *alternative;
    size_t count;
    bool no_more; /* proven: no further pool differs so much */
} Alternatives;

/* Up to `count` pools, each with at least `differ` copies that the answer does not have, and so against each one
 * before. */
void alternatives_find(Explain *explain, int count, int differ, Alternatives *alternatives);
void alternatives_release(Alternatives *alternatives);

#endif
