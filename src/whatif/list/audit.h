/* audit.h - an existing list against every rule: what it breaks, and the least change that mends it. */
#ifndef POOLWRIGHT_WHATIF_LIST_AUDIT_H
#define POOLWRIGHT_WHATIF_LIST_AUDIT_H

#include "whatif/loaded.h"
#include "whatif/list/pool_file.h"

typedef enum { FAULT_BANNED, FAULT_NO_PRICE, FAULT_TOO_MANY, FAULT_MISSING } FaultKind;

typedef struct {
    FaultKind kind; /* MISSING: it must be in and is not */
    size_t card;
} CardFault;

typedef enum {
    MEND_NOT_NEEDED, /* the list keeps every rule */
    MEND_FOUND,      /* changes: what it takes; fewest says whether no smaller change does: proven */
    MEND_IMPOSSIBLE, /* no pool keeps every rule: proven */
    MEND_UNKNOWN     /* effort ran out */
} MendKind;

typedef struct {
    const PoolFile *list;
    PoolCheck check; /* of the list */
    size_t broken;   /* limits of check that do not hold */
    CardFault *fault;
    size_t faults;
    Answer best; /* the best pool under the rules, for comparison */
    MendKind mend;
    Answer mended; /* of the pools with the fewest changes, the one with the most fit, and of those a cheap one; its
                      status and bound are of the fit */
    bool fewest;
    int least_changes; /* proven: nothing below this many copies out and in together mends it */
    PoolChange *change;
    size_t changes;
    int in, out;
    bool stopped; /* by a signal: the list is counted, the rest may be missing */
} Audit;

/* Counts the list, finds the best pool and mends the list. False with errors in diags; then there is nothing to
 * release. The list must outlive it. */
bool audit_run(const Loaded *loaded, const PoolFile *list, const SearchOptions *options, Audit *audit, Diags *diags);
void audit_release(Audit *audit);
bool audit_is_clean(const Audit *audit); /* no limit broken, no card at fault, no unknown name */

#endif
