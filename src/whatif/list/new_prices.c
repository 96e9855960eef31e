/* new_prices.c - see new_prices.h. */
#include "whatif/list/new_prices.h"

#include "base/sort.h"

static int compare_moves(const void *a, const void *b)
{
    const PriceMove *x = a, *y = b;
    const int64_t p = x->by < 0 ? -x->by : x->by, q = y->by < 0 ? -y->by : y->by;
    if (p != q)
        return p > q ? -1 : 1;
    return (x->card > y->card) - (x->card < y->card);
}

static void list_moves(NewPrices *p)
{
    const Instance *before = p->before, *after = p->after;
    p->move = mem_new(before->cards->count, sizeof *p->move);
    for (size_t c = 0; c < before->cards->count; c++)
        if (before->price[c] != after->price[c] && (p->old_answer->copies[c] > 0 || p->new_answer->copies[c] > 0))
            p->move[p->moves++] = (PriceMove){c, after->price[c] - before->price[c]};
    sort_stable(p->move, p->moves, sizeof *p->move, compare_moves);
}

static void check_old_pool(NewPrices *p)
{
    pool_check(p->after, p->old_answer->copies, &p->old_pool);
    for (size_t u = 0; u < p->old_pool.uses; u++)
        if (!limit_use_kept(&p->old_pool.use[u])) {
            p->broken++;
            p->first_broken = p->first_broken == NULL ? &p->old_pool.use[u] : p->first_broken;
        }
}

void new_prices_find(const Instance *before, const Answer *old_answer, const Instance *after, const Answer *new_answer,
                     NewPrices *out)
{
    *out = (NewPrices){.before = before, .after = after, .old_answer = old_answer, .new_answer = new_answer};
    for (size_t c = 0; c < before->cards->count; c++) {
        out->higher += after->price[c] > before->price[c];
        out->lower += after->price[c] < before->price[c];
    }
    if (old_answer->has_pool)
        check_old_pool(out);
    if (old_answer->has_pool && new_answer->has_pool)
        list_moves(out);
}

void new_prices_release(NewPrices *prices)
{
    pool_check_release(&prices->old_pool);
    mem_free(prices->move);
    *prices = (NewPrices){0};
}
