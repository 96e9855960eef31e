/* prober.c - questions to one loaded search: see prober.h.
 *
 * Least loosening is a search of its own: the loosening column is the objective, the fit becomes a row (the epsilon-constraint method: Y. Haimes,
 * L. Lasdon, D. Wismer, IEEE Transactions on Systems, Man and Cybernetics 1(3), 1971). */
#include "explain/prober.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

struct Prober {
    const SideProblem *sides;
    ExplainOptions options;
    Search *search;
    int64_t used, limit;
    int64_t *row_low, *row_high;     /* what is loaded now */
    int64_t *low, *high, *objective;
    int64_t *fit;                    /* [programme columns] coefficients asked about */
    double *dual;                    /* [rows] */
    int64_t *implied_low, *implied_high; /* [columns] bounds that the present state implies, while implied holds */
    bool implied;
    bool relaxing;                   /* this run's multipliers are wanted */
};

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
    prober->implied_low = mem_new(n, sizeof *prober->implied_low);
    prober->implied_high = mem_new(n, sizeof *prober->implied_high);
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
    mem_free(prober->implied_low);
    mem_free(prober->implied_high);
    mem_free(prober);
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

static void set_row(Prober *prober, int row, int64_t low, int64_t high)
{
    if (prober->row_low[row] == low && prober->row_high[row] == high)
        return;
    prober->implied = false;
    prober->row_low[row] = low;
    prober->row_high[row] = high;
    search_set_row(prober->search, row, low, high);
}

void prober_column(Prober *prober, int column, int64_t low, int64_t high)
{
    if (prober->low[column] == low && prober->high[column] == high)
        return;
    prober->implied = false;
    prober->low[column] = low;
    prober->high[column] = high;
    search_set_column(prober->search, column, low, high);
}

static void set_objective(Prober *prober, int column, int64_t value)
{
    if (prober->objective[column] == value)
        return;
    prober->objective[column] = value;
    search_set_objective(prober->search, column, value);
}

void prober_reset(Prober *prober)
{
    const SearchProblem *p = &prober->sides->problem;
    for (int i = 0; i < p->rows; i++)
        set_row(prober, i, p->row_low[i], p->row_high[i]);
    for (int j = 0; j < p->columns; j++)
        prober_column(prober, j, p->low[j], p->high[j]);
}

void prober_drop(Prober *prober, int side, bool dropped)
{
    const Side *s = &prober->sides->side[side];
    const SearchProblem *p = &prober->sides->problem;
    if (s->of == SIDE_FORM) {
        for (int i = 0; i < p->rows; i++)
            if (prober->sides->form[i] == s->form)
                set_row(prober, i, dropped ? SEARCH_MINUS_INFINITY : p->row_low[i], dropped ? SEARCH_PLUS_INFINITY : p->row_high[i]);
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

void prober_need(Prober *prober, int64_t least_fit)
{
    set_row(prober, prober->sides->objective_row, least_fit, SEARCH_PLUS_INFINITY);
}

void prober_weigh(Prober *prober, int64_t most_weight)
{
    set_row(prober, prober->sides->weight_row, SEARCH_MINUS_INFINITY, most_weight);
}

void prober_fit(Prober *prober, const int64_t *objective)
{
    const int64_t *from = objective != NULL ? objective : prober->sides->objective;
    memcpy(prober->fit, from, (size_t)prober->sides->columns * sizeof *prober->fit);
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

static void ask_fit(Prober *prober)
{
    for (int j = 0; j < prober->sides->problem.columns; j++)
        set_objective(prober, j, j < prober->sides->columns ? prober->fit[j] : 0);
}

static void run(Prober *prober, SearchOptions *options, Probe *probe)
{
    *probe = (Probe){.status = PROBE_UNKNOWN, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    if (prober_spent(prober))
        return;
    SearchResult result;
    search_run(prober->search, options, &result);
    prober_count(prober, &result);
    if (prober->relaxing && result.row_dual != NULL && result.statistics.root_bound != SEARCH_PLUS_INFINITY)
        memcpy(prober->dual, result.row_dual, (size_t)prober->sides->problem.rows * sizeof *prober->dual);
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
    ask_fit(prober);
    SearchOptions options = prober_search_options(prober);
    options.start = start;
    options.known_bound = known;
    options.target = target;
    run(prober, &options, probe);
}

const double *prober_duals(const Prober *prober)
{
    return prober->dual;
}

/* What is loaded now, as a problem that shares the matrix. */
static SearchProblem loaded(const Prober *prober)
{
    SearchProblem p = prober->sides->problem;
    p.row_low = prober->row_low;
    p.row_high = prober->row_high;
    p.low = prober->low;
    p.high = prober->high;
    p.objective = prober->fit;
    return p;
}

int64_t prober_bound_loosened(const Prober *prober, int side, int64_t units)
{
    SearchProblem p = loaded(prober);
    int column = loosening_column(prober->sides, side);
    int64_t before = prober->high[column];
    prober->high[column] = units;
    int64_t bound = search_exact_bound(&p, prober->dual, 1);
    prober->high[column] = before;
    return bound;
}

int64_t prober_bound_column(const Prober *prober, int column, int64_t low, int64_t high)
{
    SearchProblem p = loaded(prober);
    int64_t *lows = prober->implied ? prober->implied_low : prober->low, *highs = prober->implied ? prober->implied_high : prober->high;
    int64_t before_low = lows[column], before_high = highs[column];
    p.low = lows;
    p.high = highs;
    if (low > before_high || high < before_low)
        return SEARCH_MINUS_INFINITY; /* the present state excludes it */
    lows[column] = low > before_low ? low : before_low;
    highs[column] = high < before_high ? high : before_high;
    int64_t bound = search_exact_bound(&p, prober->dual, 1);
    lows[column] = before_low;
    highs[column] = before_high;
    return bound;
}

#define RELAX_PIVOTS 1200
#define RELAX_GAP 20000 /* parts per million: what follows the relaxation is not wanted */

#define IMPLIED_TRIES 24
#define IMPLIED_PIVOTS 20

typedef struct {
    int column;
    double excess; /* what the multipliers lose at this column against a solution */
} Excess;

static int by_excess(const void *a, const void *b)
{
    const Excess *x = a, *y = b;
    if (x->excess != y->excess)
        return x->excess > y->excess ? -1 : 1;
    return x->column - y->column;
}

/* The value of x in the column cannot be left: proven by forcing that. */
static bool is_stuck(Prober *prober, int column, int64_t x)
{
    int64_t low = prober->low[column], high = prober->high[column], before = prober_limit(prober, IMPLIED_PIVOTS);
    prober_column(prober, column, low == x ? x + 1 : low, low == x ? high : x - 1);
    Probe probe;
    probe_any(prober, &probe);
    bool stuck = probe.status == PROBE_NONE;
    probe_release(&probe);
    prober_column(prober, column, low, high);
    prober_limit(prober, before);
    return stuck;
}

/* Columns at which the multipliers lose much are often fixed by the rows (a card that others need, the last of its kind): the search's
 * relaxation knew that, an evaluation from multipliers does not. */
static void find_implied(Prober *prober, const int64_t *x)
{
    const SearchProblem *p = &prober->sides->problem;
    Excess *excess = mem_new((size_t)prober->sides->columns + 1, sizeof *excess);
    int count = 0;
    for (int j = 0; x != NULL && j < prober->sides->columns; j++) {
        double d = (double)prober->fit[j];
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            d -= prober->dual[p->row[k]] * (double)p->value[k];
        double at = d * (double)x[j], best = d * (double)(d > 0 ? prober->high[j] : prober->low[j]);
        bool at_end = x[j] == prober->low[j] || x[j] == prober->high[j];
        if (best - at > 1 && at_end && prober->low[j] < prober->high[j])
            excess[count++] = (Excess){j, best - at};
    }
    qsort(excess, (size_t)count, sizeof *excess, by_excess);
    size_t n = (size_t)p->columns;
    memcpy(prober->implied_low, prober->low, n * sizeof *prober->implied_low);
    memcpy(prober->implied_high, prober->high, n * sizeof *prober->implied_high);
    for (int k = 0; k < count && k < IMPLIED_TRIES; k++)
        if (is_stuck(prober, excess[k].column, x[excess[k].column]))
            prober->implied_low[excess[k].column] = prober->implied_high[excess[k].column] = x[excess[k].column];
    prober->implied = true;
    mem_free(excess);
}

void prober_relax(Prober *prober)
{
    ask_fit(prober);
    SearchOptions options = prober_search_options(prober);
    if (options.effort == 0 || options.effort > RELAX_PIVOTS)
        options.effort = RELAX_PIVOTS;
    options.gap_ppm = RELAX_GAP;
    for (int i = 0; i < prober->sides->problem.rows; i++)
        prober->dual[i] = 0;
    Probe probe;
    prober->relaxing = true;
    run(prober, &options, &probe);
    prober->relaxing = false;
    find_implied(prober, probe.x);
    probe_release(&probe);
}

static void swap_least(Probe *probe)
{
    int64_t low = probe->high == SEARCH_PLUS_INFINITY || probe->high == SEARCH_MINUS_INFINITY ? 0 : -probe->high;
    probe->high = probe->low == SEARCH_MINUS_INFINITY ? SEARCH_PLUS_INFINITY : -probe->low;
    probe->low = low < 0 ? 0 : low;
}

void probe_least(Prober *prober, int side, int64_t least_fit, int64_t from, Probe *probe)
{
    int column = loosening_column(prober->sides, side);
    if (from > prober->sides->side[side].most) {
        *probe = (Probe){.status = PROBE_NONE, .high = SEARCH_PLUS_INFINITY, .low = 0};
        return;
    }
    for (int j = 0; j < prober->sides->problem.columns; j++)
        set_objective(prober, j, j == column ? -1 : 0);
    prober_column(prober, column, 0, prober->sides->side[side].most);
    prober_need(prober, least_fit);
    SearchOptions options = prober_search_options(prober);
    options.known_bound = -from;
    run(prober, &options, probe);
    prober_need(prober, SEARCH_MINUS_INFINITY);
    prober_column(prober, column, 0, 0);
    swap_least(probe);
    if (probe->low < from)
        probe->low = from;
}

void probe_lightest(Prober *prober, Probe *probe)
{
    for (int j = 0; j < prober->sides->problem.columns; j++)
        set_objective(prober, j, j < prober->sides->columns ? 0 : -prober->sides->side[j - prober->sides->columns].weight);
    SearchOptions options = prober_search_options(prober);
    run(prober, &options, probe);
    swap_least(probe);
}

void probe_any(Prober *prober, Probe *probe)
{
    for (int j = 0; j < prober->sides->problem.columns; j++)
        set_objective(prober, j, 0);
    SearchOptions options = prober_search_options(prober);
    run(prober, &options, probe);
}
