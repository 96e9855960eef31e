/* revise.h - the present pool made better by few changes: the best within so many, what each next one is worth, and
 * what new candidates are worth. */
#ifndef POOLWRIGHT_WHATIF_LIST_REVISE_H
#define POOLWRIGHT_WHATIF_LIST_REVISE_H

#include "whatif/loaded.h"
#include "whatif/list/pool_file.h"

typedef struct {
    bool has_swaps;
    int swaps; /* most copies of the present pool that leave */
    bool has_spend;
    int64_t spend;        /* cents, most for copies beyond those present and owned */
    const bool *newcomer; /* [cards] or NULL: candidates to be judged */
} RevisePlan;

typedef struct {
    int swaps; /* most that may leave */
    Answer answer;
    int in, out;   /* copies */
    int64_t spent; /* cents, for what enters */
} RevisePoint;

/* One more change on top of the earlier ones. */
typedef struct {
    PoolChange *change;
    size_t changes;
    int64_t gain;  /* thousandths of fit; no single further change has more, unless the search was cut short */
    int64_t spent; /* cents, what it adds */
} RankedSwap;

typedef enum { NEW_IN, NEW_NEAR, NEW_OUT, NEW_IMPOSSIBLE, NEW_UNKNOWN } NewKind;

/* worth: of a newcomer that is in: the fit that would be lost without it; else the fit that is lost with it. From low
 * to high: what is proven. */
typedef struct {
    size_t card;
    NewKind kind;
    int64_t worth_low, worth_high;
    PoolChange *change; /* in: who would take its place (in) for it (out); else: who would leave for it */
    size_t changes;
} Newcomer;

typedef struct {
    const PoolFile *present;
    int least_swaps;                   /* proven: with fewer, some rule breaks */
    bool least_exact;                  /* and so many are enough */
    bool impossible;                   /* no pool keeps every rule (and the spend): proven */
    bool no_pool;                      /* no pool keeps every rule, for any money: proven */
    bool swaps_never;                  /* so few swaps are too few, whatever is spent: proven */
    bool has_least_spend;              /* with too little money: what it takes at least, proven ... */
    int64_t least_spend, enough_spend; /* cents; and so much is enough (the same where it is exact) */
    bool possible;                     /* one was found; neither: it was not found out */
    /* [points] ascending swaps: one if asked for; else a curve from the least to where more change nothing. */
    RevisePoint *point;
    size_t points;
    bool has_end; /* the last point is not bound by the number of swaps */
    long knee;    /* -1: none */
    RankedSwap *rank;
    size_t ranks;
    bool rank_ends; /* proven: after these no single swap adds fit */
    Newcomer *newcomer;
    size_t newcomers;
    bool stopped; /* by a signal, or by effort before any pool: the rest was not looked into */
} Revision;

#define REVISE_RANKS 10
#define REVISE_NEWCOMERS 200

/* False with errors in diags; then there is nothing to release. present must outlive it. */
bool revise_run(const Loaded *loaded, const PoolFile *present, const RevisePlan *plan, const SearchOptions *options,
                Revision *revision, Diags *diags);
void revise_release(Revision *revision);

#endif
