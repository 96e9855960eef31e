/* oracle_inner.h - the state that oracle.c (loading, single runs) and oracle_reach.c (bounds, thresholds) share. */
#ifndef POOLWRIGHT_EXPLAIN_ORACLE_ORACLE_INNER_H
#define POOLWRIGHT_EXPLAIN_ORACLE_ORACLE_INNER_H

#include "search/attain.h"
#include "explain/oracle/oracle.h"

struct Oracle {
    const SideProblem *sides;
    ExplainOptions options;
    Search *search;
    Attain *attain; /* NULL: rows or fit have changed since it was made */
    bool current;   /* attain was last asked about the present state */
    int64_t used, limit;
    int64_t *row_low, *row_high; /* what is loaded now */
    int64_t *low, *high, *objective;
    int64_t *fit; /* [programme columns] coefficients asked about */
    double *dual; /* [rows] at the last prober_relax */
};

#endif
