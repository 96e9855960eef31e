/* pool_summary.h - what a pool looks like: its themes, colours, changes and wishes, what each deck can play, which
 * cards stand out, counted from an answer. What text, JSON and sheets show of it. */
#ifndef POOLWRIGHT_PROGRAMME_COUNT_POOL_SUMMARY_H
#define POOLWRIGHT_PROGRAMME_COUNT_POOL_SUMMARY_H

#include "programme/answer.h"
#include "programme/exchange.h"

typedef struct {
    int enablers, payoffs; /* `both` counts in either; playable in the theme's colours, as in rules */
    int cards;             /* all copies tagged and playable */
    int gold;
    int shared;       /* of these, with another theme's tag too */
    int64_t strength; /* sum of tag weight x theme weight, thousandths */
    bool left_out;    /* a choice of themes that a pool was made by does not have it */
} ThemeSummary;

#define CURVE_STEPS 3 /* early: cost to 2; middle: 3 and 4; late: 5 and more (between: rounded down) */

typedef struct {
    int mono;
    int removal;            /* mono, with the tag `removal` */
    int curve[CURVE_STEPS]; /* mono */
    int fixing;             /* fixing cards that show the colour */
    int64_t cost_sum;       /* thousandths, mono cards with a cost */
    int cost_cards;
} ColourSummary;

typedef struct {
    Wisher who;
    int wishes, in;
} WisherSummary;

typedef struct {
    ThemeSummary *theme;   /* [themes] */
    ColourSummary *colour; /* [colours] */
    long weakest;          /* of the themes that count for something the one of least strength; -1: there is none */
    int by_class[CLASS_COUNT];
    bool has_removal;       /* some candidate has the tag `removal` */
    bool has_costs;         /* some candidate has a cost */
    int unpriced, unscored; /* copies in the pool */
    Exchange change;        /* from the present pool */
    int stay;               /* copies */
    size_t *wish;           /* cards, in order of names */
    size_t wishes, wishes_in;
    WisherSummary *wisher; /* people who wish cards, by folded names */
    size_t wishers;
    size_t *dear; /* the dearest bought cards, dearest first */
    size_t dears;
} PoolSummary;

#define SUMMARY_DEAREST 5

/* The dearest cards that must be bought, dearest first, ties by name; the number of them. One more than that has room
 * while they are sorted. */
size_t pool_dearest(const Instance *instance, const int *copies, size_t card[SUMMARY_DEAREST + 1]);
void pool_summary(const Instance *instance, const Answer *answer, PoolSummary *summary);
void pool_summary_release(PoolSummary *summary);

/* The k-th of the model's exemptions in this pool: its card, or -1 where that is not in it. */
long pool_exempt(const Instance *instance, const int *copies, size_t k);
/* The copies of the pool that a deck of these colours can play. */
int64_t pool_playable(const Instance *instance, const int *copies, ColourMask deck);
/* Cards of the pool whose power is more than two standard deviations above the mean, strongest first: [*count], freed
 * with mem_free. Exact. */
size_t *pool_outliers(const Instance *instance, const int *copies, size_t *count);

#endif
