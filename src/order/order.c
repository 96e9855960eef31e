/* order.c - see order.h.
 *
 * Columns: copies taken of each offer; for each shop with terms whether it is used, and whether its postage is waived.
 * Rows: the copies of each card; copies of a shop only where it is used; the least order; free postage. The link
 * between offers and shops is one row for a few offers together, as few as the search has rows for: the tighter, the
 * better its bound. */
#include "order/order.h"

#include <string.h>

#include "base/sort.h"
#include "programme/extend.h"

#define ROWS_MOST 3600 /* for the links, of the search's 4,096 */
#define EFFORT 40000   /* pivots, where the user says nothing: free postage at many shops may take hours to prove */

typedef struct {
    size_t offer;
    int most;
} Take;

typedef struct {
    const Instance *in;
    Order *order;
    int *need;  /* [cards] what can be bought of it */
    Take *take; /* [takes] the offers' columns, by card, cheapest first */
    int takes;
    int *used, *waived; /* [shops] their columns, -1: none */
    SearchProblem *problem;
} OrderProblem;

/* ---- what is for sale ---- */

static int by_card_and_price(const void *a, const void *b, void *context)
{
    const Instance *in = context;
    const ShopOffer *x = &in->offer[((const Take *)a)->offer], *y = &in->offer[((const Take *)b)->offer];
    if (x->card != y->card)
        return x->card < y->card ? -1 : 1;
    if (x->price != y->price)
        return x->price < y->price ? -1 : 1;
    return (x->shop > y->shop) - (x->shop < y->shop);
}

static void list_takes(OrderProblem *p, const int *need)
{
    const Instance *in = p->in;
    const size_t cards = in->cards->count;
    int64_t *stock = mem_new(cards, sizeof *stock);
    p->take = mem_new(in->offers, sizeof *p->take);
    for (size_t o = 0; o < in->offers; o++) {
        const ShopOffer *offer = &in->offer[o];
        if (need[offer->card] <= 0)
            continue;
        const int most = offer->stock < 0 || offer->stock > need[offer->card] ? need[offer->card] : offer->stock;
        p->take[p->takes++] = (Take){o, most};
        stock[offer->card] += most;
    }
    sort_stable_with(p->take, (size_t)p->takes, sizeof *p->take, by_card_and_price, (void *)(uintptr_t)in);
    p->need = mem_new(cards, sizeof *p->need);
    p->order->unsold = arena_alloc(p->order->arena, cards, sizeof *p->order->unsold);
    for (size_t c = 0; c < cards; c++) {
        p->need[c] = need[c] < 0 ? 0 : need[c] > stock[c] ? (int)stock[c] : need[c];
        if (need[c] > p->need[c])
            p->order->unsold[p->order->unsolds++] = (Unsold){c, need[c] - p->need[c]};
    }
    mem_free(stock);
}

/* Does using the shop cost or ask for anything? */
static bool has_terms(const OfferShop *shop)
{
    return shop->terms != NULL && (shop->terms->postage > 0 || shop->terms->least > 0);
}

static bool may_be_free(const OfferShop *shop)
{
    return has_terms(shop) && shop->terms->postage > 0 && shop->terms->has_free;
}

/* ---- the programme ---- */

static void add_columns(OrderProblem *p, Extension *x)
{
    for (int k = 0; k < p->takes; k++)
        extension_column(x, p->take[k].most == 1 ? SEARCH_BINARY : SEARCH_INTEGER,
                         -p->in->offer[p->take[k].offer].price, 0, p->take[k].most);
    for (size_t s = 0; s < p->in->shops; s++) {
        const OfferShop *shop = &p->in->shop[s];
        bool sells = false;
        for (int k = 0; k < p->takes && !sells; k++)
            sells = p->in->offer[p->take[k].offer].shop == s;
        p->used[s] = p->waived[s] = -1;
        if (sells && has_terms(shop))
            p->used[s] = extension_column(x, SEARCH_BINARY, -shop->terms->postage, 0, 1);
        if (sells && may_be_free(shop))
            p->waived[s] = extension_column(x, SEARCH_BINARY, shop->terms->postage, 0, 1);
    }
}

static void rows_of_cards(const OrderProblem *p, Extension *x)
{
    int row = -1;
    for (int k = 0; k < p->takes; k++) { /* offers of one card stand together */
        const size_t card = p->in->offer[p->take[k].offer].card;
        if (k == 0 || p->in->offer[p->take[k - 1].offer].card != card)
            row = extension_row(x, p->need[card], p->need[card]);
        extension_entry(x, row, k, 1);
    }
}

static void rows_of_links(const OrderProblem *p, Extension *x)
{
    int links = 0;
    for (int k = 0; k < p->takes; k++)
        links += p->used[p->in->offer[p->take[k].offer].shop] >= 0;
    const int together = links / ROWS_MOST + 1;
    for (size_t s = 0; s < p->in->shops; s++) {
        int row = -1, count = 0;
        for (int k = 0; k < p->takes && p->used[s] >= 0; k++) {
            if (p->in->offer[p->take[k].offer].shop != s)
                continue;
            if (count++ % together == 0)
                row = extension_row(x, SEARCH_MINUS_INFINITY, 0);
            extension_entry(x, row, k, 1);
            extension_entry(x, row, p->used[s], -p->take[k].most);
        }
    }
}

/* What is spent at the shop, at least so much where the column is 1. */
static void row_of_spent(const OrderProblem *p, size_t shop, int column, int64_t least, Extension *x)
{
    const int row = extension_row(x, 0, SEARCH_PLUS_INFINITY);
    for (int k = 0; k < p->takes; k++)
        if (p->in->offer[p->take[k].offer].shop == shop)
            extension_entry(x, row, k, p->in->offer[p->take[k].offer].price);
    extension_entry(x, row, column, -least);
}

static void rows_of_terms(const OrderProblem *p, Extension *x)
{
    for (size_t s = 0; s < p->in->shops; s++) {
        const Shop *terms = p->in->shop[s].terms;
        if (p->used[s] >= 0 && terms->least > 0)
            row_of_spent(p, s, p->used[s], terms->least, x);
        if (p->waived[s] < 0)
            continue;
        row_of_spent(p, s, p->waived[s], terms->free_from, x);
        const int only_used = extension_row(x, 0, SEARCH_PLUS_INFINITY);
        extension_entry(x, only_used, p->used[s], 1);
        extension_entry(x, only_used, p->waived[s], -1);
    }
}

static void build(OrderProblem *p)
{
    const SearchProblem nothing = {0};
    Extension *x = extension_new(&nothing);
    add_columns(p, x);
    rows_of_cards(p, x);
    rows_of_links(p, x);
    rows_of_terms(p, x);
    p->problem = extension_build(x);
}

/* ---- a start ---- */

/* Each copy where it is cheapest; then what follows for shops. */
static void set_shops(const OrderProblem *p, int64_t *x)
{
    for (size_t s = 0; s < p->in->shops; s++) {
        int64_t cards = 0;
        int copies = 0;
        for (int k = 0; k < p->takes; k++) {
            const ShopOffer *offer = &p->in->offer[p->take[k].offer];
            cards += offer->shop == s ? x[k] * offer->price : 0;
            copies += offer->shop == s ? (int)x[k] : 0;
        }
        if (p->used[s] >= 0)
            x[p->used[s]] = copies > 0;
        if (p->waived[s] >= 0)
            x[p->waived[s]] = copies > 0 && cards >= p->in->shop[s].terms->free_from;
    }
}

static int64_t spent_at(const OrderProblem *p, const int64_t *x, size_t shop)
{
    int64_t cards = 0;
    for (int k = 0; k < p->takes; k++)
        cards += p->in->offer[p->take[k].offer].shop == shop ? x[k] * p->in->offer[p->take[k].offer].price : 0;
    return cards;
}

/* The dearest offer of take k's card that is taken elsewhere, or -1. */
static int dearest_elsewhere(const OrderProblem *p, const int64_t *x, int k)
{
    const ShopOffer *offer = &p->in->offer[p->take[k].offer];
    int found = -1;
    for (int step = -1; step <= 1; step += 2)
        for (int j = k + step; j >= 0 && j < p->takes && p->in->offer[p->take[j].offer].card == offer->card;
             j += step) {
            const ShopOffer *other = &p->in->offer[p->take[j].offer];
            if (x[j] > 0 && other->shop != offer->shop &&
                (found < 0 || other->price > p->in->offer[p->take[found].offer].price))
                found = j;
        }
    return found;
}

/* Moves copies to the shop, those first that cost least more for the money they bring there, until its postage is
 * waived. */
static void reach_free(const OrderProblem *p, size_t shop, int64_t *x)
{
    int64_t missing = p->in->shop[shop].terms->free_from - spent_at(p, x, shop);
    while (missing > 0) {
        int best = -1, from = -1;
        double least = 0;
        for (int k = 0; k < p->takes; k++) {
            const ShopOffer *offer = &p->in->offer[p->take[k].offer];
            const int j =
                offer->shop == shop && x[k] < p->take[k].most && offer->price > 0 ? dearest_elsewhere(p, x, k) : -1;
            if (j < 0)
                continue;
            const double more = (double)(offer->price - p->in->offer[p->take[j].offer].price) /
                                (double)(offer->price < missing ? offer->price : missing);
            if (best < 0 || more < least) {
                best = k;
                from = j;
                least = more;
            }
        }
        if (best < 0)
            return;
        x[best]++;
        x[from]--;
        missing -= p->in->offer[p->take[best].offer].price;
    }
}

/* What is tried of a shop. */
typedef enum { SHOP_OPEN, SHOP_CLOSED, SHOP_REACHED } ShopState;

/* Each copy where it is cheapest and not closed; then shops that are to be reached. */
static void take_cheapest(const OrderProblem *p, const ShopState *state, int64_t *x)
{
    int *left = mem_new(p->in->cards->count, sizeof *left);
    memcpy(left, p->need, p->in->cards->count * sizeof *left);
    for (int k = 0; k < p->takes; k++) {
        const ShopOffer *offer = &p->in->offer[p->take[k].offer];
        const int copies = state[offer->shop] == SHOP_CLOSED     ? 0
                           : left[offer->card] < p->take[k].most ? left[offer->card]
                                                                 : p->take[k].most;
        x[k] = copies;
        left[offer->card] -= copies;
    }
    mem_free(left);
    for (size_t s = 0; s < p->in->shops; s++)
        if (state[s] == SHOP_REACHED)
            reach_free(p, s, x);
    set_shops(p, x);
}

/* Tries each shop in each state, as long as that makes the order cheaper. x: the best found; false: none keeps the
 * rules. */
static bool find_start(const OrderProblem *p, int64_t *x)
{
    const size_t columns = (size_t)p->problem->columns;
    ShopState *state = mem_new(p->in->shops, sizeof *state);
    int64_t *trial = mem_new(columns, sizeof *trial), best = 0, value;
    take_cheapest(p, state, x);
    bool good = search_feasible(p->problem, x, &best), better = true;
    p->order->one_by_one = good ? -best : -1;
    while (better) {
        better = false;
        for (size_t s = 0; s < p->in->shops; s++) {
            for (ShopState to = SHOP_OPEN; to <= SHOP_REACHED && p->used[s] >= 0; to++) {
                const ShopState before = state[s];
                if (to == before || (to == SHOP_REACHED && p->waived[s] < 0))
                    continue;
                state[s] = to;
                take_cheapest(p, state, trial);
                if (search_feasible(p->problem, trial, &value) && (!good || value > best)) {
                    memcpy(x, trial, columns * sizeof *x);
                    best = value;
                    good = better = true;
                } else {
                    state[s] = before;
                }
            }
        }
    }
    mem_free(trial);
    mem_free(state);
    return good;
}

/* ---- the answer ---- */

static int by_shop(const void *a, const void *b, void *context)
{
    const Instance *in = context;
    const ShopOffer *x = &in->offer[((const OrderLine *)a)->offer], *y = &in->offer[((const OrderLine *)b)->offer];
    if (x->shop != y->shop)
        return strcmp(in->shop[x->shop].folded, in->shop[y->shop].folded);
    return (x->card > y->card) - (x->card < y->card);
}

static void take_answer(OrderProblem *p, const int64_t *x)
{
    Order *order = p->order;
    const Instance *in = p->in;
    order->has_order = true;
    order->line = arena_alloc(order->arena, (size_t)p->takes, sizeof *order->line);
    order->shop = arena_alloc(order->arena, in->shops, sizeof *order->shop);
    for (int k = 0; k < p->takes; k++)
        if (x[k] > 0)
            order->line[order->lines++] = (OrderLine){p->take[k].offer, (int)x[k]};
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

static bool solve(OrderProblem *p, const SearchOptions *asked, const char **why)
{
    int64_t *x = mem_new((size_t)p->problem->columns + 1, sizeof *x);
    const bool started = find_start(p, x);
    Search *search = search_new(p->problem);
    SearchOptions options = *asked;
    SearchResult result;
    options.gap_ppm = 0;
    options.eager = 0;
    options.effort = asked->effort > 0 ? asked->effort : EFFORT;
    options.start = started ? x : NULL;
    search_run(search, &options, &result);
    *why = result.why_failed;
    if (result.has_solution)
        take_answer(p, result.x);
    else if (started)
        take_answer(p, x);
    p->order->impossible = result.status == SEARCH_INFEASIBLE;
    p->order->bound = p->order->impossible || result.bound == SEARCH_PLUS_INFINITY ? 0 : -result.bound;
    p->order->proven = p->order->has_order && result.status == SEARCH_BEST;
    if (p->order->proven && p->order->cost != -result.value)
        *why = "the order found does not cost what it should";
    search_result_release(&result);
    search_free(search);
    mem_free(x);
    return *why == NULL;
}

bool order_find(const Instance *in, const int *need, const SearchOptions *options, Order *order, const char **why)
{
    *order = (Order){.arena = arena_new(), .one_by_one = -1};
    OrderProblem p = {.in = in, .order = order};
    p.used = mem_new(in->shops, sizeof *p.used);
    p.waived = mem_new(in->shops, sizeof *p.waived);
    list_takes(&p, need);
    *why = NULL;
    order->has_order = order->proven = p.takes == 0;
    if (p.takes > 0) {
        build(&p);
        *why = search_problem_trouble(p.problem);
    }
    const bool good = *why == NULL && (p.takes == 0 || solve(&p, options, why));
    extension_problem_free(p.problem);
    mem_free(p.used);
    mem_free(p.waived);
    mem_free(p.need);
    mem_free(p.take);
    return good;
}

void order_release(Order *order)
{
    arena_free(order->arena);
    *order = (Order){0};
}
