/* counted.h - a scenario of files, explained, and every pool of it counted by the checker: what statements of
 * explanations are held against where a scenario is too rich to be judged by support/tried.h.
 *
 * The checker is the second reading of the rules (programme/count/checker.h): neither the programme's rows nor anything
 * of explain/ is used for what is expected. */
#ifndef POOLWRIGHT_SUPPORT_COUNTED_H
#define POOLWRIGHT_SUPPORT_COUNTED_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "explain/conflict/causes.h"
#include "explain/explain.h"
#include "support/lab.h"

typedef struct {
    int *copies;   /* [cards] */
    int64_t *over; /* [sides] units by which each hard side is missed */
    int64_t fit;
} CountedPool;

typedef struct {
    Lab lab;
    Programme *programme;
    Answer answer;
    Explain *explain;
    CountedPool *pool;
    size_t pools;
    char what[256]; /* for messages */
} Counted;

enum { ANY = -1, WITHOUT, WITH };
#define NO_POOL INT64_MIN

/* Opens the lab. The sheets are then written into its folder, or stand elsewhere. */
void counted_begin(Counted *counted, const char *what);
/* Reads the scenario, finds its best pool, loads the explanation and counts all pools. False: cards can't be read as
 * they are, or there are more than `most` pools; then only counted_end is allowed. effort: of explanations, 0: no
 * limit. */
bool counted_read(Counted *counted, const char *subject, const char *case_name, size_t most, int64_t effort);
void counted_end(Counted *counted);

/* Best fit with the side loosened by so many units (side -1: none), among pools with the card, without it, or any. */
int64_t counted_best(const Counted *counted, int side, int64_t units, size_t card, int want);
/* The exchange from the answer's pool leads to a pool that may be meant (may[pools]); among those of the same fit none
 * changes less, where that is said to be proven, and of those that change as little none is cheaper. */
void counted_judge_exchange(const Counted *counted, const bool *may, const Exchange *exchange, long *statements);
/* Explanations have all the effort they want. */
bool counted_unlimited(const Counted *counted);
/* A conflict among pools with or without the card, or any. */
void counted_judge_conflict(const Counted *counted, const Conflict *conflict, size_t card, int want, long *statements);
/* Conflict, repair and causes, where there is no pool. */
void counted_judge_nothing_fits(Counted *counted, long *statements);
/* Every statement about the scenario's limits, cards, conflicts and repairs; fails the test at one that is not so.
 * *statements grows by those that claim something. */
void counted_judge(Counted *counted, long *statements);

/* Every statement about other pools: swaps, two cards at once, alternatives, what rules can come to. No limit of
 * effort.
 */
void counted_judge_pools(Counted *counted, long *statements);
/* Writes a random scenario (tiny_make_risky) into the folder as scenario.yaml; the case to be read, or NULL. */
const char *risky_write(uint64_t seed, const char *folder);

#endif
