/* conflict.h - sides that cannot hold together, and none of which can be left out. */
#ifndef POOLWRIGHT_EXPLAIN_CONFLICT_CONFLICT_H
#define POOLWRIGHT_EXPLAIN_CONFLICT_CONFLICT_H

#include "explain/oracle/oracle.h"

typedef struct {
    int *side; /* [sides] indexes, ascending (order of blame) */
    int sides;
    bool found;   /* the sides cannot hold together: proven */
    bool minimal; /* proven: without any one of them the others can */
} Conflict;

/* One minimal conflict among the hard sides, given the columns' bounds that the oracle has now (a forced card is such a
 * bound). found is false when there is none, or when effort ran out before even all sides together were proven
 * impossible. */
void conflict_find(Oracle *oracle, Conflict *conflict);
/* The same among some hard sides, among[sides] (NULL: all), while always[sides] (NULL: none) are in force and all
 * others are not. No side in the conflict: what is always in force cannot hold by itself. */
void conflict_among(Oracle *oracle, const bool *among, const bool *always, Conflict *conflict);
void conflict_release(Conflict *conflict);
/* Found, and proven minimal. */
bool conflict_settled(const Conflict *conflict);

typedef struct {
    Conflict *conflict; /* minimal conflicts, few sides first, then by order of blame */
    size_t conflicts;
    Conflict *repair; /* minimal sets of sides whose dropping makes the rest possible, in the same order; found: the
                         rest is possible, minimal: so proven */
    size_t repairs;
    bool complete; /* these are all there are: proven */
} ConflictList;

/* Enumerates both, up to `most` of each. */
void conflict_list(Oracle *oracle, size_t most, ConflictList *list);
void conflict_list_release(ConflictList *list);

#endif
