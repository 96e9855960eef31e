/* patterns_read.c - patterns from YAML: a tag, and for whom. */
#include <string.h>

#include "model/language/compose.h"
#include "model/language/filter_read.h"

static void read_pattern_role(const ReadContext *context, const Slot *slot, Role *role)
{
    int index = 0;
    if (slot->key != NULL && read_word(context, slot->value, &role_words, &index))
        *role = (Role)index;
}

static void read_pattern_in(const ReadContext *context, const Slot *slot, bool *in_name)
{
    if (slot->key == NULL)
        return;
    *in_name = value_is(slot->value, "name");
    if (!*in_name && !value_is(slot->value, "text"))
        report_unexpected(context, slot->value, pattern_fields.field[PATTERN_IN].value);
}

/* Class and fit follow from tags (`fixing` may look at them), so a tag cannot follow from these; of tags, `where` sees
 * the user's own. */
static void read_pattern_where(const ReadContext *context, Model *model, const Slot *slot, Pattern *pattern)
{
    static const Field later[] = {FIELD_CLASS, FIELD_THEME, FIELD_FIT};
    const YamlNode *node = slot->key != NULL ? slot->value : yaml_map_node(context->arena, pattern->at);
    if (!filter_read(context, model, node, false, &pattern->where))
        return;
    for (size_t t = 0; t < pattern->where.tests; t++)
        for (size_t k = 0; k < sizeof later / sizeof *later; k++)
            if (pattern->where.test[t].field == later[k])
                diag_error(context->diags, pattern->where.test[t].at,
                           "found '%s' in a pattern, which is known only after tags are; expected other fields%s",
                           filter_fields.field[later[k]].name,
                           later[k] == FIELD_CLASS ? " such as colours or kind" : "");
}

/* In double quotes YAML reads "\b" as a backspace, which is in no text: such a pattern would silently catch nothing. */
static void refuse_controls(const ReadContext *context, const YamlNode *node)
{
    for (const char *c = node->text; *c != '\0'; c++)
        if ((unsigned char)*c < ' ' && strchr("\t\n\r", *c) == NULL) {
            diag_error(context->diags, node->at,
                       "found a control character in a pattern, expected each backslash doubled in double quotes, such "
                       "as \"\\\\bword\"");
            return;
        }
}

/* A number, or a grade of the theme that the tag is. */
static bool read_pattern_weight(const ReadContext *context, const Model *model, const YamlNode *node, Pattern *pattern)
{
    const Grades grades = model_theme_grades(model, pattern->tag);
    const Grade *grade = node->kind == NODE_TEXT ? grade_find(&grades, node->text) : NULL;
    if (grade == NULL)
        return read_number(context, node, 3, pattern_fields.field[PATTERN_WEIGHT].value, &pattern->weight);
    pattern->weight = grade->value;
    return true;
}

static bool read_pattern(const ReadContext *context, Model *model, const YamlNode *node, Pattern *pattern)
{
    Slot slot[PATTERN_KEYS] = {0};
    FieldsStatus status = fields_read(&pattern_fields, node, slot, context->arena, context->diags);
    *pattern = (Pattern){.weight = 1000, .at = node->at};
    if (status == FIELDS_BROKEN)
        return false;
    if (slot[PATTERN_TAG].key == NULL) {
        if (status == FIELDS_READ)
            diag_error(context->diags, node->at, "a pattern has no tag, expected 'tag: %s'",
                       pattern_fields.field[PATTERN_TAG].value);
        return false;
    }
    if (!read_text(context, slot[PATTERN_TAG].value, pattern_fields.field[PATTERN_TAG].value, &pattern->tag))
        return false;
    pattern->at = slot[PATTERN_TAG].value->at;
    pattern->folded = text_fold_in(context->arena, pattern->tag);
    if (pattern->folded[0] == '\0' || strchr(pattern->tag, ';') != NULL)
        report_unexpected(context, slot[PATTERN_TAG].value, "one tag, without ;");
    pattern->name = pattern->tag;
    if (slot[PATTERN_NAME].key != NULL)
        read_text(context, slot[PATTERN_NAME].value, pattern_fields.field[PATTERN_NAME].value, &pattern->name);
    read_pattern_role(context, &slot[PATTERN_ROLE], &pattern->role);
    if (slot[PATTERN_WEIGHT].key != NULL)
        pattern->has_weight = read_pattern_weight(context, model, slot[PATTERN_WEIGHT].value, pattern);
    if (slot[PATTERN_TEXT].key != NULL &&
        read_text(context, slot[PATTERN_TEXT].value, pattern_fields.field[PATTERN_TEXT].value, &pattern->text)) {
        pattern->text_at = slot[PATTERN_TEXT].value->at;
        refuse_controls(context, slot[PATTERN_TEXT].value);
    }
    read_pattern_in(context, &slot[PATTERN_IN], &pattern->in_name);
    if (slot[PATTERN_IN].key != NULL && slot[PATTERN_TEXT].key == NULL)
        diag_error(context->diags, slot[PATTERN_IN].key->at,
                   "found 'in' without 'text', expected 'text: ...' beside it");
    if (status == FIELDS_READ && slot[PATTERN_TEXT].key == NULL && slot[PATTERN_WHERE].key == NULL)
        diag_error(context->diags, node->at,
                   "the pattern for '%s' says of no card that it fits, expected 'text' or 'where'", pattern->tag);
    read_pattern_where(context, model, &slot[PATTERN_WHERE], pattern);
    return true;
}

void compose_patterns(const Draft *draft, Model *model)
{
    model->pattern = arena_alloc(draft->context.arena, draft->pattern.count, sizeof *model->pattern);
    for (size_t i = 0; i < draft->pattern.count; i++)
        if (read_pattern(&draft->context, model, draft->pattern.item[i].node, &model->pattern[model->patterns]))
            model->patterns++;
}
