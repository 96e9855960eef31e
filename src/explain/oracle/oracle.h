/* oracle.h - one loaded SideProblem, asked again and again: what is the best fit with this side dropped or loosened,
 * this column forced; what is the least loosening that reaches a fit; is there any solution at all.
 *
 * Every answer is a range that was proven: low is attained by a solution (in integers), high is a bound. A run that ran
 * out of effort gives a wide range or PROBE_UNKNOWN, never "none". Effort is counted in pivots, so answers do not
 * depend on time or threads. */
#ifndef POOLWRIGHT_EXPLAIN_ORACLE_ORACLE_H
#define POOLWRIGHT_EXPLAIN_ORACLE_ORACLE_H

#include <stdatomic.h>

#include "explain/oracle/side.h"

typedef struct {
    SearchEngine engine;
    int threads;
    const atomic_int *cancel;                                            /* may be NULL */
    int64_t effort;                                                      /* pivots in all; 0: no limit */
    int64_t probe;                                                       /* pivots of one question; 0: no limit */
    void (*progress)(void *context, const char *what, int done, int of); /* may be NULL */
    void *context;
} ExplainOptions;

typedef enum {
    PROBE_SOLVED, /* low == high */
    PROBE_RANGE,  /* a solution, and a bound that does not meet it */
    PROBE_NONE,   /* no solution: proven */
    PROBE_UNKNOWN /* neither; high may still be a proven bound */
} ProbeStatus;

typedef struct {
    ProbeStatus status;
    int64_t low;  /* SEARCH_MINUS_INFINITY without a solution */
    int64_t high; /* SEARCH_PLUS_INFINITY without a bound; SEARCH_MINUS_INFINITY with PROBE_NONE */
    int64_t *x;   /* [problem.columns] or NULL; freed by probe_release */
} Probe;

typedef struct Oracle Oracle;
/* sides must outlive it. */
Oracle *oracle_new(const SideProblem *sides, const ExplainOptions *options);
/* Another one with the same limits and what is left of the effort; oracle_return counts what it used and frees it. */
Oracle *oracle_beside(const Oracle *oracle, const SideProblem *sides);
void oracle_return(Oracle *oracle, Oracle *beside);
void oracle_free(Oracle *oracle); /* NULL is allowed */
void probe_release(Probe *probe);

/* Pivots that are left; INT64_MAX without a limit. Cancelled counts as nothing left. */
int64_t oracle_left(const Oracle *oracle);
int64_t oracle_used(const Oracle *oracle);
bool oracle_cancelled(const Oracle *oracle);
/* Another limit for one question, until changed again; 0: no limit. Returns the one before. */
int64_t oracle_limit(Oracle *oracle, int64_t pivots);
/* The last questions were not settled by a short search. */
bool oracle_is_hard(const Oracle *oracle);
/* Allows so many pivots more in all, and a tenth of them for one question where that is more than its limit, until they
 * are taken back: what was used of them does not count among the others. Without limits there is no difference. */
typedef struct {
    int64_t effort, limit, more, used;
} OracleLimits;
OracleLimits oracle_allow(Oracle *oracle, int64_t more);
void oracle_take_back(Oracle *oracle, OracleLimits before);
void oracle_tell(const Oracle *oracle, const char *what, int done, int of);

/* The state. All sides are in force, all columns free, nothing loosened, at first. */
void oracle_drop(Oracle *oracle, int side, bool dropped);
void oracle_loosen(Oracle *oracle, int side, int64_t units); /* s may be 0 to units */
void oracle_column(Oracle *oracle, int column, int64_t low, int64_t high);
void oracle_weigh(Oracle *oracle, int64_t most_weight); /* SEARCH_PLUS_INFINITY: off */
/* Other coefficients of fit, [columns of the programme]; NULL: as they were. */
void oracle_fit(Oracle *oracle, const int64_t *objective);

/* Questions. start may be NULL: a solution to begin from. known: a bound proven elsewhere, or SEARCH_PLUS_INFINITY.
 * target: the answer only matters if it can be at least this (SEARCH_MINUS_INFINITY: off): the run ends as soon as less
 * is proven. */
void probe_best(Oracle *oracle, const int64_t *start, int64_t known, int64_t target, Probe *probe);
/* Is there a solution with fit >= target? PROBE_NONE: proven that there is none (high is then a bound below target).
 * With a solution low >= target. first: any such will do; else the one with the greatest fit. */
void probe_reach(Oracle *oracle, int64_t target, bool first, Probe *probe);
/* The greatest fit, looked for from the bound downwards; fits are multiples of grain. known: so much is reached by a
 * solution the caller has (SEARCH_MINUS_INFINITY: none), and only more is of interest. PROBE_NONE: proven that there is
 * no more than known, or nothing at all. Without a solution low is known. */
void probe_most(Oracle *oracle, int64_t known, int64_t grain, Probe *probe);
/* Least s of the side with fit >= target: low and high are what is proven of s: low <= least s <= high. high is
 * SEARCH_PLUS_INFINITY without a solution; PROBE_NONE: no loosening of it reaches that fit. from: s is known to be at
 * least this. upto: more is not asked for; where more than that is proven to be needed, low is upto + 1 and there is no
 * solution. stride: s is searched in stretches of this length at first (0: unit by unit). */
void probe_least(Oracle *oracle, int side, int64_t target, int64_t from, int64_t upto, int64_t stride, Probe *probe);
/* Several sides, each by itself: the least units with which a solution with a fit of its target is possible, or just
 * whether one is. */
typedef struct {
    int side;                     /* with a row */
    int64_t least, units, target; /* fewer units than `least` are known not to be enough */
    int64_t *x; /* out: a solution with the side loosened by `need`, NULL: none was found; freed by who asked */
    int64_t need;
} SideLeast;
/* By one tree for all of them. any: a solution with up to `units` will do; else that with the fewest. start: a solution
 * of the present state with less fit than any target, or NULL. True: proven. Then a side without a solution has none
 * with up to `units`, and (not any) none has one with fewer than it needs. That nothing is possible without loosening
 * has to be known. */
bool probe_each(Oracle *oracle, SideLeast *asked, int count, bool any, const int64_t *start);
/* The least weighted sum of all that is loosened; low and high as of probe_least. */
void probe_lightest(Oracle *oracle, Probe *probe);
/* Any solution, which loosens what may be loosened as little as the search comes upon: x, PROBE_NONE, or
 * PROBE_UNKNOWN. */
void probe_any(Oracle *oracle, Probe *probe);

/* By relaxations alone, which are kept from question to question and evaluated in integers (attain.h); a few pivots
 * each. */

/* No solution in the present state has more fit than this; SEARCH_MINUS_INFINITY: there is none; SEARCH_PLUS_INFINITY:
 * nothing is known. */
int64_t oracle_bound(Oracle *oracle);
/* The same with other bounds of one column, from the multipliers of the last oracle_bound or oracle_relax, without a
 * pivot. */
int64_t oracle_bound_column(Oracle *oracle, int column, int64_t low, int64_t high);
/* Proven: with the side loosened by up to `units` no solution has a fit of target. */
bool oracle_excluded(Oracle *oracle, int side, int64_t units, int64_t target);
/* Below what is returned no loosening of the side reaches target (from: known to be needed); upto + 1: none up to
 * there. */
int64_t oracle_line(Oracle *oracle, int side, int64_t from, int64_t upto, int64_t target);
/* Narrows low..high[columns], the present state's box, to what solutions with a fit of target or more can have. False:
 * there are none. */
bool oracle_narrow(Oracle *oracle, int64_t target, int64_t *low, int64_t *high);
/* Bounds the present state and keeps its row multipliers, [problem.rows]: estimates that steer. Zeros before the first.
 */
void oracle_relax(Oracle *oracle);
const double *oracle_duals(const Oracle *oracle);
/* By these: what a unit of the side is worth. An estimate. */
double oracle_pull(const Oracle *oracle, int side);

/* Value of a solution by fit. */
int64_t oracle_value(const Oracle *oracle, const int64_t *x);
const SideProblem *oracle_sides(const Oracle *oracle);
/* Pivots that a run may take at most under all limits that are set now; for own problems built beside;
 * 1 where none is left. */
SearchOptions oracle_search_options(const Oracle *oracle);
void oracle_count(Oracle *oracle, const SearchResult *result);
bool oracle_spent(const Oracle *oracle);

#endif
