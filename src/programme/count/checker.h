/* checker.h - counts a pool against every limit, in integers, from cards and model and never from the programme's rows.
 * Runs on every answer before it is shown; also the source of all uses and slacks in reports. */
#ifndef POOLWRIGHT_PROGRAMME_COUNT_CHECKER_H
#define POOLWRIGHT_PROGRAMME_COUNT_CHECKER_H

#include "model/instance/instance.h"

/* A limit (model/limit.h) in the pool. What total and base are:
 *   size, cap, keep, ban   copies, cents; 0
 *   rule       the measure over the copies counted, smallest unit; percent: the measure over the `of` copies, average:
 *              how many copies took part, else 0
 *   places     places of themes that are filled; mono copies of the colour
 *   enablers per payoff   enablers; payoffs
 *   needs      cards of `one_of` that are in; 1 if the card that needs them is in
 *   apart      copies; its cards       group  cards that are in; its cards       choice  themes chosen; 0 */
typedef struct {
    const Limit *limit;
    Bounds bounds; /* the limit's; places: what the chosen themes ask for; keep, ban: as least and most are now */
    int64_t total, base;
    bool low_kept, high_kept;      /* places: the high side is the number of mono copies, wherever it is off */
    int64_t low_slack, high_slack; /* by how much the total may fall, rise (smallest unit; ratio: enablers; negative:
                                      broken); INT64_MAX without that side */
    bool low_tight, high_tight;    /* kept, and no smaller step is left */
    bool is_protected;       /* its upper limit holds under price risk (risk.h): high_slack is from protected_total */
    int64_t protected_total; /* cents */
    int64_t missed;          /* soft limits: units missed, both sides */
    int64_t penalty;         /* fit lost for them, thousandths */
    bool idle; /* asks nothing: of a theme that may be chosen and is not; needs: the card that needs others is not in */
} LimitUse;

/* A form (model/instance/structure.h) in the pool. What use and other are:
 *   place fit  copies in places of themes; 0
 *   engine     enablers; payoffs
 *   depth      summed tag weight, thousandths
 *   theme      fit of its tags, thousandths
 *   evenness   whole units of the weakest theme; that theme's index, -1 if there is none
 *   stay       copies of the present pool that stay
 *   together   cards that are in; its cards
 *   sets       whole sets that count; its parts */
typedef struct {
    const Form *form;
    bool idle; /* of a theme that may be chosen and is not */
    int64_t use, other;
    int64_t gain; /* thousandths of fit */
} FormUse;

typedef struct {
    size_t card;
    const Limit *limit;
    int theme; /* -1: an open place */
    int copies;
} PlaceUse;

typedef struct {
    LimitUse *use; /* every limit that has a side, in the instance's order */
    size_t uses;
    bool kept;        /* every limit holds (soft ones always do), copies are within their limits */
    int64_t size;     /* copies */
    int64_t cost;     /* cents to buy */
    int64_t card_fit; /* sum over copies */
    int64_t penalty;  /* of soft rules */
    int64_t bonus;    /* of forms */
    int64_t fit;      /* card_fit + bonus - penalty */
    FormUse *form;    /* in the instance's order */
    size_t forms;
    bool *chosen;    /* [themes] true for those that need not be chosen */
    PlaceUse *place; /* colour by colour, cards in order: which place each mono card fills */
    size_t places;
    LimitUse *watch; /* in the order of Instance.watch: nothing of it counts for kept or fit */
    size_t watches;
} PoolCheck;

/* copies[cards]. Released with pool_check_release. */
void pool_check(const Instance *instance, const int *copies, PoolCheck *check);
void pool_check_release(PoolCheck *check);
/* [themes] which of them the choices of the model leave out of such a pool, in the arena; NULL: there are no choices.
 */
const bool *pool_unchosen(const Instance *instance, const int *copies, Arena *arena);
/* Only its fit, whatever limits it breaks. */
int64_t pool_fit(const Instance *instance, const int *copies);

/* The same count for many pools that differ in few cards: only the cards that change are counted anew. The instance
 * must outlive it; what it says of copies' limits (least, most) is read as it is at each change. */
typedef struct PoolCount PoolCount;
PoolCount *pool_count_new(const Instance *instance, const int *copies); /* copies[cards] are copied */
void pool_count_free(PoolCount *count);                                 /* NULL is allowed */
/* So many copies of the card more, or fewer. */
void pool_count_change(PoolCount *count, size_t card, int by);
/* A side of a limit that may be missed by so much, as its slack is counted. */
typedef struct {
    const Limit *limit;
    bool low;
    int64_t units;
} Leeway;
/* A limit of copies, the size, the cap at present prices or a rule that no choice of themes can set aside is broken:
 * the pool is not kept. Otherwise it may still break price risk or a form. Takes no storage. */
bool pool_count_breaks(const PoolCount *count);
/* The same with that leeway. */
bool pool_count_breaks_but(const PoolCount *count, const Leeway *leeway);
/* What the instance's first limits, which add up over cards, count: the size, the cap, rules. Total and base of each as
 * in LimitUse, sum[] (may be NULL); returns how many there are. */
typedef struct {
    int64_t total, base;
} LimitSum;
size_t pool_count_sums(const PoolCount *count, LimitSum *sum);
/* How one of these stands with other sums, at present prices. */
LimitUse limit_use_of_sum(const Limit *limit, LimitSum sum);
/* It asks for something, and no choice of themes can set it aside. */
bool limit_always_holds(const Instance *instance, const Limit *limit);
/* As pool_check, but without the uses of keeps and bans, of which there may be very many: they count for `kept`. */
void pool_count_check(const PoolCount *count, PoolCheck *check);

/* Kept on both sides? */
bool limit_use_kept(const LimitUse *use);
/* How many limits are broken, keeps and bans aside: those are told by card. */
size_t pool_broken_limits(const PoolCheck *check);
/* Or missed within the leeway, which may be NULL. */
bool limit_use_within(const LimitUse *use, const Leeway *leeway);
/* To the nearer side; INT64_MAX without one. */
int64_t limit_use_slack(const LimitUse *use);
/* At least 0 of what cannot be below it, and no upper limit. */
bool limit_use_asks_for_none(const LimitUse *use);
/* No slack on a side, where there could be some. */
bool limit_use_tight(const LimitUse *use);

#endif
