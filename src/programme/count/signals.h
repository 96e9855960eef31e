/* signals.h - what a designer would look at twice in a pool, beside all limits: counted, nothing has to keep it. */
#ifndef POOLWRIGHT_PROGRAMME_COUNT_SIGNALS_H
#define POOLWRIGHT_PROGRAMME_COUNT_SIGNALS_H

#include "programme/count/checker.h"

#define SIGNAL_LEAST 3    /* copies with a tag that is no theme: enough to be noticed ... */
#define SIGNAL_MOST 7     /* ... and too few to be drafted */
#define USUAL_RATIO 2000  /* enablers for each payoff where the theme's engine says nothing, thousandths */
#define SPEED_CARDS 3     /* mono cards with a cost in each colour, at least */
#define SPEEDS_APART 1000 /* thousandths of cost */

/* A tag that is no theme, and that no rule asks about, on a few cards of the pool. */
typedef struct {
    int tag;   /* index into CardSet.tag */
    int cards; /* copies */
} TagSignal;

/* A theme with payoffs and too few enablers for them. */
typedef struct {
    size_t theme;
    int enablers, payoffs; /* copies playable in its colours; `both` counts in either */
    int wanted;            /* enablers for so many payoffs */
} ShortTheme;

/* A theme of two colours whose mono cards cost differently. */
typedef struct {
    size_t theme;
    int colour[2];
    int cards[2];    /* copies with a cost */
    int64_t cost[2]; /* thousandths, of all of them together */
} TwoSpeeds;

typedef struct {
    TagSignal *tag; /* [tags] by name */
    size_t tags;
    ShortTheme *few; /* [fews] in the model's order */
    size_t fews;
    TwoSpeeds *speed; /* [speeds] likewise */
    size_t speeds;
} Signals;

/* check: of the pool copies[cards]. Themes that may be chosen and are not are left out. Released with signals_release.
 */
void signals_find(const Instance *instance, const int *copies, const PoolCheck *check, Signals *signals);
void signals_release(Signals *signals);

#endif
