/* tags_report.c - what each pattern caught, and where the user's own tags say otherwise. */
#include <string.h>

#include "model/desk/tagging.h"
#include "report/desk/desk.h"
#include "report/layout/format.h"
#include "report/json/json.h"

#define SHOWN 12

static const char *tag_words(Arena *arena, Role role, int64_t weight)
{
    const char *word = role_name(role);
    return arena_printf(arena, "%s%s%s", word, word[0] != '\0' ? " " : "", format_number(arena, weight));
}

static void add_patterns(const Instance *in, const Style *style, Arena *arena, Text *out)
{
    const Model *model = in->model;
    static const char *const header[] = {"tag", "pattern", "gives", "caught", "new", "yours", "differ", "set in"};
    Table *table = table_new("lllrrrrl", header);
    for (size_t first = 0; first < model->patterns; first++) {
        if (!pattern_first_of_tag(model, first))
            continue;
        for (size_t p = first; p < model->patterns; p++) {
            const Pattern *pattern = &model->pattern[p];
            if (strcmp(pattern->folded, model->pattern[first].folded) != 0)
                continue;
            const PatternCount count = pattern_count(in, p);
            table_add(table, p == first ? pattern->tag : "");
            table_add(table, pattern->name);
            table_add(table, tag_words(arena, pattern->role, pattern->weight));
            table_addf(table, "%zu", count.caught);
            table_addf(table, "%zu", count.fresh);
            table_addf(table, "%zu", count.own);
            table_addf(table, "%zu", count.clashes);
            table_add(table, format_place(arena, pattern->at));
        }
    }
    style_heading(out, style, "Patterns: what they caught");
    if (table_rows(table) == 0)
        text_add(out, "  none; `patterns:` in the model or scenario tags cards by their text, kind or cost\n");
    else
        table_print(table, out, style);
    table_free(table);
}

static void add_clashes(const Instance *in, const Style *style, Arena *arena, Text *out)
{
    if (in->clashes == 0)
        return;
    static const char *const header[] = {"card", "tag", "yours (it counts)", "the pattern's", "pattern"};
    Table *table = table_new("lllll", header);
    for (size_t k = 0; k < in->clashes && k < SHOWN; k++) {
        const PatternClash *clash = &in->clash[k];
        const Pattern *pattern = &in->model->pattern[clash->pattern];
        table_add(table, in->cards->card[clash->card].name);
        table_add(table, pattern->tag);
        table_add(table, tag_words(arena, clash->role, clash->weight));
        table_add(table, tag_words(arena, pattern->role, pattern->weight));
        table_add(table, pattern->name);
    }
    style_heading(out, style, "Your own tags that say otherwise");
    table_print(table, out, style);
    if (in->clashes > SHOWN)
        text_printf(out, "  and %zu more\n", in->clashes - SHOWN);
    table_free(table);
}

static void add_example(Text *examples, size_t count, const char *name)
{
    if (count < 5)
        text_printf(examples, "%s%s", count == 0 ? "" : "; ", name);
    else if (count == 5)
        text_add(examples, "; ...");
}

static void add_missed(const Instance *in, const Style *style, Text *out)
{
    bool any = false;
    for (size_t p = 0; p < in->model->patterns; p++) {
        if (!pattern_first_of_tag(in->model, p))
            continue;
        Text examples = {0};
        size_t count = 0;
        for (size_t c = 0; c < in->cards->count; c++)
            if (pattern_missed(in, p, c))
                add_example(&examples, count++, in->cards->card[c].name);
        if (count > 0 && !any)
            style_heading(out, style, "Tagged by you, caught by no pattern of that tag");
        any = any || count > 0;
        if (count > 0)
            text_printf(out, "  %s: %zu (%s)\n", in->model->pattern[p].tag, count, text_cstr(&examples));
        text_release(&examples);
    }
}

static void add_untagged(const Instance *in, const Style *style, Text *out)
{
    Text examples = {0};
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (in->cards->card[c].tags == 0)
            add_example(&examples, count++, in->cards->card[c].name);
    style_heading(out, style, "Without any tag, of yours or by a pattern");
    if (count == 0)
        text_add(out, "  none\n");
    else
        text_printf(out, "  %zu of %zu cards (%s)\n", count, in->cards->count, text_cstr(&examples));
    text_release(&examples);
}

void tags_text(const Instance *instance, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    text_printf(out, "%s, %zu pattern%s.\n", format_cards(arena, (int64_t)instance->cards->count),
                instance->model->patterns, instance->model->patterns == 1 ? "" : "s");
    add_patterns(instance, style, arena, out);
    add_clashes(instance, style, arena, out);
    add_missed(instance, style, out);
    add_untagged(instance, style, out);
    arena_free(arena);
}

static json_t *names_where(const Instance *in, bool (*holds)(const Instance *, size_t, size_t), size_t p)
{
    json_t *list = json_array();
    for (size_t c = 0; c < in->cards->count; c++)
        if (holds(in, p, c))
            json_array_append_new(list, json_string(in->cards->card[c].name));
    return list;
}

static json_t *clash_json(const Instance *in, const PatternClash *clash)
{
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(in->cards->card[clash->card].name));
    json_object_set_new(item, "role", json_string(role_name(clash->role)));
    json_object_set_new(item, "weight", json_number_of(clash->weight));
    return item;
}

static json_t *pattern_json(const Instance *in, size_t p)
{
    const Pattern *pattern = &in->model->pattern[p];
    json_t *item = json_object(), *clashes = json_array();
    json_object_set_new(item, "name", json_string(pattern->name));
    json_object_set_new(item, "tag", json_string(pattern->tag));
    json_object_set_new(item, "role", json_string(role_name(pattern->role)));
    json_object_set_new(item, "weight", json_number_of(pattern->weight));
    json_object_set_new(item, "caught", names_where(in, pattern_caught, p));
    json_object_set_new(item, "missed", names_where(in, pattern_missed, p));
    for (size_t k = 0; k < in->clashes; k++)
        if (in->clash[k].pattern == p)
            json_array_append_new(clashes, clash_json(in, &in->clash[k]));
    json_object_set_new(item, "contradictions", clashes);
    return item;
}

static bool without_tag(const Instance *in, size_t p, size_t c)
{
    (void)p;
    return in->cards->card[c].tags == 0;
}

bool tags_json(const Instance *instance, const Diags *notices, Text *out)
{
    json_t *root = json_object(), *list = json_array();
    for (size_t p = 0; p < instance->model->patterns; p++)
        json_array_append_new(list, pattern_json(instance, p));
    json_object_set_new(root, "candidates", json_count(instance->cards->count));
    json_object_set_new(root, "patterns", list);
    json_object_set_new(root, "untagged", names_where(instance, without_tag, 0));
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}
