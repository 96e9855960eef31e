/* structure_check.h - the independent count of limits and forms: part of pool_check. */
#ifndef POOLWRIGHT_PROGRAMME_STRUCTURE_CHECK_H
#define POOLWRIGHT_PROGRAMME_STRUCTURE_CHECK_H

#include "base/number.h"
#include "programme/checker.h"

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

/* limit_count.c: counts and judges one limit. Those that ask which themes are chosen wait until check->chosen is
 * there, and list the places that cards fill in check->place. */
bool limit_waits(LimitKind kind);
LimitUse limit_use(const Tally *tally, const Limit *limit);

/* Fills form, chosen, place and bonus of a check whose limits are judged but for those that wait, and these; the limits
 * of themes that are not chosen become idle. Where themes may be chosen, those are taken with which the pool keeps its
 * limits and has most fit. */
void structure_check(const Tally *tally, PoolCheck *check);
/* Enablers and payoffs of the theme that its decks can play. */
void structure_roles(const Instance *instance, const Held *held, int theme, int64_t *enablers, int64_t *payoffs);

/* Fills the places of the limit with the held copies: as many as can be, and of these fillings the one with most weight
 * (by_place: what the places add to fit; else tag weight x theme weight). active[themes]: places of other themes are
 * open. filled[held->cards * of_themes] takes the copies, and may be NULL. Returns how many places are filled. */
int64_t places_fill(const Instance *instance, const Limit *limit, const Held *held, const bool *active, int *filled);

#endif
