/* pools.h - all pools of a small random scenario (tiny.h) that meet every limit but the cap, by trying each, and the
 * program run on it. Distances between pools are counted here. */
#ifndef POOLWRIGHT_SUPPORT_POOLS_H
#define POOLWRIGHT_SUPPORT_POOLS_H

#include "support/tiny.h"

typedef struct {
    int copies[TINY_CARDS_MOST];
    int64_t fit, spend; /* spend: what the cap counts, with what was paid where it does */
    int size;
} Pool;

/* All pools that meet every limit but the cap. */
typedef struct {
    const Tiny *tiny;
    Pool *pool; /* freed with free */
    size_t count, capacity;
} Pools;

/* A scenario of cards - 2 to cards candidates, without options of the command line, and with prices wherever a cap
 * would ask for them. */
void pools_prepare(Tiny *tiny, uint64_t seed, int cards);
void pools_every(const Tiny *tiny, Pools *all);
/* The best fit within a cap; false without a pool. */
bool pools_best_within(const Pools *all, int64_t cap, int64_t *fit);
int64_t pools_least_spend(const Pools *all, int64_t fit); /* INT64_MAX: no pool has as much */
int64_t pools_least_cap(const Pools *all, int64_t fit);   /* the same as a cap: none is below 0 */
int64_t pools_cap(const Tiny *tiny);                      /* INT64_MAX: none */

/* more[0] is the verb. Run with --json and, unless `more` says another, --gap 0, or with `effort` pivots; fails the
 * test when the exit code is not 0 or 1, or, with little effort, 3. */
json_t *pools_run(const Tiny *tiny, const char *folder, const char *const *more, const char *effort, Run *run);
void pools_money(char text[32], int64_t cents);
const json_t *pools_case(const json_t *root, const char *name); /* of what-if; fails the test if it is not there */

/* A list as a user has it, near a pool that keeps the rules where there is one: written as list.csv.
 * copies[CARDS_MOST].
 */
void pools_list(const Tiny *tiny, const Pools *all, const char *folder, Dice *dice, int *copies);
int pools_listed(const Tiny *tiny, const int *copies);
int pools_kept(const Tiny *tiny, const int *a, const int *b);
/* What is spent for copies that are neither owned nor on the list. */
int64_t pools_for_entering(const Tiny *tiny, const Seen *seen, const int *list, const int *copies);

#endif
