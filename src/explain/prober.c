/* prober.c - questions to one loaded search: see prober.h.
 *
 * Least loosening is a search of its own: the loosening column is the objective, the fit becomes a row (the
 * epsilon-constraint method: Y. Haimes, L. Lasdon, D. Wismer, IEEE Transactions on Systems, Man and Cybernetics 1(3),
 * 1971). */
#include "explain/prober_inner.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

void probe_release(Probe *probe)
{
    mem_free(probe->x);
    *probe = (Probe){0};
}

Prober *prober_new(const SideProblem *sides, const ExplainOptions *options)
{
    const SearchProblem *p = &sides->problem;
    size_t n = (size_t)p->columns + 1, m = (size_t)p->rows + 1;
    Prober *prober = mem_new(1, sizeof *prober);
    prober->sides = sides;
    prober->options = *options;
    prober->limit = options->probe;
    prober->search = search_new(p);
    prober->row_low = mem_new(m, sizeof *prober->row_low);
    prober->row_high = mem_new(m, sizeof *prober->row_high);
    prober->low = mem_new(n, sizeof *prober->low);
    prober->high = mem_new(n, sizeof *prober->high);
    prober->objective = mem_new(n, sizeof *prober->objective);
    prober->fit = mem_new(n, sizeof *prober->fit);
    prober->dual = mem_new(m, sizeof *prober->dual);
    memcpy(prober->row_low, p->row_low, (size_t)p->rows * sizeof *prober->row_low);
    memcpy(prober->row_high, p->row_high, (size_t)p->rows * sizeof *prober->row_high);
    memcpy(prober->low, p->low, (size_t)p->columns * sizeof *prober->low);
    memcpy(prober->high, p->high, (size_t)p->columns * sizeof *prober->high);
    memcpy(prober->objective, p->objective, (size_t)p->columns * sizeof *prober->objective);
    memcpy(prober->fit, sides->objective, (size_t)p->columns * sizeof *prober->fit);
    return prober;
}

void prober_free(Prober *prober)
{
    if (prober == NULL)
        return;
    search_free(prober->search);
    mem_free(prober->row_low);
    mem_free(prober->row_high);
    mem_free(prober->low);
    mem_free(prober->high);
    mem_free(prober->objective);
    mem_free(prober->fit);
    mem_free(prober->dual);
    attain_free(prober->attain);
    mem_free(prober);
}

Prober *prober_beside(const Prober *prober, const SideProblem *sides)
{
    ExplainOptions options = prober->options;
    options.probe = prober->limit;
    if (options.effort > 0)
        options.effort = prober->used < options.effort ? options.effort - prober->used : 1;
    return prober_new(sides, &options);
}

void prober_return(Prober *prober, Prober *beside)
{
    prober->used += beside->used;
    prober_free(beside);
}

const SideProblem *prober_sides(const Prober *prober)
{
    return prober->sides;
}

int64_t prober_left(const Prober *prober)
{
    if (prober->options.cancel != NULL && *prober->options.cancel)
        return 0;
    if (prober->options.effort == 0)
        return INT64_MAX;
    return prober->used < prober->options.effort ? prober->options.effort - prober->used : 0;
}

int64_t prober_used(const Prober *prober)
{
    return prober->used;
}

bool prober_spent(const Prober *prober)
{
    return prober_left(prober) <= 0;
}

int64_t prober_limit(Prober *prober, int64_t pivots)
{
    int64_t before = prober->limit;
    prober->limit = pivots;
    return before;
}

void prober_tell(const Prober *prober, const char *what, int done, int of)
{
    if (prober->options.progress != NULL)
        prober->options.progress(prober->options.context, what, done, of);
}

/* --- state --- */

static void prober_forget(Prober *prober)
{
    attain_free(prober->attain);
    prober->attain = NULL;
    prober->current = false;
}

static void set_row(Prober *prober, int row, int64_t low, int64_t high)
{
    if (prober->row_low[row] == low && prober->row_high[row] == high)
        return;
    if (row != prober->sides->objective_row && row != prober->sides->weight_row)
        prober_forget(prober);
    prober->row_low[row] = low;
    prober->row_high[row] = high;
    search_set_row(prober->search, row, low, high);
}

void prober_column(Prober *prober, int column, int64_t low, int64_t high)
{
    if (prober->low[column] == low && prober->high[column] == high)
        return;
    prober->current = false;
    prober->low[column] = low;
    prober->high[column] = high;
    search_set_column(prober->search, column, low, high);
}

static void prober_objective(Prober *prober, int column, int64_t value)
{
    if (prober->objective[column] == value)
        return;
    prober->objective[column] = value;
    search_set_objective(prober->search, column, value);
}

void prober_drop(Prober *prober, int side, bool dropped)
{
    const Side *s = &prober->sides->side[side];
    const SearchProblem *p = &prober->sides->problem;
    if (s->row < 0) {
        for (int i = 0; i < p->rows; i++)
            if (prober->sides->limit[i] == s->limit)
                set_row(prober, i, dropped ? SEARCH_MINUS_INFINITY : p->row_low[i],
                        dropped ? SEARCH_PLUS_INFINITY : p->row_high[i]);
        return;
    }
    int64_t low = prober->row_low[s->row], high = prober->row_high[s->row];
    if (s->low)
        low = dropped ? SEARCH_MINUS_INFINITY : p->row_low[s->row];
    else
        high = dropped ? SEARCH_PLUS_INFINITY : p->row_high[s->row];
    set_row(prober, s->row, low, high);
}

void prober_loosen(Prober *prober, int side, int64_t units)
{
    prober_column(prober, loosening_column(prober->sides, side), 0, units);
}

void prober_weigh(Prober *prober, int64_t most_weight)
{
    set_row(prober, prober->sides->weight_row, SEARCH_MINUS_INFINITY, most_weight);
}

void prober_fit(Prober *prober, const int64_t *objective)
{
    const int64_t *from = objective != NULL ? objective : prober->sides->objective;
    memcpy(prober->fit, from, (size_t)prober->sides->columns * sizeof *prober->fit);
    prober_forget(prober);
}

int64_t prober_value(const Prober *prober, const int64_t *x)
{
    int64_t value = 0;
    for (int j = 0; j < prober->sides->columns; j++)
        value += prober->fit[j] * x[j];
    return value;
}

/* --- runs --- */

SearchOptions prober_search_options(const Prober *prober)
{
    SearchOptions options;
    search_options_default(&options);
    options.engine = prober->options.engine;
    options.threads = prober->options.threads > 0 ? prober->options.threads : 1;
    options.cancel = prober->options.cancel;
    int64_t left = prober_left(prober);
    int64_t effort = prober->limit > 0 && prober->limit < left ? prober->limit : left;
    options.effort = effort == INT64_MAX ? 0 : effort > 0 ? effort : 1;
    return options;
}

void prober_count(Prober *prober, const SearchResult *result)
{
    prober->used += result->statistics.pivots + 1;
}

static void prober_ask_fit(Prober *prober)
{
    for (int j = 0; j < prober->sides->problem.columns; j++)
        prober_objective(prober, j, j < prober->sides->columns ? prober->fit[j] : 0);
}

static void prober_run(Prober *prober, const SearchOptions *options, Probe *probe)
{
    *probe = (Probe){.status = PROBE_UNKNOWN, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    if (prober_spent(prober))
        return;
    SearchResult result;
    search_run(prober->search, options, &result);
    prober_count(prober, &result);
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

void probe_best(Prober *prober, const int64_t *start, int64_t known, int64_t target, Probe *probe)
{
    prober_ask_fit(prober);
    SearchOptions options = prober_search_options(prober);
    options.start = start;
    options.known_bound = known;
    options.target = target;
    prober_run(prober, &options, probe);
}

/* From the greatest value of minus something to the least of that something. */
static void probe_swap(Probe *probe)
{
    int64_t low = probe->high == SEARCH_PLUS_INFINITY || probe->high == SEARCH_MINUS_INFINITY ? 0 : -probe->high;
    probe->high = probe->low == SEARCH_MINUS_INFINITY ? SEARCH_PLUS_INFINITY : -probe->low;
    probe->low = low < 0 ? 0 : low;
}

void probe_lightest(Prober *prober, Probe *probe)
{
    for (int j = 0; j < prober->sides->problem.columns; j++)
        prober_objective(prober, j,
                         j < prober->sides->columns ? 0 : -prober->sides->side[j - prober->sides->columns].weight);
    SearchOptions options = prober_search_options(prober);
    prober_run(prober, &options, probe);
    probe_swap(probe);
}

void probe_any(Prober *prober, Probe *probe)
{
    for (int j = 0; j < prober->sides->problem.columns; j++)
        prober_objective(prober, j, 0);
    SearchOptions options = prober_search_options(prober);
    prober_run(prober, &options, probe);
}
