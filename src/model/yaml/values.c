/* values.c - reading single values. */
#include "model/yaml/values.h"

#include <string.h>
#include <strings.h>

#include "base/number.h"
#include "base/text.h"

void report_unexpected(const ReadContext *context, const YamlNode *node, const char *expected)
{
    diag_error(context->diags, node->at, "found %s, expected %s", yaml_found(node, context->arena), expected);
}

bool read_text(const ReadContext *context, const YamlNode *node, const char *expected, const char **text)
{
    size_t length = node->kind == NODE_TEXT ? strlen(node->text) : 0;
    const char *start = length > 0 ? text_trim(node->text, &length) : NULL;
    if (node->kind == NODE_MAP && node->count == 1) { /* a name such as "Kite: Ash" without quotes */
        diag_error(context->diags, node->at,
                   "found a map that begins with '%s:', expected %s; text that holds ': ' stands in quotes",
                   node->pair[0].key->text, expected);
        return false;
    }
    if (length == 0) {
        report_unexpected(context, node, expected);
        return false;
    }
    if (strpbrk(node->text, "\r\n") != NULL) {
        diag_error(context->diags, node->at, "found a text of several lines, expected %s", expected);
        return false;
    }
    *text = arena_strndup(context->arena, start, length);
    return true;
}

/* The value, or false with the reason reported. */
static bool accept(const ReadContext *context, const YamlNode *node, NumberStatus status, int scale,
                   const char *expected)
{
    const char *found = yaml_found(node, context->arena);
    if (status == NUMBER_OK)
        return true;
    if (status == NUMBER_TOO_FINE && scale == 0)
        diag_error(context->diags, node->at, "found %s, expected %s%s", found,
                   strstr(expected, "whole") != NULL ? "" : "a whole number: ", expected);
    else if (status == NUMBER_TOO_FINE)
        diag_error(context->diags, node->at, "found %s, expected at most %d decimals: %s", found, scale, expected);
    else if (status == NUMBER_TOO_LARGE)
        diag_error(context->diags, node->at, "found %s, which is too large, expected %s", found, expected);
    else
        diag_error(context->diags, node->at, "found %s, expected %s", found, expected);
    return false;
}

bool read_number(const ReadContext *context, const YamlNode *node, int scale, const char *expected, int64_t *value)
{
    NumberStatus status = node->kind == NODE_TEXT ? number_parse(node->text, scale, false, value) : NUMBER_NONE;
    return accept(context, node, status, scale, expected);
}

bool read_whole(const ReadContext *context, const YamlNode *node, int64_t least, int64_t most, const char *expected,
                int64_t *value)
{
    int64_t number = 0;
    if (!read_number(context, node, 0, expected, &number))
        return false;
    if (number < least || number > most) {
        report_unexpected(context, node, expected);
        return false;
    }
    *value = number;
    return true;
}

static bool accept_not_negative(const ReadContext *context, const YamlNode *node, NumberStatus status, int scale,
                                int64_t number, const char *expected)
{
    if (!accept(context, node, status, scale, expected))
        return false;
    if (number < 0)
        diag_error(context->diags, node->at, "found %s, which is negative, expected %s",
                   yaml_found(node, context->arena), expected);
    return number >= 0;
}

bool read_money(const ReadContext *context, const YamlNode *node, const char *expected, int64_t *cents)
{
    int64_t number = 0;
    NumberStatus status = node->kind == NODE_TEXT ? number_parse_money(node->text, false, &number) : NUMBER_NONE;
    if ((status == NUMBER_OK || status == NUMBER_TOO_FINE) && number_may_be_thousands(node->text)) {
        char hint[NUMBER_HINT];
        diag_error(context->diags, node->at, "found %s, expected %s", yaml_found(node, context->arena),
                   number_thousands_hint(hint, node->text));
        return false;
    }
    int64_t ignored;
    if (status == NUMBER_NONE && node->kind == NODE_TEXT &&
        (number_has_thousands(node->text) || number_parse_money(node->text, true, &ignored) == NUMBER_OK))
        expected = arena_printf(context->arena, "%s (with a decimal point, without separators of thousands)", expected);
    if (!accept_not_negative(context, node, status, 2, number, expected) ||
        !currency_alike(context->currency, context->met, "", node->text, node->at, context->diags))
        return false;
    *cents = number;
    return true;
}

bool read_percent(const ReadContext *context, const YamlNode *node, const char *expected, int64_t *thousandths)
{
    int64_t number = 0;
    NumberStatus status = node->kind == NODE_TEXT ? number_parse_percent(node->text, &number) : NUMBER_NONE;
    if (!accept_not_negative(context, node, status, 3, number, expected))
        return false;
    *thousandths = number;
    return true;
}

static bool read_unit(const ReadContext *context, FieldUnit unit, const YamlNode *node, const char *expected,
                      int64_t *value)
{
    switch (unit) {
    case UNIT_NONE: break;
    case UNIT_WHOLE: return read_number(context, node, 0, expected, value);
    case UNIT_THOUSANDTHS: return read_number(context, node, 3, expected, value);
    case UNIT_CENTS: return read_money(context, node, expected, value);
    case UNIT_PERCENT: return read_percent(context, node, expected, value);
    }
    return false;
}

bool read_ranged(const ReadContext *context, const FieldTable *table, int key, const YamlNode *node, int64_t *value)
{
    const FieldRange *range = &table->range[key];
    const char *expected = table->field[key].value;
    int64_t number = 0;
    if (!read_unit(context, range->unit, node, expected, &number))
        return false;
    if (number < range->least || number > range->most) {
        report_unexpected(context, node, expected);
        return false;
    }
    *value = number;
    return true;
}

bool read_slot(const ReadContext *context, const FieldTable *table, int key, const Slot *slot, int64_t *value)
{
    return slot[key].key != NULL && read_ranged(context, table, key, slot[key].value, value);
}

bool value_is(const YamlNode *node, const char *word)
{
    return node->kind == NODE_TEXT && strcasecmp(node->text, word) == 0;
}

bool value_is_percent(const YamlNode *node)
{
    if (node->kind != NODE_TEXT)
        return false;
    size_t length = strlen(node->text);
    const char *text = text_trim(node->text, &length);
    return length > 0 && text[length - 1] == '%';
}

bool read_yes_no(const ReadContext *context, const YamlNode *node, bool *value)
{
    if (value_is(node, "yes") || value_is(node, "true") || value_is(node, "on")) {
        *value = true;
        return true;
    }
    if (value_is(node, "no") || value_is(node, "false") || value_is(node, "off")) {
        *value = false;
        return true;
    }
    report_unexpected(context, node, "yes or no");
    return false;
}

bool slot_is_yes(const ReadContext *context, const Slot *slot)
{
    bool yes = false;
    return slot->key != NULL && read_yes_no(context, slot->value, &yes) && yes;
}

bool read_word(const ReadContext *context, const YamlNode *node, const FieldTable *table, int *index)
{
    int found = node->kind == NODE_TEXT ? field_index(table, text_fold_in(context->arena, node->text)) : -1;
    if (found >= 0) {
        *index = found;
        return true;
    }
    const char *nearest = node->kind == NODE_TEXT ? field_nearest(table, node->text) : NULL;
    diag_error(context->diags, node->at, "found %s, expected %s%s", yaml_found(node, context->arena),
               field_list(table, context->arena), did_you_mean(nearest, context->arena));
    return false;
}

NodeItems node_items(const YamlNode *node)
{
    if (node->kind == NODE_LIST)
        return (NodeItems){.list = node, .count = node->count};
    if (yaml_is_empty(node))
        return (NodeItems){0};
    return (NodeItems){.single = node, .count = 1};
}

const YamlNode *node_item(const NodeItems *items, size_t index)
{
    return items->list != NULL ? items->list->item[index] : items->single;
}
