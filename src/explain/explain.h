/* explain.h - an answer and everything that is asked about it: one loaded search for all questions. */
#ifndef POOLWRIGHT_EXPLAIN_EXPLAIN_H
#define POOLWRIGHT_EXPLAIN_EXPLAIN_H

#include "explain/conflict/conflict.h"
#include "explain/conflict/repair.h"
#include "programme/answer.h"
#include "programme/exchange.h"
#include "programme/rows/card_columns.h"

/* A number of which it is proven that low <= it <= high. Thousandths of fit, cents, or units of a side. */
typedef struct {
    bool has_low, has_high;
    int64_t low, high;
} Range;

bool range_exact(const Range *range); /* both, and equal */
/* For sorting by what it is at most; those of which that is not known come last. */
int range_by_high(const Range *a, const Range *b);

/* The best fit that is known with one side loosened by so many units and nothing forced. */
typedef struct {
    int side;
    int64_t units;
    int64_t fit;
    int64_t *x; /* a solution of that fit */
    bool best;  /* proven: there is none better */
} Memo;

typedef struct Nearest Nearest;      /* nearest.c */
void nearest_free(Nearest *nearest); /* NULL is allowed */

typedef struct {
    const Instance *instance;
    Instance *free_instance; /* without keeps and bans */
    Programme *programme;    /* of free_instance */
    SideProblem *sides;
    Oracle *oracle;
    bool has_pool;
    int *copies;   /* [cards] of the answer's pool */
    int64_t *x;    /* the same in the SideProblem's columns */
    Range best;    /* fit of a best pool: from the answer's pool to the proven bound */
    int64_t grain; /* fits are multiples of it; at least 1 */
    Memo *memo;    /* whatever questions came upon, for those that follow */
    size_t memos, memo_capacity;
    Nearest *nearest;  /* made when first asked */
    CardColumns *card; /* [cards] */
} Explain;

/* NULL with an error in diags when the numbers are too large. Instance and answer's instance are the same; all must
 * outlive it. */
Explain *explain_new(const Instance *instance, const Answer *answer, const ExplainOptions *options, Diags *diags);
/* Tries, with so many pivots, to prove that no pool is better than the answer's, where that is open by a little. True:
 * it is proven now. */
bool explain_prove(Explain *explain, int64_t pivots);
void explain_free(Explain *explain); /* NULL is allowed */

/* Between least and most copies of the card, whatever keeps and bans say of the column; explain_unforce takes it back.
 */
void explain_force(Explain *explain, size_t card, int least, int most);
void explain_unforce(Explain *explain, size_t card);
/* The greatest fit in the present state: from the bound downwards, and where that finds nothing by a search of its own.
 */
void explain_most(Explain *explain, Probe *probe);
/* A fit that was found but not proven the greatest: only what is above it is asked for, which leaves fewer columns
 * open. */
void explain_above(Explain *explain, Probe *probe);
/* copies[cards] of a solution. */
void explain_copies(const Explain *explain, const int64_t *x, int *copies);
/* From the answer's pool to a solution. */
void explain_exchange(const Explain *explain, const int64_t *x, Exchange *exchange);
/* best - what the probe says, never below 0 for its low end; nothing known: no ends. */
Range explain_loss(const Explain *explain, const Probe *probe);
/* The greatest fit known with the side loosened by up to `units`: the answer's or better. *best: proven that there is
 * none better. *x (may be NULL): a solution of that fit, owned by the explanation and valid until it learns more. */
int64_t explain_known(const Explain *explain, int side, int64_t units, bool *best, const int64_t **x);
/* x is a solution with the side loosened by `units`; it is copied. best: proven that none has more fit. */
void explain_learn(Explain *explain, int side, int64_t units, const int64_t *x, bool best);
/* Searches for more fit than is known with the side loosened by `units`, and learns it. The greatest fit known then;
 * *best: proven that there is none better. */
int64_t explain_climb(Explain *explain, int side, int64_t units, bool *best);
/* The same, but any pool of more fit than is known will do. */
int64_t explain_exceed(Explain *explain, int side, int64_t units, bool *best);
/* Units in which a search for the least loosening proceeds (probe_least). */
int64_t explain_stride(const Explain *explain, int side);
/* The side of the card's keep or ban, or -1. */
int explain_status_side(const Explain *explain, size_t card, LimitKind kind);
/* The bounds of the side's limit, but for the other side. */
Bounds side_bounds(const Side *side);

#endif
