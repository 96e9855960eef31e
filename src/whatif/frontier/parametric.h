/* parametric.h - one programme at many caps: for each cap a proven bound and, where one is easily found, a pool, at a
 * fraction of what a search costs. */
#ifndef POOLWRIGHT_WHATIF_FRONTIER_PARAMETRIC_H
#define POOLWRIGHT_WHATIF_FRONTIER_PARAMETRIC_H

#include "whatif/reoptimise.h"

typedef struct Parametric Parametric;

/* NULL when it is of no use here (no row for the cap, or numbers too large). The loaded scenario must outlive it; its
 * cap may move. */
Parametric *parametric_new(const Loaded *loaded);
void parametric_free(Parametric *parametric); /* NULL is allowed */

/* At this stated cap: a bound of the programme, proven (SEARCH_PLUS_INFINITY: none). True when a solution was found as
 * well: x[columns] of the programme and its value. No more is tried once it is within the options' gap of the bound. */
bool parametric_step(Parametric *parametric, bool has_cap, int64_t cap, const SearchOptions *options, int64_t *bound,
                     int64_t *x, int64_t *value);

#endif
