/* oracle.c - questions to one loaded search: see oracle.h.
 *
 * Least loosening is a search of its own: the loosening column is the objective, the fit becomes a row (the
 * epsilon-constraint method: Y. Haimes, L. Lasdon, D. Wismer, IEEE Transactions on Systems, Man and Cybernetics 1(3),
 * 1971). */
#include "explain/oracle/oracle_inner.h"

#include <string.h>

#include "base/memory.h"

void probe_release(Probe *probe)
{
    mem_free(probe->x);
    *probe = (Probe){0};
}

Oracle *oracle_new(const SideProblem *sides, const ExplainOptions *options)
{
    const SearchProblem *p = &sides->problem;
    const size_t n = (size_t)p->columns, m = (size_t)p->rows;
    Oracle *oracle = mem_new(1, sizeof *oracle);
    oracle->sides = sides;
    oracle->options = *options;
    oracle->limit = options->probe;
    oracle->depth_first = ORACLE_MOST_DEPTH_FIRST;
    oracle->search = search_new(p);
    oracle->row_low = mem_copy(p->row_low, m, sizeof *oracle->row_low);
    oracle->row_high = mem_copy(p->row_high, m, sizeof *oracle->row_high);
    oracle->low = mem_copy(p->low, n, sizeof *oracle->low);
    oracle->high = mem_copy(p->high, n, sizeof *oracle->high);
    oracle->objective = mem_copy(p->objective, n, sizeof *oracle->objective);
    oracle->fit = mem_copy(sides->objective, n, sizeof *oracle->fit);
    oracle->dual = mem_new(m + 1, sizeof *oracle->dual);
    return oracle;
}

void oracle_free(Oracle *oracle)
{
    if (oracle == NULL)
        return;
    search_free(oracle->search);
    mem_free(oracle->row_low);
    mem_free(oracle->row_high);
    mem_free(oracle->low);
    mem_free(oracle->high);
    mem_free(oracle->objective);
    mem_free(oracle->fit);
    mem_free(oracle->dual);
    attain_free(oracle->attain);
    mem_free(oracle);
}

Oracle *oracle_beside(const Oracle *oracle, const SideProblem *sides)
{
    ExplainOptions options = oracle->options;
    options.probe = oracle->limit;
    if (options.effort > 0)
        options.effort = oracle->used < options.effort ? options.effort - oracle->used : 1;
    return oracle_new(sides, &options);
}

void oracle_return(Oracle *oracle, Oracle *beside)
{
    oracle->used += beside->used;
    oracle_free(beside);
}

const SideProblem *oracle_sides(const Oracle *oracle)
{
    return oracle->sides;
}

bool oracle_cancelled(const Oracle *oracle)
{
    return oracle->options.cancel != NULL && *oracle->options.cancel;
}

int64_t oracle_left(const Oracle *oracle)
{
    if (oracle_cancelled(oracle))
        return 0;
    if (oracle->options.effort == 0)
        return INT64_MAX;
    return oracle->used < oracle->options.effort ? oracle->options.effort - oracle->used : 0;
}

int64_t oracle_used(const Oracle *oracle)
{
    return oracle->used;
}

bool oracle_spent(const Oracle *oracle)
{
    return oracle_left(oracle) <= 0;
}

int64_t oracle_limit(Oracle *oracle, int64_t pivots)
{
    int64_t before = oracle->limit;
    oracle->limit = pivots;
    return before;
}

bool oracle_is_hard(const Oracle *oracle)
{
    return oracle->depth_first <= ORACLE_MOST_DEPTH_FIRST / 8;
}

OracleLimits oracle_allow(Oracle *oracle, int64_t more)
{
    const OracleLimits before = {oracle->options.effort, oracle->limit, more, oracle->used};
    if (more > 0 && before.effort > 0)
        oracle->options.effort = more + (oracle->used > before.effort ? oracle->used : before.effort);
    if (before.limit > 0 && before.limit < more / 10)
        oracle->limit = more / 10;
    return before;
}

void oracle_take_back(Oracle *oracle, OracleLimits before)
{
    const int64_t used = oracle->used - before.used;
    oracle->options.effort = before.effort > 0 ? before.effort + (used < before.more ? used : before.more) : 0;
    oracle->limit = before.limit;
}

void oracle_tell(const Oracle *oracle, const char *what, int done, int of)
{
    if (oracle->options.progress != NULL)
        oracle->options.progress(oracle->options.context, what, done, of);
}

/* --- state --- */

static void oracle_forget(Oracle *oracle)
{
    attain_free(oracle->attain);
    oracle->attain = NULL;
    oracle->current = false;
}

static void set_row(Oracle *oracle, int row, int64_t low, int64_t high)
{
    if (oracle->row_low[row] == low && oracle->row_high[row] == high)
        return;
    if (row != oracle->sides->objective_row && row != oracle->sides->weight_row)
        oracle_forget(oracle);
    oracle->row_low[row] = low;
    oracle->row_high[row] = high;
    search_set_row(oracle->search, row, low, high);
}

void oracle_column(Oracle *oracle, int column, int64_t low, int64_t high)
{
    if (oracle->low[column] == low && oracle->high[column] == high)
        return;
    oracle->current = false;
    oracle->low[column] = low;
    oracle->high[column] = high;
    search_set_column(oracle->search, column, low, high);
}

static void oracle_objective(Oracle *oracle, int column, int64_t value)
{
    if (oracle->objective[column] == value)
        return;
    oracle->objective[column] = value;
    search_set_objective(oracle->search, column, value);
}

void oracle_drop(Oracle *oracle, int side, bool dropped)
{
    const Side *s = &oracle->sides->side[side];
    const SearchProblem *p = &oracle->sides->problem;
    if (s->row < 0) {
        for (int i = 0; i < p->rows; i++)
            if (oracle->sides->limit[i] == s->limit)
                set_row(oracle, i, dropped ? SEARCH_MINUS_INFINITY : p->row_low[i],
                        dropped ? SEARCH_PLUS_INFINITY : p->row_high[i]);
        return;
    }
    int64_t low = oracle->row_low[s->row], high = oracle->row_high[s->row];
    if (s->low)
        low = dropped ? SEARCH_MINUS_INFINITY : p->row_low[s->row];
    else
        high = dropped ? SEARCH_PLUS_INFINITY : p->row_high[s->row];
    set_row(oracle, s->row, low, high);
}

void oracle_loosen(Oracle *oracle, int side, int64_t units)
{
    oracle_column(oracle, loosening_column(oracle->sides, side), 0, units);
}

void oracle_weigh(Oracle *oracle, int64_t most_weight)
{
    set_row(oracle, oracle->sides->weight_row, SEARCH_MINUS_INFINITY, most_weight);
}

void oracle_fit(Oracle *oracle, const int64_t *objective)
{
    const int64_t *from = objective != NULL ? objective : oracle->sides->objective;
    memcpy(oracle->fit, from, (size_t)oracle->sides->columns * sizeof *oracle->fit);
    oracle_forget(oracle);
}

int64_t oracle_value(const Oracle *oracle, const int64_t *x)
{
    int64_t value = 0;
    for (int j = 0; j < oracle->sides->columns; j++)
        value += oracle->fit[j] * x[j];
    return value;
}

/* --- runs --- */

SearchOptions oracle_search_options(const Oracle *oracle)
{
    SearchOptions options;
    search_options_default(&options);
    options.engine = oracle->options.engine;
    options.threads = oracle->options.threads > 0 ? oracle->options.threads : 1;
    options.cancel = oracle->options.cancel;
    int64_t left = oracle_left(oracle);
    int64_t effort = oracle->limit > 0 && oracle->limit < left ? oracle->limit : left;
    options.effort = effort == INT64_MAX ? 0 : effort > 0 ? effort : 1;
    return options;
}

void oracle_count(Oracle *oracle, const SearchResult *result)
{
    oracle->used += result->statistics.pivots + 1;
}

static void oracle_ask_fit(Oracle *oracle)
{
    for (int j = 0; j < oracle->sides->problem.columns; j++)
        oracle_objective(oracle, j, j < oracle->sides->columns ? oracle->fit[j] : 0);
}

static void oracle_run(Oracle *oracle, const SearchOptions *options, Probe *probe)
{
    *probe = (Probe){.status = PROBE_UNKNOWN, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    if (oracle_spent(oracle))
        return;
    SearchResult result;
    search_run(oracle->search, options, &result);
    oracle_count(oracle, &result);
    if (result.status == SEARCH_INFEASIBLE) {
        probe->status = PROBE_NONE;
        probe->high = SEARCH_MINUS_INFINITY;
    } else if (result.status != SEARCH_FAILED) {
        probe->high = result.bound;
        if (result.has_solution) {
            probe->low = result.value;
            probe->status = result.bound <= result.value ? PROBE_SOLVED : PROBE_RANGE;
            probe->x = result.x;
            result.x = NULL;
        }
    }
    search_result_release(&result);
}

void probe_target(Oracle *oracle, const int64_t *start, int64_t known, int64_t target, bool first, Probe *probe)
{
    oracle_ask_fit(oracle);
    SearchOptions options = oracle_search_options(oracle);
    options.start = start;
    options.known_bound = known;
    options.target = target;
    options.first = first;
    oracle_run(oracle, &options, probe);
}

void probe_best(Oracle *oracle, const int64_t *start, int64_t known, int64_t target, Probe *probe)
{
    probe_target(oracle, start, known, target, false, probe);
}

/* From the greatest value of minus something to the least of that something. */
static void probe_swap(Probe *probe)
{
    int64_t low = probe->high == SEARCH_PLUS_INFINITY || probe->high == SEARCH_MINUS_INFINITY ? 0 : -probe->high;
    probe->high = probe->low == SEARCH_MINUS_INFINITY ? SEARCH_PLUS_INFINITY : -probe->low;
    probe->low = low < 0 ? 0 : low;
}

void probe_lightest(Oracle *oracle, Probe *probe)
{
    for (int j = 0; j < oracle->sides->problem.columns; j++)
        oracle_objective(oracle, j,
                         j < oracle->sides->columns ? 0 : -oracle->sides->side[j - oracle->sides->columns].weight);
    SearchOptions options = oracle_search_options(oracle);
    oracle_run(oracle, &options, probe);
    probe_swap(probe);
}

void probe_any(Oracle *oracle, Probe *probe)
{
    for (int j = 0; j < oracle->sides->problem.columns; j++)
        oracle_objective(oracle, j,
                         j < oracle->sides->columns ? 0 : -oracle->sides->side[j - oracle->sides->columns].weight);
    SearchOptions options = oracle_search_options(oracle);
    options.first = true;
    oracle_run(oracle, &options, probe);
}
