/* limit_count.h - what a limit comes to in a pool, counted from cards and model: part of pool_check. */
#ifndef POOLWRIGHT_PROGRAMME_COUNT_LIMIT_COUNT_H
#define POOLWRIGHT_PROGRAMME_COUNT_LIMIT_COUNT_H

#include "base/number.h"
#include "programme/count/checker.h"

/* A pool as it is counted: only the cards that are in it are looked at. */
typedef struct {
    const int *copies;  /* [cards] of the instance */
    const size_t *card; /* [cards] with a copy, ascending */
    size_t cards;
} Held;

/* Lists the cards of a pool in card[cards of the instance]. copies and card must outlive it. */
Held held_cards(const Instance *instance, const int *copies, size_t *card);

typedef struct {
    int128 total, base;
} MemberSum;

/* What limits are counted from. */
typedef struct {
    const Instance *instance;
    const Held *held;
    int64_t size, cost;
    const MemberSum *sum; /* [members] */
    PoolCheck *check;     /* NULL before themes are chosen */
} Tally;

/* Counts and judges one limit. Those that ask which themes are chosen wait until check->chosen is there, and list the
 * places that cards fill in check->place. */
bool limit_waits(LimitKind kind);
LimitUse limit_use(const Tally *tally, const Limit *limit);

#endif
