/* part_themes.c - is each theme deep enough, is each colour's curve right, what adds fit beyond single cards. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "page/parts/static_parts.h"

#define HEATS 8 /* shades of the grid (static.css) */

static void theme_rows(const PageData *data, const ThemeTally *theme, size_t count, Text *out)
{
    double most = 0;
    for (size_t k = 0; k < count; k++)
        most = theme[k].strength > most ? theme[k].strength : most;
    for (size_t k = 0; k < count; k++) {
        const ThemeTally *t = &theme[k];
        row_begin(out);
        html_name(out, t->name);
        const char *note = theme_note(data, t->name);
        if (note[0] != '\0')
            html(out, " <em>%s</em>", note);
        row_name_end(out);
        cell_begin(out);
        if (data->colours > 1 && t->deck == (1u << data->colours) - 1)
            text_add(out, "<span class=\"quiet\">all colours</span>");
        else
            colours_words(data, t->colours, out);
        cell_end(out);
        cell_int(out, t->cards);
        cell_int(out, t->enablers);
        cell_int(out, t->payoffs);
        cell_int(out, t->gold);
        cell_int(out, t->shared);
        cell_number(out, t->strength);
        cell_begin(out);
        share_picture(most > 0 ? t->strength / most : 0, out);
        cell_end(out);
        row_end(out);
    }
}

/* Gold and hybrid cards count in each of their colours. */
static void theme_grid(const PageData *data, const ThemeTally *theme, size_t count, Text *out)
{
    HtmlColumn columns[COLOURS_MOST + 2] = {{"Theme", false}};
    int most = 1;
    for (int k = 0; k < data->colours; k++)
        columns[k + 1] = (HtmlColumn){data->colour[k], true};
    columns[data->colours + 1] = (HtmlColumn){"colourless", true};
    for (size_t t = 0; t < count; t++)
        for (int k = 0; k <= data->colours; k++)
            most = theme[t].by_colour[k] > most ? theme[t].by_colour[k] : most;
    table_begin(out, "In which colours each theme is (a card of several colours counts in each)", columns,
                (size_t)data->colours + 2);
    for (size_t t = 0; t < count; t++) {
        row_begin(out);
        html_name(out, theme[t].name);
        row_name_end(out);
        for (int k = 0; k <= data->colours; k++) {
            const int copies = theme[t].by_colour[k];
            html(out, "<td class=\"number heat-%d\">%d</td>", copies == 0 ? 0 : 1 + copies * (HEATS - 1) / most,
                 copies);
        }
        row_end(out);
    }
    table_end(out);
}

void themes_part(PageData *data, Text *out)
{
    const HtmlColumn columns[] = {{"Theme", false},   {"Colours", false}, {"Cards", true},
                                  {"Enablers", true}, {"Payoffs", true},  {"Gold", true},
                                  {"Shared", true},   {"Strength", true}, {"Beside the strongest", false}};
    size_t count;
    const ThemeTally *theme = tally_themes(data, &count);
    if (count == 0)
        return;
    part_begin(out, "themes", "Themes");
    table_begin(out, "Is each theme deep enough? Cards that its deck can play; shared: also in another theme", columns,
                sizeof columns / sizeof *columns);
    theme_rows(data, theme, count, out);
    table_end(out);
    const json_t *watches = json_object_get(data->best, "watches");
    for (size_t k = 0; k < items_of(watches, "text"); k++)
        html(out, "<p>%s</p>\n", json_string_value(item_at(watches, "text", k)));
    theme_grid(data, theme, count, out);
    part_end(out);
}

/* ---- colours ---- */

static void colour_pictures(const PageData *data, const ColourTally *colour, int highest, Text *out)
{
    int most = 1;
    for (int k = 0; k < data->colours; k++)
        for (int cost = 0; cost <= highest; cost++)
            most = colour[k].curve[cost] > most ? colour[k].curve[cost] : most;
    text_add(out, "<div class=\"curves\">\n");
    for (int k = 0; k < data->colours; k++) {
        Text title = {0};
        text_printf(&title, "%s: %d early, %d in the middle, %d late", data->colour[k], colour[k].early,
                    colour[k].middle, colour[k].late);
        text_add(out, "<figure><figcaption>");
        colours_words(data, data->colour[k], out);
        text_add(out, " ");
        count_words(colour[k].mono, "card", out);
        text_add(out, "</figcaption>");
        curve_picture(text_cstr(&title), colour[k].curve, highest, most, k, out);
        text_add(out, "</figure>\n");
        text_release(&title);
    }
    text_add(out, "</div>\n");
}

static void colour_table(const PageData *data, const ColourTally *colour, Text *out)
{
    const HtmlColumn columns[] = {{"Colour", false}, {"Mono", true},      {"Early", true},
                                  {"Middle", true},  {"Late", true},      {"Average cost", true},
                                  {"In gold", true}, {"In hybrid", true}, {"Fixing", true}};
    table_begin(out, "The colours in numbers", columns, sizeof columns / sizeof *columns);
    for (int k = 0; k < data->colours; k++) {
        const ColourTally *t = &colour[k];
        char average[PLAIN_TEXT] = "";
        if (t->mono > t->no_cost)
            snprintf(average, sizeof average, "%.2f", floor(100 * t->costs / (t->mono - t->no_cost) + 0.5) / 100);
        row_begin(out);
        colours_words(data, data->colour[k], out);
        row_name_end(out);
        cell_int(out, t->mono);
        cell_int(out, t->early);
        cell_int(out, t->middle);
        cell_int(out, t->late);
        html(out, "<td class=\"number\">%s</td>", average);
        cell_int(out, t->gold);
        cell_int(out, t->hybrid);
        cell_int(out, t->fixing);
        row_end(out);
    }
    table_end(out);
}

static void curve_table(const PageData *data, const ColourTally *colour, int highest, Text *out)
{
    char title[COSTS_MOST + 1][8];
    HtmlColumn columns[COSTS_MOST + 2] = {{"Colour", false}};
    for (int cost = 0; cost <= highest; cost++) {
        snprintf(title[cost], sizeof *title, "%d%s", cost, cost == COSTS_MOST ? "+" : "");
        columns[cost + 1] = (HtmlColumn){title[cost], true};
    }
    table_begin(out, "Mono cards by cost", columns, (size_t)highest + 2);
    for (int k = 0; k < data->colours; k++) {
        row_begin(out);
        colours_words(data, data->colour[k], out);
        row_name_end(out);
        for (int cost = 0; cost <= highest; cost++)
            cell_int(out, colour[k].curve[cost]);
        row_end(out);
    }
    table_end(out);
}

void colours_part(const PageData *data, Text *out)
{
    ColourTally colour[COLOURS_MOST];
    int highest = 1;
    for (int k = 0; k < data->colours; k++) {
        tally_colour(data, k, &colour[k]);
        for (int cost = 0; cost <= COSTS_MOST; cost++)
            highest = colour[k].curve[cost] > 0 && cost > highest ? cost : highest;
    }
    part_begin(out, "colours", "Colours and curves");
    text_add(out, "<p class=\"quiet\">Each colour's own cards by cost. Early is up to 2, late from 5 on.</p>\n");
    colour_pictures(data, colour, highest, out);
    colour_table(data, colour, out);
    curve_table(data, colour, highest, out);
    part_end(out);
}

/* ---- places and engines ---- */

/* Whole sets, and which part of them hangs on one card. */
static void sets_have(const json_t *one, Text *out)
{
    count_words(get_int(one, "sets"), "whole set", out);
    for (size_t k = 0; k < items_of(one, "parts"); k++) {
        const char *alone = get_text(item_at(one, "parts", k), "alone");
        if (alone[0] != '\0')
            html(out, "; part %d hangs on %s alone", (int)k + 1, alone);
    }
}

static void structure_has(const json_t *one, Text *out)
{
    char buffer[PLAIN_TEXT];
    const char *kind = get_text(one, "kind");
    if (strcmp(kind, "sets") == 0)
        sets_have(one, out);
    else if (strcmp(kind, "evenness") == 0 && get_text(one, "weakest")[0] != '\0')
        html(out, "weakest %s, %s", get_text(one, "weakest"), plain(buffer, get_number(one, "strength", 0)));
    else if (strcmp(kind, "stay") == 0)
        html(out, "%d stay", (int)get_int(one, "in"));
    else if (has_number(one, "enablers")) {
        count_words(get_int(one, "enablers"), "enabler", out);
        text_add(out, ", ");
        count_words(get_int(one, "payoffs"), "payoff", out);
    } else if (has_number(one, "in"))
        html(out, "%d of its cards in", (int)get_int(one, "in"));
    else if (has_number(one, "weight"))
        html(out, "weight %s", plain(buffer, get_number(one, "weight", 0)));
    else if (has_number(one, "filled"))
        html(out, "%d filled", (int)get_int(one, "filled"));
}

void structure_part(const PageData *data, Text *out)
{
    const size_t count = items_of(data->best, "structure");
    if (count == 0)
        return;
    const HtmlColumn columns[] = {{"What", false}, {"Has", false}, {"Fit", true}};
    part_begin(out, "structure", "Places and engines");
    table_begin(out, "What adds fit beyond single cards", columns, 3);
    for (size_t k = 0; k < count; k++) {
        const json_t *one = item_at(data->best, "structure", k);
        row_begin(out);
        html_name(out, get_text(one, "name"));
        row_name_end(out);
        cell_begin(out);
        structure_has(one, out);
        cell_end(out);
        if (json_is_false(json_object_get(one, "counts")))
            cell_text(out, "not chosen");
        else
            cell_number(out, get_number(one, "fit", 0));
        row_end(out);
    }
    table_end(out);
    part_end(out);
}
