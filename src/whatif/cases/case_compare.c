/* case_compare.c - what-ifs against the base: what differs, which pool is nearest, and why nothing fits. */
#include "whatif/cases/cases_inner.h"

#include <string.h>

#include "base/number.h"
#include "explain/swaps/nearest.h"

#define CONFLICT_EFFORT 1000000 /* pivots, for each case that nothing fits */
#define NEAREST_EFFORT 60000    /* pivots, for the nearest pools of all cases and caps together */
#define NEAREST_CASE 12000      /* of one of them */

static bool same_limit(const Limit *a, const Limit *b)
{
    const char *x = a->member != NULL ? a->member->rule->folded : a->name,
               *y = b->member != NULL ? b->member->rule->folded : b->name;
    return a->kind == b->kind && strcmp(x, y) == 0 && strcmp(a->of, b->of) == 0;
}

static bool was_tight(const PoolCheck *base, const LimitUse *use)
{
    for (size_t u = 0; u < base->uses; u++) {
        const LimitUse *old = &base->use[u];
        if (same_limit(old->limit, use->limit) &&
            ((use->low_tight && old->low_tight) || (use->high_tight && old->high_tight)))
            return true;
    }
    return false;
}

static void compare_tight(const WhatIfCase *base, WhatIfCase *item)
{
    item->tight = mem_new(item->answer.check.uses, sizeof *item->tight);
    for (size_t u = 0; u < item->answer.check.uses; u++) {
        const LimitUse *use = &item->answer.check.use[u];
        if (limit_use_tight(use) && !was_tight(&base->answer.check, use))
            item->tight[item->tights++] = use;
    }
}

static bool same_cards(const Instance *a, const Form *x, const Instance *b, const Form *y)
{
    if (x->cards != y->cards)
        return false;
    for (size_t k = 0; k < x->cards; k++)
        if (card_find(a->cards, b->cards->card[y->card[k]].name) != (long)x->card[k] ||
            (x->part != NULL && x->part[k] != y->part[k]))
            return false;
    return true;
}

static bool same_form(const Instance *a, const Form *x, const Instance *b, const Form *y)
{
    if (x->kind != y->kind || strcmp(x->name, y->name) != 0 || x->gain != y->gain || x->ratio != y->ratio ||
        x->steps != y->steps || x->parts != y->parts || x->most != y->most)
        return false;
    for (size_t k = 0; k < x->steps; k++)
        if (x->step[k].width != y->step[k].width || x->step[k].value != y->step[k].value)
            return false;
    return same_cards(a, x, b, y);
}

/* Do forms add the same in both, whatever the pool? */
static bool same_forms(const Instance *a, const Instance *b)
{
    if (a->forms != b->forms || a->model->themes != b->model->themes)
        return false;
    for (size_t f = 0; f < a->forms; f++)
        if (!same_form(a, &a->form[f], b, &b->form[f]))
            return false;
    for (size_t t = 0; t < a->model->themes; t++)
        if (a->model->theme[t].weight != b->model->theme[t].weight)
            return false;
    return true;
}

/* What the pool of `from` has as `to` counts it: its cards that `to` has too, with what structure adds there, and the
 * others as they count in `from`. *differs: so counted its cards and forms come to something else. */
static int64_t counted_there(const Instance *from, const PoolCheck *pool, const int *copies, const Instance *to,
                             bool *differs)
{
    int128 others = 0;
    int *there = mem_new(to->cards->count, sizeof *there);
    for (size_t c = 0; c < from->cards->count; c++) {
        const long same = card_find(to->cards, from->cards->card[c].name);
        if (same >= 0)
            there[same] = copies[c];
        else
            others += (int128)from->fit[c] * copies[c];
    }
    PoolCheck check;
    pool_check(to, there, &check);
    const int64_t fit = check.fit + (int64_t)others;
    *differs = check.card_fit + check.bonus + (int64_t)others != pool->card_fit + pool->bonus;
    pool_check_release(&check);
    mem_free(there);
    return fit;
}

static bool other_card_fit(const Instance *old, const Instance *now)
{
    for (size_t c = 0; c < now->cards->count; c++) {
        const long there = card_find(old->cards, now->cards->card[c].name);
        if (there >= 0 && old->fit[there] != now->fit[c])
            return true;
    }
    return false;
}

/* Soft limits are limits: a case that asks for more of them, or for less, counts fit as the base does. */
static void compare_fit(const Instance *old, const Answer *base, const Instance *now, WhatIfCase *item)
{
    bool here, there = false;
    item->base_fit = counted_there(now, &item->answer.check, item->answer.copies, old, &here);
    if (base->has_pool)
        counted_there(old, &base->check, base->copies, now, &there);
    item->other_fit = other_card_fit(old, now) || (!same_forms(old, now) && (here || there));
}

static bool blame(CaseBuilder *b, WhatIfCase *item)
{
    const Loaded *loaded = &b->all->loaded[item->loaded];
    if (item->answer.status != ANSWER_INFEASIBLE || b->all->frontiers > 0 || cases_stopped(b))
        return true;
    ExplainOptions options = {.engine = b->options->engine,
                              .threads = b->options->threads,
                              .cancel = b->options->cancel,
                              .effort = CONFLICT_EFFORT};
    item->explain = explain_new(loaded->instance, &item->answer, &options, b->diags);
    if (item->explain == NULL)
        return false;
    causes_find(item->explain, &item->causes);
    if (!causes_complete(&item->causes))
        conflict_find(item->explain->oracle, &item->conflict);
    return true;
}

static bool blame_all(CaseBuilder *b)
{
    for (size_t k = 0; k < b->all->count; k++)
        if (!blame(b, &b->all->item[k]))
            return false;
    return true;
}

static void compare(WhatIf *all)
{
    const WhatIfCase *base = &all->item[0];
    const Instance *old = all->loaded[base->loaded].instance;
    all->item[0].compared = base->answer.has_pool; /* with itself */
    for (size_t k = 1; k < all->count; k++) {
        WhatIfCase *item = &all->item[k];
        const Instance *now = all->loaded[item->loaded].instance;
        if (!item->answer.has_pool)
            continue;
        compare_fit(old, &base->answer, now, item);
        if (!base->answer.has_pool)
            continue;
        item->compared = true;
        item->change = pool_changes(old, base->answer.copies, now, item->answer.copies, &item->changes);
        pool_changes_sum(item->change, item->changes, &item->in, &item->out);
        compare_tight(base, item);
    }
}

/* The pool of the item's fit that is nearest to the base's, where it is nearer than the one among equals. */
static bool find_nearest(CaseBuilder *b, WhatIfCase *item, int64_t *effort)
{
    Loaded *loaded = &b->all->loaded[item->loaded];
    const WhatIfCase *base = &b->all->item[0];
    if (item->changes == 0 || *effort <= 0 || cases_stopped(b) ||
        !card_sets_alike(b->all->loaded[base->loaded].instance->cards, loaded->instance->cards))
        return true;
    if (b->all->frontiers > 0)
        loaded_set_cap(loaded, item->has_cap, item->cap);
    ExplainOptions options = {.engine = b->options->engine,
                              .threads = b->options->threads,
                              .cancel = b->options->cancel,
                              .effort = *effort < NEAREST_CASE ? *effort : NEAREST_CASE};
    Explain *explain = explain_new(loaded->instance, &item->answer, &options, b->diags);
    if (explain == NULL)
        return false;
    nearest_exchange_from(explain, base->answer.copies, &item->nearest);
    item->has_nearest = exchange_changes(&item->nearest) < item->in + item->out;
    *effort -= oracle_used(explain->oracle);
    explain_free(explain);
    return true;
}

static bool find_all_nearest(CaseBuilder *b)
{
    int64_t effort = NEAREST_EFFORT;
    for (size_t k = 1; k < b->all->count; k++)
        if (!find_nearest(b, &b->all->item[k], &effort))
            return false;
    return true;
}

bool cases_compare(CaseBuilder *b)
{
    if (!blame_all(b))
        return false;
    cases_stopped(b); /* also when it came last */
    compare(b->all);
    return find_all_nearest(b);
}
