/* swap.h - what would replace a chosen card. */
#ifndef POOLWRIGHT_EXPLAIN_SWAPS_SWAP_H
#define POOLWRIGHT_EXPLAIN_SWAPS_SWAP_H

#include "explain/explain.h"

typedef struct {
    size_t card;         /* that comes in */
    int64_t fit_change;  /* of the pool, thousandths */
    int64_t cost_change; /* cents to buy */
    bool same_job;       /* of swap_find: it does the same job for less money (swap.c says what that is) */
} Single;

/* The best single exchange that brings in the card, which is not in: one copy of it for one copy of best->card, or,
 * where that is the card itself, for nothing. All rules are kept. False: there is none. The explanation must have a
 * pool. */
bool swap_in(const Explain *explain, size_t card, Single *best);
/* The best single exchange that takes a copy of the card out: for one copy of best->card, or, where that is the card
 * itself, for nothing. A keep of the card is set aside. */
bool swap_out(const Explain *explain, size_t card, Single *best);
/* As swap_in for each of card[cards], of which the pool copies[] has room for one more: best[k] where found[k]. */
void swaps_in(const Instance *instance, const int *copies, const size_t *card, size_t cards, Single *best, bool *found);

typedef struct {
    size_t card;    /* one copy of it leaves */
    Single *single; /* one copy for one copy, all rules kept; best fit first, then cheapest, then by name */
    size_t singles;
    size_t *cheapest; /* indexes into single: cheapest first, then best fit, then by name */
    bool drop;        /* it may also leave without anything coming in (a band for the size) */
    Single dropped;
    bool forced;     /* the pool chosen anew without that copy was found */
    bool impossible; /* there is none: proven */
    Range loss;
    int64_t cost_change; /* of the pool found */
    Exchange exchange;   /* likewise */
} Swap;

/* The explanation must have a pool that holds the card. A keep of the card is set aside. */
void swap_find(Explain *explain, size_t card, Swap *swap);
/* The pool chosen anew is the best without it, or there is none: proven. */
bool swap_settled(const Swap *swap);
void swap_release(Swap *swap);

#endif
