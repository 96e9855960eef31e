/* ladder.h - one programme at many caps: for each cap a proven bound and, where one is easily found, a pool, at a
 * fraction of what a search costs. */
#ifndef POOLWRIGHT_WHATIF_LADDER_H
#define POOLWRIGHT_WHATIF_LADDER_H

#include "whatif/question.h"

typedef struct Ladder Ladder;

/* NULL when it is of no use here (no row for the cap, or numbers too large). The ground must outlive it; its cap may
 * move. */
Ladder *ladder_new(const Ground *ground);
void ladder_free(Ladder *ladder); /* NULL is allowed */

/* At this stated cap: a bound of the programme, proven (SEARCH_PLUS_INFINITY: none). True when a solution was found as
 * well: x[columns] of the programme and its value. No more is tried once it is within the options' gap of the bound. */
bool ladder_step(Ladder *ladder, bool has_cap, int64_t cap, const SearchOptions *options, int64_t *bound, int64_t *x,
                 int64_t *value);

#endif
