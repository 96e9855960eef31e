/* run.h - what one search has found and proven so far; shared by the engines. */
#ifndef POOLWRIGHT_SEARCH_RUN_H
#define POOLWRIGHT_SEARCH_RUN_H

#include "search/matrix.h"

typedef struct {
    const SearchProblem *problem;  /* as loaded, for the exact test of every solution */
    const Matrix *matrix;
    const SearchOptions *options;
    int64_t *low, *high;           /* [columns] the root box, tightened by proofs; every solution better than `value` lies in it */
    Grain grain;                   /* of the loaded box: attainable values */
    bool has_solution, empty;      /* empty: proven that there is no solution (better than value, if there is one) */
    int64_t *x, value, bound;
    SearchStatistics statistics;
    double *row_dual, *reduced_cost;
    const char *failure;
} Run;

void run_init(Run *run, const SearchProblem *problem, const Matrix *matrix, const SearchOptions *options);
void run_release(Run *run);

/* Tests x exactly and keeps it if it is better than what there is. */
bool run_offer(Run *run, const int64_t *x);
/* A proven bound on all solutions; rounded down to the grain, kept if lower. */
void run_lower_bound(Run *run, int64_t bound);
/* The least value that would be an improvement: nodes whose bound is below may be closed. SEARCH_MINUS_INFINITY + 1 while there is no solution. */
int64_t run_wanted(const Run *run);
/* Nodes with a bound up to this need no work for the gap that was asked for. */
int64_t run_enough(const Run *run);
bool run_cancelled(const Run *run);
bool run_out_of_effort(const Run *run);
/* Finished by proof, gap or target, or stopped. */
bool run_over(const Run *run);
void run_progress(const Run *run);
/* Moves what was found into the result. */
void run_finish(Run *run, SearchResult *result);

#endif
