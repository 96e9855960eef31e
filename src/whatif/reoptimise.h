/* reoptimise.h - one programme of a loaded scenario, its own or an extension of it, that is asked again and again with
 * other sides, bounds and objectives. */
#ifndef POOLWRIGHT_WHATIF_REOPTIMISE_H
#define POOLWRIGHT_WHATIF_REOPTIMISE_H

#include "whatif/loaded.h"

typedef struct Reoptimiser Reoptimiser;

/* The first columns of the problem, which is copied, must be the programme's. The loaded scenario must outlive it. */
Reoptimiser *reoptimiser_new(const Loaded *loaded, const SearchProblem *problem);
void reoptimiser_free(Reoptimiser *reoptimiser); /* NULL is allowed */
void reoptimiser_row(Reoptimiser *reoptimiser, int row, int64_t low, int64_t high);
void reoptimiser_column(Reoptimiser *reoptimiser, int column, int64_t low, int64_t high);
void reoptimiser_objective(Reoptimiser *reoptimiser, int column, int64_t coefficient);

/* One search on it, with its pool counted again. value and bound are of the question's objective. */
typedef struct {
    SearchStatus status;
    bool has_value, has_bound;
    int64_t value, bound;
    int64_t pivots;
} Solved;

/* Fills the answer: pool, check, status; the answer's bound only where `objective_is_fit`. What is found is never worse
 * than options->start, if that is a pool that keeps every rule. False with an error in diags (could not run, or the
 * pool found breaks a rule); then nothing is to be released. */
bool reoptimiser_solve(Reoptimiser *reoptimiser, const SearchOptions *options, bool objective_is_fit, Answer *answer,
                       Solved *solved, Diags *diags);

/* The same of the loaded scenario's programme as it is now, asked once. */
bool loaded_solve(const Loaded *loaded, const SearchOptions *options, Answer *answer, Solved *solved, Diags *diags);

/* Solves the loaded scenario's own programme for fit; the pool is the one among equals, for which `equals` says the
 * effort. */
bool reoptimiser_best(Reoptimiser *reoptimiser, const SearchOptions *options, const SearchOptions *equals,
                      Answer *answer, Diags *diags);
/* The same, asked once. */
bool loaded_best(const Loaded *loaded, const SearchOptions *options, const SearchOptions *equals, Answer *answer,
                 Diags *diags);

#endif
