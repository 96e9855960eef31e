/* search.c - a loaded programme: its changes, its runs, and what is kept from one to the next.
 *
 * Kept: the solutions of earlier runs (offered again: a changed limit often leaves one feasible). */
#include <string.h>

#include "base/memory.h"
#include "search/engine.h"
#include "search/strengthen.h"

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

static void run_once(Search *search, const SearchOptions *options, SearchResult *result)
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
    StrengthenCount strong = {0};
    if (options->engine == SEARCH_ENGINE_FAST)
        strengthen(&matrix, options, &strong);
    run_init(&run, search->problem, &matrix, options);
    run.statistics.pivots += strong.pivots;
    run.statistics.cuts += strong.cuts;
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

static bool within_gap(const SearchResult *result, int64_t gap_ppm)
{
    if (!result->has_solution || result->bound == SEARCH_PLUS_INFINITY)
        return false;
    const int128 size = result->value < 0 ? -(int128)result->value : result->value;
    return ((int128)result->bound - result->value) * 1000000 <= size * gap_ppm;
}

/* The first, eager part: no gap, little effort. True when it settled the matter; else what it found is in *start (owned) and *rest. */
static bool run_eagerly(Search *search, const SearchOptions *options, SearchResult *result, SearchOptions *rest, int64_t **start)
{
    SearchOptions eager = *options;
    const bool all = options->effort > 0 && options->effort <= options->eager;
    eager.gap_ppm = 0;
    eager.effort = all ? options->effort : options->eager;
    run_once(search, &eager, result);
    if (result->status != SEARCH_STOPPED)
        return true;
    if (within_gap(result, options->gap_ppm)) {
        result->status = SEARCH_WITHIN_GAP;
        return true;
    }
    if (all || (options->cancel && *options->cancel) || result->bound < options->target)
        return true;
    *rest = *options;
    if (rest->effort > 0)
        rest->effort -= result->statistics.pivots < rest->effort ? result->statistics.pivots : rest->effort - 1;
    if (result->bound < rest->known_bound)
        rest->known_bound = result->bound;
    if (result->has_solution) {
        *start = result->x;
        result->x = NULL;
        rest->start = *start;
    }
    return false;
}

void search_run(Search *search, const SearchOptions *options, SearchResult *result)
{
    SearchOptions rest;
    int64_t *start = NULL;
    if (options->eager <= 0 || options->gap_ppm <= 0) {
        run_once(search, options, result);
        return;
    }
    if (run_eagerly(search, options, result, &rest, &start))
        return;
    const SearchStatistics before = result->statistics;
    search_result_release(result);
    run_once(search, &rest, result);
    result->statistics.pivots += before.pivots;
    result->statistics.nodes += before.nodes;
    result->statistics.unsettled += before.unsettled;
    if (before.root_bound < result->statistics.root_bound)
        result->statistics.root_bound = before.root_bound;
    mem_free(start);
}

void search_result_release(SearchResult *result)
{
    mem_free(result->x);
    mem_free(result->row_dual);
    mem_free(result->reduced_cost);
    memset(result, 0, sizeof *result);
}
