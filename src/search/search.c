/* search.c - a loaded programme: its changes, its runs, and what is kept from one to the next.
 *
 * Kept: the solutions of earlier runs (offered again: a changed limit often leaves one feasible). */
#include <string.h>

#include "base/memory.h"
#include "search/engine.h"
#include "search/substitute.h"

struct Search {
    SearchProblem *problem;
    int64_t *kept; /* the last run's solution */
    bool has_kept;
};

void search_options_default(SearchOptions *options)
{
    *options = (SearchOptions){.engine = SEARCH_ENGINE_FAST,
                               .threads = 1,
                               .known_bound = SEARCH_PLUS_INFINITY,
                               .target = SEARCH_MINUS_INFINITY};
}

Search *search_new(const SearchProblem *problem)
{
    Search *search = mem_new(1, sizeof *search);
    search->problem = problem_copy(problem);
    search->kept = mem_new((size_t)problem->columns + 1, sizeof *search->kept);
    return search;
}

void search_free(Search *search)
{
    if (!search)
        return;
    problem_free(search->problem);
    mem_free(search->kept);
    mem_free(search);
}

void search_set_row(Search *search, int row, int64_t low, int64_t high)
{
    search->problem->row_low[row] = low;
    search->problem->row_high[row] = high;
}

void search_set_column(Search *search, int column, int64_t low, int64_t high)
{
    search->problem->low[column] = low;
    search->problem->high[column] = high;
}

void search_set_objective(Search *search, int column, int64_t coefficient) { search->problem->objective[column] = coefficient; }

/* Runs a problem of which `kept`, if there, is a solution. */
static void run_problem(const SearchProblem *problem, const SearchOptions *options, const int64_t *kept, SearchResult *result)
{
    Matrix matrix;
    Run run;
    matrix_init(&matrix, problem);
    run_init(&run, problem, &matrix, options);
    if (kept)
        run_offer(&run, kept);
    if (!run_over(&run) && options->engine == SEARCH_ENGINE_REFERENCE)
        reference_run(&run);
    else if (!run_over(&run))
        fast_run(&run);
    run_finish(&run, result);
    run_release(&run);
    matrix_release(&matrix);
}

/* The fast engine works on the problem with sums put in for columns; points are taken there and back. */
static void run_substituted(const SearchProblem *problem, const SearchProblem *other, const int *by_row, const SearchOptions *options, const int64_t *kept,
                            SearchResult *result)
{
    const size_t n = (size_t)problem->columns;
    SearchOptions own = *options;
    int64_t *start = mem_new(n + 1, sizeof *start), *from = mem_new(n + 1, sizeof *from), value = 0;
    own.start = NULL;
    if (options->start && search_feasible(problem, options->start, &value)) {
        memcpy(start, options->start, n * sizeof *start);
        substitute_into(problem, by_row, start);
        own.start = start;
    }
    const bool useful = kept && search_feasible(problem, kept, &value);
    if (useful) {
        memcpy(from, kept, n * sizeof *from);
        substitute_into(problem, by_row, from);
    }
    run_problem(other, &own, useful ? from : NULL, result);
    if (result->has_solution)
        substitute_back(problem, by_row, result->x);
    mem_free(start);
    mem_free(from);
}

void search_run(Search *search, const SearchOptions *options, SearchResult *result)
{
    const SearchProblem *problem = search->problem;
    const char *trouble = search_problem_trouble(problem);
    memset(result, 0, sizeof *result);
    if (trouble) {
        *result = (SearchResult){.status = SEARCH_FAILED, .value = SEARCH_MINUS_INFINITY, .bound = SEARCH_PLUS_INFINITY, .why_failed = trouble};
        return;
    }
    const int64_t *kept = search->has_kept ? search->kept : NULL;
    int *by_row = mem_new((size_t)problem->columns + 1, sizeof *by_row);
    SearchProblem *other = options->engine == SEARCH_ENGINE_FAST ? substitute(problem, by_row) : NULL;
    if (other && !search_problem_trouble(other))
        run_substituted(problem, other, by_row, options, kept, result);
    else
        run_problem(problem, options, kept, result);
    if (result->has_solution) {
        memcpy(search->kept, result->x, (size_t)problem->columns * sizeof *search->kept);
        search->has_kept = true;
    }
    problem_free(other);
    mem_free(by_row);
}

void search_result_release(SearchResult *result)
{
    mem_free(result->x);
    mem_free(result->row_dual);
    mem_free(result->reduced_cost);
    memset(result, 0, sizeof *result);
}
