/* ranging.h - how firmly each card stands in the pool, and how near others are. */
#ifndef POOLWRIGHT_EXPLAIN_RANGING_H
#define POOLWRIGHT_EXPLAIN_RANGING_H

#include "explain/explain.h"

typedef enum {
    RANGING_SURE,            /* proven: without it (with it) at least `margin` fit is lost */
    RANGING_COULD_AS_WELL,   /* less than margin is lost, but something is */
    RANGING_INTERCHANGEABLE, /* nothing is lost: another best pool does without it (has it) */
    RANGING_KEPT,            /* the user keeps it: not asked */
    RANGING_UNKNOWN          /* not proven within the effort */
} RangingKind;

typedef struct {
    size_t card;
    bool in;
    bool several; /* more than one copy may be in */
    RangingKind kind;
    Range loss;        /* for RANGING_SURE only the low end may be known */
    int64_t point;     /* what its fit falls by with a point of power less, or rises by with one more if it is out */
    Exchange exchange; /* for what was run, if a pool was found; instead of the answer's; where nothing is
                          lost the one with the fewest changes, as far as the effort reaches */
} Ranging;

typedef struct {
    Ranging *ranging; /* chosen cards, then cards out that are less than margin away (or not proven to be further), each
                   in order of names */
    size_t count;
    int64_t margin;     /* thousandths: what one point of power is worth where all of it counts */
    bool scored;        /* power weighs something, so that scores can matter */
    bool far_several;   /* cards of several copies are out and not listed: two points may be enough where one is not */
    int64_t runs;       /* random changes tried */
    int64_t stayed, of; /* copies of the pool that stayed in, of all, over the runs */
    bool stayed_proven; /* each run's pool was proven best */
} Rangings;

/* Forces each chosen card out and each near one in. runs: pools under random scores, one point up, down or as it is,
 * from a fixed seed. */
void firmness_find(Explain *explain, int runs, Rangings *firmness);
void firmness_release(Rangings *firmness);
/* Does a change of this card's power by one point change the best pool (by what it adds to fit: no filter by power)?
 * Proven yes, proven no, or not known. */
typedef enum { SCORE_MATTERS, SCORE_DOES_NOT, SCORE_UNKNOWN } ScoreMatters;
ScoreMatters ranging_score_matters(const Rangings *firmness, const Ranging *ranging);

#endif
