/* part_report.c - see part_report.h. */
#include "report/seats/part_report.h"

#include <string.h>

#include "report/sheet/sheet_out.h"
#include "report/layout/format.h"

/* "15 of 29" */
static const char *group_cell(const Part *part, const char *kind, const char *name)
{
    for (size_t g = 0; g < part->groups; g++)
        if (strcmp(part->group[g].kind, kind) == 0 && strcmp(part->group[g].name, name) == 0)
            return arena_printf(part->arena, "%d of %d", part->group[g].part, part->group[g].pool);
    return "";
}

static void add_groups(const Part *part, const Style *style, Text *out)
{
    static const char *const header[] = {"", "cards", "enablers", "payoffs"};
    style_heading(out, style, "What the part has of the pool");
    Table *table = table_new("lrrr", header);
    for (size_t g = 0; g < part->groups; g++) {
        const PartGroup *group = &part->group[g];
        if (strcmp(group->kind, "enablers") == 0 || strcmp(group->kind, "payoffs") == 0)
            continue;
        const bool is_theme = strcmp(group->kind, "theme") == 0;
        table_add(table, group->name);
        table_add(table, group_cell(part, group->kind, group->name));
        table_add(table, is_theme ? group_cell(part, "enablers", group->name) : "");
        table_add(table, is_theme ? group_cell(part, "payoffs", group->name) : "");
    }
    table_print(table, out, style);
    table_free(table);
}

void part_text(const Part *part, const Seats *s, const PoolFile *pool, const SeatsBeside *beside, int seed,
               const char *written, const Style *style, Text *out)
{
    text_printf(out, "%s of %s for %d %s, chosen at random (seed %d). ", format_cards(s->arena, part->size), pool->path,
                s->drafting.seats, s->drafting.seats == 1 ? "seat" : "seats", seed);
    if (part->within == 1)
        text_add(out, "Every class, colour and theme, and each theme's enablers and payoffs, are within one card of "
                      "their share.\n");
    else
        text_printf(out, "Classes, colours, themes, enablers and payoffs are within %d cards of their share; %s.\n",
                    part->within,
                    part->none_nearer ? "no part of this size is nearer, proven" : "whether one is nearer is open");
    add_groups(part, style, out);
    if (s->themes > 0) {
        text_add(out, "\n");
        seats_add_shortest(s, "part", out);
    }
    seats_add_beside(s, "the part", beside, style, out);
    if (beside->tables > 0 && s->themes > 0)
        text_printf(out, "The part is for %d; the other tables draft from the whole pool.\n", s->drafting.seats);
    if (written != NULL)
        text_printf(out, "\nWritten: %s.\n", written);
    else
        text_add(out, "\nMore: -o part.csv (its list, for any verb), --seed 2 (another part).\n");
}

/* Of the cards that are no candidates the first of the list are in the part. */
static int take_unknown(const UnknownCard *unknown, int *left)
{
    const int copies = unknown->copies < *left ? unknown->copies : *left;
    *left -= copies;
    return copies;
}

bool part_json(const Part *part, const Seats *s, const PoolFile *pool, const SeatsBeside *beside, int seed,
               const Diags *notices, Text *out)
{
    json_t *root = seats_object(s, "part", pool->unknowns, beside), *groups = json_array(), *cards = json_array();
    json_object_set_new(root, "seed", json_integer(seed));
    json_object_set_new(root, "within", json_integer(part->within));
    json_object_set_new(root, "none_nearer", json_boolean(part->none_nearer));
    for (size_t g = 0; g < part->groups; g++)
        json_array_append_new(groups, json_pack("{s:s, s:i, s:i}", part->group[g].kind, part->group[g].name, "pool",
                                                part->group[g].pool, "part", part->group[g].part));
    for (size_t c = 0; c < s->instance->cards->count; c++)
        if (part->copies[c] > 0)
            json_array_append_new(
                cards, json_pack("{s:s, s:i}", "name", s->instance->cards->card[c].name, "copies", part->copies[c]));
    int left = part->others;
    for (size_t u = 0; u < pool->unknowns && left > 0; u++) {
        const int copies = take_unknown(&pool->unknown[u], &left);
        json_array_append_new(cards, json_pack("{s:s, s:i}", "name", pool->unknown[u].name, "copies", copies));
    }
    json_object_set_new(root, "groups", groups);
    json_object_set_new(root, "part", cards);
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}

void part_sheet(const Part *part, const Instance *in, const PoolFile *pool, Text *out)
{
    const char separator = sheet_separator(in->cards);
    const CardVocabulary words = model_vocabulary(in->model);
    sheet_begin(out, in->cards);
    sheet_line(out, (const char *const[]){"name", "copies", "colours"}, 3, separator);
    for (size_t c = 0; c < in->cards->count; c++)
        if (part->copies[c] > 0)
            sheet_line(out,
                       (const char *const[]){in->cards->card[c].name, arena_printf(part->arena, "%d", part->copies[c]),
                                             colours_text(&words, &in->cards->card[c].colours, part->arena)},
                       3, separator);
    int left = part->others;
    for (size_t u = 0; u < pool->unknowns && left > 0; u++) {
        const int copies = take_unknown(&pool->unknown[u], &left);
        sheet_line(out, (const char *const[]){pool->unknown[u].name, arena_printf(part->arena, "%d", copies), ""}, 3,
                   separator);
    }
}
