/* part_cases.c - what more money buys, cases side by side, what changes against the present pool. */
#include <string.h>

#include "page/parts/static_parts.h"

/* Of an answer without a pool: only what is proven to be infeasible does not fit. */
static const char *no_pool_word(const json_t *one)
{
    return strcmp(get_text(one, "status"), "infeasible") == 0 ? "no pool" : "not known";
}

/* ---- the frontier ---- */

static bool is_named(const json_t *frontier, const char *name)
{
    for (size_t k = 0; k < items_of(frontier, "cases"); k++) {
        const char *one = json_string_value(item_at(frontier, "cases", k));
        if (one != NULL && strcmp(one, name) == 0)
            return true;
    }
    return false;
}

static bool is_point(const json_t *frontier, const json_t *one)
{
    return has_number(one, "cap") && has_number(one, "fit") && is_named(frontier, get_text(one, "name"));
}

/* A cap that is enough; where the least is lower as far as it is proven, so. */
static void cap_words(const json_t *range, Text *out)
{
    const double low = get_number(range, "at_least", 0), high = get_number(range, "at_most", 0);
    html(out, "%.2f", high);
    if (low < high)
        html(out, " (proven: not below %.2f)", low);
}

static void enough_words(const json_t *frontier, Text *out)
{
    const double fit = get_number(frontier, "fit_without_cap", 0),
                 most = get_number(frontier, "bound_without_cap", fit);
    char reached[PLAIN_TEXT], rest[PLAIN_TEXT], bound[PLAIN_TEXT];
    if (most <= fit) {
        text_add(out, "From ");
        cap_words(json_object_get(frontier, "enough"), out);
        html(out, " on more money buys nothing: fit %s.", plain(reached, fit));
    } else
        html(out, "From %.2f on more money buys at most %s fit (%s is reached, %s is the most without any cap).",
             get_number(json_object_get(frontier, "enough"), "at_most", 0), plain(rest, most - fit),
             plain(reached, fit), plain(bound, most));
}

static void frontier_sentence(const json_t *frontier, Text *out)
{
    text_add(out, "<p>");
    if (has_number(frontier, "knee"))
        html(out, "From a cap of %.2f on more money buys clearly less: the knee. ", get_number(frontier, "knee", 0));
    if (json_is_object(json_object_get(frontier, "least_cap"))) {
        text_add(out, "The least cap with any pool at all: ");
        cap_words(json_object_get(frontier, "least_cap"), out);
        text_add(out, ". ");
    }
    if (json_is_object(json_object_get(frontier, "enough")))
        enough_words(frontier, out);
    text_add(out, "</p>\n");
}

/* Copies in or out; nothing against a base without a pool. */
static void cell_moved(Text *out, const json_t *changes, const char *key)
{
    if (json_is_array(json_object_get(changes, key)))
        cell_int(out, copies_of(changes, key));
    else
        cell_empty(out);
}

static void frontier_table(const PageData *data, const json_t *frontier, double knee, Text *out)
{
    const HtmlColumn columns[] = {{"Cap", true},    {"Fit", true}, {"At most", true},
                                  {"To buy", true}, {"In", true},  {"Out", true}};
    table_begin(out, "The most fit that each cap buys", columns, sizeof columns / sizeof *columns);
    for (size_t k = 0; k < items_of(data->caps, "cases"); k++) {
        const json_t *one = item_at(data->caps, "cases", k);
        if (!is_point(frontier, one))
            continue;
        row_begin(out);
        html(out, "%.2f", get_number(one, "cap", 0));
        text_add(out, get_number(one, "cap", 0) == knee ? " <em>knee</em>" : "");
        row_name_end(out);
        cell_number(out, get_number(one, "fit", 0));
        cell_number(out, get_number(one, "bound", 0));
        cell_money(out, get_number(one, "cost", 0));
        cell_moved(out, one, "enters");
        cell_moved(out, one, "leaves");
        row_end(out);
    }
    table_end(out);
}

void frontier_part(const PageData *data, Text *out)
{
    const json_t *frontier = item_at(data->caps, "frontiers", 0), *stated = json_object_get(data->best, "money");
    const size_t all = items_of(data->caps, "cases");
    PlottedCap *point = mem_new(all, sizeof *point);
    size_t count = 0;
    const double knee = get_number(frontier, "knee", -1);
    for (size_t k = 0; k < all; k++) {
        const json_t *one = item_at(data->caps, "cases", k);
        const double cap = get_number(one, "cap", 0);
        if (is_point(frontier, one))
            point[count++] = (PlottedCap){cap, get_number(one, "fit", 0), cap == knee};
    }
    if (count > 1) {
        const PlottedCap here = {get_number(stated, "cap_stated", 0), get_number(data->best, "fit", 0), false};
        Text title = {0};
        text_printf(&title, "The most fit that each cap buys, from %.2f to %.2f", point[0].cap, point[count - 1].cap);
        part_begin(out, "frontier", "What more money buys");
        frontier_sentence(frontier, out);
        frontier_picture(text_cstr(&title), point, count, has_number(stated, "cap") ? &here : NULL, out);
        frontier_table(data, frontier, knee, out);
        part_end(out);
        text_release(&title);
    }
    mem_free(point);
}

/* ---- cases ---- */

/* What a case changes: of the nearest pool with its fit, where that is known. */
static const json_t *changes_of(const json_t *one)
{
    const json_t *nearest = json_object_get(one, "nearest");
    return json_is_object(nearest) ? nearest : one;
}

static void case_row(const json_t *one, Text *out)
{
    const bool found = has_number(one, "fit");
    row_begin(out);
    html_name(out, get_text(one, "name"));
    row_name_end(out);
    if (found) {
        cell_number(out, get_number(one, "fit", 0));
        if (strcmp(get_text(one, "status"), "best") == 0)
            html(out, "<td class=\"number\">best</td>");
        else
            cell_number(out, get_number(one, "bound", 0));
        html(out, "<td class=\"number\">%.3f</td>", get_number(one, "fit", 0) / get_number(one, "size", 1));
        cell_int(out, get_int(one, "size"));
        cell_money(out, get_number(one, "cost", 0));
        cell_moved(out, changes_of(one), "enters");
        cell_moved(out, changes_of(one), "leaves");
    } else {
        cell_text(out, no_pool_word(one));
        for (int k = 0; k < 6; k++)
            cell_empty(out);
    }
    cell_text(out, get_text(one, "weakest"));
    row_end(out);
}

static void case_cards(const json_t *one, Text *out)
{
    const json_t *changes = changes_of(one);
    if (items_of(changes, "enters") + items_of(changes, "leaves") == 0)
        return;
    text_add(out, "<details class=\"more\"><summary>");
    html_name(out, get_text(one, "name"));
    text_add(out, ": cards in and out</summary><p>In: ");
    cards_words(json_object_get(changes, "enters"), out);
    text_add(out, "</p><p>Out: ");
    cards_words(json_object_get(changes, "leaves"), out);
    text_add(out, "</p></details>\n");
}

void cases_part(const PageData *data, Text *out)
{
    const HtmlColumn columns[] = {{"Case", false},    {"Fit", true},   {"At most", true},
                                  {"Per card", true}, {"Cards", true}, {"To buy", true},
                                  {"In", true},       {"Out", true},   {"Weakest theme", false}};
    const size_t count = items_of(data->cases, "cases");
    if (count == 0)
        return;
    part_begin(out, "cases", "Cases side by side");
    text_add(out, "<p class=\"quiet\">At most: proven ceiling; best: the two meet.</p>\n");
    table_begin(out, "What if? Against the scenario as it stands", columns, sizeof columns / sizeof *columns);
    for (size_t k = 0; k < count; k++)
        case_row(item_at(data->cases, "cases", k), out);
    table_end(out);
    for (size_t k = 0; k < count; k++)
        case_cards(item_at(data->cases, "cases", k), out);
    part_end(out);
}

/* ---- the present pool ---- */

static void change_row(const PageData *data, const json_t *one, const char *word, Text *out)
{
    const json_t *card = json_object_get(data->by_name, get_text(one, "name"));
    row_begin(out);
    card_words(get_text(one, "name"), get_int(one, "copies"), out);
    row_name_end(out);
    cell_text(out, word);
    cell_begin(out);
    if (card != NULL)
        colours_words(data, get_text(card, "colours"), out);
    else
        text_add(out, "no candidate");
    cell_end(out);
    if (card != NULL)
        cell_number(out, get_number(card, "fit", 0));
    else
        cell_empty(out);
    cell_begin(out);
    for (size_t k = 0; k < items_of(card, "tags"); k++)
        html(out, "%s%s", k > 0 ? ", " : "", get_text(item_at(card, "tags", k), "tag"));
    cell_end(out);
    row_end(out);
}

static void few_swaps(const PageData *data, Text *out)
{
    const HtmlColumn columns[] = {{"Swaps", true}, {"Fit", true}, {"To pay", true}, {"In", true}, {"Out", true}};
    const size_t count = items_of(data->revise, "points");
    if (count == 0)
        return;
    table_begin(out, "What a few swaps bring", columns, sizeof columns / sizeof *columns);
    for (size_t k = 0; k < count; k++) {
        const json_t *point = item_at(data->revise, "points", k);
        row_begin(out);
        html(out, "%d", (int)get_int(point, "swaps"));
        row_name_end(out);
        if (has_number(point, "fit"))
            cell_number(out, get_number(point, "fit", 0));
        else
            cell_text(out, no_pool_word(point));
        cell_money(out, get_number(point, "spent", 0));
        cell_int(out, get_int(point, "in"));
        cell_int(out, get_int(point, "out"));
        row_end(out);
    }
    table_end(out);
}

void changes_part(const PageData *data, Text *out)
{
    const HtmlColumn columns[] = {
        {"Card", false}, {"In or out", false}, {"Colours", false}, {"Fit", true}, {"For", false}};
    const size_t in = items_of(data->best, "enters"), left = items_of(data->best, "leaves");
    if (in + left == 0)
        return;
    part_begin(out, "changes", "Changes against the present pool");
    html(out, "<p>%d in, %d out.</p>\n", copies_of(data->best, "enters"), copies_of(data->best, "leaves"));
    few_swaps(data, out);
    table_begin(out, "Cards that enter, cards that leave", columns, sizeof columns / sizeof *columns);
    for (size_t k = 0; k < in; k++)
        change_row(data, item_at(data->best, "enters", k), "in", out);
    for (size_t k = 0; k < left; k++)
        change_row(data, item_at(data->best, "leaves", k), "out", out);
    table_end(out);
    part_end(out);
}
