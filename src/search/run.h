/* run.h - what one search has found and proven so far; shared by the engines. */
#ifndef POOLWRIGHT_SEARCH_RUN_H
#define POOLWRIGHT_SEARCH_RUN_H

#include "search/equals/equal_points.h"
#include "search/least/least_points.h"
#include "search/warm.h"

typedef struct {
    const SearchProblem *problem; /* as loaded, for the exact test of every solution */
    const Matrix *matrix;
    const SearchOptions *options;
    Warm *warm; /* what earlier runs left */
    /* [columns] the root box, tightened by proofs; every solution better than `value` lies in it. */
    int64_t *low, *high;
    Grain grain;              /* of the loaded box: attainable values */
    bool has_solution, empty; /* empty: proven that there is no solution (better than value, if there is one) */
    int64_t *x, value, bound;
    ProofTree tree;      /* grown in this run */
    bool certify;        /* the tree is to close all by itself: what can't be noted in it is not done, nor are better
                            solutions looked for */
    ProofTree chain;     /* that of Fast, which goes before it */
    EqualPoints *equals; /* not NULL: all points as good as x are looked for; they go there */
    LeastPoints *least;  /* not NULL: solutions that reach the target go there, and x is the last of them */
    SearchStatistics statistics;
    double *row_dual, *reduced_cost;
    const char *failure;
} Run;

/* warm must have been loaded with the problem. */
void run_init(Run *run, const SearchProblem *problem, Warm *warm, const SearchOptions *options);
/* The same for all points as good as the best, from the first of equals on. */
void run_init_equals(Run *run, const SearchProblem *problem, Warm *warm, const SearchOptions *options,
                     EqualPoints *equals);
/* The same for the least that each of several columns needs; the options' target is theirs. */
void run_init_least(Run *run, const SearchProblem *problem, Warm *warm, const SearchOptions *options,
                    LeastPoints *least);
void run_release(Run *run);

/* Tests x exactly and keeps it if it is better than what there is; or as good, where equals are looked for. True: it is
 * better. */
bool run_offer(Run *run, const int64_t *x);
/* A proven bound on all solutions; rounded down to the grain, kept if lower. */
void run_lower_bound(Run *run, int64_t bound);
/* Proven: there is no solution of value run_wanted or more. */
void run_close(Run *run);
/* The least value that would be of use: an improvement (the same, for equals), and no less than the target. Nodes whose
 * bound is below may be closed. SEARCH_MINUS_INFINITY + 1 while there is neither a solution nor a target. */
int64_t run_wanted(const Run *run);
/* When all with a bound of run_wanted or more is closed but what has the bound `open` (SEARCH_MINUS_INFINITY: nothing):
 * takes the bound that follows. */
void run_open_bound(Run *run, int64_t open);
/* Nodes with a bound up to this need no work for the gap that was asked for. */
int64_t run_enough(const Run *run);
bool run_cancelled(const Run *run);
bool run_out_of_effort(const Run *run);
/* Finished by proof, gap or target, or stopped. */
bool run_over(const Run *run);
/* Is any solution as good as another, so that nothing is left to be done once there is one? */
bool run_asks_any(const Run *run);
void run_progress(const Run *run);
/* Moves what was found into the result. */
void run_finish(Run *run, SearchResult *result);

#endif
