/* nearest.c - see nearest.h.
 *
 * A lexicographic programme (H. Isermann, "Linear lexicographic optimization", OR Spektrum 4, 1982) over the
 * SideProblem with rows for changes and money: the fit is held as a row, changes are made as few as can be, then held
 * too, and money as little. Copies that stay are the card's own column where there is one copy at most, else a column
 * of ours that may not exceed the copies; only as many as can be are ever asked for, so it takes its true value. Before
 * the search, reduced costs say which columns can differ at all among solutions of that fit: few do. */
#include "explain/swaps/nearest.h"

#include <string.h>

#include "explain/oracle/oracle_inner.h"

#define STEP_EFFORT 20000 /* pivots for the fewest changes, and again for the least money */

struct Nearest {
    SearchProblem *problem; /* the SideProblem's columns and rows first */
    Search *search;         /* NULL: the numbers are too large */
    int change_row;         /* copies that stay, twice, less all copies */
    int *kept;              /* [cards] a column of ours, or -1 */
    int64_t *change, *cost; /* [problem.columns] objectives, both to be made great */
};

/* ---- the problem ---- */

static void set_objectives(const Explain *e, Nearest *nearest)
{
    const SearchProblem *p = nearest->problem;
    nearest->change = mem_new((size_t)p->columns + 1, sizeof *nearest->change);
    nearest->cost = mem_new((size_t)p->columns + 1, sizeof *nearest->cost);
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            if (p->row[k] == nearest->change_row)
                nearest->change[j] = p->value[k];
    for (size_t c = 0; c < e->instance->cards->count; c++) {
        const int bought = e->instance->cards->card[c].owned > 0 ? e->card[c].second : e->card[c].first;
        if (bought >= 0)
            nearest->cost[bought] = -instance_buy_price(e->instance, c);
    }
}

/* The problem's columns and first rows are the SideProblem's. */
static Nearest *nearest_new(const Explain *e, const SearchProblem *problem)
{
    const size_t cards = e->instance->cards->count;
    Nearest *nearest = mem_new(1, sizeof *nearest);
    Extension *extension = extension_new(problem);
    nearest->kept = mem_new(cards + 1, sizeof *nearest->kept);
    nearest->change_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (size_t c = 0; c < cards; c++) {
        const int most = e->free_instance->most[c];
        nearest->kept[c] = card_kept_column(extension, &e->card[c], most, e->copies[c]);
        card_change_entries(extension, nearest->change_row, &e->card[c], e->copies[c], nearest->kept[c]);
    }
    nearest->problem = extension_build(extension);
    set_objectives(e, nearest);
    if (search_problem_trouble(nearest->problem) == NULL)
        nearest->search = search_new(nearest->problem);
    return nearest;
}

void nearest_free(Nearest *nearest)
{
    if (nearest == NULL)
        return;
    search_free(nearest->search);
    extension_problem_free(nearest->problem);
    mem_free(nearest->kept);
    mem_free(nearest->change);
    mem_free(nearest->cost);
    mem_free(nearest);
}

/* ---- a question ---- */

/* The oracle's present state with this fit, in a box without what that excludes. False: it can't be told. */
static bool load_state(Explain *e, int64_t fit)
{
    Nearest *nearest = e->nearest;
    const Oracle *oracle = e->oracle;
    const SearchProblem *p = &e->sides->problem;
    const size_t n = (size_t)p->columns;
    int64_t *low = mem_copy(oracle->low, n, sizeof *low), *high = mem_copy(oracle->high, n, sizeof *high);
    const bool possible = oracle_narrow(e->oracle, fit, low, high);
    for (int j = 0; j < p->columns && possible; j++)
        search_set_column(nearest->search, j, low[j], high[j]);
    for (int i = 0; i < p->rows; i++)
        search_set_row(nearest->search, i, oracle->row_low[i], oracle->row_high[i]);
    search_set_row(nearest->search, e->sides->objective_row, fit, fit);
    search_set_row(nearest->search, nearest->change_row, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    mem_free(low);
    mem_free(high);
    return possible;
}

/* Searches for more of the objective, from x, which becomes what is found. True: there is none better, proven. */
static bool improve(Explain *e, const int64_t *objective, int64_t *x, int64_t *value)
{
    Nearest *nearest = e->nearest;
    SearchOptions options = oracle_search_options(e->oracle);
    SearchResult result;
    if (oracle_spent(e->oracle))
        return false;
    options.effort = options.effort > 0 && options.effort < STEP_EFFORT ? options.effort : STEP_EFFORT;
    options.start = x;
    for (int j = 0; j < nearest->problem->columns; j++)
        search_set_objective(nearest->search, j, objective[j]);
    search_run(nearest->search, &options, &result);
    oracle_count(e->oracle, &result);
    if (result.has_solution) {
        memcpy(x, result.x, (size_t)nearest->problem->columns * sizeof *x);
        *value = result.value;
    }
    const bool proven = result.status == SEARCH_BEST;
    search_result_release(&result);
    return proven;
}

/* The solution, of so many columns, with ours. */
static int64_t *complete(const Explain *e, const int64_t *x, int columns)
{
    const Nearest *nearest = e->nearest;
    int64_t *full = mem_new((size_t)nearest->problem->columns + 1, sizeof *full);
    memcpy(full, x, (size_t)columns * sizeof *full);
    for (size_t c = 0; c < e->instance->cards->count; c++)
        if (nearest->kept[c] >= 0) {
            const int64_t copies = card_copies(&e->card[c], x);
            full[nearest->kept[c]] = copies < e->copies[c] ? copies : e->copies[c];
        }
    return full;
}

static int64_t value_of(const SearchProblem *p, const int64_t *objective, const int64_t *x)
{
    int64_t value = 0;
    for (int j = 0; j < p->columns; j++)
        value += objective[j] * x[j];
    return value;
}

/* full: a solution with our columns, which becomes the nearest one of this fit that is found, and then a cheap one.
 * cheap: full is the cheapest already; none is sought unless there are fewer changes. */
static Fewest approach(Explain *e, int64_t fit, int64_t *full, bool cheap)
{
    const Nearest *nearest = e->nearest;
    bool fewest = false;
    if (nearest->search != NULL && !oracle_spent(e->oracle) && load_state(e, fit)) {
        const int64_t first = value_of(nearest->problem, nearest->change, full);
        int64_t kept = first, money;
        fewest = improve(e, nearest->change, full, &kept);
        search_set_row(nearest->search, nearest->change_row, kept, SEARCH_PLUS_INFINITY);
        if (!cheap || kept > first)
            improve(e, nearest->cost, full, &money);
    }
    return fewest ? FEWEST_PROVEN : FEWEST_OPEN;
}

void nearest_exchange(Explain *e, int64_t fit, const int64_t *x, Exchange *exchange)
{
    if (e->nearest == NULL)
        e->nearest = nearest_new(e, &e->sides->problem);
    int64_t *full = complete(e, x, e->sides->problem.columns);
    const Fewest fewest = approach(e, fit, full, false);
    explain_exchange(e, full, exchange);
    exchange->fewest = fewest;
    mem_free(full);
}

void nearest_exchange_among(Explain *e, const SearchProblem *problem, int64_t fit, int64_t *x, Exchange *exchange)
{
    Nearest *usual = e->nearest;
    e->nearest = nearest_new(e, problem);
    int64_t *full = complete(e, x, problem->columns);
    const Fewest fewest = approach(e, fit, full, false);
    explain_exchange(e, full, exchange);
    exchange->fewest = fewest;
    memcpy(x, full, (size_t)problem->columns * sizeof *x);
    mem_free(full);
    nearest_free(e->nearest);
    e->nearest = usual;
}

void nearest_exchange_from(Explain *e, const int *copies, Exchange *exchange)
{
    int *own = e->copies;
    e->copies = mem_copy(copies, e->instance->cards->count, sizeof *copies);
    nearest_free(e->nearest);
    e->nearest = nearest_new(e, &e->sides->problem);
    int64_t *full = complete(e, e->x, e->sides->problem.columns);
    const Fewest fewest = approach(e, e->best.low, full, true);
    explain_exchange(e, full, exchange);
    exchange->fewest = fewest;
    mem_free(full);
    nearest_free(e->nearest);
    e->nearest = NULL;
    mem_free(e->copies);
    e->copies = own;
}
