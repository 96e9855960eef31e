/* bench.h - one section of a pool (model/desk/section.h): what is in, and who is next in line. */
#ifndef POOLWRIGHT_EXPLAIN_SWAPS_BENCH_H
#define POOLWRIGHT_EXPLAIN_SWAPS_BENCH_H

#include "explain/swaps/swap.h"
#include "model/desk/section.h"

/* A candidate of the section of which the pool could hold a copy more. */
typedef struct {
    size_t card;
    bool found;  /* one copy of it for one of another card, all rules kept; else no single exchange does */
    Single swap; /* the best such exchange: `card` is who leaves, or the card itself where it comes for nothing */
} InLine;

#define CURVE_COSTS 7 /* costs 0 and 1, 2, 3, 4, 5, 6 and more (between: rounded down), none */
#define BENCH_ROLES 4 /* as Role */

typedef struct {
    int copies;
    int64_t money; /* cents to buy */
    int cost[CURVE_COSTS];
    int64_t cost_sum; /* thousandths, of cost_cards copies with a cost */
    int cost_cards;
} BenchPart;

typedef struct {
    size_t *in; /* cards of the section that are in: by role (enabler, payoff, both, none), cost and name */
    size_t ins;
    BenchPart role[BENCH_ROLES];
    BenchPart all;
    InLine *next; /* those with an exchange first: most fit, then cheapest; the others by their fit; ties by name */
    size_t nexts, found;
    size_t *wish; /* wished cards of the section, in order of names */
    size_t wishes;
    size_t *dear; /* cards of the section that must be bought, dearest first, ties by name: BENCH_DEAREST at most */
    size_t dears;
} Bench;

#define BENCH_DEAREST 5

/* The pool copies[cards] keeps every rule. Released with bench_release. */
void bench_find(const Instance *instance, const int *copies, const Section *section, Bench *bench);
void bench_release(Bench *bench);

#endif
