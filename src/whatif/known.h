/* known.h - a loaded scenario that was solved, and what follows from it for scenarios that differ in little: sides of
 * limits, the cap, keeps, bans, weights. It never changes, so that no answer depends on what was asked before. */
#ifndef POOLWRIGHT_WHATIF_KNOWN_H
#define POOLWRIGHT_WHATIF_KNOWN_H

#include "whatif/loaded.h"

typedef struct Known Known;

/* Solves the loaded scenario, which must outlive it, as `best` does. NULL with an error in diags; also NULL, without
 * one, where the search was stopped. */
Known *known_new(const Loaded *loaded, const SearchOptions *options, Diags *diags);
void known_free(Known *known); /* NULL is allowed */
const Answer *known_answer(const Known *known);

/* The answer of answer_find for `now`, sooner where it is much like the known one. The pool is the same whichever way
 * it was found: what is not proven to the last, that it is best and the first among equals, is found by answer_find
 * itself. known may be NULL. False with an error in diags. */
bool known_solve(const Known *known, const Loaded *now, const SearchOptions *options, Answer *answer, Diags *diags);

#endif
