/* repair.h - the smallest loosening with which something fits, and the best solution under it. */
#ifndef POOLWRIGHT_EXPLAIN_CONFLICT_REPAIR_H
#define POOLWRIGHT_EXPLAIN_CONFLICT_REPAIR_H

#include "explain/oracle/oracle.h"

typedef struct {
    bool found;       /* some loosening was found with which a pool is possible */
    bool least;       /* proven: no lighter loosening */
    bool impossible;  /* proven: no loosening of these sides is enough, by whatever units */
    int64_t weight;   /* of what was found */
    int64_t at_least; /* proven: any repair weighs at least this */
    int64_t *units;   /* [sides] by which each side is loosened */
    Probe best;       /* the best fit with no heavier loosening; x as in the SideProblem */
} Repair;

/* Units by which a side may be loosened where loosening is weighed: more would leave the search's arithmetic. */
int64_t repair_most(const Side *side);
/* All hard sides may be loosened at once, by their weights. */
void repair_find(Oracle *oracle, Repair *repair);
void repair_release(Repair *repair);

#endif
