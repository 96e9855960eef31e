/* structure_check.h - the independent count of an instance's forms: part of pool_check. */
#ifndef POOLWRIGHT_PROGRAMME_STRUCTURE_CHECK_H
#define POOLWRIGHT_PROGRAMME_STRUCTURE_CHECK_H

#include "programme/checker.h"

/* Fills form, chosen, place and bonus of a check whose rules are judged; the rules of themes that are not chosen become
 * idle. Where themes may be chosen, those are taken with which the pool keeps its rules and has most fit. Makes kept
 * false where a form is broken. */
void structure_check(const Instance *instance, const int *copies, PoolCheck *check);

/* Fills the places of `form` with the chosen copies: as many as can be, and of these fillings the one with most weight
 * (by_place: what the places add to fit; else tag weight x theme weight). active[themes]: places of other themes are
 * open. filled[cards * form->ofs] takes the copies, and may be NULL. Returns how many places are filled. */
int64_t places_fill(const Instance *instance, const Form *form, const int *copies, const bool *active, int *filled);

#endif
