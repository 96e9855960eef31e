/* reach_inner.h - a part of reach.c that stands in a file of its own. */
#ifndef POOLWRIGHT_PROGRAMME_REACH_REACH_INNER_H
#define POOLWRIGHT_PROGRAMME_REACH_REACH_INNER_H

#include "programme/reach/reach.h"

/* Of a limit that is no member of a rule. free_copies: that may be in and need not; forced: that must. */
void structure_reach(const Instance *instance, const Limit *limit, int64_t free_copies, int64_t forced,
                     LimitReach *reach);

#endif
