/* bounds_read.c - exactly and between stand alone; at_least and at_most may stand together; so may the two averages. */
#include "model/language/bounds_read.h"

#include <string.h>

#include "base/number.h"

static bool may_be_negative(Measure measure)
{
    return measure >= MEASURE_FIT;
}

static bool read_absolute(const ReadContext *context, const YamlNode *node, Measure measure, const char *expected,
                          int64_t *value)
{
    if (measure_is_whole(measure))
        return read_whole(context, node, 0, NUMBER_LIMIT, expected, value);
    if (!may_be_negative(measure))
        return read_money(context, node, expected, value);
    return read_number(context, node, 3, expected, value);
}

/* "15-18", "15 - 18", "15..18", also with the longer dashes: two numbers in one text. */
static bool is_range(const YamlNode *node)
{
    static const char digits[] = "0123456789", between[] = " -.\xE2\x80\x93\x94";
    if (node->kind != NODE_TEXT)
        return false;
    const char *text = node->text + strspn(node->text, digits);
    const size_t gap = strspn(text, between);
    const size_t last = strspn(text + gap, digits);
    const bool dash =
        gap > strspn(text, " ") && !(gap == 1 && text[0] == '.'); /* 12.5 is one number, 1 000 is something else */
    return text > node->text && dash && last > 0 && (text[gap + last] == '\0' || strcmp(text + gap + last, "%") == 0);
}

static bool report_range(const ReadContext *context, const YamlNode *node, const char *key)
{
    diag_error(context->diags, node->at,
               "found %s behind '%s', expected one number; a range is written 'between: [15, 18]'",
               yaml_found(node, context->arena), key);
    return false;
}

static bool read_side(const ReadContext *context, const YamlNode *node, Measure measure, const Bounds *bounds,
                      const char *key, int64_t *value)
{
    static const char *const unit[] = {"a whole number such as 8, or a percentage such as 50%", "",
                                       "an amount of money such as 90.00, or a percentage",
                                       "a number such as 3.5, or a percentage"};
    const char *expected = arena_printf(context->arena, "%s behind '%s'", unit[measure_scale(measure)], key);
    if (is_range(node))
        return report_range(context, node, key);
    if (bounds->kind == BOUND_PERCENT)
        return read_percent(context, node, expected, value);
    if (bounds->kind == BOUND_AVERAGE)
        expected = arena_printf(context->arena, "a number behind '%s'", key);
    return read_absolute(context, node, measure, expected, value);
}

static const char *key_name(int key)
{
    return bound_fields.field[key].name;
}

/* Do the keys go together? */
static bool check_company(const ReadContext *context, const BoundsDraft *draft)
{
    bool absolute = false, average = false, alone = false;
    int count = 0;
    const YamlNode *first_average = NULL;
    const Slot *seen = &draft->slot[RULE_SEEN];
    for (int i = 0; i < BOUND_KEYS && seen->key != NULL; i++)
        if (draft->slot[i].key != NULL && i != RULE_SEEN && i != RULE_AT_MOST) {
            diag_error(context->diags, seen->key->at, "found 'seen' beside '%s', expected it alone or with 'at_most'",
                       key_name(i));
            return false;
        }
    for (int i = 0; i < BOUND_KEYS; i++) {
        if (draft->slot[i].key == NULL)
            continue;
        count++;
        bool is_average = i == RULE_AVERAGE_AT_LEAST || i == RULE_AVERAGE_AT_MOST;
        if (is_average && first_average == NULL)
            first_average = draft->slot[i].key;
        average = average || is_average;
        absolute = absolute || !is_average;
        alone = alone || i == RULE_EXACTLY || i == RULE_BETWEEN;
    }
    if (average && absolute) {
        diag_error(context->diags, first_average->at,
                   "found '%s' beside another bound, expected averages alone; write a rule of its own for them",
                   first_average->text);
        return false;
    }
    if (alone && count > 1) {
        int key = draft->slot[RULE_EXACTLY].key != NULL ? RULE_EXACTLY : RULE_BETWEEN;
        diag_error(context->diags, draft->slot[key].key->at, "found '%s' beside another bound, expected it alone",
                   key_name(key));
        return false;
    }
    return true;
}

static bool set_kind(const ReadContext *context, const BoundsDraft *draft, Measure measure,
                     const YamlNode *const value[2], Bounds *bounds)
{
    bool average = draft->slot[RULE_AVERAGE_AT_LEAST].key != NULL || draft->slot[RULE_AVERAGE_AT_MOST].key != NULL;
    const YamlNode *any = value[0] != NULL ? value[0] : value[1];
    bool percent = any != NULL && value_is_percent(any);
    if (value[0] != NULL && value[1] != NULL && value_is_percent(value[0]) != value_is_percent(value[1])) {
        diag_error(context->diags, value[1]->at, "found a percentage beside a number, expected two of one sort");
        return false;
    }
    if (average && measure_is_whole(measure)) {
        diag_error(context->diags, draft->at, "a count has no average; expected a measure such as 'measure: cost'");
        return false;
    }
    if (average && percent) {
        report_unexpected(context, any, "a number, since an average is no percentage");
        return false;
    }
    bounds->kind = average ? BOUND_AVERAGE : percent ? BOUND_PERCENT : BOUND_ABSOLUTE;
    return true;
}

/* The nodes of the low and the high side; NULL where there is none. False when reported. */
static bool find_sides(const ReadContext *context, const BoundsDraft *draft, const YamlNode *side[2],
                       const char *name[2])
{
    for (int i = 0; i < BOUND_KEYS; i++) {
        const Slot *slot = &draft->slot[i];
        if (slot->key == NULL || i == RULE_SEEN)
            continue;
        if (i == RULE_BETWEEN) {
            if (slot->value->kind == NODE_LIST && slot->value->count != 2) {
                diag_error(context->diags, slot->value->at,
                           "found a list of %zu, expected two numbers with a comma between, such as [2, 4]",
                           slot->value->count);
                return false;
            }
            if (slot->value->kind != NODE_LIST) {
                report_unexpected(context, slot->value, bound_fields.field[i].value);
                return false;
            }
            side[0] = slot->value->item[0];
            side[1] = slot->value->item[1];
            name[0] = name[1] = key_name(i);
            continue;
        }
        bool high_only = i == RULE_AT_MOST || i == RULE_AVERAGE_AT_MOST;
        bool low_only = i == RULE_AT_LEAST || i == RULE_AVERAGE_AT_LEAST;
        if (!high_only) {
            side[0] = slot->value;
            name[0] = key_name(i);
        }
        if (!low_only) {
            side[1] = slot->value;
            name[1] = key_name(i);
        }
    }
    return true;
}

/* `seen` is a number of cards that is not known yet. */
static bool set_seen(const ReadContext *context, const BoundsDraft *draft, Measure measure, Bounds *bounds)
{
    const Slot *slot = &draft->slot[RULE_SEEN];
    if (slot->key == NULL)
        return true;
    if (measure != MEASURE_COUNT || bounds->kind != BOUND_ABSOLUTE) {
        diag_error(context->diags, slot->key->at,
                   "found 'seen' in a rule that counts no copies, expected it only there: no measure, no percentage");
        return false;
    }
    bounds->has_low = bounds->has_seen = true;
    return seen_read(context, slot->value, &bounds->seen);
}

bool bounds_read(const ReadContext *context, const BoundsDraft *draft, Measure measure, Bounds *bounds)
{
    const YamlNode *side[2] = {NULL, NULL};
    const char *name[2] = {NULL, NULL};
    Bounds result = {.size_at = draft->size_at, .at = draft->at};
    if (!check_company(context, draft) || !find_sides(context, draft, side, name) ||
        !set_kind(context, draft, measure, side, &result))
        return false;
    if (!set_seen(context, draft, measure, &result))
        return false;
    result.exactly = draft->slot[RULE_EXACTLY].key != NULL;
    result.has_low = result.has_seen || side[0] != NULL;
    result.has_high = side[1] != NULL;
    if (side[0] != NULL && !read_side(context, side[0], measure, &result, name[0], &result.low))
        return false;
    if (result.exactly)
        result.high = result.low;
    else if (result.has_high && !read_side(context, side[1], measure, &result, name[1], &result.high))
        return false;
    if (result.has_low && result.has_high && result.low > result.high) {
        diag_error(context->diags, draft->at, "the bounds contradict each other: at least %s, but at most %s",
                   side[0]->text, side[1]->text);
        return false;
    }
    *bounds = result;
    return true;
}
