/* question.h - one programme of a ground, its own or an extension of it, that is asked again and again with other
 * sides, bounds and objectives. */
#ifndef POOLWRIGHT_WHATIF_QUESTION_H
#define POOLWRIGHT_WHATIF_QUESTION_H

#include "whatif/ground.h"

typedef struct Question Question;

/* The first columns of the problem, which is copied, must be the programme's. The ground must outlive it. */
Question *question_new(const Ground *ground, const SearchProblem *problem);
void question_free(Question *question); /* NULL is allowed */
void question_row(Question *question, int row, int64_t low, int64_t high);
void question_column(Question *question, int column, int64_t low, int64_t high);
void question_objective(Question *question, int column, int64_t coefficient);

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
bool question_solve(Question *question, const SearchOptions *options, bool objective_is_fit, Answer *answer,
                    Solved *solved, Diags *diags);

/* The same of the ground's programme as it is now, asked once. */
bool ground_solve(const Ground *ground, const SearchOptions *options, Answer *answer, Solved *solved, Diags *diags);

#endif
