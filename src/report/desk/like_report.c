/* like_report.c - candidates like some that are given, and the pattern that catches them. */
#include "report/desk/desk.h"
#include "report/json/json.h"
#include "report/layout/format.h"

/* [cards] thousandths. */
static int64_t *likeness_of(const Instance *in, const AlikeCards *alike)
{
    int64_t *likeness = mem_new(in->cards->count + 1, sizeof *likeness);
    for (size_t k = 0; k < alike->others; k++)
        likeness[alike->other[k].card] = alike->other[k].likeness;
    return likeness;
}

static void add_kinds(const Instance *in, size_t c, Text *out)
{
    const Card *card = &in->cards->card[c];
    for (size_t k = 0; k < card->kinds; k++)
        text_printf(out, "%s%s", k > 0 ? ";" : "", in->cards->kind[card->kind[k]]);
}

static void add_tags(const Instance *in, size_t c, Text *out)
{
    const Card *card = &in->cards->card[c];
    for (size_t k = 0; k < card->tags; k++)
        text_printf(out, "%s%s", k > 0 ? "; " : "", in->cards->tag[card->tag[k].tag]);
}

static const char *words_of(const Instance *in, const AlikeCards *alike, size_t c, Arena *arena)
{
    const char *word[ALIKE_WORDS];
    return text_list(arena, word, alike_words(in, alike, c, arena, word));
}

static void add_table(const Instance *in, const LikeView *like, const size_t *card, size_t top, const Style *style,
                      Text *out)
{
    static const char *const header[] = {"card", "likeness", "kind", "cost", "caught", "words in common", "tags"};
    Arena *arena = arena_new();
    int64_t *likeness = likeness_of(in, like->alike);
    Table *table = table_new("crLrlcC", header);
    for (size_t k = 0; k < top; k++) {
        const Card *about = &in->cards->card[card[k]];
        Text kinds = {0}, tags = {0};
        add_kinds(in, card[k], &kinds);
        add_tags(in, card[k], &tags);
        table_add(table, about->name);
        table_add(table, format_share(arena, likeness[card[k]], 1000));
        table_add(table, text_cstr(&kinds));
        table_add(table, about->has_cost ? format_number(arena, about->cost) : "-");
        table_add(table, like->alike->pattern != NULL && like->alike->catches[card[k]] ? "yes" : "-");
        table_add(table, words_of(in, like->alike, card[k], arena));
        table_add(table, text_cstr(&tags));
        text_release(&kinds);
        text_release(&tags);
    }
    table_print(table, out, style);
    table_free(table);
    mem_free(likeness);
    arena_free(arena);
}

void like_text(const Instance *in, const LikeView *like, const size_t *card, size_t count, size_t top,
               const Style *style, Text *out)
{
    const AlikeCards *alike = like->alike;
    const size_t near = alike->others < ALIKE_NEAR ? alike->others : ALIKE_NEAR;
    Arena *arena = arena_new();
    text_printf(out, "Most like %s of %zu other candidates", like->given == 1 ? "it" : "them", count);
    if (top < count)
        text_printf(out, "; the first %zu (--top N shows more)", top);
    text_add(out, count == 0 ? ".\n" : ":\n");
    if (top > 0)
        add_table(in, like, card, top, style, out);
    if (alike->pattern == NULL)
        text_add(out, "\nThe texts have no word by which a pattern could tell them from the rest.\n");
    else
        text_printf(
            out,
            "\nA pattern for the text: %s\nIt catches %zu of the %s given, %zu of the %zu most alike, and %s of "
            "the other %s. Try it with `find --text`; in the model it gives a tag:\n  patterns:\n    - {tag: "
            "NAME, text: '%s'}\n",
            alike->pattern, alike->caught, format_cards(arena, (int64_t)like->given), alike->caught_near, near,
            format_count(arena, (int64_t)alike->caught_beyond), format_count(arena, (int64_t)(alike->others - near)),
            alike->pattern);
    arena_free(arena);
}

static json_t *pattern_json(const AlikeCards *alike)
{
    json_t *item = json_object();
    json_object_set_new(item, "text", json_string(alike->pattern));
    json_object_set_new(item, "catches_given", json_count(alike->caught));
    json_object_set_new(item, "catches_most_alike", json_count(alike->caught_near));
    json_object_set_new(item, "catches_others", json_count(alike->caught_beyond));
    return item;
}

bool like_json(const Instance *in, const LikeView *like, const size_t *card, size_t count, const Diags *notices,
               Text *out)
{
    Arena *arena = arena_new();
    json_t *root = json_object(), *list = json_array(), *given = json_array();
    int64_t *likeness = likeness_of(in, like->alike);
    for (size_t k = 0; k < like->given; k++)
        json_array_append_new(given, json_string(in->cards->card[like->card[k]].name));
    for (size_t k = 0; k < count; k++) {
        json_t *item = find_card_json(in, card[k], arena);
        json_object_set_new(item, "likeness", json_number_of(likeness[card[k]]));
        const char *word[ALIKE_WORDS];
        const size_t words = alike_words(in, like->alike, card[k], arena, word);
        json_t *shared = json_array();
        for (size_t w = 0; w < words; w++)
            json_array_append_new(shared, json_string(word[w]));
        json_object_set_new(item, "words", shared);
        if (like->alike->pattern != NULL)
            json_object_set_new(item, "caught", json_boolean(like->alike->catches[card[k]]));
        json_array_append_new(list, item);
    }
    json_object_set_new(root, "candidates", json_count(in->cards->count));
    json_object_set_new(root, "like", given);
    json_object_set_new(root, "cards", list);
    if (like->alike->pattern != NULL)
        json_object_set_new(root, "pattern", pattern_json(like->alike));
    json_object_set_new(root, "notices", json_notices(notices));
    mem_free(likeness);
    arena_free(arena);
    return json_finish(root, out);
}
