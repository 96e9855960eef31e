/* structure_check.h - the independent count of an instance's forms: part of pool_check. */
#ifndef POOLWRIGHT_PROGRAMME_STRUCTURE_CHECK_H
#define POOLWRIGHT_PROGRAMME_STRUCTURE_CHECK_H

#include "programme/checker.h"

/* A pool as it is counted: only the cards that are in it are looked at. */
typedef struct {
    const int *copies;  /* [cards] of the instance */
    const size_t *card; /* [cards] with a copy, ascending */
    size_t cards;
} Held;

/* Lists the cards of a pool in card[cards of the instance]. copies and card must outlive it. */
Held held_cards(const Instance *instance, const int *copies, size_t *card);

/* Fills form, chosen, place and bonus of a check whose rules are judged; the rules of themes that are not chosen become
 * idle. Where themes may be chosen, those are taken with which the pool keeps its rules and has most fit. Makes kept
 * false where a form is broken. */
void structure_check(const Instance *instance, const Held *held, PoolCheck *check);

/* Fills the places of `form` with the held copies: as many as can be, and of these fillings the one with most weight
 * (by_place: what the places add to fit; else tag weight x theme weight). active[themes]: places of other themes are
 * open. filled[held->cards * form->ofs] takes the copies, and may be NULL. Returns how many places are filled. */
int64_t places_fill(const Instance *instance, const Form *form, const Held *held, const bool *active, int *filled);

#endif
