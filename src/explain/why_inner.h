/* why_inner.h - parts of why.c that stand in files of their own. */
#ifndef POOLWRIGHT_EXPLAIN_WHY_INNER_H
#define POOLWRIGHT_EXPLAIN_WHY_INNER_H

#include "explain/why.h"

/* ---- why_sides.c ---- */

/* Single sides, likeliest first: blame, blames and far_off. The loss is known, the card is free. */
void why_ask_sides(Explain *explain, size_t card, const WhyAsk *ask, Why *why);
/* Proven: the side alone lets the card in, if at all, only with more than `within`. */
bool why_blame_is_far(const Blame *blame);

/* ---- why_price.c ---- */

/* price_asked, price_below, price_never and price, where they make sense for the card. */
void why_find_price(Explain *explain, size_t card, Why *why);

#endif
