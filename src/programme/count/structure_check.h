/* structure_check.h - the independent count of forms and of what themes are chosen: part of pool_check. */
#ifndef POOLWRIGHT_PROGRAMME_COUNT_STRUCTURE_CHECK_H
#define POOLWRIGHT_PROGRAMME_COUNT_STRUCTURE_CHECK_H

#include "programme/count/limit_count.h"

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
