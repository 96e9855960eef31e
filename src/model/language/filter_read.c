/* filter_read.c - a filter is a map from fields to values; a value is one, a list of which any may hold, a range, or
 * {not: ...} around one of these. */
#include "model/language/filter_read.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"

typedef struct {
    const ReadContext *read;
    const Model *model;
    FilterTest *test;
    const char *expected;
} TestReader;

static bool is_numeric(Field field)
{
    return field == FIELD_WEIGHT || (field >= FIELD_COST && field <= FIELD_THEMES);
}

static bool read_field_number(const TestReader *reader, const YamlNode *node, int64_t *value)
{
    switch (reader->test->field) {
    case FIELD_PRICE: return read_money(reader->read, node, reader->expected, value);
    case FIELD_COPIES:
    case FIELD_THEMES: return read_number(reader->read, node, 0, reader->expected, value);
    case FIELD_PLAYABLE:
        if (value_is_percent(node))
            return read_percent(reader->read, node, reader->expected, value);
        return read_number(reader->read, node, 5, reader->expected,
                           value); /* a share: 1 is 100000 thousandths of a percent */
    case FIELD_CLASS:
    case FIELD_COLOURS:
    case FIELD_KIND:
    case FIELD_TAG:
    case FIELD_THEME:
    case FIELD_ROLE:
    case FIELD_WEIGHT:
    case FIELD_NAME:
    case FIELD_WISHES:
    case FIELD_COST:
    case FIELD_POWER:
    case FIELD_FIT:
    case FIELD_COLUMN: break;
    }
    return read_number(reader->read, node, 3, reader->expected, value);
}

static bool read_range(const TestReader *reader, const YamlNode *node, FilterValue *value)
{
    const ReadContext *context = reader->read;
    Slot slot[BAND_KEYS] = {0};
    if (!is_numeric(reader->test->field) && reader->test->field != FIELD_COLUMN) {
        report_unexpected(context, node, reader->expected);
        return false;
    }
    if (fields_read(&band_fields, node, slot, context->arena, context->diags) != FIELDS_READ)
        return false;
    *value = (FilterValue){.is_range = true, .is_number = true, .at = node->at};
    value->has_from = slot[BAND_FROM].key != NULL;
    value->has_to = slot[BAND_TO].key != NULL;
    bool sound = true;
    if (value->has_from)
        sound = read_field_number(reader, slot[BAND_FROM].value, &value->from);
    if (value->has_to)
        sound = read_field_number(reader, slot[BAND_TO].value, &value->to) && sound;
    if (!value->has_from && !value->has_to) {
        diag_error(context->diags, node->at,
                   "found an empty range, expected {from: a, to: b} with at least one of them");
        return false;
    }
    if (sound && value->has_from && value->has_to && value->from > value->to) {
        diag_error(context->diags, node->at, "the range is empty: from %s is more than to %s",
                   slot[BAND_FROM].value->text, slot[BAND_TO].value->text);
        return false;
    }
    return sound;
}

static bool check_theme(const TestReader *reader, const YamlNode *node, const char *folded)
{
    const Model *model = reader->model;
    if (strcmp(folded, "any") == 0 || text_find(folded, model->theme_name, model->themes) >= 0)
        return true;
    diag_error(reader->read->diags, node->at, "unknown theme %s%s", yaml_found(node, reader->read->arena),
               meant_or_known(node->text, model->theme_name, model->themes, reader->read->arena));
    return false;
}

static bool read_plain_value(const TestReader *reader, const YamlNode *node, FilterValue *value)
{
    const ReadContext *context = reader->read;
    int ignored = 0;
    *value = (FilterValue){.at = node->at};
    if (is_numeric(reader->test->field)) {
        value->is_number = value->has_from = value->has_to = true;
        value->text = node->text;
        if (!read_field_number(reader, node, &value->from))
            return false;
        value->to = value->from;
        return true;
    }
    if (!read_text(context, node, reader->expected, &value->text))
        return false;
    value->folded = text_fold_in(context->arena, value->text);
    CardVocabulary vocabulary = model_vocabulary(reader->model);
    switch (reader->test->field) {
    case FIELD_CLASS: return read_word(context, node, &class_words, &ignored);
    case FIELD_ROLE: return read_word(context, node, &role_words, &ignored);
    case FIELD_THEME: return check_theme(reader, node, value->folded);
    case FIELD_COLOURS: return colours_parse(&vocabulary, value->text, node->at, &value->colours, context->diags);
    case FIELD_COLUMN:
        value->is_number = number_parse(value->text, 3, false, &value->from) == NUMBER_OK;
        value->has_from = value->has_to = value->is_number;
        value->to = value->from;
        return true;
    case FIELD_KIND:
    case FIELD_TAG:
    case FIELD_WEIGHT:
    case FIELD_NAME:
    case FIELD_WISHES:
    case FIELD_COST:
    case FIELD_POWER:
    case FIELD_PRICE:
    case FIELD_FIT:
    case FIELD_COPIES:
    case FIELD_PLAYABLE:
    case FIELD_THEMES: break;
    }
    return true;
}

static bool read_values(const TestReader *reader, const YamlNode *node)
{
    FilterTest *test = reader->test;
    NodeItems items = node_items(node);
    if (items.count == 0) {
        report_unexpected(reader->read, node, reader->expected);
        return false;
    }
    test->value = arena_alloc(reader->read->arena, items.count, sizeof *test->value);
    bool sound = true;
    for (size_t i = 0; i < items.count; i++) {
        const YamlNode *item = node_item(&items, i);
        bool read = item->kind == NODE_MAP ? read_range(reader, item, &test->value[test->values])
                                           : read_plain_value(reader, item, &test->value[test->values]);
        if (read)
            test->values++;
        sound = sound && read;
    }
    return sound;
}

/* The node inside {not: ...}, or the node itself. NULL: reported. */
static const YamlNode *inside_not(const TestReader *reader, const YamlNode *node)
{
    const YamlNode *inner = yaml_get(node, "not");
    if (inner == NULL)
        return node;
    if (node->count != 1) {
        diag_error(reader->read->diags, node->at, "found 'not' beside other keys, expected {not: ...} alone");
        return NULL;
    }
    if (yaml_get(inner, "not") != NULL) {
        diag_error(reader->read->diags, inner->at, "found 'not' inside 'not', expected a value");
        return NULL;
    }
    reader->test->negated = true;
    return inner;
}

/* {not: {kind: crew}} for {kind: {not: crew}}. */
static bool is_before_field(const YamlPair *pair)
{
    const YamlNode *value = pair->value;
    return strcmp(pair->key->text, "not") == 0 && value->kind == NODE_MAP && value->count > 0 &&
           yaml_get(value, "from") == NULL && yaml_get(value, "to") == NULL && yaml_get(value, "not") == NULL;
}

static bool read_test(const ReadContext *context, const Model *model, const YamlPair *pair, bool without_class,
                      FilterTest *test)
{
    int index = field_index(&filter_fields, text_fold_in(context->arena, pair->key->text));
    *test = (FilterTest){.field = index < 0 ? FIELD_COLUMN : (Field)index, .at = pair->key->at};
    if (index < 0)
        test->column = pair->key->text;
    if (without_class && test->field == FIELD_CLASS) {
        diag_error(context->diags, pair->key->at,
                   "found 'class' in 'fixing', which decides itself what the class fixing is; expected other fields");
        return false;
    }
    if (is_before_field(pair)) {
        diag_error(context->diags, pair->key->at,
                   "found 'not' before a field, expected it behind one: {%s: {not: ...}}",
                   pair->value->pair[0].key->text);
        return false;
    }
    TestReader reader = {.read = context, .model = model, .test = test};
    reader.expected =
        index < 0 ? "a value of the column, a list of values or a range" : filter_fields.field[index].value;
    const YamlNode *node = inside_not(&reader, pair->value);
    return node != NULL && read_values(&reader, node);
}

bool filter_read(const ReadContext *context, Model *model, const YamlNode *node, bool without_class, Filter *filter)
{
    *filter = (Filter){.id = ++model->filters, .at = node->at};
    if (yaml_is_empty(node))
        return true;
    if (node->kind != NODE_MAP) {
        report_unexpected(context, node, "a filter such as {class: mono}");
        return false;
    }
    filter->test = arena_alloc(context->arena, node->count, sizeof *filter->test);
    bool sound = true;
    for (size_t i = 0; i < node->count; i++) {
        bool read = read_test(context, model, &node->pair[i], without_class, &filter->test[filter->tests]);
        if (read)
            filter->tests++;
        sound = sound && read;
    }
    return sound;
}
