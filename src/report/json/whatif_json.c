/* whatif_json.c - what-ifs as JSON; the schema is in docs/verbs.md. */
#include "base/number.h"
#include "report/explain_report.h"
#include "report/json/json.h"
#include "report/list/revise_report.h"
#include "report/words/limit_words.h"
#include "report/structure.h"
#include "programme/count/pool_summary.h"
#include "report/whatif_report.h"

static json_t *tight_json(const WhatIfCase *item)
{
    json_t *list = json_array();
    for (size_t k = 0; k < item->tights; k++)
        json_array_append_new(list, limit_json(item->tight[k]->limit, &item->tight[k]->bounds));
    return list;
}

static void add_themes(const WhatIf *all, const WhatIfCase *item, json_t *root)
{
    const Instance *in = all->loaded[item->loaded].instance;
    PoolSummary sum;
    pool_summary(in, &item->answer, &sum);
    int64_t dealt = 0, size = 0;
    const bool seats = draft_share(all, item, &dealt, &size);
    if (seats) {
        json_object_set_new(root, "enough_for_seats", json_integer(seats_enough_for(all, item)));
        json_object_set_new(root, "draft_sees", json_number_of((int64_t)round_div((int128)dealt * PERCENT_ONE, size)));
    }
    json_t *list = json_array();
    for (size_t t = 0; t < in->model->themes; t++) {
        json_t *entry = json_object();
        json_object_set_new(entry, "name", json_string(in->model->theme[t].name));
        json_object_set_new(entry, "cards", json_integer(sum.theme[t].cards));
        json_object_set_new(entry, "strength", json_number_of(sum.theme[t].strength));
        if (seats)
            json_object_set_new(entry, "expected",
                                json_number_of((int64_t)round_div((int128)sum.theme[t].cards * dealt * 1000, size)));
        json_array_append_new(list, entry);
    }
    json_object_set_new(root, "themes", list);
    if (sum.weakest >= 0)
        json_object_set_new(root, "weakest", json_string(in->model->theme[sum.weakest].name));
    pool_summary_release(&sum);
}

/* Places of themes, as they are at this size: they are rounded theme by theme, so there is no one bound that they come
 * from. */
static void add_places(const Instance *in, json_t *root)
{
    json_t *list = json_array();
    for (size_t l = 0; l < in->limits; l++) {
        const Limit *limit = &in->limit[l];
        if (limit->kind != LIMIT_PLACES)
            continue;
        json_t *entry = json_object(), *themes = json_object();
        json_object_set_new(entry, "colour", json_string(limit->of));
        for (size_t k = 0; k < limit->of_themes; k++)
            json_object_set_new(themes, in->model->theme[limit->of_theme[k]].name, json_integer(limit->count[k]));
        json_object_set_new(entry, "themes", themes);
        json_array_append_new(list, entry);
    }
    if (json_array_size(list) > 0)
        json_object_set(root, "places_asked", list);
    json_decref(list);
}

static json_t *scaled_json(const Instance *in)
{
    json_t *list = json_array();
    for (size_t m = 0; m < in->members; m++) {
        const RuleMember *member = &in->member[m];
        if (member->bounds.low == member->written.low && member->bounds.high == member->written.high)
            continue;
        json_t *entry = json_object();
        json_object_set_new(entry, "name", json_string(member->rule->name));
        json_object_set_new(entry, "of", json_string(member->of));
        json_object_set_new(entry, "written", json_limit(member->rule->measure, &member->written));
        json_object_set_new(entry, "written_for", json_integer(member->written.size_at));
        json_object_set_new(entry, "limit", json_limit(member->rule->measure, &member->bounds));
        json_array_append_new(list, entry);
    }
    return list;
}

static json_t *case_json(const WhatIf *all, const WhatIfCase *item)
{
    const Answer *a = &item->answer;
    const Instance *in = all->loaded[item->loaded].instance;
    json_t *root = json_object();
    json_object_set_new(root, "name", json_string(item->name));
    json_object_set_new(root, "status", json_string(answer_status_name(a->status)));
    json_object_set_new(root, "cap", item->has_cap ? json_money(item->cap) : json_null());
    json_set_fit(root, a);
    if (item->explain != NULL)
        json_object_set_new(root, "causes", causes_json(item->explain, &item->causes));
    if (item->explain != NULL && item->conflict.found)
        json_object_set_new(root, "conflict", conflict_json(item->explain, &item->conflict));
    if (!a->has_pool)
        return root;
    json_object_set_new(root, "cost", json_money(a->check.cost));
    json_object_set_new(root, "size", json_integer(a->check.size));
    json_object_set_new(root, "among_equals", json_among_equals(&a->equals, in->has_present));
    if (item->other_fit)
        json_object_set_new(root, "fit_as_base", json_number_of(item->base_fit));
    add_themes(all, item, root);
    json_object_set_new(root, "structure_adds", json_number_of(a->check.bonus));
    json_object_set_new(root, "structure", structure_forms_json(in, &a->check));
    json_t *chosen = structure_chosen_json(in, &a->check);
    if (chosen != NULL)
        json_object_set_new(root, "chosen", chosen);
    if (item->compared) {
        json_object_set_new(root, "enters", changes_as_json(item->change, item->changes, 1));
        json_object_set_new(root, "leaves", changes_as_json(item->change, item->changes, -1));
    }
    if (item->has_nearest) {
        json_t *nearest = json_object();
        exchange_json(in, &item->nearest, nearest);
        json_object_set_new(root, "nearest", nearest);
    } else if (item->nearest.fewest != FEWEST_NOT_ASKED) {
        json_object_set_new(root, "changes", json_integer(item->in + item->out));
        json_object_set_new(root, "fewest", json_string(item->nearest.fewest == FEWEST_PROVEN ? "proven" : "open"));
    }
    json_object_set_new(root, "newly_tight", tight_json(item));
    json_object_set_new(root, "scaled", scaled_json(in));
    add_places(in, root);
    json_object_set_new(root, "pool", copies_json(in, a->copies));
    return root;
}

static json_t *money_json(const MoneyBand *band)
{
    if (!band->known)
        return json_null();
    json_t *root = json_object();
    json_object_set_new(root, "at_least", json_money(band->low));
    json_object_set_new(root, "at_most", json_money(band->high));
    return root;
}

static json_t *frontier_json(const WhatIf *all, const Frontier *f)
{
    json_t *root = json_object(), *cases = json_array(), *dead = json_array();
    bool found = f->least.known || f->has_free;
    for (size_t k = 0; k < f->count; k++) {
        json_array_append_new(cases, json_string(all->item[f->first + k].name));
        found = found || all->item[f->first + k].answer.has_pool;
    }
    for (size_t k = 0; k < f->deads; k++) {
        json_t *zone = json_object();
        json_object_set_new(zone, "from", json_money(f->dead[k].from));
        json_object_set_new(zone, "to", json_money(f->dead[k].to));
        json_array_append_new(dead, zone);
    }
    json_object_set_new(root, "cases", cases);
    json_object_set_new(root, "steps", json_boolean(f->steps));
    json_object_set_new(root, "every_step_from",
                        f->exact < f->count ? json_money(all->item[f->first + f->exact].cap) : json_null());
    if (f->money_large)
        json_object_set_new(root, "too_large", json_true());
    json_set_impossible(root, f->impossible, found);
    json_object_set_new(root, "least_cap", money_json(&f->least));
    json_object_set_new(root, "enough", money_json(&f->enough));
    if (f->has_free) {
        json_object_set_new(root, "fit_without_cap", json_number_of(f->free_fit));
        json_object_set_new(root, "bound_without_cap", json_number_of(f->free_bound));
    }
    json_object_set_new(root, "knee",
                        f->knee >= 0 ? json_money(all->item[f->first + (size_t)f->knee].cap) : json_null());
    json_object_set_new(root, "buys_nothing", dead);
    return root;
}

static json_t *refused_json(const RefusedSize *refused)
{
    json_t *root = json_object();
    json_object_set_new(root, "name", json_string(refused->name));
    json_object_set_new(root, "text", json_string(refused->text));
    json_object_set_new(root, "file", json_string_or_null(refused->at.file));
    json_object_set_new(root, "line", json_integer(refused->at.line));
    return root;
}

json_t *what_if_json(const WhatIf *what_if, const Diags *notices)
{
    json_t *root = json_object(), *cases = json_array(), *frontiers = json_array(), *refused = json_array();
    for (size_t k = 0; k < what_if->refuseds; k++)
        json_array_append_new(refused, refused_json(&what_if->refused[k]));
    for (size_t k = 0; k < what_if->count; k++)
        json_array_append_new(cases, case_json(what_if, &what_if->item[k]));
    for (size_t k = 0; k < what_if->frontiers; k++)
        json_array_append_new(frontiers, frontier_json(what_if, &what_if->frontier[k]));
    json_object_set_new(root, "cases", cases);
    json_object_set_new(root, "frontiers", frontiers);
    json_object_set_new(root, "refused", refused);
    json_object_set_new(root, "stopped", json_boolean(what_if->stopped));
    json_object_set_new(root, "notices", json_notices(notices));
    return root;
}
