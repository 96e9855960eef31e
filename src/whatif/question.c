/* question.c - a loaded search; or, under price risk, a programme with further columns and rows for protected_run,
 * which wants to know what each column is. */
#include "whatif/question.h"

#include <string.h>

#include "base/memory.h"
#include "programme/protect.h"
#include "search/matrix.h"

struct Question {
    const Ground *ground;
    SearchProblem *problem;
    Search *search; /* NULL: under price risk */
    Programme wide; /* under price risk: instance, problem and columns; the rows are no business of protect.h's */
};

Question *question_new(const Ground *ground, const SearchProblem *problem)
{
    const Programme *programme = ground->programme;
    Question *q = mem_new(1, sizeof *q);
    *q = (Question){.ground = ground, .problem = problem_copy(problem)};
    if (!programme_at_risk(programme)) {
        q->search = search_new(problem);
        return q;
    }
    q->wide = (Programme){.instance = programme->instance,
                          .column = mem_new((size_t)problem->columns + 1, sizeof *q->wide.column)};
    memcpy(q->wide.column, programme->column, (size_t)programme->problem.columns * sizeof *q->wide.column);
    for (int j = programme->problem.columns; j < problem->columns; j++)
        q->wide.column[j] = (ProgrammeColumn){.role = COLUMN_MISSED, .card = -1, .member = -1, .form = -1, .theme = -1};
    return q;
}

void question_free(Question *question)
{
    if (question == NULL)
        return;
    search_free(question->search);
    problem_free(question->problem);
    mem_free(question->wide.column);
    mem_free(question);
}

void question_row(Question *question, int row, int64_t low, int64_t high)
{
    question->problem->row_low[row] = low;
    question->problem->row_high[row] = high;
    if (question->search != NULL)
        search_set_row(question->search, row, low, high);
}

void question_column(Question *question, int column, int64_t low, int64_t high)
{
    question->problem->low[column] = low;
    question->problem->high[column] = high;
    if (question->search != NULL)
        search_set_column(question->search, column, low, high);
}

void question_objective(Question *question, int column, int64_t coefficient)
{
    question->problem->objective[column] = coefficient;
    if (question->search != NULL)
        search_set_objective(question->search, column, coefficient);
}

/* protected_run may end before it comes to the solution it was given: that one counts too, if it is a pool that keeps
 * every rule; and where it is as good, it stays. */
static void offer_start(const Question *q, const SearchOptions *options, SearchResult *result)
{
    int64_t value;
    PoolCheck check;
    if (options->start == NULL || result->status == SEARCH_FAILED ||
        !search_feasible(q->problem, options->start, &value) || (result->has_solution && result->value > value))
        return;
    int *copies = mem_new(q->ground->instance->cards->count, sizeof *copies);
    programme_copies(q->ground->programme, options->start, copies);
    pool_check(q->ground->instance, copies, &check);
    if (check.kept) {
        if (result->x == NULL)
            result->x = mem_new((size_t)q->problem->columns + 1, sizeof *result->x);
        memcpy(result->x, options->start, (size_t)q->problem->columns * sizeof *result->x);
        result->value = value;
        result->has_solution = true;
    }
    pool_check_release(&check);
    mem_free(copies);
}

static void run(Question *q, const SearchOptions *options, SearchResult *result)
{
    if (q->search != NULL) {
        search_run(q->search, options, result);
        return;
    }
    q->wide.problem = *q->problem;
    protected_run(&q->wide, options, result, NULL);
    offer_start(q, options, result);
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
    run(question, options, &result);
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
