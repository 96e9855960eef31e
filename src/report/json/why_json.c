/* why_json.c - explanations as JSON; the schema is in docs/verbs.md. */
#include <string.h>

#include "report/words/explain_words.h"
#include "report/explain_report.h"
#include "report/json/json.h"
#include "report/words/history.h"
#include "report/words/limit_words.h"

json_t *range_json(const Range *range, bool money)
{
    json_t *item = json_object();
    if (range->has_low)
        json_object_set_new(item, "at_least", money ? json_money(range->low) : json_number_of(range->low));
    if (range->has_high)
        json_object_set_new(item, "at_most", money ? json_money(range->high) : json_number_of(range->high));
    return item;
}

static void add_copies(const Instance *in, size_t card, int copies, json_t *list)
{
    json_array_append_new(list, json_pack("{s:s, s:i}", "name", in->cards->card[card].name, "copies", copies));
}

static json_t *moved_json(const Instance *in, const Moved *moved, size_t count)
{
    json_t *list = json_array();
    for (size_t k = 0; k < count; k++)
        add_copies(in, moved[k].card, moved[k].copies, list);
    return list;
}

json_t *copies_json(const Instance *in, const int *copies)
{
    json_t *list = json_array();
    for (size_t c = 0; c < in->cards->count; c++)
        if (copies[c] > 0)
            add_copies(in, c, copies[c], list);
    return list;
}

void exchange_json(const Instance *in, const Exchange *exchange, json_t *item)
{
    json_object_set_new(item, "enters", moved_json(in, exchange->enters, exchange->enter_count));
    json_object_set_new(item, "leaves", moved_json(in, exchange->leaves, exchange->leave_count));
    if (exchange->fewest != FEWEST_NOT_ASKED) {
        json_object_set_new(item, "changes", json_integer(exchange_changes(exchange)));
        json_object_set_new(item, "fewest", json_string(exchange->fewest == FEWEST_PROVEN ? "proven" : "open"));
    }
}

static const char *side_word(const Side *side)
{
    if (limit_is_status(side->limit))
        return limit_kind_name(side->limit->kind);
    return side->row < 0 ? "structure" : side->low ? "at_least" : "at_most";
}

json_t *side_json(const Side *side)
{
    const Bounds bounds = side_bounds(side);
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(side->limit->name));
    json_object_set_new(item, "of", json_string(side->limit->of));
    json_object_set_new(item, "limit_kind", json_string(limit_kind_name(side->limit->kind)));
    json_object_set_new(item, "side", json_string(side_word(side)));
    if (!limit_is_status(side->limit) && side->row >= 0)
        json_object_set_new(item, "limit", json_limit(side->limit->measure, &bounds));
    limit_json_unit(side->limit->measure, &bounds, item);
    Arena *arena = arena_new();
    json_object_set_new(item, "asks", json_string(words_side_limit(side, arena)));
    arena_free(arena);
    limit_json_place(side->limit, item);
    return item;
}

/* By how much it is loosened, in words; at_most: by no more than so much. */
static json_t *loosened_json(const Side *side, int64_t units, bool at_most)
{
    Arena *arena = arena_new();
    json_t *text = json_sprintf("%s%s", at_most ? "at most " : "", words_loosening(side, units, arena));
    arena_free(arena);
    return text;
}

static json_t *units_json(const Side *side, int64_t units)
{
    return json_measure(side->limit->measure, words_units_written(side, units));
}

static json_t *loosening_json(const Side *side, const Range *units)
{
    json_t *item = json_object();
    if (units->has_low)
        json_object_set_new(item, "at_least", units_json(side, units->low));
    if (units->has_high)
        json_object_set_new(item, "at_most", units_json(side, units->high));
    return item;
}

json_t *sides_json(const Explain *e, const int *side, int sides)
{
    json_t *list = json_array();
    for (int k = 0; k < sides; k++)
        json_array_append_new(list, side_json(&e->sides->side[side[k]]));
    return list;
}

json_t *conflict_json(const Explain *e, const Conflict *conflict)
{
    json_t *item = json_object();
    json_object_set_new(item, "found", json_boolean(conflict->found));
    json_object_set_new(item, "minimal", json_boolean(conflict->found && conflict->minimal));
    json_object_set_new(item, "limits", sides_json(e, conflict->side, conflict->sides));
    return item;
}

static json_t *groups_json(const Explain *e, const Conflict *group, size_t count)
{
    json_t *list = json_array();
    for (size_t k = 0; k < count; k++)
        json_array_append_new(list, conflict_json(e, &group[k]));
    return list;
}

static void conflict_list_json(const Explain *e, const ConflictList *list, json_t *root)
{
    json_object_set_new(root, "conflicts", groups_json(e, list->conflict, list->conflicts));
    json_object_set_new(root, "repairs", groups_json(e, list->repair, list->repairs));
    json_object_set_new(root, "complete", json_boolean(list->complete));
}

static json_t *repair_json(const Explain *e, const Repair *repair)
{
    json_t *item = json_object(), *changes = json_array();
    json_object_set_new(item, "found", json_boolean(repair->found));
    json_object_set_new(item, "least", json_boolean(repair->found && repair->least));
    for (int s = 0; repair->found && s < e->sides->sides; s++) {
        if (repair->units[s] <= 0)
            continue;
        json_t *change = side_json(&e->sides->side[s]);
        json_object_set_new(change, "by", units_json(&e->sides->side[s], repair->units[s]));
        json_object_set_new(change, "loosened", loosened_json(&e->sides->side[s], repair->units[s], false));
        json_array_append_new(changes, change);
    }
    json_object_set_new(item, "changes", changes);
    if (!repair->found) {
        if (repair->impossible)
            json_object_set_new(item, "impossible", json_true());
        return item;
    }
    int *copies = mem_new(e->instance->cards->count + 1, sizeof *copies);
    explain_copies(e, repair->best.x, copies);
    PoolCheck check;
    pool_check(e->instance, copies, &check); /* a search that was stopped may count what copies add by less */
    json_object_set_new(item, "fit", json_number_of(check.fit));
    pool_check_release(&check);
    json_object_set_new(item, "best", json_boolean(repair->best.status == PROBE_SOLVED));
    json_object_set_new(item, "pool", copies_json(e->instance, copies));
    mem_free(copies);
    return item;
}

static const char *blame_word(BlameKind kind)
{
    static const char *const word[] = {"solved", "range", "never", "unknown"};
    return word[kind];
}

static json_t *blames_json(const Explain *e, const Why *why)
{
    json_t *list = json_array();
    for (size_t k = 0; k < why->blames; k++) {
        const Blame *b = &why->blame[k];
        json_t *item = side_json(&e->sides->side[b->side]);
        json_object_set_new(item, "kind", json_string(blame_word(b->kind)));
        if (b->kind != BLAME_NEVER)
            json_object_set_new(item, "by", loosening_json(&e->sides->side[b->side], &b->units));
        if (blame_helps(b))
            json_object_set_new(item, "loosened",
                                loosened_json(&e->sides->side[b->side], b->units.high, b->kind == BLAME_RANGE));
        if (b->order > 0) {
            json_object_set_new(item, "within", units_json(&e->sides->side[b->side], b->within));
            json_object_set_new(item, "likeliest", json_integer(b->order));
        }
        json_array_append_new(list, item);
    }
    return list;
}

/* Combinations of which the card holds a part alone. */
static void add_sets_held(const Explain *e, size_t card, json_t *root)
{
    json_t *list = json_array();
    for (size_t f = 0; f < e->instance->forms; f++) {
        const Form *form = &e->instance->form[f];
        for (int part = 0; form->kind == FORM_SETS && part < form->parts; part++)
            if (form_part_single(form, e->copies, part) == (long)card)
                json_array_append_new(list, json_pack("{s:s, s:i}", "name", form->name, "part", part + 1));
    }
    if (json_array_size(list) > 0)
        json_object_set_new(root, "alone_in", list);
    else
        json_decref(list);
}

/* What the card is now, and where the user says that it must be in or out, or why it takes no part. */
static void add_standing(const Instance *in, const Why *why, json_t *root)
{
    json_object_set_new(root, "fit", json_number_of(in->fit[why->card]));
    json_object_set_new(root, "price", json_price(in, why->card));
    if (!why->candidate)
        json_object_set_new(root, "left_out", json_string(in->skipped[why->card] ? "no price" : "no copies"));
    if ((why->kept || why->banned) && in->status_at[why->card].file != NULL) {
        json_object_set_new(root, "file", json_string(in->status_at[why->card].file));
        json_object_set_new(root, "line", json_integer(in->status_at[why->card].line));
    }
}

/* What hangs on the card, in the sentences of the screen. */
static void add_sentences(const Explain *e, const Why *why, json_t *root)
{
    json_t *list = json_array();
    Text text = {0};
    why_sentences_text(e, why, &text);
    const char *end;
    for (const char *line = text_cstr(&text); (end = strchr(line, '\n')) != NULL; line = end + 1)
        json_array_append_new(list, json_stringn(line, (size_t)(end - line)));
    json_object_set_new(root, "text", list);
    text_release(&text);
}

json_t *why_json(const Explain *e, const Why *why)
{
    const Instance *in = e->instance;
    json_t *root = json_object();
    json_object_set_new(root, "name", json_string(in->cards->card[why->card].name));
    json_object_set_new(root, "in", json_boolean(why->in));
    json_object_set_new(root, "candidate", json_boolean(why->candidate));
    json_object_set_new(root, "kept", json_boolean(why->kept));
    json_object_set_new(root, "banned", json_boolean(why->banned));
    add_standing(in, why, root);
    history_json(in, why->card, root);
    add_sets_held(e, why->card, root);
    json_set_impossible(root, why->impossible, why->forced);
    if (why->impossible)
        json_object_set_new(root, "conflict", conflict_json(e, &why->conflict));
    else
        json_object_set_new(root, "loss", range_json(&why->loss, false));
    if (why->list.conflicts > 0)
        conflict_list_json(e, &why->list, root);
    if (why->forced)
        exchange_json(in, &why->exchange, root);
    if (why->one_swap) {
        const Single *one = &why->single;
        const bool alone = one->card == why->card;
        json_object_set_new(root, "one_swap",
                            json_pack("{s:o, s:o, s:o}", "leaves",
                                      alone ? json_null() : json_string(in->cards->card[one->card].name), "loss",
                                      json_number_of(-one->fit_change), "cost_change", json_money(one->cost_change)));
    }
    if (why->fit_from.has_low || why->fit_from.has_high)
        json_object_set_new(root, "fit_from", range_json(&why->fit_from, false));
    if (why->price_asked) {
        const bool helps = why->price.has_low || why->dearer.has_high;
        json_object_set_new(root, "price_helps",
                            helps                                   ? json_true()
                            : why->price_never && why->dearer_never ? json_false()
                                                                    : json_null());
        if (!why->price_never)
            json_object_set_new(root, "price_from", range_json(&why->price, true));
        if (!why->dearer_never)
            json_object_set_new(root, "price_above", range_json(&why->dearer, true));
        json_object_set_new(root, "price_or_less", json_boolean(why->price_below));
    }
    add_sentences(e, why, root);
    json_object_set_new(root, "limits", blames_json(e, why));
    return root;
}

static json_t *name_json(const Instance *in, long card)
{
    return card >= 0 ? json_string(in->cards->card[card].name) : json_null();
}

static json_t *one_swap_json(const Instance *in, const OneSwap *one)
{
    json_t *item = one->found ? json_object() : json_null();
    if (!one->found)
        return item;
    json_object_set_new(item, "enters", name_json(in, one->enters));
    json_object_set_new(item, "leaves", name_json(in, one->leaves));
    json_object_set_new(item, "gain", json_number_of(one->fit_change));
    json_object_set_new(item, "cost_change", json_money(one->cost_change));
    return item;
}

static json_t *binding_json(const Explain *e, const Binding *b)
{
    static const char *const kind[] = {"step", "nothing", "unknown"};
    const Side *side = &e->sides->side[b->side];
    json_t *item = side_json(side);
    json_object_set_new(item, "kind", json_string(kind[b->kind]));
    json_object_set_new(item, "within", units_json(side, b->within));
    Arena *arena = arena_new();
    json_object_set_new(item, "loosened", json_string(words_binding(e, b, NULL, arena)));
    arena_free(arena);
    if (b->kind == BINDING_NOTHING)
        return item;
    json_object_set_new(item, "from_step", loosening_json(side, &b->step));
    json_object_set_new(item, "gain", range_json(&b->gain, false));
    if (b->has_exchange)
        exchange_json(e->instance, &b->exchange, item);
    if (b->one.asked)
        json_object_set_new(item, "one_swap", one_swap_json(e->instance, &b->one));
    return item;
}

static json_t *firmness_json(const Explain *e, const Rangings *f)
{
    static const char *const kind[] = {"sure", "could as well", "interchangeable", "kept", "unknown"};
    static const char *const matters[] = {"yes", "no", "unknown"};
    json_t *root = json_object(), *list = json_array();
    for (size_t k = 0; k < f->count; k++) {
        const Ranging *ranging = &f->ranging[k];
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(e->instance->cards->card[ranging->card].name));
        json_object_set_new(item, "in", json_boolean(ranging->in));
        json_object_set_new(item, "kind", json_string(kind[ranging->kind]));
        if (ranging->kind != RANGING_KEPT && ranging->loss.low < INT64_MAX / 8)
            json_object_set_new(item, "loss", range_json(&ranging->loss, false));
        json_object_set_new(item, "score_matters", json_string(matters[ranging_score_matters(f, ranging)]));
        exchange_json(e->instance, &ranging->exchange, item);
        json_array_append_new(list, item);
    }
    json_object_set_new(root, "margin", json_number_of(f->margin));
    json_object_set_new(root, "cards", list);
    if (f->of > 0) {
        json_object_set_new(root, "trials", json_integer(f->runs));
        json_object_set_new(root, "stays", json_real((double)f->stayed / (double)f->of));
        json_object_set_new(root, "trials_proven", json_boolean(f->stayed_proven));
    }
    return root;
}

static json_t *alternatives_json(const Explain *e, const Alternatives *a)
{
    json_t *list = json_array();
    for (size_t k = 0; k < a->count; k++) {
        const Alternative *one = &a->alternative[k];
        json_t *item = json_object();
        json_object_set_new(item, "fit", json_number_of(one->fit));
        json_object_set_new(item, "cost", json_money(one->cost));
        json_object_set_new(item, "loss", range_json(&one->loss, false));
        json_object_set_new(item, "best", json_boolean(one->best));
        exchange_json(e->instance, &one->exchange, item);
        json_array_append_new(list, item);
    }
    return list;
}

void explained_json(const Explained *x, json_t *root)
{
    if (x == NULL || x->explain == NULL)
        return;
    const Explain *e = x->explain;
    if (e->has_pool) {
        json_t *binding = json_array(), *wishes = json_array();
        for (size_t k = 0; k < x->bindings; k++)
            json_array_append_new(binding, binding_json(e, &x->binding[k]));
        for (size_t k = 0; k < x->wishes; k++)
            json_array_append_new(wishes, why_json(e, &x->wish[k]));
        json_object_set_new(root, "binding", binding);
        json_object_set_new(root, "wishes_out", wishes);
    }
    if (x->has_causes)
        json_object_set_new(root, "causes", causes_json(e, &x->causes));
    if (x->has_conflict)
        json_object_set_new(root, "conflict", conflict_json(e, &x->conflict));
    if (x->has_repair)
        json_object_set_new(root, "repair", repair_json(e, &x->repair));
    if (x->has_list)
        conflict_list_json(e, &x->list, root);
    if (x->has_firmness)
        json_object_set_new(root, "firmness", firmness_json(e, &x->firmness));
    if (x->has_alternatives)
        json_object_set_new(root, "alternatives", alternatives_json(e, &x->alternatives));
}
