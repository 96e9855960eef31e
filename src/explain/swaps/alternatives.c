/* alternatives.c - the best pool, then the best that differs enough from it, and so on: a row for each pool known, "so
 * many copies that it does not hold" (sequential solution pools by distance rows: E. Danna, M. Fenelon, Z. Gu,
 * R. Wunderling, "Generating multiple solutions for mixed integer programming problems", IPCO 2007). Of those that are
 * as good, the one with the fewest changes is told. */
#include "explain/swaps/alternatives.h"

#include "explain/swaps/nearest.h"
#include "programme/extend.h"

static void add_copies(Extension *extension, int row, const CardColumns *card, int64_t value)
{
    extension_entry(extension, row, card->first, value);
    if (card->second >= 0)
        extension_entry(extension, row, card->second, value);
}

/* Adds the card's copies beyond those given to the row: a column of ours that is above 0 only where there are some, by
 * a second one that says so. most: copies that the card can have. */
static void add_beyond(Extension *extension, int row, const CardColumns *card, int most, int given)
{
    if (card->first < 0 || most <= given)
        return;
    if (given == 0) {
        add_copies(extension, row, card, 1);
        return;
    }
    const int beyond = extension_column(extension, SEARCH_INTEGER, 0, 0, most - given),
              some = extension_column(extension, SEARCH_BINARY, 0, 0, 1),
              copies = extension_row(extension, SEARCH_MINUS_INFINITY, 0),
              only = extension_row(extension, SEARCH_MINUS_INFINITY, 0);
    extension_entry(extension, row, beyond, 1);
    extension_entry(extension, copies, beyond, 1);
    extension_entry(extension, copies, some, given);
    add_copies(extension, copies, card, -1);
    extension_entry(extension, only, beyond, 1);
    extension_entry(extension, only, some, given - most);
}

/* The SideProblem with a row more for each pool: copies that it lacks. Freed with extension_problem_free. */
static SearchProblem *extend(const Explain *e, const int *const *pool, int pools, int differ)
{
    Extension *extension = extension_new(&e->sides->problem);
    for (int k = 0; k < pools; k++) {
        const int row = extension_row(extension, differ, SEARCH_PLUS_INFINITY);
        for (size_t c = 0; c < e->instance->cards->count; c++)
            add_beyond(extension, row, &e->card[c], e->free_instance->most[c], pool[k][c]);
    }
    return extension_build(extension);
}

/* False when there is none or none was found. */
static bool find_next(Explain *e, const int **pool, int pools, int differ, Alternatives *out)
{
    SearchProblem *p = extend(e, pool, pools, differ);
    Search *search = search_new(p);
    SearchOptions options = oracle_search_options(e->oracle);
    options.known_bound = e->best.has_high ? e->best.high : SEARCH_PLUS_INFINITY;
    SearchResult result;
    search_run(search, &options, &result);
    oracle_count(e->oracle, &result);
    out->no_more = result.status == SEARCH_INFEASIBLE;
    bool found = result.has_solution;
    if (found) {
        Alternative *a = &out->alternative[out->count++];
        *a = (Alternative){.copies = mem_new(e->instance->cards->count + 1, sizeof *a->copies),
                           .best = result.status == SEARCH_BEST};
        nearest_exchange_among(e, p, result.value, result.x, &a->exchange);
        explain_copies(e, result.x, a->copies);
        PoolCheck check;
        pool_check(e->instance, a->copies, &check);
        a->fit = check.fit;
        a->cost = check.cost;
        if (!check.kept) { /* never shown */
            found = false;
            mem_free(a->copies);
            exchange_release(&a->exchange);
            out->count--;
        } else {
            if (e->best.has_high)
                a->loss = (Range){true, true, e->best.low > a->fit ? e->best.low - a->fit : 0, e->best.high - a->fit};
            pool[pools] = a->copies;
        }
        pool_check_release(&check);
    }
    search_result_release(&result);
    search_free(search);
    extension_problem_free(p);
    return found;
}

void alternatives_find(Explain *e, int count, int differ, Alternatives *out)
{
    *out = (Alternatives){.alternative = mem_new((size_t)count + 1, sizeof *out->alternative)};
    if (!e->has_pool)
        return;
    const int **pool = mem_new((size_t)count + 1, sizeof *pool);
    pool[0] = e->copies;
    for (int k = 0; k < count && !oracle_spent(e->oracle); k++) {
        oracle_tell(e->oracle, "pools", k, count);
        if (!find_next(e, pool, k + 1, differ, out))
            break;
    }
    mem_free(pool);
}

void alternatives_release(Alternatives *out)
{
    for (size_t k = 0; k < out->count; k++) {
        mem_free(out->alternative[k].copies);
        exchange_release(&out->alternative[k].exchange);
    }
    mem_free(out->alternative);
    *out = (Alternatives){0};
}
