/* part_first.c - what the pool comes to in one sentence, or why there is none; what a few swaps would bring; wishes;
 * where the money goes. */
#include <math.h>
#include <string.h>

#include "page/parts/static_parts.h"

#define SWAPS_SHOWN 5

static const json_t *cap_of(const PageData *data)
{
    for (size_t k = 0; k < items_of(data->best, "rules"); k++)
        if (strcmp(get_text(item_at(data->best, "rules", k), "kind"), "cap") == 0)
            return item_at(data->best, "rules", k);
    return NULL;
}

static void money_words(const PageData *data, Text *out)
{
    const json_t *cap = cap_of(data), *money = json_object_get(data->best, "money");
    text_add(out, "<strong>");
    count_words(get_int(data->best, "size"), "card", out);
    if (cap != NULL || data->priced)
        html(out, ", %.2f to buy", get_number(data->best, "cost", 0));
    if (strcmp(get_text(money, "cap_counts"), "paid and to buy") == 0)
        html(out, " and %.2f paid", get_number(money, "paid", 0));
    text_add(out, "</strong>");
    if (cap == NULL)
        return;
    const double most = get_number(money, "cap", 0), stated = get_number(money, "cap_stated", most),
                 left = get_number(money, "left", 0);
    const double held = left - get_number(cap, "slack", left); /* for prices that may rise */
    html(out, " of %.2f (", most);
    if (left > 0.004)
        html(out, "%.2f left", left);
    else
        text_add(out, "nothing left");
    if (left > 0.004 && held > 0.004)
        html(out, ", %.2f of it for prices that may rise", held);
    if (stated > most)
        html(out, "; the cap is %.2f less headroom", stated);
    text_add(out, ")");
}

static void goodness_words(const PageData *data, Text *out)
{
    char fit[PLAIN_TEXT], less[PLAIN_TEXT];
    const double value = get_number(data->best, "fit", 0), bound = get_number(data->best, "bound", value);
    plain(fit, value);
    if (strcmp(get_text(data->best, "status"), "best") == 0)
        html(out, " Fit %s: proven that no pool within these limits has more.", fit);
    else
        html(out, " Fit %s: at most %s less than the best (%.9g%%).", fit, plain(less, bound - value),
             round(1e6 * get_number(data->best, "gap", 0)) / 1e4);
}

/* How old the prices are of what is to be bought. */
static void date_words(const PageData *data, Text *out)
{
    const char *oldest = "", *newest = "";
    int undated = 0, bought = 0;
    for (size_t c = 0; c < data->count; c++) {
        const PoolCard *card = &data->pool[c];
        const char *day = get_text(card->card, "price_date");
        if (card->buy == 0)
            continue;
        bought++;
        undated += card->has_price && day[0] == '\0';
        if (day[0] != '\0' && (oldest[0] == '\0' || strcmp(day, oldest) < 0))
            oldest = day;
        if (strcmp(day, newest) > 0)
            newest = day;
    }
    if (!data->priced)
        text_add(out, " No card has a price.");
    else if (newest[0] == '\0')
        text_add(out, bought > 0 ? " The prices carry no dates." : "");
    else if (strcmp(oldest, newest) == 0)
        html(out, " Prices of %s", newest);
    else
        html(out, " Prices from %s to %s", oldest, newest);
    if (newest[0] != '\0' && undated > 0)
        html(out, "; %d without a date", undated);
    text_add(out, newest[0] != '\0' ? "." : "");
}

/* ---- no pool ---- */

/* Both sides of an exact number are one limit for a reader. */
static bool is_again(const json_t *list, size_t k)
{
    static const char *const key[] = {"name", "of", "limit_kind", "asks"};
    const json_t *limit = json_array_get(list, k);
    for (size_t earlier = 0; earlier < k && get_text(limit, "asks")[0] != '\0'; earlier++) {
        size_t same = 0;
        for (size_t i = 0; i < sizeof key / sizeof *key; i++)
            same += strcmp(get_text(json_array_get(list, earlier), key[i]), get_text(limit, key[i])) == 0;
        if (same == sizeof key / sizeof *key)
            return true;
    }
    return false;
}

static size_t limits_in(const json_t *list)
{
    size_t count = 0;
    for (size_t k = 0; k < json_array_size(list); k++)
        count += !is_again(list, k);
    return count;
}

static void limit_items(const json_t *list, Text *out)
{
    for (size_t k = 0; k < json_array_size(list); k++) {
        const json_t *limit = json_array_get(list, k);
        if (is_again(list, k))
            continue;
        text_add(out, "<li>");
        limit_name_words(limit, out);
        if (get_text(limit, "asks")[0] != '\0')
            html(out, ": %s", get_text(limit, "asks"));
        if (get_text(limit, "loosened")[0] != '\0')
            html(out, ", loosened (%s)", get_text(limit, "loosened"));
        source_words(limit, out);
        text_add(out, "</li>\n");
    }
}

/* What would mend it; nothing where that is not known. */
static void repair_words(const json_t *repair, Text *out)
{
    if (json_is_false(json_object_get(repair, "found")))
        text_add(out, "<p>No change of numbers alone was found that mends it.</p>\n");
    if (items_of(repair, "changes") == 0)
        return;
    html(out, "<p>%s:</p><ul>\n",
         get_true(repair, "least") ? "The least that mends it" : "A change that mends it (perhaps not the smallest)");
    limit_items(json_object_get(repair, "changes"), out);
    text_add(out, "</ul>\n");
}

static void nothing_fits(const PageData *data, Text *out)
{
    const json_t *conflict = json_object_get(data->best, "conflict");
    if (strcmp(get_text(data->best, "status"), "infeasible") != 0) {
        text_add(out, "<p class=\"sentence\"><strong>No pool was found</strong> before the search was stopped; whether "
                      "there is one is not known.</p>\n");
        return;
    }
    text_add(out, "<p class=\"sentence\"><strong>No pool meets all limits.</strong></p>\n");
    const size_t causes = items_of(data->best, "causes");
    for (size_t k = 0; k < causes; k++) {
        const json_t *cause = item_at(data->best, "causes", k);
        if (get_text(cause, "text")[0] != '\0')
            html(out, "<p>%s</p>\n", get_text(cause, "text"));
        if (items_of(conflict, "limits") > 0 || items_of(cause, "limits") == 0)
            continue;
        text_add(out, "<ul>\n");
        limit_items(json_object_get(cause, "limits"), out);
        text_add(out, "</ul>\n");
    }
    if (causes > 0 && get_true(item_at(data->best, "causes", causes - 1), "enough"))
        html(out, "<p>Without %s there is a pool: proven.</p>\n", causes == 1 ? "that" : "these");
    if (items_of(conflict, "limits") > 0) {
        if (limits_in(json_object_get(conflict, "limits")) == 1)
            text_add(out, "<p>This cannot be met, whatever else is chosen:</p><ul>\n");
        else
            html(out, "<p>These cannot all hold%s:</p><ul>\n",
                 get_true(conflict, "minimal") ? "" : " (perhaps fewer would do)");
        limit_items(json_object_get(conflict, "limits"), out);
        text_add(out, "</ul>\n");
    }
    repair_words(json_object_get(data->best, "repair"), out);
}

/* ---- since last time ---- */

static void swaps_words(const PageData *data, Text *out)
{
    const size_t all = items_of(data->revise, "one_by_one");
    if (all == 0)
        return;
    html(out, "<h3>%s, one after the other</h3>\n<ol class=\"swaps\">\n",
         get_int(data->revise, "least_swaps") > 0 ? "Once the present pool meets every limit: the swaps worth most"
                                                  : "The swaps of the present pool that are worth most");
    for (size_t k = 0; k < all && k < SWAPS_SHOWN; k++) {
        const json_t *swap = item_at(data->revise, "one_by_one", k);
        text_add(out, "<li>");
        cards_words(json_object_get(swap, "enters"), out);
        text_add(out, " in, ");
        cards_words(json_object_get(swap, "leaves"), out);
        text_add(out, " out: ");
        signed_words(get_number(swap, "gain", 0), out);
        html(out, " fit, %.2f to pay</li>\n", get_number(swap, "spent", 0));
    }
    text_add(out, "</ol>\n");
}

/* What was noticed in the files while they were read, as the commands tell it. */
static void notices_words(const PageData *data, Text *out)
{
    const size_t count = items_of(data->best, "notices");
    if (count == 0)
        return;
    text_add(out, "<details class=\"more\"><summary>");
    count_words((int64_t)count, "remark", out);
    text_add(out, " on the files</summary><ul>\n");
    for (size_t k = 0; k < count; k++) {
        const json_t *notice = item_at(data->best, "notices", k);
        html(out, "<li>%s", get_text(notice, "text"));
        source_words(notice, out);
        text_add(out, "</li>\n");
    }
    text_add(out, "</ul></details>\n");
}

void first_part(PageData *data, Text *out)
{
    text_add(out, "<section class=\"still\" id=\"still-first\">\n");
    if (items_of(data->best, "pool") == 0) {
        nothing_fits(data, out);
        notices_words(data, out);
        text_add(out, "</section>\n");
        return;
    }
    text_add(out, "<p class=\"sentence\">");
    money_words(data, out);
    html(out, "; %s.", get_text(data->best, "limits_met"));
    goodness_words(data, out);
    date_words(data, out);
    text_add(out, "</p>\n");
    notices_words(data, out);
    swaps_words(data, out);
    text_add(out, "</section>\n");
}

/* ---- wishes ---- */

static const json_t *reasons_for(const PageData *data, const char *name)
{
    for (size_t k = 0; k < items_of(data->best, "wishes_out"); k++)
        if (strcmp(get_text(item_at(data->best, "wishes_out", k), "name"), name) == 0)
            return item_at(data->best, "wishes_out", k);
    return NULL;
}

/* Without the card itself; the caller's, to be given back with json_decref. */
static json_t *others_of(const json_t *moved, const char *name)
{
    json_t *others = json_array();
    for (size_t k = 0; k < json_array_size(moved); k++)
        if (strcmp(get_text(json_array_get(moved, k), "name"), name) != 0)
            json_array_append(others, json_array_get(moved, k));
    return others;
}

/* The sentences of `why`, and who would leave and come in. */
static void why_words(const json_t *why, Text *out)
{
    for (size_t k = 0; k < items_of(why, "text"); k++)
        html(out, "%s ", json_string_value(item_at(why, "text", k)));
    json_t *leaves = others_of(json_object_get(why, "leaves"), get_text(why, "name"));
    json_t *enters = others_of(json_object_get(why, "enters"), get_text(why, "name"));
    if (json_array_size(leaves) > 0) {
        cards_words(leaves, out);
        text_add(out, " would leave");
    }
    if (json_array_size(enters) > 0) {
        text_add(out, json_array_size(leaves) > 0 ? ", " : "");
        cards_words(enters, out);
        text_add(out, " would come in");
    }
    text_add(out, json_array_size(leaves) + json_array_size(enters) > 0 ? ". " : "");
    json_decref(leaves);
    json_decref(enters);
}

void wishes_part(const PageData *data, Text *out)
{
    const size_t count = items_of(data->best, "wishes");
    if (count == 0)
        return;
    const HtmlColumn columns[] = {{"Card", false}, {"In or out", false}, {"Why, and what would change it", false}};
    part_begin(out, "wishes", "Wishes");
    table_begin(out, "Wishes, in or out", columns, 3);
    for (int in = 0; in < 2; in++) /* those that are out first */
        for (size_t k = 0; k < count; k++) {
            const json_t *wish = item_at(data->best, "wishes", k);
            if (get_true(wish, "in") != (in == 1))
                continue;
            row_begin(out);
            html_name(out, get_text(wish, "name"));
            row_name_end(out);
            cell_text(out, in == 1 ? "in" : "out");
            cell_begin(out);
            if (in == 0)
                why_words(reasons_for(data, get_text(wish, "name")), out);
            cell_end(out);
            row_end(out);
        }
    table_end(out);
    part_end(out);
}

/* ---- money ---- */

void money_part(const PageData *data, Text *out)
{
    if (!data->priced)
        return;
    const HtmlColumn columns[] = {{"Section", false}, {"Cards", true},  {"To buy", true},
                                  {"Money", true},    {"Share", false}, {"Dearest", false}};
    SectionTally section[COLOURS_MOST + CLASS_SECTIONS];
    const size_t count = tally_sections(data, section);
    int64_t all = 0, most = 1;
    for (size_t k = 0; k < count; k++) {
        all += section[k].cents;
        most = section[k].cents > most ? section[k].cents : most;
    }
    part_begin(out, "money", "Where the money goes");
    table_begin(out, "Money by section", columns, 6);
    for (size_t k = 0; k < count; k++) {
        row_begin(out);
        if (colours_shown(data, section[k].name) != 0)
            colours_words(data, section[k].name, out);
        else
            html(out, "%s", section[k].name);
        row_name_end(out);
        cell_int(out, section[k].cards);
        cell_int(out, section[k].buy);
        cell_money(out, (double)section[k].cents / 100);
        cell_begin(out);
        share_picture((double)section[k].cents / (double)most, out);
        html(out, " %.0f%%", all > 0 ? 100 * (double)section[k].cents / (double)all : 0);
        cell_end(out);
        cell_begin(out);
        if (section[k].dearest != NULL) {
            html_name(out, section[k].dearest->name);
            html(out, " (%.2f)", section[k].dearest->price);
        }
        cell_end(out);
        row_end(out);
    }
    table_end(out);
    part_end(out);
}
