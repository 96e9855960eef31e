/* one_swap.c - see one_swap.h.
 *
 * What a card adds to a sum does not depend on the others, so that each card is counted once, more and less, and a pair
 * is two numbers for each limit: the loosened one first, which leaves few pairs, then the others. What forms add
 * (places, engines and so on) is no more than with the card that enters and none that leaves, unless something counts
 * against a card; so one count for each card that enters bounds all its pairs. What may still be best is counted by the
 * checker from cards and model, as every answer is. */
#include "explain/swaps/one_swap.h"

#include "base/memory.h"

typedef struct {
    long card;       /* -1: none */
    int64_t fit;     /* of the copy, signed */
    LimitSum *moved; /* [limits] what it adds to each limit's sums */
} Move;

typedef struct {
    const Explain *explain;
    Leeway leeway;
    size_t limits; /* that add up over cards */
    size_t first;  /* of these, the loosened one */
    LimitSum *sum; /* [limits] of the answer's pool */
    PoolCount *count;
    PoolCheck base;   /* the answer's pool */
    bool bonus_rises; /* with every card more */
    OneSwap *best;
} Trial;

static Move *moves_new(const Trial *t, bool in, size_t *count)
{
    const Instance *instance = t->explain->instance;
    const size_t cards = instance->cards->count;
    Move *move = mem_new(cards + 1, sizeof *move);
    *count = 0;
    move[(*count)++] = (Move){.card = -1, .moved = mem_new(t->limits, sizeof(LimitSum))};
    for (size_t c = 0; c < cards; c++) {
        const int copies = t->explain->copies[c];
        if (in ? copies >= instance->most[c] : copies <= instance->least[c])
            continue;
        Move *m = &move[(*count)++];
        *m = (Move){.card = (long)c, .fit = in ? instance->fit[c] : -instance->fit[c]};
        m->moved = mem_new(t->limits, sizeof *m->moved);
        pool_count_change(t->count, c, in ? 1 : -1);
        pool_count_sums(t->count, m->moved);
        pool_count_change(t->count, c, in ? -1 : 1);
        for (size_t l = 0; l < t->limits; l++) {
            m->moved[l].total -= t->sum[l].total;
            m->moved[l].base -= t->sum[l].base;
        }
    }
    return move;
}

static void moves_free(Move *move, size_t count)
{
    for (size_t k = 0; k < count; k++)
        mem_free(move[k].moved);
    mem_free(move);
}

static LimitUse use_with(const Trial *t, size_t l, const Move *in, const Move *out)
{
    const LimitSum sum = {t->sum[l].total + in->moved[l].total + out->moved[l].total,
                          t->sum[l].base + in->moved[l].base + out->moved[l].base};
    return limit_use_of_sum(&t->explain->instance->limit[l], sum);
}

/* A sum between bounds: broken on the side, within the leeway. Most pairs end here. */
static bool is_near(const Trial *t, const Move *in, const Move *out)
{
    const Bounds *bounds = &t->leeway.limit->bounds;
    if (bounds->kind != BOUND_ABSOLUTE)
        return true;
    const int64_t total = t->sum[t->first].total + in->moved[t->first].total + out->moved[t->first].total,
                  over = t->leeway.low ? bounds->low - total : total - bounds->high;
    return over > 0 && over <= t->leeway.units;
}

/* By sums alone; price risk and forms may still forbid it. */
static bool may_do(const Trial *t, const Move *in, const Move *out)
{
    if (!is_near(t, in, out))
        return false;
    const LimitUse loosened = use_with(t, t->first, in, out);
    if (limit_use_kept(&loosened) || !limit_use_within(&loosened, &t->leeway))
        return false;
    for (size_t l = 0; l < t->limits; l++) {
        if (l == t->first || !limit_always_holds(t->explain->instance, &t->explain->instance->limit[l]))
            continue;
        const LimitUse use = use_with(t, l, in, out);
        if (!limit_use_kept(&use))
            return false;
    }
    return true;
}

/* A card takes from the strength of a theme. */
static bool weakens(const Instance *in)
{
    for (size_t t = 0; t < in->model->themes; t++)
        for (size_t c = 0; c < in->cards->count; c++) {
            const CardTag *tag = instance_theme_tag(in, t, c);
            if (tag != NULL && tag->weight < 0)
                return true;
        }
    return false;
}

/* More copies never lower what forms add: nothing in them is below 0, and there is no choice that more cards could
 * change. */
static bool bonus_rises(const Instance *in)
{
    for (size_t k = 0; k < in->model->themes; k++)
        if (in->choosable[k])
            return false;
    for (size_t f = 0; f < in->forms; f++) {
        bool rises = in->form[f].gain >= 0 && (in->form[f].kind != FORM_EVENNESS || !weakens(in));
        for (size_t k = 0; k < in->form[f].steps; k++)
            rises = rises && in->form[f].step[k].value >= 0;
        if (!rises)
            return false;
    }
    for (size_t k = 0; in->part != NULL && k < in->model->themes * in->cards->count; k++)
        if (in->part[k] < 0)
            return false;
    return true;
}

static bool is_better(const OneSwap *a, const OneSwap *b)
{
    if (!b->found || a->fit_change != b->fit_change)
        return !b->found || a->fit_change > b->fit_change;
    if (a->cost_change != b->cost_change)
        return a->cost_change < b->cost_change;
    return a->enters != b->enters ? a->enters < b->enters : a->leaves < b->leaves;
}

static void move(const Trial *t, long card, int by)
{
    if (card >= 0)
        pool_count_change(t->count, (size_t)card, by);
}

/* Counted in full. */
static void judge(const Trial *t, long enters, long leaves)
{
    PoolCheck check;
    move(t, enters, 1);
    move(t, leaves, -1);
    pool_count_check(t->count, &check);
    bool kept = !pool_count_breaks_but(t->count, &t->leeway);
    for (size_t u = 0; u < check.uses && kept; u++)
        kept = limit_use_within(&check.use[u], &t->leeway);
    const OneSwap swap = {.asked = true,
                          .found = true,
                          .enters = enters,
                          .leaves = leaves,
                          .fit_change = check.fit - t->base.fit,
                          .cost_change = check.cost - t->base.cost};
    if (kept && swap.fit_change > 0 && is_better(&swap, t->best))
        *t->best = swap;
    pool_check_release(&check);
    move(t, enters, -1);
    move(t, leaves, 1);
}

/* More than this no pair with the card changes the fit beyond what its two cards bring. */
static int64_t bonus_at_most(const Trial *t, long enters)
{
    PoolCheck check;
    if (!t->bonus_rises)
        return INT64_MAX / 4;
    move(t, enters, 1);
    pool_count_check(t->count, &check);
    move(t, enters, -1);
    const int64_t bonus = check.bonus - t->base.bonus + t->base.penalty;
    pool_check_release(&check);
    return bonus;
}

static void try_card(const Trial *t, const Move *in, const Move *out, size_t outs)
{
    bool asked = false;
    int64_t bonus = 0;
    for (size_t k = 0; k < outs; k++) {
        if ((in->card >= 0 && in->card == out[k].card) || !may_do(t, in, &out[k]))
            continue;
        if (!asked)
            bonus = bonus_at_most(t, in->card);
        asked = true;
        if (in->fit + out[k].fit + bonus >= (t->best->found ? t->best->fit_change : 1))
            judge(t, in->card, out[k].card);
    }
}

static void try_all(const Trial *t)
{
    size_t ins, outs;
    Move *in = moves_new(t, true, &ins), *out = moves_new(t, false, &outs);
    for (size_t k = 0; k < ins; k++)
        try_card(t, &in[k], out, outs);
    moves_free(in, ins);
    moves_free(out, outs);
}

static bool is_protected(const Trial *t)
{
    for (size_t u = 0; u < t->base.uses; u++)
        if (t->base.use[u].limit == t->leeway.limit)
            return t->base.use[u].is_protected;
    return false;
}

/* Which themes are best chosen with the leeway is not what the checker counts. */
static bool may_be_set_aside(const Instance *in, const Limit *limit)
{
    return limit->theme >= 0 && in->choosable[limit->theme];
}

void one_swap_find(const Explain *e, int side, int64_t units, OneSwap *swap)
{
    const Side *s = &e->sides->side[side];
    Trial t = {.explain = e, .leeway = {s->limit, s->low, units}, .best = swap};
    *swap = (OneSwap){.enters = -1, .leaves = -1};
    t.count = pool_count_new(e->instance, e->copies);
    pool_count_check(t.count, &t.base);
    t.limits = pool_count_sums(t.count, NULL);
    t.first = (size_t)(s->limit - e->instance->limit);
    t.bonus_rises = bonus_rises(e->instance);
    swap->asked =
        s->row >= 0 && t.first < t.limits && s->hard && !is_protected(&t) && !may_be_set_aside(e->instance, s->limit);
    if (swap->asked) {
        t.sum = mem_new(t.limits, sizeof *t.sum);
        pool_count_sums(t.count, t.sum);
        try_all(&t);
        mem_free(t.sum);
    }
    pool_check_release(&t.base);
    pool_count_free(t.count);
}
