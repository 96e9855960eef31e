/* findings.h - what explanations found: for the first screen of `best`, for `why`, for `swap`. Found first, printed
 * after. */
#ifndef POOLWRIGHT_EXPLAIN_FINDINGS_H
#define POOLWRIGHT_EXPLAIN_FINDINGS_H

#include "explain/swaps/alternatives.h"
#include "explain/binding.h"
#include "explain/conflict/causes.h"
#include "explain/ranging.h"
#include "explain/swaps/swap.h"
#include "explain/conflict/together.h"
#include "explain/why.h"
#include "programme/reach/reach.h"

/* What one card of `swap` has; not in: it is not in the pool, and nothing but its number is set. */
typedef struct {
    bool in;
    Swap swap;
} Swapped;

/* All parts may be missing (NULL, 0). */
typedef struct Explained {
    Explain *explain;  /* owned; set by the caller before anything is found */
    LimitReach *reach; /* [limits] with a conflict, and with cards */
    /* the first screen */
    Binding *binding; /* [bindings], likeliest first */
    size_t bindings;
    Why *wish; /* [wishes], wished cards that are out, in order of names */
    size_t wishes;
    bool has_firmness;
    Rangings firmness;
    bool has_alternatives;
    Alternatives alternatives;
    /* nothing fits */
    bool has_causes;
    Causes causes;
    bool has_conflict; /* where the causes do not say it all */
    Conflict conflict;
    bool has_repair;
    Repair repair;
    bool has_list;
    ConflictList list;
    /* cards that were named */
    Why *card; /* [cards], as they were named */
    size_t cards;
    Together together;
    Swapped *swap; /* [swaps]; fewer than were named where it was stopped */
    size_t swaps;
} Explained;

typedef struct {
    bool all_limits; /* every limit that may bind, and every wish to the end: more than a first screen has time for */
    bool all_wishes;
    bool firmness;
    int alternatives, differ; /* so many (0: none), at least so many cards apart */
} ScreenAsk;

/* There is a pool: what binds, wishes that are out, and what else is asked for. */
void explained_screen(Explained *out, const ScreenAsk *ask);
/* Nothing fits: causes; a conflict where they do not say it all; the least repair; what limits can come to. Where money
 * is all it takes, a conflict and a repair only if they are found at once. list: all conflicts and repairs, whatever
 * the causes say. */
void explained_nothing_fits(Explained *out, bool list);
/* Why card[count] (no doubles) are in or out, and all of them together. True: all of it is settled. */
bool explained_cards(Explained *out, const size_t *card, size_t count, const WhyAsk *ask);
/* What would replace card[count]. True: all of it is settled, nothing was stopped. */
bool explained_swaps(Explained *out, const size_t *card, size_t count);
void explained_release(Explained *explained); /* with its Explain */

#endif
