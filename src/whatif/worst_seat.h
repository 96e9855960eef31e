/* worst_seat.h - which rule of the pool, if it asked for more, would help the worst seat of simulated drafts.
 *
 * Each rule that asks for at least so many cards is tightened by itself, by a fifth for each of its members; the pool
 * is chosen anew and drafted. The rule is chosen by one set of drafts and told by another, so that luck in the first
 * does not count as help. */
#ifndef POOLWRIGHT_WHATIF_WORST_SEAT_H
#define POOLWRIGHT_WHATIF_WORST_SEAT_H

#include "programme/answer.h"
#include "seats/drafts.h"

typedef struct {
    const Rule *rule;
    int64_t more; /* cards, of the member that is tightened most */
    bool has_pool;
    bool impossible; /* proven: there is none */
    int64_t fit;     /* of the pool by the rules as they stand, thousandths */
    Spread chosen;   /* cards that the worst seat misses, in the drafts by which rules are chosen */
} TightenedRule;

typedef struct {
    Arena *arena;
    const Instance *instance;
    int drafts; /* in each set */
    int64_t fit;
    Spread before, before_again; /* of the pool of the rules as they stand: in the first set, in the second */
    TightenedRule *rule;         /* [rules] the one that helps most first; those without a pool last */
    size_t rules;
    Spread after_again; /* of the first rule's pool, in the second set; empty where it was not drafted */
    bool stopped;       /* by a signal: not all rules were tried */
    bool has_pool;      /* a pool of the rules as they stand was found and drafted */
    bool impossible;    /* proven: there is none */
    bool near;          /* of each pool it is proven that it is near its best, or that there is none */
} WorstSeat;

/* The instance's limits are changed for a while. False with errors in diags. Released with worst_seat_release in any
 * case. */
bool worst_seat_find(Instance *instance, const Drafting *drafting, const Package *package, const DraftOptions *options,
                     const SearchOptions *search, WorstSeat *worst, Diags *diags);
void worst_seat_release(WorstSeat *worst);
/* Means are apart by so many standard errors of their difference; above 0 where `after` is less. Where all values are
 * the same, the deviation counts as if one had been another by one. 0 of less than two values. */
double spread_apart(const Spread *before, const Spread *after);

#endif
