/* why.h - what keeps a card out of the best pool, or in it. */
#ifndef POOLWRIGHT_EXPLAIN_WHY_H
#define POOLWRIGHT_EXPLAIN_WHY_H

#include "explain/swaps/swap.h"

typedef enum {
    BLAME_SOLVED, /* with exactly `units` more (the least) the card is in some best pool: proven */
    BLAME_RANGE,  /* with units.high more it is in some best pool, with less than units.low it is not */
    BLAME_NEVER,  /* no loosening of this side alone brings it in: proven */
    BLAME_UNKNOWN /* not proven; units may have a low end */
} BlameKind;

typedef struct {
    int side;
    BlameKind kind;
    Range units;
    int64_t within; /* units of the usual look: more than that is a large change */
    int order;      /* 1: the likeliest by a relaxation, and so on; 0: a relaxation settled it */
} Blame;

typedef struct {
    size_t card;
    bool in;           /* in the answer's pool */
    bool candidate;    /* false: it can't be in any pool (left out for want of a price, or no copies) */
    bool kept, banned; /* by the user */
    bool forced;       /* a pool with the card in (out, if `in`) was found */
    bool impossible;   /* there is none: proven. Then conflict says why */
    Range loss; /* fit lost by forcing it; kept and banned cards: without that keep or ban, and below 0 where the pool
                   would be better */
    Exchange exchange; /* from the answer's pool to the best one with the card forced; for a card in: without it */
    bool one_swap;     /* of a card that is out, by itself: one exchange brings it in */
    Single single;     /* the best such exchange (swap_in) */
    Range fit_from;    /* fit of one copy from which it is in some best pool */
    bool price_asked;  /* one copy, bought, and its price counts for something */
    bool price_below;  /* at every price below `price` too; else at `price` for certain, others may break a least sum */
    bool price_never;  /* at no price from nothing to the present one: proven */
    bool dearer_never; /* at no price above the present one, if not at that one: proven */
    Range price;       /* of the prices up to the present one at which it is in some best pool, the highest */
    Range dearer;      /* of those above it, the lowest: where a limit asks for a least sum of money */
    Blame *blame;      /* sides that were asked, in order: solved ones by weight, then ranges, never, unknown */
    size_t blames;
    size_t far_off;    /* of the blames not known: proven to need more than binding_within */
    Conflict conflict; /* with impossible */
    ConflictList list; /* likewise, if asked for */
} Why;

/* What is to blame, in one word. */
typedef enum {
    WHY_NO_CANDIDATE, /* it takes no part */
    WHY_KEPT,         /* the user says so */
    WHY_BANNED,
    WHY_IN,
    WHY_AS_GOOD,     /* out, but another pool with it is just as good: proven */
    WHY_IMPOSSIBLE,  /* no pool that meets every limit holds it: proven */
    WHY_LIMITS,      /* `helping` limits: each alone, loosened, would let it in */
    WHY_OPEN,        /* other cards bring more fit; whether a single limit is to blame was not settled */
    WHY_OTHERS_NEAR, /* other cards bring more fit; no small change of a single limit lets it in: proven */
    WHY_OTHERS       /* the same for any change of a single limit: proven */
} WhyCauseKind;

typedef struct {
    WhyCauseKind kind;
    size_t helping, never, open; /* of the blames: would let it in, never would, are not known (far_off ones too) */
    const Blame *least;          /* the helping one of least loosening; NULL: none */
} WhyCause;

typedef struct {
    bool blame;     /* ask single sides */
    int most_sides; /* so many are asked to the end, likeliest first; 0: all */
    bool quick; /* not the nearest exchange; only these, chosen by the multipliers of the relaxation; no first look at
                   all the others */
    int far; /* a side is given up once so many times binding_within are proven not to be enough; 0: never. Beyond once
                with less effort */
    bool hard;    /* the best pool took long, and so do single questions */
    bool no_run;  /* only what why_lost_for_certain says */
    int64_t more; /* pivots beyond the explanation's effort, for the loss and the likeliest sides alone; a tenth of them
                     for one question */
    bool price;
    bool conflicts; /* all minimal conflicts and repairs, not one */
} WhyAsk;

/* Fit lost for certain with the card forced in, by the relaxation alone; 0 if nothing is proven. */
int64_t why_lost_for_certain(Explain *explain, size_t card);
/* The explanation must have a pool. */
void why_find(Explain *explain, size_t card, const WhyAsk *ask, Why *why);
void why_release(Why *why);
bool blame_helps(const Blame *blame);
WhyCause why_cause(const Why *why);
/* All that was asked is answered exactly, or by a proven "never" or "not within": nothing is open for want of effort.
 */
bool why_settled(const Why *why);

#endif
