/* swap.c - one card for another, by exact counting of every rule; and, against that, the pool chosen anew without the
 * card.
 *
 * Each single exchange is counted by the checker from cards and model, as every answer is: the pool once, then what
 * each exchange changes. */
#include "explain/swaps/swap.h"

#include <string.h>

#include "base/sort.h"
#include "explain/swaps/nearest.h"

#define COST_NEAR 1000 /* thousandths */

static bool share_role(Role a, Role b)
{
    return a == b || (role_is_enabler(a) && role_is_enabler(b)) || (role_is_payoff(a) && role_is_payoff(b));
}

static bool share_theme(const Instance *in, size_t a, size_t b)
{
    bool tagged = false;
    for (size_t t = 0; t < in->model->themes; t++) {
        const CardTag *x = instance_theme_tag(in, t, a), *y = instance_theme_tag(in, t, b);
        if (x != NULL && y != NULL && share_role(x->role, y->role))
            return true;
        tagged = tagged || x != NULL || y != NULL;
    }
    return !tagged;
}

static bool share_kind(const Card *a, const Card *b)
{
    for (size_t i = 0; i < a->kinds; i++)
        for (size_t j = 0; j < b->kinds; j++)
            if (a->kind[i] == b->kind[j])
                return true;
    return a->kinds + b->kinds == 0;
}

/* Do two cards do the same job? They count as the same colours; they share a declared theme and the role in it (a
 * `both` is an enabler and a payoff), and a kind; their costs differ by 1 at most. What one of them has none of (no
 * theme, no kind, no cost), the other must have none of either. Money is not looked at. */
static bool same_job(const Instance *in, size_t a, size_t b)
{
    const Card *x = &in->cards->card[a], *y = &in->cards->card[b];
    if (x->has_cost != y->has_cost || (x->has_cost && (x->cost > y->cost + COST_NEAR || y->cost > x->cost + COST_NEAR)))
        return false;
    return colours_equal(&x->colours, &y->colours) && share_kind(x, y) && share_theme(in, a, b);
}

static int by_fit(const void *a, const void *b)
{
    const Single *x = a, *y = b;
    if (x->fit_change != y->fit_change)
        return x->fit_change > y->fit_change ? -1 : 1;
    if (x->cost_change != y->cost_change)
        return x->cost_change < y->cost_change ? -1 : 1;
    return x->card < y->card ? -1 : x->card > y->card;
}

typedef struct {
    Single single;
    size_t index;
} Priced;

static int by_cost(const void *a, const void *b)
{
    const Priced *x = a, *y = b;
    if (x->single.cost_change != y->single.cost_change)
        return x->single.cost_change < y->single.cost_change ? -1 : 1;
    return x->index < y->index ? -1 : x->index > y->index;
}

/* The instance without a keep of the card that leaves. */
static Instance without_keep(const Explain *e, size_t card, int *least)
{
    Instance in = *e->instance;
    memcpy(least, in.least, in.cards->count * sizeof *least);
    least[card] = 0;
    in.least = least;
    return in;
}

static bool try_pool(const PoolCount *count, const PoolCheck *base, Single *single)
{
    PoolCheck check;
    if (pool_count_breaks(count))
        return false;
    pool_count_check(count, &check);
    bool kept = check.kept;
    single->fit_change = check.fit - base->fit;
    single->cost_change = check.cost - base->cost;
    pool_check_release(&check);
    return kept;
}

static void find_singles(const Explain *e, size_t card, Swap *swap)
{
    size_t cards = e->instance->cards->count;
    int *least = mem_new(cards + 1, sizeof *least);
    Instance in = without_keep(e, card, least);
    PoolCheck base;
    PoolCount *count = pool_count_new(&in, e->copies);
    pool_count_check(count, &base);
    pool_count_change(count, card, -1);
    swap->single = mem_new(cards + 1, sizeof *swap->single);
    swap->dropped = (Single){.card = card};
    swap->drop = try_pool(count, &base, &swap->dropped);
    for (size_t c = 0; c < cards; c++) {
        if (c == card || e->copies[c] >= in.most[c])
            continue;
        pool_count_change(count, c, 1);
        Single single = {.card = c};
        if (try_pool(count, &base, &single)) {
            single.same_job = single.cost_change < 0 && same_job(e->instance, card, c);
            swap->single[swap->singles++] = single;
        }
        pool_count_change(count, c, -1);
    }
    pool_check_release(&base);
    pool_count_free(count);
    mem_free(least);
}

/* The pool as counted, with one copy of the card more, for one of another card less. */
static bool best_way_in(const Instance *in, const int *copies, PoolCount *count, const PoolCheck *base, size_t card,
                        Single *best)
{
    bool found = false;
    pool_count_change(count, card, 1);
    for (size_t c = 0; c < in->cards->count; c++) {
        if (c != card && copies[c] <= 0)
            continue;
        Single single = {.card = c};
        if (c != card)
            pool_count_change(count, c, -1);
        if (try_pool(count, base, &single) && (!found || by_fit(&single, best) < 0)) {
            *best = single;
            found = true;
        }
        if (c != card)
            pool_count_change(count, c, 1);
    }
    pool_count_change(count, card, -1);
    return found;
}

void swaps_in(const Instance *in, const int *copies, const size_t *card, size_t cards, Single *best, bool *found)
{
    PoolCheck base;
    PoolCount *count = pool_count_new(in, copies);
    pool_count_check(count, &base);
    for (size_t k = 0; k < cards; k++)
        found[k] = best_way_in(in, copies, count, &base, card[k], &best[k]);
    pool_check_release(&base);
    pool_count_free(count);
}

bool swap_out(const Explain *e, size_t card, Single *best)
{
    Swap swap = {0};
    find_singles(e, card, &swap);
    bool found = swap.drop;
    if (found)
        *best = swap.dropped;
    for (size_t k = 0; k < swap.singles; k++)
        if (!found || by_fit(&swap.single[k], best) < 0) {
            *best = swap.single[k];
            found = true;
        }
    mem_free(swap.single);
    return found;
}

bool swap_in(const Explain *e, size_t card, Single *best)
{
    bool found;
    swaps_in(e->instance, e->copies, &card, 1, best, &found);
    return found;
}

static void sort_singles(Swap *swap)
{
    sort_stable(swap->single, swap->singles, sizeof *swap->single, by_fit);
    Priced *priced = mem_new(swap->singles + 1, sizeof *priced);
    swap->cheapest = mem_new(swap->singles + 1, sizeof *swap->cheapest);
    for (size_t k = 0; k < swap->singles; k++)
        priced[k] = (Priced){swap->single[k], k};
    sort_stable(priced, swap->singles, sizeof *priced, by_cost);
    for (size_t k = 0; k < swap->singles; k++)
        swap->cheapest[k] = priced[k].index;
    mem_free(priced);
}

static void choose_anew(Explain *e, size_t card, Swap *swap)
{
    int keep = explain_status_side(e, card, LIMIT_KEEP);
    if (keep >= 0)
        oracle_drop(e->oracle, keep, true);
    explain_force(e, card, 0, e->copies[card] - 1);
    Probe probe;
    explain_most(e, &probe);
    if (probe.x != NULL)
        nearest_exchange(e, probe.low, probe.x, &swap->exchange);
    explain_unforce(e, card);
    if (keep >= 0)
        oracle_drop(e->oracle, keep, false);
    swap->impossible = probe.status == PROBE_NONE;
    if (!swap->impossible && probe.high != SEARCH_PLUS_INFINITY)
        swap->loss = (Range){.has_low = true, .low = e->best.low - probe.high};
    if (probe.x != NULL) {
        swap->forced = true;
        swap->loss.has_high = e->best.has_high;
        swap->loss.high = e->best.high - probe.low;
        for (size_t k = 0; k < swap->exchange.enter_count; k++) {
            const Moved *m = &swap->exchange.enters[k];
            swap->cost_change += instance_spend(e->instance, m->card, e->copies[m->card] + m->copies) -
                                 instance_spend(e->instance, m->card, e->copies[m->card]);
        }
        for (size_t k = 0; k < swap->exchange.leave_count; k++) {
            const Moved *m = &swap->exchange.leaves[k];
            swap->cost_change += instance_spend(e->instance, m->card, e->copies[m->card] - m->copies) -
                                 instance_spend(e->instance, m->card, e->copies[m->card]);
        }
    }
    if (keep < 0 && swap->loss.has_low && swap->loss.low < 0)
        swap->loss.low = 0;
    probe_release(&probe);
}

void swap_find(Explain *e, size_t card, Swap *swap)
{
    *swap = (Swap){.card = card};
    find_singles(e, card, swap);
    sort_singles(swap);
    choose_anew(e, card, swap);
}

bool swap_settled(const Swap *swap)
{
    return swap->impossible || range_exact(&swap->loss);
}

void swap_release(Swap *swap)
{
    mem_free(swap->single);
    mem_free(swap->cheapest);
    exchange_release(&swap->exchange);
    *swap = (Swap){0};
}
