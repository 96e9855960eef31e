/* question.c - a loaded search and the ground whose pools it finds. */
#include "whatif/question.h"

#include "base/memory.h"

struct Question {
    const Ground *ground;
    Search *search;
};

Question *question_new(const Ground *ground, const SearchProblem *problem)
{
    Question *q = mem_new(1, sizeof *q);
    *q = (Question){.ground = ground, .search = search_new(problem)};
    return q;
}

void question_free(Question *question)
{
    if (question == NULL)
        return;
    search_free(question->search);
    mem_free(question);
}

void question_row(Question *question, int row, int64_t low, int64_t high)
{
    search_set_row(question->search, row, low, high);
}

void question_column(Question *question, int column, int64_t low, int64_t high)
{
    search_set_column(question->search, column, low, high);
}

void question_objective(Question *question, int column, int64_t coefficient)
{
    search_set_objective(question->search, column, coefficient);
}

static Solved solved_of(const SearchResult *result)
{
    return (Solved){.status = result->status,
                    .has_value = result->has_solution,
                    .has_bound = result->bound != SEARCH_PLUS_INFINITY && result->status != SEARCH_INFEASIBLE,
                    .value = result->value,
                    .bound = result->bound,
                    .pivots = result->statistics.pivots};
}

bool question_solve(Question *question, const SearchOptions *options, bool objective_is_fit, Answer *answer,
                    Solved *solved, Diags *diags)
{
    SearchResult result;
    search_run(question->search, options, &result);
    *solved = solved_of(&result);
    bool good = answer_take(question->ground->programme, options, &result, objective_is_fit, answer, diags);
    search_result_release(&result);
    return good;
}

bool ground_solve(const Ground *ground, const SearchOptions *options, Answer *answer, Solved *solved, Diags *diags)
{
    Question *question = question_new(ground, &ground->programme->problem);
    bool good = question_solve(question, options, true, answer, solved, diags);
    question_free(question);
    return good;
}
