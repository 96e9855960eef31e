/* run.c - the book-keeping of one search: incumbent, bound, and when to stop. */
#include <string.h>

#include "base/memory.h"
#include "search/risk/protection.h"
#include "search/run.h"

#define PPM 1000000

static void begin_from_warm(Run *run)
{
    const int64_t bound = warm_bound(run->warm, run->problem);
    if (bound == SEARCH_MINUS_INFINITY) {
        run->empty = true;
        return;
    }
    run_lower_bound(run, bound);
    int64_t *x = mem_new((size_t)run->problem->columns + 1, sizeof *x);
    if (warm_best(run->warm, run->problem, x))
        run_offer(run, x);
    mem_free(x);
}

void run_init(Run *run, const SearchProblem *problem, Warm *warm, const SearchOptions *options)
{
    const size_t n = (size_t)problem->columns, m = (size_t)problem->rows;
    memset(run, 0, sizeof *run);
    run->problem = problem;
    run->matrix = &warm->matrix;
    run->warm = warm;
    run->options = options;
    run->low = mem_new(n + 1, sizeof *run->low);
    run->high = mem_new(n + 1, sizeof *run->high);
    run->x = mem_new(n + 1, sizeof *run->x);
    run->row_dual = mem_new(m + 1, sizeof *run->row_dual);
    run->reduced_cost = mem_new(n + 1, sizeof *run->reduced_cost);
    memcpy(run->low, problem->low, n * sizeof *run->low);
    memcpy(run->high, problem->high, n * sizeof *run->high);
    protections_fix_thresholds(problem->protections, run->low, run->high);
    run->value = SEARCH_MINUS_INFINITY;
    run->bound = SEARCH_PLUS_INFINITY;
    run->statistics.root_bound = SEARCH_PLUS_INFINITY;
    run->statistics.grain = problem_grain(problem);
    for (size_t j = 0; j < n; j++)
        if (problem->low[j] > problem->high[j])
            run->empty = true;
    if (run->empty)
        return;
    run->grain = matrix_grain(run->matrix, problem->low, problem->high);
    int64_t most = 0;
    for (size_t j = 0; j < n; j++)
        most += problem->objective[j] * (problem->objective[j] > 0 ? problem->high[j] : problem->low[j]);
    run_lower_bound(run, most);
    run_lower_bound(run, options->known_bound);
    if (options->start)
        run_offer(run, options->start);
    begin_from_warm(run);
}

void run_init_equals(Run *run, const SearchProblem *problem, Warm *warm, const SearchOptions *options,
                     EqualPoints *equals)
{
    run_init(run, problem, warm, options);
    run_offer(run, equals->point[0]);
    run->equals = equals;
}

void run_init_least(Run *run, const SearchProblem *problem, Warm *warm, const SearchOptions *options,
                    LeastPoints *least)
{
    run_init(run, problem, warm, options);
    run->least = least;
    if (!run->has_solution || run->value < least->target)
        return;
    run->has_solution = false;
    run->value = SEARCH_MINUS_INFINITY;
    run_offer(run, run->x);
}

void run_release(Run *run)
{
    proof_tree_release(&run->tree);
    proof_tree_release(&run->chain);
    mem_free(run->low);
    mem_free(run->high);
    mem_free(run->x);
    mem_free(run->row_dual);
    mem_free(run->reduced_cost);
}

bool run_offer(Run *run, const int64_t *x)
{
    int64_t value = 0;
    if (!search_feasible(run->problem, x, &value))
        return false;
    if (run->least != NULL && value >= run->least->target) {
        const bool better = least_points_take(run->least, run->problem, x);
        if (better && run->has_solution)
            memcpy(run->x, x, (size_t)run->problem->columns * sizeof *x);
        return better;
    }
    if (run->equals != NULL && value == run->value)
        equal_points_take(run->equals, run->problem, x);
    if (run->has_solution && value <= run->value)
        return false;
    if (run->equals != NULL)
        equal_points_restart(run->equals, run->problem, x);
    memcpy(run->x, x, (size_t)run->problem->columns * sizeof *x);
    search_settle(run->problem, run->x);
    run->has_solution = true;
    run->value = value;
    return true;
}

void run_lower_bound(Run *run, int64_t bound)
{
    const int64_t rounded = bound == SEARCH_PLUS_INFINITY ? bound : grain_floor(run->grain, bound);
    run->bound = rounded < run->bound ? rounded : run->bound;
}

int64_t run_wanted(const Run *run)
{
    const int64_t target = run->options->target, least = target == SEARCH_MINUS_INFINITY ? target + 1 : target;
    if (!run->has_solution)
        return least;
    const int64_t better = run->value + (run->equals != NULL ? 0 : run->grain.step > 0 ? run->grain.step : 1);
    return better > least ? better : least;
}

void run_close(Run *run)
{
    const int64_t target = run->options->target;
    if (target == SEARCH_MINUS_INFINITY || (run->has_solution && run_wanted(run) > target))
        run->empty = true;
    else
        run_lower_bound(run, run->has_solution && run->value > target - 1 ? run->value : target - 1);
}

void run_open_bound(Run *run, int64_t open)
{
    const int64_t wanted = run_wanted(run),
                  least = wanted == SEARCH_MINUS_INFINITY + 1 ? SEARCH_MINUS_INFINITY : wanted - 1;
    if (open == SEARCH_MINUS_INFINITY)
        run_close(run);
    else
        run_lower_bound(run, open > least ? open : least);
}

/* The greatest bound that is within the gap. */
static int64_t gap_end(const Run *run)
{
    const int128 size = run->value < 0 ? -(int128)run->value : run->value;
    const int128 enough = run->value + size * run->options->gap_ppm / PPM;
    return enough >= SEARCH_PLUS_INFINITY ? SEARCH_PLUS_INFINITY - 1 : (int64_t)enough;
}

int64_t run_enough(const Run *run)
{
    if (!run->has_solution)
        return SEARCH_MINUS_INFINITY;
    if (run->equals != NULL)
        return run->value - 1;
    return run->statistics.pivots < run->options->eager ? run->value : gap_end(run);
}

bool search_cancelled(const SearchOptions *options)
{
    return options->cancel && *options->cancel != 0;
}

bool run_cancelled(const Run *run)
{
    return search_cancelled(run->options);
}

bool run_out_of_effort(const Run *run)
{
    return run->options->effort > 0 && run->statistics.pivots >= run->options->effort;
}

bool run_over(const Run *run)
{
    if (run->empty || run->failure || run_cancelled(run) || run_out_of_effort(run))
        return true;
    if (run->equals != NULL && (run->equals->fewer || run->equals->too_many))
        return true;
    if (run->least != NULL && least_points_done(run->least))
        return true;
    if (run->has_solution && run->bound <= run_enough(run))
        return true;
    const int64_t target = run->options->target;
    if (run->options->first && run->has_solution && run->value >= target)
        return true;
    return target != SEARCH_MINUS_INFINITY && run->bound < target;
}

bool run_asks_any(const Run *run)
{
    return run->options->first && run->options->target == SEARCH_MINUS_INFINITY;
}

void run_progress(const Run *run)
{
    if (!run->options->progress)
        return;
    const SearchProgress now = {
        .value = run->value, .bound = run->bound, .pivots = run->statistics.pivots, .nodes = run->statistics.nodes};
    run->options->progress(run->options->context, &now);
}

static SearchStatus status_of(const Run *run)
{
    if (run->failure)
        return SEARCH_FAILED;
    if (!run->has_solution)
        return run->empty ? SEARCH_INFEASIBLE : SEARCH_STOPPED;
    if (run->empty || run->bound <= run->value)
        return SEARCH_BEST;
    return run->bound <= gap_end(run) ? SEARCH_WITHIN_GAP : SEARCH_STOPPED;
}

void run_finish(Run *run, SearchResult *result)
{
    memset(result, 0, sizeof *result);
    result->status = status_of(run);
    result->has_solution = run->has_solution;
    result->value = run->has_solution ? run->value : SEARCH_MINUS_INFINITY;
    result->bound = run->bound;
    if (result->status == SEARCH_BEST)
        result->bound = run->value;
    if (result->status == SEARCH_INFEASIBLE)
        result->bound = SEARCH_MINUS_INFINITY;
    result->statistics = run->statistics;
    result->why_failed = run->failure;
    result->x = run->x;
    result->row_dual = run->row_dual;
    result->reduced_cost = run->reduced_cost;
    run->x = NULL;
    run->row_dual = run->reduced_cost = NULL;
}
