/* why_inner.h - parts of why.c that stand in files of their own. */
#ifndef POOLWRIGHT_EXPLAIN_WHY_INNER_H
#define POOLWRIGHT_EXPLAIN_WHY_INNER_H

#include "explain/why.h"

/* ---- why_sides.c ---- */

/* Single sides, likeliest first: blame, blames and far_off. The loss is known, the card is free. with: a pool with the
 * card, or NULL. */
void why_ask_sides(Explain *explain, size_t card, const int64_t *with, const WhyAsk *ask, Why *why);
/* Proven: the side alone lets the card in, if at all, only with more than `within`. */
bool why_blame_is_far(const Blame *blame);

/* Units of `times` the usual look at the side; no more than it can be loosened by. times 0: that. */
int64_t why_far_units(const Explain *explain, int side, int times);

/* ---- why_each.c ---- */

/* Those of the sides that are open, to `times` the usual look, all together, until one is left: that is asked sooner by
 * itself. effort: pivots, about. The card is forced in when this is called, and after; it is proven that nothing but
 * loosening brings it in, and which pool is best. with: a pool with the card, or NULL. */
void why_each(Explain *explain, size_t card, const int64_t *with, int times, int64_t effort, Blame *const *blame,
              int count);

/* ---- why_price.c ---- */

/* price_asked, price_below, price_never and price, where they make sense for the card. */
void why_find_price(Explain *explain, size_t card, Why *why);

#endif
