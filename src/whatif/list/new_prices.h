/* new_prices.h - what new prices change: the best pool at a scenario's own prices against the one at others. Both are
 * on the same candidates, so cards have the same numbers in both. */
#ifndef POOLWRIGHT_WHATIF_LIST_NEW_PRICES_H
#define POOLWRIGHT_WHATIF_LIST_NEW_PRICES_H

#include "programme/answer.h"

typedef struct {
    size_t card;
    int64_t by; /* cents, of one copy */
} PriceMove;

typedef struct {
    const Instance *before, *after; /* not owned, nor are the answers */
    const Answer *old_answer, *new_answer;
    size_t higher, lower; /* candidates whose price rose, fell */
    PoolCheck old_pool;   /* the pool of the old prices counted at the new ones; empty without one */
    size_t broken;        /* limits that it breaks */
    const LimitUse *first_broken;
    PriceMove *move; /* of cards in either pool, the greatest first; none unless both are there */
    size_t moves;
} NewPrices;

void new_prices_find(const Instance *before, const Answer *old_answer, const Instance *after, const Answer *new_answer,
                     NewPrices *out);
void new_prices_release(NewPrices *prices);

#endif
