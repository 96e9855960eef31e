/* frontier.h - fit against the spending cap. All money in cents. */
#ifndef POOLWRIGHT_WHATIF_FRONTIER_FRONTIER_H
#define POOLWRIGHT_WHATIF_FRONTIER_FRONTIER_H

#include "whatif/frontier/parametric.h"

/* A sum of money that is proven to lie from `low` to `high`, both included. */
typedef struct {
    bool known; /* false: not found within the effort */
    int64_t low, high;
} MoneyBand;

/* Of a curve of fit against money, or against swaps. */
typedef struct {
    int64_t at; /* the cap, the number of swaps */
    bool has_pool;
    int64_t fit, bound; /* bound INT64_MAX: none */
} CurvePoint;

CurvePoint curve_point(int64_t at, const Answer *answer);

/* Money from `from` to `to` that buys nothing: proven. */
typedef struct {
    int64_t from, to;
} DeadZone;

typedef struct {
    size_t first, count; /* which results it is made of, by ascending cap; without the one that has no cap */
    bool steps;          /* every step of the range that was asked: each result's cap is the least that buys its fit */
    bool money_large;    /* all that could be bought comes to more than the search counts: neither ends nor steps */
    bool steps_given_up; /* they were asked and some are too dear: what lies below the exact ones is a grid */
    size_t exact; /* offset from first: from here on every step is a result (the first of them may begin lower unless
                     `steps`); count: none are exact */
    int64_t exact_to; /* up to this cap */
    bool impossible;  /* no pool keeps the other rules, whatever is spent: proven */
    MoneyBand least;  /* the least cap with any pool */
    MoneyBand enough; /* the least cap that buys as much fit as `free_fit` */
    bool has_free;
    int64_t free_fit, free_bound; /* of the best pool without a cap */
    long knee;                    /* offset from first; -1: none */
    DeadZone *dead;               /* longest first */
    size_t deads;
} Frontier;

/* Facts that hold whatever caps were asked: least, enough, free. parametric: of the loaded scenario, or NULL. The
 * loaded scenario's cap is the last one set when this returns. */
bool frontier_ends(Loaded *loaded, Parametric *parametric, const SearchOptions *options, Frontier *frontier,
                   Diags *diags);
/* Knee and dead zones from the points. */
void frontier_shape(const CurvePoint *point, size_t points, Frontier *frontier);
void frontier_release(Frontier *frontier);

/* The knee of ascending points, from the first one with a pool on: the one that stands highest above the straight line
 * from the first to the last, if it stands above it by more than fits are not known closer than; -1 else. V. Satopaa,
 * J. Albrecht, D. Irwin, B. Raghavan, "Finding a Kneedle in a haystack", 2011. The units of neither axis matter. */
long curve_knee(const CurvePoint *point, size_t points);

typedef struct {
    int64_t cap; /* the least that buys the pool's fit */
    Answer answer;
} Step;

typedef struct {
    int64_t from, to; /* in: the range */
    Step *step;       /* out: ascending; the first may lie below `from`: it is what `from` buys */
    size_t steps;
    /* False: there are too many, or the effort did not suffice. Then these are the upper ones, each but the first as
     * complete ones are; the first has the best fit from its cap to the next step, but may begin lower. */
    bool complete;
} Steps;

/* parametric: of the loaded scenario, or NULL. options: the effort is for all steps; start and known_bound are of `to`.
 * False with errors in diags. Freed step by step (answer_release), the array with mem_free. */
bool frontier_steps(Loaded *loaded, Parametric *parametric, const SearchOptions *options, Steps *steps, Diags *diags);

#endif
