/* compose_habits.c - `read`: how sheets are read that stray from the usual form. */
#include <string.h>

#include "base/text.h"
#include "model/language/compose.h"

typedef struct {
    const char *word;
    char mark;
} MarkWord;

static const MarkWord mark_words[] = {{"newline", '\n'}, {"blank", ' '}, {"comma", ','}, {"bar", '|'}};

static const char *expected_of(int key)
{
    return read_fields.field[key].value;
}

/* One mark: a single character that could not be part of a number or a name's word, or its name. '\0': reported. */
static char read_mark(const ReadContext *context, const YamlNode *node, int key)
{
    if (node->kind == NODE_TEXT) {
        for (size_t i = 0; i < sizeof mark_words / sizeof *mark_words; i++)
            if (value_is(node, mark_words[i].word))
                return mark_words[i].mark;
        if (strlen(node->text) == 1 && strchr(",;|/#&-.: \t\n", node->text[0]) != NULL)
            return node->text[0];
    }
    report_unexpected(context, node, expected_of(key));
    return '\0';
}

/* NULL: none. */
static const char *read_marks(const Draft *draft, int key)
{
    const ReadContext *context = &draft->context;
    const YamlNode *value = draft->read[key].value;
    if (draft->read[key].key == NULL || yaml_is_empty(value) || value_is(value, "none"))
        return NULL;
    NodeItems items = node_items(value);
    char *marks = arena_alloc(context->arena, items.count + 2, 1);
    size_t count = 0;
    for (size_t i = 0; i < items.count; i++) {
        const char mark = read_mark(context, node_item(&items, i), key);
        if (mark == '/' && key == READ_COLOURS_SPLIT)
            report_unexpected(context, node_item(&items, i), "another mark, since slash: both says it of /");
        if (mark != '\0')
            marks[count++] = mark;
        if (mark == '\n')
            marks[count++] = '\r';
    }
    return count > 0 ? marks : NULL;
}

static const char *const *read_folded(const Draft *draft, int key, bool may_be_empty, size_t *count)
{
    const ReadContext *context = &draft->context;
    *count = 0;
    if (draft->read[key].key == NULL)
        return NULL;
    NodeItems items = node_items(draft->read[key].value);
    const char **folded = arena_alloc(context->arena, items.count, sizeof *folded);
    for (size_t i = 0; i < items.count; i++) {
        const YamlNode *node = node_item(&items, i);
        const char *text = NULL;
        if (may_be_empty && node->kind == NODE_TEXT && node->text[0] == '\0' && !node->plain)
            folded[(*count)++] = "";
        else if (read_text(context, node, expected_of(key), &text))
            folded[(*count)++] = text_fold_in(context->arena, text);
    }
    return folded;
}

/* NULL: there is none, or it is no map, which is reported. */
static const YamlNode *map_of(const Draft *draft, int key)
{
    const YamlNode *map = draft->read[key].value;
    if (draft->read[key].key == NULL || yaml_is_empty(map))
        return NULL;
    if (map->kind == NODE_MAP)
        return map;
    report_unexpected(&draft->context, map, expected_of(key));
    return NULL;
}

static bool is_no_colour(const char *word)
{
    return colours_none(word) || text_folds_to(word, "none");
}

static void read_colour_words(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    const YamlNode *map = map_of(draft, READ_COLOUR_WORDS);
    if (map == NULL)
        return;
    ColourWord *word = arena_alloc(context->arena, map->count, sizeof *word);
    for (size_t i = 0; i < map->count; i++) {
        const YamlNode *value = map->pair[i].value;
        const char *text = NULL;
        if (!read_text(context, value, "a colour of the model, or colourless", &text))
            continue;
        const long colour = text_find(text, model->colour, model->colours);
        if (colour < 0 && !is_no_colour(text)) {
            const char *near = text_nearest(text, model->colour, model->colours);
            diag_error(context->diags, value->at,
                       "unknown colour '%s', expected a colour of the model, or colourless%s", text,
                       did_you_mean(near, context->arena));
            continue;
        }
        word[model->habits.colour_words++] =
            (ColourWord){.word = map->pair[i].key->text,
                         .folded = text_fold_in(context->arena, map->pair[i].key->text),
                         .colour = (int)colour};
    }
    model->habits.colour_word = word;
}

static void read_own_words(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    const YamlNode *map = map_of(draft, READ_WORDS);
    if (map == NULL)
        return;
    OwnWord *word = arena_alloc(context->arena, map->count, sizeof *word);
    for (size_t i = 0; i < map->count; i++) {
        const YamlNode *value = map->pair[i].value;
        int meant = 0;
        if (read_word(context, value, &own_words, &meant))
            word[model->habits.own_words++] = (OwnWord){.word = map->pair[i].key->text,
                                                        .folded = text_fold_in(context->arena, map->pair[i].key->text),
                                                        .meant = own_words.field[meant].name};
    }
    model->habits.own_word = word;
}

void compose_habits(const Draft *draft, Model *model)
{
    const ReadContext *context = &draft->context;
    const Slot *slot = draft->read;
    Habits *habits = &model->habits;
    int index = 0;
    habits->tags_split = read_marks(draft, READ_TAGS_SPLIT);
    habits->colours_split = read_marks(draft, READ_COLOURS_SPLIT);
    if (slot[READ_SLASH].key != NULL && read_word(context, slot[READ_SLASH].value, &slash_words, &index)) {
        habits->slash_said = true;
        habits->slash_is_both = index == 1;
    }
    read_colour_words(draft, model);
    read_own_words(draft, model);
    if (slot[READ_DECIMAL].key != NULL && read_word(context, slot[READ_DECIMAL].value, &decimal_words, &index))
        habits->decimal = index == 0 ? DECIMAL_POINT : DECIMAL_COMMA;
    habits->blank = read_folded(draft, READ_BLANKS, false, &habits->blanks);
    if (slot[READ_LISTED_NAMES].key != NULL)
        read_yes_no(context, slot[READ_LISTED_NAMES].value, &habits->listed_names);
    habits->skip = read_folded(draft, READ_SKIP_LINES, true, &habits->skips);
    if (slot[READ_DUPLICATES].key != NULL && read_word(context, slot[READ_DUPLICATES].value, &duplicates_words, &index))
        habits->duplicates = (Duplicates)index;
}
