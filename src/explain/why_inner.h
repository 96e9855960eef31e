/* why_inner.h - parts of why.c that stand in files of their own. */
#ifndef POOLWRIGHT_EXPLAIN_WHY_INNER_H
#define POOLWRIGHT_EXPLAIN_WHY_INNER_H

#include "explain/why.h"

/* price_asked, price_below, price_never and price, where they make sense for the card. */
void why_find_price(Explain *explain, size_t card, Why *why);

#endif
