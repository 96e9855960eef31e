/* order_start.c - a first order: see order_inner.h. */
#include <string.h>

#include "order/order_inner.h"

/* Each copy where it is cheapest; then what follows for shops. */
static void set_shops(const OrderProblem *p, int64_t *x)
{
    for (size_t s = 0; s < p->in->shops; s++) {
        int64_t cards = 0;
        int copies = 0;
        for (int k = 0; k < p->takes; k++) {
            const ShopOffer *offer = &p->in->offer[p->take[k].offer];
            cards += offer->shop == s ? x[p->first + k] * offer->price : 0;
            copies += offer->shop == s ? (int)x[p->first + k] : 0;
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
        cards +=
            p->in->offer[p->take[k].offer].shop == shop ? x[p->first + k] * p->in->offer[p->take[k].offer].price : 0;
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
            if (x[p->first + j] > 0 && other->shop != offer->shop &&
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
            const int j = offer->shop == shop && x[p->first + k] < p->take[k].most && offer->price > 0
                              ? dearest_elsewhere(p, x, k)
                              : -1;
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
        x[p->first + best]++;
        x[p->first + from]--;
        missing -= p->in->offer[p->take[best].offer].price;
    }
}

/* What is tried of a shop. */
typedef enum { SHOP_OPEN, SHOP_CLOSED, SHOP_REACHED } ShopState;

/* Each copy where it is cheapest and not closed; then shops that are to be reached. */
static void take_cheapest(const OrderProblem *p, const ShopState *state, int64_t *x)
{
    int *left = mem_copy(p->need, p->in->cards->count, sizeof *left);
    for (int k = 0; k < p->takes; k++) {
        const ShopOffer *offer = &p->in->offer[p->take[k].offer];
        const int copies = state[offer->shop] == SHOP_CLOSED     ? 0
                           : left[offer->card] < p->take[k].most ? left[offer->card]
                                                                 : p->take[k].most;
        x[p->first + k] = copies;
        left[offer->card] -= copies;
        if (p->sold_out[offer->card] >= 0)
            x[p->sold_out[offer->card]] = left[offer->card] == 0;
    }
    mem_free(left);
    for (size_t s = 0; s < p->in->shops; s++)
        if (state[s] == SHOP_REACHED)
            reach_free(p, s, x);
    set_shops(p, x);
}

/* Tries each shop in each state, as long as that makes the order cheaper. x: the best found; false: none keeps the
 * rules. */
bool order_start(const OrderProblem *p, int64_t *x)
{
    const size_t columns = (size_t)p->problem->columns;
    ShopState *state = mem_new(p->in->shops, sizeof *state);
    int64_t *trial = mem_copy(x, columns, sizeof *trial), best = 0, value;
    take_cheapest(p, state, x);
    bool good = search_feasible(p->problem, x, &best), better = true;
    if (p->pool == NULL)
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

/* All that is for sale of the list is bought. */
bool order_take_listed(const OrderProblem *p, int64_t *x)
{
    int64_t value;
    if (p->listed == NULL || !p->listed->has_order)
        return false;
    for (int k = 0; k < p->takes; k++) {
        const size_t card = p->in->offer[p->take[k].offer].card;
        x[p->first + k] = 0;
        for (size_t l = 0; l < p->listed->lines; l++)
            if (p->listed->line[l].offer == p->take[k].offer)
                x[p->first + k] = p->listed->line[l].copies;
        if (p->sold_out[card] >= 0)
            x[p->sold_out[card]] = 1;
    }
    set_shops(p, x);
    return search_feasible(p->problem, x, &value);
}
