/* one_swap.h - the one swap that a loosened limit would allow. */
#ifndef POOLWRIGHT_EXPLAIN_SWAPS_ONE_SWAP_H
#define POOLWRIGHT_EXPLAIN_SWAPS_ONE_SWAP_H

#include "explain/explain.h"

typedef struct {
    bool asked; /* the size, the cap or a rule, hard, at present prices, of no theme that may be chosen: of others none
                   is told */
    bool found; /* false, where asked: no single swap that needs the leeway has more fit than the answer's pool */
    long enters, leaves; /* a card, one copy; -1: nothing enters, nothing leaves */
    int64_t fit_change;  /* thousandths, above 0 */
    int64_t cost_change; /* cents to buy */
} OneSwap;

/* Of the pools that the answer's becomes by one copy in for one copy out, by one copy in or by one copy out, that break
 * the side as it is and keep it loosened by so many units, and keep all other limits: the one with the most fit, then
 * the cheapest, then the first by names. Counted exactly. The explanation must have a pool. */
void one_swap_find(const Explain *explain, int side, int64_t units, OneSwap *swap);

#endif
