/* compose_grades.c - `grades`: words of the model's own for powers, and for the weights of themes' tags. */
#include <string.h>

#include "base/text.h"
#include "model/language/compose.h"

#define FOR_ALL "all"

static const char *expected_grades(void)
{
    return model_fields.field[MODEL_GRADES].value;
}

static bool is_sound_word(const ReadContext *context, const YamlNode *key)
{
    const bool sound = grade_word_sound(key->text);
    if (!sound)
        diag_error(
            context->diags, key->at,
            "found %s as a grade, expected one word of letters, such as must or B+, that is no role and no yes or no",
            yaml_found(key, context->arena));
    return sound;
}

/* Lays the map's words over those that are there; `for` is not one of them. */
static void lay_words(const ReadContext *context, const YamlNode *map, Grades *grades)
{
    if (yaml_is_empty(map))
        return;
    if (map->kind != NODE_MAP) {
        report_unexpected(context, map, expected_grades());
        return;
    }
    Grade *grade = arena_alloc(context->arena, grades->count + map->count, sizeof *grade);
    if (grades->count > 0)
        memcpy(grade, grades->grade, grades->count * sizeof *grade);
    grades->grade = grade;
    for (size_t i = 0; i < map->count; i++) {
        const YamlNode *key = map->pair[i].key;
        int64_t value;
        if (text_folds_to(key->text, "for") || !is_sound_word(context, key) ||
            !read_number(context, map->pair[i].value, 3, "a number", &value))
            continue;
        const char *folded = text_fold_in(context->arena, key->text);
        size_t at = 0;
        while (at < grades->count && strcmp(grade[at].folded, folded) != 0)
            at++;
        grade[at] = (Grade){.word = key->text, .folded = folded, .value = value};
        grades->count += at == grades->count;
    }
}

static const YamlNode *find_for(const YamlNode *map)
{
    for (size_t i = 0; i < map->count; i++)
        if (text_folds_to(map->pair[i].key->text, "for"))
            return map->pair[i].value;
    return NULL;
}

/* `for` of one layer: what it says of all themes, then of single ones. */
static void lay_for(const ReadContext *context, Model *model, const YamlNode *map)
{
    if (map == NULL || yaml_is_empty(map))
        return;
    if (map->kind != NODE_MAP) {
        report_unexpected(context, map, "a map such as {bells: {must: 4, good: 2}}");
        return;
    }
    if (model->theme_grades == NULL)
        model->theme_grades = arena_alloc(context->arena, model->themes, sizeof *model->theme_grades);
    for (size_t i = 0; i < map->count; i++)
        for (size_t t = 0; text_folds_to(map->pair[i].key->text, FOR_ALL) && t < model->themes; t++)
            lay_words(context, map->pair[i].value, &model->theme_grades[t]);
    for (size_t i = 0; i < map->count; i++) {
        const YamlNode *key = map->pair[i].key;
        const long theme = text_find(key->text, model->theme_name, model->themes);
        if (theme >= 0)
            lay_words(context, map->pair[i].value, &model->theme_grades[theme]);
        else if (!text_folds_to(key->text, FOR_ALL))
            diag_error(context->diags, key->at, "unknown theme %s in grades, expected a theme of the model, or all%s",
                       yaml_found(key, context->arena),
                       did_you_mean(text_nearest(key->text, model->theme_name, model->themes), context->arena));
    }
}

void compose_grades(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    for (size_t i = 0; i < draft->grades.count; i++) {
        const YamlNode *map = draft->grades.item[i].node;
        if (value_is(map, "none")) {
            model->grades = (Grades){0};
            model->theme_grades = NULL;
            continue;
        }
        lay_words(context, map, &model->grades);
        if (map->kind == NODE_MAP)
            lay_for(context, model, find_for(map));
    }
}
