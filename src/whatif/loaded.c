/* loaded.c - reading a case, moving its cap, solving and re-checking. */
#include "whatif/loaded.h"

#include <string.h>

#include "base/number.h"
#include "base/sort.h"
#include "programme/count/risk.h"

/* ---- reading ---- */

static bool is_known(const Diags *diags, const Diag *item)
{
    for (size_t k = 0; k < diags->count; k++) {
        const Diag *old = &diags->item[k];
        const char *a = old->at.file != NULL ? old->at.file : "", *b = item->at.file != NULL ? item->at.file : "";
        if (old->kind == item->kind && old->at.line == item->at.line && old->at.column == item->at.column &&
            strcmp(a, b) == 0 && strcmp(old->text, item->text) == 0)
            return true;
    }
    return false;
}

void loaded_tell(Diags *diags, const Diags *found, const char *where)
{
    for (size_t k = 0; k < found->count; k++) {
        if (!is_known(diags, &found->item[k]))
            diag_repeat(diags, &found->item[k], where);
    }
}

bool loaded_read(Loaded *loaded, const char *subject, const Overrides *overrides, FileStore *files, const char *where,
                 Diags *diags)
{
    Diags found;
    diags_init(&found);
    *loaded = (Loaded){.cap_row = -1};
    loaded->scenario = scenario_read(subject, overrides, files, &found);
    if (loaded->scenario != NULL)
        loaded->instance = instance_new(loaded->scenario, &found);
    if (loaded->instance != NULL)
        loaded->programme = programme_new(loaded->instance, &found);
    if (loaded->programme != NULL)
        loaded->cap_row = programme_cap_row(loaded->programme);
    loaded_tell(diags, &found, where);
    diags_release(&found);
    if (loaded->programme != NULL)
        return true;
    loaded_release(loaded);
    return false;
}

void loaded_release(Loaded *loaded)
{
    programme_free(loaded->programme);
    instance_free(loaded->instance);
    scenario_free(loaded->scenario);
    *loaded = (Loaded){.cap_row = -1};
}

/* ---- the cap ---- */

/* What is paid already, where the cap counts it. */
static int64_t counted_paid(const Loaded *loaded)
{
    return loaded->instance->model->counts_paid ? loaded->instance->paid : 0;
}

int64_t loaded_stated_cap(const Loaded *loaded, int64_t money)
{
    const int64_t both = money + counted_paid(loaded); /* below 0 where more came in for what was sold than was paid */
    return both > 0 ? model_cap_stated(loaded->instance->model, both) : 0;
}

int64_t loaded_pool_cap(const Loaded *loaded, const int *copies)
{
    RiskCount count;
    risk_count(loaded->instance, NULL, copies, &count);
    return loaded_stated_cap(loaded, count.protected);
}

int64_t loaded_cap_side(const Loaded *loaded, bool has_cap, int64_t cap)
{
    return has_cap ? (int64_t)floor_div(model_cap_in_force(loaded->instance->model, cap) - counted_paid(loaded),
                                        loaded->programme->row[loaded->cap_row].divisor)
                   : SEARCH_PLUS_INFINITY;
}

void loaded_set_cap(Loaded *loaded, bool has_cap, int64_t cap)
{
    Model *model = loaded->scenario->model; /* the instance looks at the same one */
    if (model->has_cap != has_cap || model->cap_stated != cap)
        model->cap_at = (SourcePos){0};
    model->has_cap = has_cap;
    model->cap_stated = cap;
    model->cap = model_cap_in_force(model, cap);
    limits_set_cap(loaded->instance);
    if (loaded->cap_row >= 0)
        loaded->programme->problem.row_high[loaded->cap_row] = loaded_cap_side(loaded, has_cap, cap);
}

/* ---- pools of one loaded scenario seen from another ---- */

void pool_carry(const Instance *from, const int *copies, const Instance *to, int *out)
{
    for (size_t c = 0; c < to->cards->count; c++) {
        const long there = card_find(from->cards, to->cards->card[c].name);
        const int wanted = there >= 0 ? copies[there] : 0;
        out[c] = wanted < to->most[c] ? wanted : to->most[c];
    }
}

static int by_fit(const void *a, const void *b)
{
    const PoolChange *x = a, *y = b;
    if (x->fit != y->fit)
        return x->fit > y->fit ? -1 : 1;
    return (x->order > y->order) - (x->order < y->order);
}

PoolChange *pool_changes(const Instance *from, const int *before, const Instance *to, const int *after, size_t *count)
{
    const CardSet *x = from->cards, *y = to->cards;
    PoolChange *list = mem_new(x->count + y->count, sizeof *list);
    *count = 0;
    for (size_t a = 0, b = 0; a < x->count || b < y->count;) {
        int order = a == x->count ? 1 : b == y->count ? -1 : strcmp(x->card[a].folded, y->card[b].folded);
        PoolChange change = {.name = order <= 0 ? x->card[a].name : y->card[b].name,
                             .fit = order >= 0 ? to->fit[b] : from->fit[a],
                             .price = order >= 0 ? to->price[b] : from->price[a],
                             .has_price = order >= 0 ? price_known(to, b) : price_known(from, a),
                             .order = a + b};
        if (order >= 0)
            change.by += after[b++];
        if (order <= 0)
            change.by -= before[a++];
        if (change.by != 0)
            list[(*count)++] = change;
    }
    sort_stable(list, *count, sizeof *list, by_fit);
    return list;
}

void pool_changes_sum(const PoolChange *change, size_t count, int *in, int *out)
{
    *in = *out = 0;
    for (size_t k = 0; k < count; k++)
        *(change[k].by > 0 ? in : out) += change[k].by > 0 ? change[k].by : -change[k].by;
}
