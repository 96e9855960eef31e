/* weigh_report.c - see weigh_report.h. */
#include "report/seats/weigh_report.h"

#include <math.h>

#include "report/json/json.h"
#include "report/sheet/sheet_out.h"
#include "report/layout/format.h"

#define SHOWN 3       /* cards of a theme on the first screen */
#define SHOWN_LONG 15 /* results */

static const char *card_name(const Weighing *w, size_t card)
{
    return w->instance->cards->card[card].name;
}

static const char *two_decimals(Arena *arena, double value)
{
    return arena_printf(arena, "%.2f", value);
}

static const char *percent(Arena *arena, double share)
{
    return arena_printf(arena, "%.1f%%", 100 * share);
}

static const char *signed_points(Arena *arena, int64_t points)
{
    return arena_printf(arena, "%s%s", points > 0 ? "+" : "", format_number(arena, points));
}

/* ---- text ---- */

static void add_head(const Weighing *w, Text *out)
{
    text_printf(out, "%s deck%s with %s cop%s.", format_count(w->arena, w->decks), w->decks == 1 ? "" : "s",
                format_count(w->arena, w->copies), w->copies == 1 ? "y" : "ies");
    if (w->unknown > 0) {
        text_printf(out, " %s of them %s no candidate: ", format_count(w->arena, w->unknown),
                    w->unknown == 1 ? "is" : "are");
        text_add(out, text_list(w->arena, w->stranger, w->strangers < SHOWN ? w->strangers : SHOWN));
        text_add(out, w->strangers > SHOWN ? ", ..." : ".");
    }
    text_add_char(out, '\n');
}

static void add_overview(const Weighing *w, const Style *style, Text *out)
{
    static const char *const header[] = {"theme", "decks", "new", "agree", "surest new cards"};
    Table *table = table_new("lrrrc", header);
    for (size_t t = 0; t < w->instance->model->themes; t++) {
        const WeighedTheme *theme = &w->theme[t];
        Text names = {0};
        for (size_t k = 0; k < theme->proposed && k < SHOWN; k++)
            text_printf(&names, "%s%s %s", k > 0 ? ", " : "", card_name(w, theme->card[k].card),
                        format_number(w->arena, theme->card[k].weight));
        table_add(table, w->instance->model->theme_name[t]);
        table_add(table, format_count(w->arena, theme->decks));
        table_addf(table, "%zu", theme->proposed);
        table_add(table, theme->has_agreement ? two_decimals(w->arena, theme->agreement) : "");
        table_add(table, text_cstr(&names));
        text_release(&names);
    }
    style_heading(out, style, "Themes");
    table_print(table, out, style);
    table_free(table);
}

static void add_theme(const Weighing *w, size_t t, const Style *style, Text *out)
{
    static const char *const header[] = {"card", "weight", "log odds", "error", "in its decks", "elsewhere"};
    const WeighedTheme *theme = &w->theme[t];
    Table *table = table_new("crrRrr", header);
    for (size_t k = 0; k < theme->proposed; k++) {
        const Weighed *card = &theme->card[k];
        table_add(table, card_name(w, card->card));
        table_add(table, format_number(w->arena, card->weight));
        table_add(table, two_decimals(w->arena, card->log_odds));
        table_add(table, two_decimals(w->arena, card->error));
        table_add(table, format_count(w->arena, card->inside));
        table_add(table, format_count(w->arena, card->outside));
    }
    if (table_rows(table) > 0) {
        style_heading(out, style, w->instance->model->theme_name[t]);
        table_print(table, out, style);
    }
    table_free(table);
}

static void add_themes(const Weighing *w, bool full, const char *written, const char *named, const Style *style,
                       Text *out)
{
    add_overview(w, style, out);
    text_printf(out,
                "\ndecks: of the theme, %s; new: cards without the tag that are sure to be more frequent there (three "
                "standard errors); agree: how the weights of tagged cards go with what decks say, from -1 to 1.\n",
                w->labelled ? "as the sheet says" : "by the tagged cards they hold");
    int64_t of_themes = 0;
    for (size_t t = 0; t < w->instance->model->themes; t++)
        of_themes += w->theme[t].decks;
    if (!w->labelled && 2 * of_themes > 3 * w->decks)
        text_printf(
            out,
            "A deck is of %.1f themes here, so they are hardly told apart, and what is new may belong to "
            "another: with --at-least %d more of a theme's cards are asked for, and a column `theme` says it.\n",
            (double)of_themes / (double)w->decks, 2 * w->seeds);
    for (size_t t = 0; t < w->instance->model->themes && full; t++)
        add_theme(w, t, style, out);
    if (written != NULL)
        text_printf(out, "\nWritten: %s. Look at it, add roles, and name it in the scenario: `tags: [%s]`.\n", written,
                    named);
    else if (!full)
        text_add(out, "\nMore: --full (every proposal), -o tags.csv (as a sheet of tags).\n");
}

static void add_results(const Weighing *w, bool full, const char *written, const Style *style, Text *out)
{
    static const char *const header[] = {"card", "power", "points", "won", "from", "to", "games"};
    if (!w->has_results) {
        text_add(out, "The sheet has no results: it needs the columns `wins` and `losses`.\n");
        return;
    }
    text_printf(out, "%s game%s won, %s lost.\n", format_count(w->arena, w->wins), w->wins == 1 ? "" : "s",
                format_count(w->arena, w->losses));
    size_t moved = 0;
    while (moved < w->results && w->result[moved].points != 0)
        moved++;
    if (w->spread <= 0)
        text_add(out, "Cards differ no more than by chance: the results say nothing about powers.\n");
    else if (moved == 0)
        text_add(out, "No power is surely wrong by these results.\n");
    Table *table = table_new("crrrRRr", header);
    for (size_t k = 0; k < moved && (full || k < SHOWN_LONG); k++) {
        const Result *r = &w->result[k];
        const Card *card = &w->instance->cards->card[r->card];
        table_add(table, card->name);
        table_add(table, card->has_power ? format_number(w->arena, card->power) : "");
        table_add(table, signed_points(w->arena, r->points));
        table_add(table, percent(w->arena, r->rate));
        table_add(table, percent(w->arena, r->low));
        table_add(table, percent(w->arena, r->high));
        table_add(table, format_count(w->arena, r->wins + r->losses));
    }
    if (moved > 0) {
        style_heading(out, style, "Powers that results speak against, the most first");
        table_print(table, out, style);
        if (!full && moved > SHOWN_LONG)
            text_printf(out, "  and %zu more\n", moved - SHOWN_LONG);
        text_add(out, "\nwon: share of games won by decks that held the card, with its interval of 95%.\n");
    }
    table_free(table);
    if (written != NULL)
        text_printf(out, "\nWritten: %s, as notes for `poolwright feedback SCENARIO %s`.\n", written, written);
}

void weigh_text(const Weighing *w, bool results, bool full, const char *written, const char *named, const Style *style,
                Text *out)
{
    add_head(w, out);
    if (results)
        add_results(w, full, written, style, out);
    else
        add_themes(w, full, written, named, style, out);
}

/* ---- JSON ---- */

/* Estimates to six decimals: no more is meant, and the last bits are the C library's. */
static json_t *rounded(double value)
{
    return json_real(round(value * 1e6) / 1e6);
}

static json_t *theme_json(const Weighing *w, size_t t)
{
    const WeighedTheme *theme = &w->theme[t];
    json_t *item = json_object(), *list = json_array();
    for (size_t k = 0; k < theme->cards; k++) {
        const Weighed *card = &theme->card[k];
        json_t *line = json_object();
        json_object_set_new(line, "name", json_string(card_name(w, card->card)));
        json_object_set_new(line, "tagged", json_boolean(card->seed));
        json_object_set_new(line, "inside", json_integer(card->inside));
        json_object_set_new(line, "elsewhere", json_integer(card->outside));
        json_object_set_new(line, "log_odds", rounded(card->log_odds));
        json_object_set_new(line, "error", rounded(card->error));
        json_object_set_new(line, "typical", rounded(card->typical));
        if (card->weight > 0)
            json_object_set_new(line, "weight", json_number_of(card->weight));
        json_array_append_new(list, line);
    }
    json_object_set_new(item, "theme", json_string(w->instance->model->theme_name[t]));
    json_object_set_new(item, "decks", json_integer(theme->decks));
    json_object_set_new(item, "proposed", json_count(theme->proposed));
    if (theme->has_agreement)
        json_object_set_new(item, "agreement", rounded(theme->agreement));
    json_object_set_new(item, "cards", list);
    return item;
}

static json_t *results_json(const Weighing *w)
{
    json_t *list = json_array();
    for (size_t k = 0; k < w->results; k++) {
        const Result *r = &w->result[k];
        json_t *line = json_object();
        json_object_set_new(line, "name", json_string(card_name(w, r->card)));
        json_object_set_new(line, "wins", json_integer(r->wins));
        json_object_set_new(line, "losses", json_integer(r->losses));
        json_object_set_new(line, "rate", rounded(r->rate));
        json_object_set_new(line, "from", rounded(r->low));
        json_object_set_new(line, "to", rounded(r->high));
        json_object_set_new(line, "points", json_number_of(r->points));
        json_array_append_new(list, line);
    }
    return list;
}

bool weigh_json(const Weighing *w, bool results, const Diags *notices, Text *out)
{
    json_t *root = json_object(), *themes = json_array(), *strangers = json_array();
    for (size_t t = 0; t < w->instance->model->themes; t++)
        json_array_append_new(themes, theme_json(w, t));
    for (size_t k = 0; k < w->strangers; k++)
        json_array_append_new(strangers, json_string(w->stranger[k]));
    json_object_set_new(root, "decks", json_integer(w->decks));
    json_object_set_new(root, "copies", json_integer(w->copies));
    json_object_set_new(root, "unknown", json_integer(w->unknown));
    json_object_set_new(root, "unknown_names", strangers);
    if (results) {
        json_object_set_new(root, "wins", json_integer(w->wins));
        json_object_set_new(root, "losses", json_integer(w->losses));
        json_object_set_new(root, "cards", results_json(w));
        json_decref(themes);
    } else {
        json_object_set_new(root, "themes", themes);
    }
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}

/* ---- sheets ---- */

static void tags_sheet(const Weighing *w, char separator, Text *out)
{
    static const char *const header[] = {"name", "tag", "role", "weight", "log_odds", "error", "in_theme", "elsewhere"};
    const bool commas = sheet_has_commas(w->instance->cards);
    sheet_line(out, header, 8, separator);
    for (size_t t = 0; t < w->instance->model->themes; t++)
        for (size_t k = 0; k < w->theme[t].proposed; k++) {
            const Weighed *card = &w->theme[t].card[k];
            const char *const cell[] = {card_name(w, card->card),
                                        w->instance->model->theme_name[t],
                                        "",
                                        sheet_number(w->arena, commas, format_number(w->arena, card->weight)),
                                        sheet_number(w->arena, commas, two_decimals(w->arena, card->log_odds)),
                                        sheet_number(w->arena, commas, two_decimals(w->arena, card->error)),
                                        arena_printf(w->arena, "%lld", (long long)card->inside),
                                        arena_printf(w->arena, "%lld", (long long)card->outside)};
            sheet_line(out, cell, 8, separator);
        }
}

static void notes_sheet(const Weighing *w, char separator, Text *out)
{
    const bool commas = sheet_has_commas(w->instance->cards);
    sheet_line(out, (const char *const[]){"card", "verdict", "note"}, 3, separator);
    for (size_t k = 0; k < w->results && w->result[k].points != 0; k++) {
        const Result *r = &w->result[k];
        const char *const cell[] = {card_name(w, r->card),
                                    sheet_number(w->arena, commas, signed_points(w->arena, r->points)),
                                    arena_printf(w->arena, "won %s of %s games (%s to %s)", percent(w->arena, r->rate),
                                                 format_count(w->arena, r->wins + r->losses), percent(w->arena, r->low),
                                                 percent(w->arena, r->high))};
        sheet_line(out, cell, 3, separator);
    }
}

void weigh_sheet(const Weighing *w, bool results, Text *out)
{
    const char separator = sheet_separator(w->instance->cards);
    sheet_begin(out, w->instance->cards);
    if (results)
        notes_sheet(w, separator, out);
    else
        tags_sheet(w, separator, out);
}
