/* oracle_inner.h - the state that oracle.c (loading, single runs), oracle_bound.c (relaxations) and oracle_reach.c
 * (thresholds) share. */
#ifndef POOLWRIGHT_EXPLAIN_ORACLE_ORACLE_INNER_H
#define POOLWRIGHT_EXPLAIN_ORACLE_ORACLE_INNER_H

#include "search/attain.h"
#include "explain/oracle/oracle.h"

#define ORACLE_MOST_DEPTH_FIRST 60000 /* pivots of a depth-first search, before another is begun */
#define ORACLE_LEAST_DEPTH_FIRST 2000

struct Oracle {
    const SideProblem *sides;
    ExplainOptions options;
    Search *search;
    Attain *attain; /* NULL: rows or fit have changed since it was made */
    bool current;   /* attain was last asked about the present state */
    int64_t used, limit;
    int64_t depth_first;         /* pivots that a depth-first search may take, before another is begun */
    int64_t *row_low, *row_high; /* what is loaded now */
    int64_t *low, *high, *objective;
    int64_t *fit; /* [programme columns] coefficients asked about */
    double *dual; /* [rows] at the last oracle_relax */
};

/* ---- oracle.c ---- */

/* probe_best for a solution of the target or more. first: any such will do. */
void probe_target(Oracle *oracle, const int64_t *start, int64_t known, int64_t target, bool first, Probe *probe);

/* ---- oracle_bound.c ---- */

/* oracle_bound of a box within the present state's. */
int64_t oracle_bound_box(Oracle *oracle, const int64_t *low, const int64_t *high);
/* Cuts, so many rounds, as long as they bring something. */
void oracle_strengthen(Oracle *oracle, int rounds);

#endif
