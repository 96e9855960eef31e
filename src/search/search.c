/* search.c - a loaded programme: its changes, its runs, and what is kept from one to the next.
 *
 * Kept: the solutions of earlier runs (offered again: a changed limit often leaves one feasible). */
#include <string.h>

#include "base/memory.h"
#include "search/engine.h"

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

void search_run(Search *search, const SearchOptions *options, SearchResult *result)
{
    Matrix matrix;
    Run run;
    memset(result, 0, sizeof *result);
    const char *trouble = search_problem_trouble(search->problem);
    if (trouble) {
        *result = (SearchResult){.status = SEARCH_FAILED, .value = SEARCH_MINUS_INFINITY, .bound = SEARCH_PLUS_INFINITY, .why_failed = trouble};
        return;
    }
    matrix_init(&matrix, search->problem);
    run_init(&run, search->problem, &matrix, options);
    if (search->has_kept)
        run_offer(&run, search->kept);
    if (!run_over(&run) && options->engine == SEARCH_ENGINE_REFERENCE)
        reference_run(&run);
    else if (!run_over(&run))
        fast_run(&run);
    if (run.has_solution) {
        memcpy(search->kept, run.x, (size_t)search->problem->columns * sizeof *search->kept);
        search->has_kept = true;
    }
    run_finish(&run, result);
    run_release(&run);
    matrix_release(&matrix);
}

void search_result_release(SearchResult *result)
{
    mem_free(result->x);
    mem_free(result->row_dual);
    mem_free(result->reduced_cost);
    memset(result, 0, sizeof *result);
}
