/* order_rows.c - see order_inner.h. */
#include "base/sort.h"
#include "order/order_inner.h"

#define ROWS_MOST 4000 /* of the search's 4,096 */

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

static int stocked(const ShopOffer *offer, int wanted)
{
    return wanted <= 0 ? 0 : offer->stock < 0 || offer->stock > wanted ? wanted : offer->stock;
}

void order_takes(OrderProblem *p, const int *need)
{
    const Instance *in = p->in;
    const size_t cards = in->cards->count;
    int64_t *stock = mem_new(cards, sizeof *stock);
    p->take = mem_new(in->offers, sizeof *p->take);
    for (size_t o = 0; o < in->offers; o++) {
        const ShopOffer *offer = &in->offer[o];
        const int wanted =
            p->pool != NULL ? in->most[offer->card] - in->cards->card[offer->card].owned : need[offer->card];
        stock[offer->card] += stocked(offer, need[offer->card]);
        if (wanted > 0)
            p->take[p->takes++] = (Take){o, stocked(offer, wanted)};
    }
    sort_stable_with(p->take, (size_t)p->takes, sizeof *p->take, by_card_and_price, (void *)(uintptr_t)in);
    p->need = mem_new(cards, sizeof *p->need);
    p->unsold = mem_new(cards, sizeof *p->unsold);
    for (size_t c = 0; c < cards; c++) {
        p->need[c] = need[c] < 0 ? 0 : need[c] > stock[c] ? (int)stock[c] : need[c];
        p->unsold[c] = need[c] > p->need[c] ? need[c] - p->need[c] : 0;
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
    for (int k = 0; k < p->takes; k++) {
        const int column = extension_column(x, p->take[k].most == 1 ? SEARCH_BINARY : SEARCH_INTEGER,
                                            -p->in->offer[p->take[k].offer].price, 0, p->take[k].most);
        if (k == 0)
            p->first = column;
    }
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

/* The pool's column for copies that must be bought; -1: none may be. */
static int bought_column(const OrderProblem *p, size_t card)
{
    if (p->card[card].second >= 0)
        return p->card[card].second;
    return p->in->cards->card[card].owned > 0 ? -1 : p->card[card].first;
}

/* A copy is got elsewhere only where all that is for sale of the card (p->need) is bought. */
static void rows_of_elsewhere(const OrderProblem *p, size_t card, int first, int last, Extension *x)
{
    p->sold_out[card] = extension_column(x, SEARCH_BINARY, 0, 0, 1);
    const int elsewhere = extension_row(x, 0, SEARCH_PLUS_INFINITY), all = extension_row(x, 0, SEARCH_PLUS_INFINITY);
    extension_entry(x, elsewhere, bought_column(p, card), -1);
    extension_entry(x, elsewhere, p->sold_out[card], p->unsold[card]);
    extension_entry(x, all, p->sold_out[card], -p->need[card]);
    for (int k = first; k <= last; k++) {
        extension_entry(x, elsewhere, p->first + k, 1);
        extension_entry(x, all, p->first + k, 1);
    }
}

/* The card's offers are those from this one on, as they stand together. */
static int last_take(const OrderProblem *p, int first)
{
    const size_t card = p->in->offer[p->take[first].offer].card;
    int last = first;
    while (last + 1 < p->takes && p->in->offer[p->take[last + 1].offer].card == card)
        last++;
    return last;
}

/* May some of the card be got elsewhere, though some of it is for sale? */
static bool may_sell_out(const OrderProblem *p, size_t card)
{
    return p->pool != NULL && p->need[card] > 0 && p->unsold[card] > 0 && bought_column(p, card) >= 0;
}

static void rows_of_cards(const OrderProblem *p, Extension *x)
{
    for (int first = 0, last; first < p->takes; first = last + 1) {
        const size_t card = p->in->offer[p->take[first].offer].card;
        const int column = p->pool != NULL ? bought_column(p, card) : -1;
        const int row =
            column < 0 ? extension_row(x, p->need[card], p->need[card]) : extension_row(x, -p->unsold[card], 0);
        last = last_take(p, first);
        if (column >= 0)
            extension_entry(x, row, column, -1);
        for (int k = first; k <= last; k++)
            extension_entry(x, row, p->first + k, 1);
        p->sold_out[card] = -1;
        if (may_sell_out(p, card))
            rows_of_elsewhere(p, card, first, last, x);
    }
}

static void rows_of_links(const OrderProblem *p, int links_most, Extension *x)
{
    int links = 0;
    for (int k = 0; k < p->takes; k++)
        links += p->used[p->in->offer[p->take[k].offer].shop] >= 0;
    const int together = links / links_most + 1;
    for (size_t s = 0; s < p->in->shops; s++) {
        int row = -1, count = 0;
        for (int k = 0; k < p->takes && p->used[s] >= 0; k++) {
            if (p->in->offer[p->take[k].offer].shop != s)
                continue;
            if (count++ % together == 0)
                row = extension_row(x, SEARCH_MINUS_INFINITY, 0);
            extension_entry(x, row, p->first + k, 1);
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
            extension_entry(x, row, p->first + k, p->in->offer[p->take[k].offer].price);
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

/* The fit that is asked for, and what all is paid. */
static void rows_of_pool(OrderProblem *p, Extension *x)
{
    const SearchProblem *pool = &p->pool->problem;
    const int fit = extension_row(x, p->floor, SEARCH_PLUS_INFINITY);
    for (int j = 0; j < pool->columns; j++)
        extension_entry(x, fit, j, pool->objective[j]);
    p->cost_row = extension_row(x, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (int k = 0; k < p->takes; k++)
        extension_entry(x, p->cost_row, p->first + k, p->in->offer[p->take[k].offer].price);
    for (size_t s = 0; s < p->in->shops; s++) {
        if (p->used[s] >= 0)
            extension_entry(x, p->cost_row, p->used[s], p->in->shop[s].terms->postage);
        if (p->waived[s] >= 0)
            extension_entry(x, p->cost_row, p->waived[s], -p->in->shop[s].terms->postage);
    }
}

/* Money is what counts, and what no shop has cannot come in, not even where it must (then there is no such pool). */
static void settle_pool(OrderProblem *p)
{
    bool *sold = mem_new(p->in->cards->count, sizeof *sold);
    for (int k = 0; k < p->takes; k++)
        sold[p->in->offer[p->take[k].offer].card] = true;
    for (int j = 0; j < p->pool->problem.columns; j++)
        p->problem->objective[j] = 0;
    for (size_t c = 0; c < p->in->cards->count; c++) {
        const int column = bought_column(p, c);
        if (column >= 0 && !sold[c] && p->problem->high[column] > p->unsold[c])
            p->problem->high[column] = p->unsold[c];
    }
    mem_free(sold);
}

static int rows_so_far(const OrderProblem *p)
{
    int rows = p->pool != NULL ? p->pool->problem.rows + 2 : 0;
    for (int first = 0; first < p->takes; first = last_take(p, first) + 1)
        rows += may_sell_out(p, p->in->offer[p->take[first].offer].card) ? 3 : 1;
    return rows + 3 * (int)p->in->shops;
}

void order_build(OrderProblem *p)
{
    const SearchProblem nothing = {0};
    Extension *x = extension_new(p->pool != NULL ? &p->pool->problem : &nothing);
    const int left = ROWS_MOST - rows_so_far(p);
    add_columns(p, x);
    rows_of_cards(p, x);
    rows_of_links(p, left > 1 ? left : 1, x);
    rows_of_terms(p, x);
    if (p->pool != NULL)
        rows_of_pool(p, x);
    p->problem = extension_build(x);
    if (p->pool != NULL)
        settle_pool(p);
}
