/* json.c - numbers as JSON. Fifteen significant digits print every exact value of ours back as it was (at most 10^12 in
 * the smallest unit). */
#include "report/json/json.h"

#include <stdlib.h>

json_t *json_money(int64_t cents)
{
    return json_real((double)cents / 100.0);
}

json_t *json_number_of(int64_t thousandths)
{
    return json_real((double)thousandths / 1000.0);
}

json_t *json_count(size_t count)
{
    return json_integer((json_int_t)count);
}

json_t *json_string_or_null(const char *text)
{
    return text != NULL ? json_string(text) : json_null();
}

json_t *json_price(const Instance *in, size_t card)
{
    return price_known(in, card) ? json_money(in->price[card]) : json_null();
}

json_t *json_cost(const Card *card)
{
    return card->has_cost ? json_number_of(card->cost) : json_null();
}

json_t *json_kinds(const CardSet *cards, const Card *card)
{
    json_t *list = json_array();
    for (size_t k = 0; k < card->kinds; k++)
        json_array_append_new(list, json_string(cards->kind[card->kind[k]]));
    return list;
}

json_t *json_measure(Measure measure, int64_t value)
{
    switch (measure_scale(measure)) {
    case 0: return json_integer(value);
    case 2: return json_money(value);
    default: return json_number_of(value);
    }
}

static json_t *bound_value(Measure measure, const Bounds *bounds, int64_t value)
{
    switch (bounds->kind) {
    case BOUND_PERCENT:
    case BOUND_RATIO: return json_number_of(value);
    case BOUND_ABSOLUTE:
    case BOUND_AVERAGE: break;
    }
    return json_measure(measure, value);
}

json_t *json_limit(Measure measure, const Bounds *bounds)
{
    json_t *limit = json_object();
    bool average = bounds->kind == BOUND_AVERAGE;
    if (bounds->has_low)
        json_object_set_new(limit, average ? "average_at_least" : "at_least",
                            bound_value(measure, bounds, bounds->low));
    if (bounds->has_high)
        json_object_set_new(limit, average ? "average_at_most" : "at_most", bound_value(measure, bounds, bounds->high));
    if (bounds->has_seen && bounds->has_low && bounds->low == bounds->seen.cards) {
        static const char *const by[] = {[DRAW_PACK] = "pack", [DRAW_OPENS] = "opens", [DRAW_SEES] = "sees"};
        json_t *seen = json_object();
        json_object_set_new(seen, "by", json_string(by[bounds->seen.by]));
        json_object_set_new(seen, "at_least", json_integer(bounds->seen.at_least));
        json_object_set_new(seen, "chance", json_number_of(bounds->seen.chance));
        json_object_set_new(limit, "seen", seen);
    }
    return limit;
}

json_t *json_wishers(const Card *card)
{
    json_t *list = json_array();
    for (size_t k = 0; k < card->wishers; k++)
        json_array_append_new(list, json_string(card->wisher[k].name));
    return list;
}

void json_set_impossible(json_t *object, bool proven, bool found)
{
    if (proven || found)
        json_object_set_new(object, "impossible", json_boolean(proven));
}

void json_set_bound(json_t *object, const Answer *answer)
{
    if (answer->has_bound && answer->status != ANSWER_INFEASIBLE)
        json_object_set_new(object, "bound", json_number_of(answer->bound));
}

void json_set_fit(json_t *object, const Answer *answer)
{
    const int64_t ppm = answer_gap_ppm(answer);
    if (answer->has_pool)
        json_object_set_new(object, "fit", json_number_of(answer->check.fit));
    json_set_bound(object, answer);
    if (ppm >= 0)
        json_object_set_new(object, "gap", json_real((double)ppm / 1e6));
}

static void add_step(json_t *item, const char *key, bool proven)
{
    json_object_set_new(item, key, json_string(proven ? "proven" : "open"));
}

json_t *json_among_equals(const AmongEquals *among, bool has_present)
{
    json_t *item = json_object();
    add_step(item, "cost", among->cost);
    if (has_present)
        add_step(item, "changes", among->changes);
    add_step(item, "names", among->names);
    return item;
}

json_t *json_notices(const Diags *notices)
{
    json_t *list = json_array();
    for (size_t k = 0; k < notices->count; k++) {
        const Diag *d = &notices->item[k];
        json_t *item = json_object();
        json_object_set_new(item, "file", json_string_or_null(d->at.file));
        json_object_set_new(item, "line", json_integer(d->at.line));
        json_object_set_new(item, "column", json_integer(d->at.column));
        json_object_set_new(item, "text", json_string(d->text));
        json_array_append_new(list, item);
    }
    return list;
}

bool json_finish(json_t *value, Text *out)
{
    if (value == NULL)
        return false;
    char *text = json_dumps(value, JSON_INDENT(2) | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15));
    json_decref(value);
    if (text == NULL)
        return false;
    text_add(out, text);
    text_add_char(out, '\n');
    free(text);
    return true;
}
