/* known.h - inside the conflicts: pools that were found on the way, by the sides that they break. Whether some sides
 * can hold together is known where one of these pools keeps them all. */
#ifndef POOLWRIGHT_EXPLAIN_CONFLICT_KNOWN_H
#define POOLWRIGHT_EXPLAIN_CONFLICT_KNOWN_H

#include "explain/oracle/side.h"

typedef struct {
    const SideProblem *sides;
    bool *broken; /* [pools][sides] */
    size_t pools, capacity;
} KnownPools;

void known_init(KnownPools *known, const SideProblem *sides);
void known_release(KnownPools *known);
/* A solution of the rows and columns that are no sides; what it breaks is counted without any loosening. */
void known_take(KnownPools *known, const int64_t *x);
/* Does a pool keep all sides of in[sides]? */
bool known_keeps(const KnownPools *known, const bool *in);
/* Marks in alone[sides] each side that some pool breaks and no other of in[sides]. */
void known_alone(const KnownPools *known, const bool *in, bool *alone);

#endif
