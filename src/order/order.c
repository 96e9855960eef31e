/* order.c - see order.h: what the solutions of the programme (order_inner.h) come to. */
#include "order/order.h"

#include <string.h>

#include "base/sort.h"
#include "order/order_inner.h"
#include "programme/count/checker.h"

#define EFFORT 150000    /* pivots, where the user says nothing: free postage at many shops may take hours to prove */
#define FIT_EFFORT 10000 /* for the most fit at the least cost */
#define NEAR_SHARE 30    /* of the effort, for a pool from given shops */
#define NEAR_ROUNDS 5    /* each of two of these */

static int by_shop(const void *a, const void *b, void *context)
{
    const Instance *in = context;
    const ShopOffer *x = &in->offer[((const OrderLine *)a)->offer], *y = &in->offer[((const OrderLine *)b)->offer];
    if (x->shop != y->shop)
        return strcmp(in->shop[x->shop].folded, in->shop[y->shop].folded);
    return (x->card > y->card) - (x->card < y->card);
}

static void take_lines(OrderProblem *p, const int64_t *x)
{
    Order *order = p->order;
    const Instance *in = p->in;
    order->has_order = true;
    order->cost = 0;
    order->lines = order->shops = 0;
    order->line = arena_alloc(order->arena, (size_t)p->takes, sizeof *order->line);
    order->shop = arena_alloc(order->arena, in->shops, sizeof *order->shop);
    for (int k = 0; k < p->takes; k++)
        if (x[p->first + k] > 0)
            order->line[order->lines++] = (OrderLine){p->take[k].offer, (int)x[p->first + k]};
    sort_stable_with(order->line, order->lines, sizeof *order->line, by_shop, (void *)(uintptr_t)in);
    for (size_t l = 0; l < order->lines; l++) {
        const ShopOffer *offer = &in->offer[order->line[l].offer];
        if (order->shops == 0 || order->shop[order->shops - 1].shop != offer->shop)
            order->shop[order->shops++] = (OrderShop){.shop = offer->shop};
        OrderShop *shop = &order->shop[order->shops - 1];
        shop->copies += order->line[l].copies;
        shop->cards += order->line[l].copies * offer->price;
    }
    for (size_t s = 0; s < order->shops; s++) {
        OrderShop *shop = &order->shop[s];
        const Shop *terms = in->shop[shop->shop].terms;
        shop->postage = terms == NULL || (terms->has_free && shop->cards >= terms->free_from) ? 0 : terms->postage;
        order->cost += shop->cards + shop->postage;
    }
}

/* The pool that comes with it, counted by the checker. False: it is none, or does not have the fit. */
static bool take_pool(OrderProblem *p, const int64_t *x)
{
    Order *order = p->order;
    const Instance *in = p->in;
    PoolCheck check;
    if (p->pool == NULL)
        return true;
    order->copies = arena_alloc(order->arena, in->cards->count, sizeof *order->copies);
    programme_copies(p->pool, x, order->copies);
    pool_check(in, order->copies, &check);
    order->fit = check.fit;
    const bool good = check.kept && check.fit >= p->floor;
    pool_check_release(&check);
    return good;
}

/* Copies that no offer has: needed, not owned and not in a line; without an order those for which there are not enough
 * offers. */
static void take_unsold(OrderProblem *p, const int *need)
{
    Order *order = p->order;
    const CardSet *cards = p->in->cards;
    int *missing = mem_new(cards->count, sizeof *missing);
    for (size_t c = 0; c < cards->count; c++)
        missing[c] = !order->has_order       ? p->unsold[c]
                     : order->copies != NULL ? order->copies[c] - cards->card[c].owned
                                             : need[c];
    for (size_t l = 0; l < order->lines; l++)
        missing[p->in->offer[order->line[l].offer].card] -= order->line[l].copies;
    order->unsold = arena_alloc(order->arena, cards->count, sizeof *order->unsold);
    for (size_t c = 0; c < cards->count; c++)
        if (missing[c] > 0)
            order->unsold[order->unsolds++] = (Unsold){c, missing[c]};
    mem_free(missing);
}

/* Of the orders that cost no more, the one whose pool has the most fit. Replaces x. */
static void improve_fit(OrderProblem *p, Search *search, const SearchOptions *asked, int64_t *x)
{
    const SearchProblem *pool = &p->pool->problem;
    SearchOptions options = *asked;
    SearchResult result;
    for (int j = 0; j < p->problem->columns; j++)
        search_set_objective(search, j, j < pool->columns ? pool->objective[j] : 0);
    search_set_row(search, p->cost_row, SEARCH_MINUS_INFINITY, p->order->cost);
    options.effort = asked->effort > 0 ? asked->effort : FIT_EFFORT;
    options.start = x;
    search_run(search, &options, &result);
    if (result.has_solution)
        memcpy(x, result.x, (size_t)p->problem->columns * sizeof *x);
    p->order->most_fit = result.status == SEARCH_BEST;
    search_result_release(&result);
}

static bool take_answer(OrderProblem *p, const int64_t *x)
{
    take_lines(p, x);
    return take_pool(p, x);
}

/* With the shops of x and no others (fixed: just these, with postage as it is there) little more than the pool is left
 * to choose. x, a solution or not: replaced by one that costs less. True: it was. */
static bool run_within(const OrderProblem *p, Search *search, SearchOptions *options, int64_t most, bool fixed,
                       int64_t *x)
{
    SearchOptions own = *options;
    SearchResult result;
    int64_t value;
    for (size_t s = 0; s < p->in->shops; s++) {
        if (p->used[s] >= 0)
            search_set_column(search, p->used[s], fixed ? x[p->used[s]] : 0, x[p->used[s]]);
        if (p->waived[s] >= 0 && fixed)
            search_set_column(search, p->waived[s], x[p->waived[s]], x[p->waived[s]]);
    }
    own.effort = most;
    own.start = x;
    search_run(search, &own, &result);
    const bool better = result.has_solution && (!search_feasible(p->problem, x, &value) || result.value > value);
    if (better)
        memcpy(x, result.x, (size_t)p->problem->columns * sizeof *x);
    options->effort -= result.statistics.pivots;
    search_result_release(&result);
    for (size_t s = 0; s < p->in->shops; s++) {
        if (p->used[s] >= 0)
            search_set_column(search, p->used[s], 0, 1);
        if (p->waived[s] >= 0)
            search_set_column(search, p->waived[s], 0, 1);
    }
    return better;
}

/* A start for where the pool may change: another pool from the same shops, fewer of these, and so on. */
static void improve_start(const OrderProblem *p, Search *search, SearchOptions *options, int64_t *x)
{
    const int64_t most = options->effort / NEAR_SHARE + 1;
    bool better = true;
    for (int round = 0; round < NEAR_ROUNDS && better && options->effort > 2 * most; round++) {
        better = run_within(p, search, options, most, true, x);
        better = run_within(p, search, options, most, false, x) || better;
    }
}

/* x: the pool's columns of the list are filled in. */
static bool solve(OrderProblem *p, const SearchOptions *asked, int64_t *x, const char **why)
{
    Order *order = p->order;
    bool started = order_take_listed(p, x) || order_start(p, x);
    Search *search = search_new(p->problem);
    SearchOptions options = *asked;
    SearchResult result;
    options.gap_ppm = 0;
    options.eager = 0;
    options.effort = asked->effort > 0 ? asked->effort : EFFORT;
    if (p->pool != NULL) {
        int64_t value;
        improve_start(p, search, &options, x);
        started = search_feasible(p->problem, x, &value);
    }
    options.start = started ? x : NULL;
    search_run(search, &options, &result);
    *why = result.why_failed;
    if (result.has_solution)
        memcpy(x, result.x, (size_t)p->problem->columns * sizeof *x);
    bool good = (!result.has_solution && !started) || take_answer(p, x);
    order->impossible = result.status == SEARCH_INFEASIBLE;
    order->bound = order->impossible || result.bound == SEARCH_PLUS_INFINITY ? 0 : -result.bound;
    order->proven = order->has_order && result.status == SEARCH_BEST;
    good = good && (!order->proven || order->cost == -result.value);
    if (p->pool != NULL && order->has_order && *why == NULL && !search_cancelled(asked)) {
        improve_fit(p, search, asked, x);
        good = take_answer(p, x) && good && (!order->proven || order->cost == -result.value);
    }
    if (!good && *why == NULL)
        *why = "the order found is not what it should be";
    search_result_release(&result);
    search_free(search);
    return *why == NULL;
}

static bool find(OrderProblem *p, const int *list, const SearchOptions *options, const char **why)
{
    int *need = mem_new(p->in->cards->count, sizeof *need);
    for (size_t c = 0; c < p->in->cards->count; c++)
        need[c] = list[c] - p->in->cards->card[c].owned;
    p->used = mem_new(p->in->shops, sizeof *p->used);
    p->waived = mem_new(p->in->shops, sizeof *p->waived);
    p->sold_out = mem_new(p->in->cards->count, sizeof *p->sold_out);
    order_takes(p, need);
    *why = NULL;
    const bool nothing = p->takes == 0 && p->pool == NULL; /* is bought, whatever is found */
    p->order->has_order = p->order->proven = nothing;
    if (!nothing) {
        order_build(p);
        *why = search_problem_trouble(p->problem);
    }
    if (!nothing && *why == NULL) {
        int64_t *x = mem_new((size_t)p->problem->columns + 1, sizeof *x);
        if (p->pool != NULL)
            programme_solution(p->pool, list, x);
        solve(p, options, x, why);
        mem_free(x);
    }
    if (*why == NULL)
        take_unsold(p, need);
    extension_problem_free(p->problem);
    mem_free(p->used);
    mem_free(p->waived);
    mem_free(p->sold_out);
    mem_free(p->need);
    mem_free(p->unsold);
    mem_free(p->take);
    mem_free(need);
    return *why == NULL;
}

bool order_find(const Instance *in, const int *list, const SearchOptions *options, Order *order, const char **why)
{
    *order = (Order){.arena = arena_new(), .one_by_one = -1};
    OrderProblem p = {.in = in, .order = order};
    return find(&p, list, options, why);
}

bool order_give(const Programme *pool, const int *list, const Order *listed, int64_t floor,
                const SearchOptions *options, Order *order, const char **why)
{
    const Instance *in = pool->instance;
    *order = (Order){.arena = arena_new(), .one_by_one = -1};
    OrderProblem p = {
        .in = in, .order = order, .pool = pool, .card = card_columns_new(pool), .floor = floor, .listed = listed};
    const bool good = find(&p, list, options, why);
    mem_free(p.card);
    return good;
}

void order_release(Order *order)
{
    arena_free(order->arena);
    *order = (Order){0};
}
