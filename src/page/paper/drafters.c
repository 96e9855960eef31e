/* drafters.c - the page for the players: what each pair of colours is about, its key cards, its curve, and all cards
 * with room for notes. What the pool cost and how its cards are rated is left out: nothing that is read here knows
 * prices, powers or fits but the order of key cards, which follows the weight of their tags. */
#include <string.h>

#include "base/sort.h"
#include "page/frame.h"
#include "page/parts/static_parts.h"

#define KEY_CARDS 8

typedef struct {
    PageData *data;
    const ThemeTally *theme;
    size_t themes;
} Sight;

/* ---- key cards ---- */

typedef struct {
    const PoolCard *card;
    const char *role;
    double weight;
    bool gold; /* of all the deck's colours */
} KeyCard;

/* Gold cards first, then payoffs, then by the weight of the tag; names decide. */
static int by_rank(const void *a, const void *b)
{
    const KeyCard *x = a, *y = b;
    if (x->gold != y->gold)
        return x->gold ? -1 : 1;
    const bool pays = strcmp(x->role, "enabler") != 0, other = strcmp(y->role, "enabler") != 0;
    if (pays != other)
        return pays ? -1 : 1;
    return x->weight > y->weight ? -1 : x->weight < y->weight;
}

static void key_cards(const Sight *s, const ThemeTally *theme, unsigned deck, Text *out)
{
    KeyCard *key = mem_new(s->data->count, sizeof *key);
    size_t count = 0;
    for (size_t c = 0; c < s->data->count; c++) {
        const PoolCard *card = &s->data->pool[c];
        const json_t *tag = is_playable(s->data, card->colours, deck) ? tag_in_theme(s->data, card, theme) : NULL;
        if (tag != NULL && strcmp(card->class, "fixing") != 0)
            key[count++] = (KeyCard){card, get_text(tag, "role"), get_number(tag, "weight", 1),
                                     strcmp(card->class, "gold") == 0 && card->shows == deck};
    }
    sort_stable(key, count, sizeof *key, by_rank);
    text_add(out, "<p>Look for ");
    for (size_t k = 0; k < count && k < KEY_CARDS; k++) {
        text_add(out, k > 0 ? "; " : "");
        html_name(out, key[k].card->name);
    }
    html(out, "%s</p>\n", count > KEY_CARDS ? "; and others." : ".");
    mem_free(key);
}

/* A pair without a theme of its own has its gold cards. */
static void gold_cards(const Sight *s, unsigned deck, Text *out)
{
    size_t count = 0;
    for (size_t c = 0; c < s->data->count; c++) {
        const PoolCard *card = &s->data->pool[c];
        if (strcmp(card->class, "gold") != 0 || card->shows != deck)
            continue;
        if (count < KEY_CARDS) {
            text_add(out, count > 0 ? "; " : "<p>Its own cards: ");
            html_name(out, card->name);
        }
        count++;
    }
    if (count > 0)
        html(out, "%s</p>\n", count > KEY_CARDS ? "; and others." : ".");
}

static void theme_words(const Sight *s, const ThemeTally *theme, unsigned deck, Text *out)
{
    text_add(out, "<h3>");
    html_name(out, theme->name);
    text_add(out, "</h3>\n<p>");
    count_words(theme->cards, "card", out);
    if (theme->enablers + theme->payoffs > 0)
        html(out, ": %d to make it happen, %d to reward it", theme->enablers, theme->payoffs);
    text_add(out, ".</p>\n");
    key_cards(s, theme, deck, out);
}

/* ---- pairs ---- */

static void pair_curve(const Sight *s, const char *pair, unsigned deck, Text *out)
{
    int curve[COSTS_MOST + 1] = {0}, highest = 1, most = 1, all = 0;
    for (size_t c = 0; c < s->data->count; c++) {
        const PoolCard *card = &s->data->pool[c];
        if (!is_playable(s->data, card->colours, deck) || !card->has_cost || strcmp(card->class, "fixing") == 0)
            continue;
        const int column = curve_column(card);
        curve[column] += card->copies;
        all += card->copies;
        highest = column > highest ? column : highest;
        most = curve[column] > most ? curve[column] : most;
    }
    Text title = {0};
    text_printf(&title, "%s: ", pair);
    count_words(all, "card", &title);
    text_add(&title, " by cost");
    text_add(out, "<figure>");
    curve_picture(text_cstr(&title), curve, highest, most, NO_HUE, out);
    text_add(out, "</figure>\n<details class=\"more\"><summary>The curve as a table</summary>");
    const HtmlColumn columns[] = {{"Cost", false}, {"Cards", true}};
    table_begin(out, text_cstr(&title), columns, 2);
    for (int cost = 0; cost <= highest; cost++) {
        row_begin(out);
        html(out, "%d%s", cost, cost == COSTS_MOST ? "+" : "");
        row_name_end(out);
        cell_int(out, curve[cost]);
        row_end(out);
    }
    table_end(out);
    text_add(out, "</details>\n");
    text_release(&title);
}

static void pair_part(const Sight *s, const char *pair, Text *out)
{
    const unsigned deck = colours_shown(s->data, pair);
    bool any = false;
    text_add(out, "<section class=\"still\"><h2>");
    colours_words(s->data, pair, out);
    text_add(out, "</h2>\n");
    for (size_t t = 0; t < s->themes; t++)
        if (s->theme[t].deck == deck) {
            theme_words(s, &s->theme[t], deck, out);
            any = true;
        }
    if (!any) {
        text_add(out, "<p>No theme is this pair's alone.</p>\n");
        gold_cards(s, deck, out);
    }
    pair_curve(s, pair, deck, out);
    text_add(out, "</section>\n");
}

/* Themes of one colour, of three or of all. */
static void other_themes(const Sight *s, Text *out)
{
    bool any = false;
    for (size_t t = 0; t < s->themes; t++) {
        bool paired = false;
        for (size_t k = 0; k < items_of(s->data->model, "pairs"); k++)
            paired = paired ||
                     s->theme[t].deck == colours_shown(s->data, json_string_value(item_at(s->data->model, "pairs", k)));
        if (paired)
            continue;
        if (!any)
            part_begin(out, "others", "Themes of other colours");
        any = true;
        theme_words(s, &s->theme[t], s->theme[t].deck, out);
    }
    if (any)
        part_end(out);
}

/* ---- all cards ---- */

static void card_row(const Sight *s, const PoolCard *card, Text *out)
{
    card_row_name(card, out);
    text_add(out, "<td class=\"notes\"></td>");
    card_colours_cell(s->data, card, out);
    cost_cell(card, out);
    html(out, "<td class=\"text\"><bdi>%s</bdi></td>", get_text(card->card, "text"));
    row_end(out);
}

static void all_cards(const Sight *s, Text *out)
{
    const HtmlColumn columns[] = {
        {"Card", false}, {"Your notes", false}, {"Colours", false}, {"Cost", true}, {"Text", false}};
    part_begin(out, "list", "All cards");
    text_add(out, "<p id=\"notes\"></p>\n");
    table_begin(out, "Cards in the order of their names", columns, sizeof columns / sizeof *columns);
    for (size_t c = 0; c < s->data->count; c++)
        card_row(s, &s->data->pool[c], out);
    table_end(out);
    part_end(out);
}

/* Themes that the pool's choice leaves out are none for those who draft it. */
static void keep_chosen(Sight *s, ThemeTally *theme, size_t count)
{
    s->theme = theme;
    for (size_t t = 0; t < count; t++)
        if (strcmp(theme_note(s->data, theme[t].name), "not chosen") != 0)
            theme[s->themes++] = theme[t];
}

bool page_drafters(const PageParts *parts, Arena *arena, Text *out, const char **why)
{
    PageData data;
    const bool good = page_data_read(parts, &data, why);
    if (good) {
        Sight s = {.data = &data};
        size_t themes;
        ThemeTally *theme = tally_themes(&data, &themes);
        keep_chosen(&s, theme, themes);
        page_head(parts->title, &asset_style, &asset_drafters, false, out);
        html(out, "<main id=\"static\" class=\"of-%d\">\n<h1>%s</h1>\n<p>", data.colours, parts->title);
        count_words(get_int(data.best, "size"), "card", out);
        text_add(out, ".</p>\n");
        for (size_t k = 0; k < items_of(data.model, "pairs"); k++)
            pair_part(&s, json_string_value(item_at(data.model, "pairs", k)), out);
        other_themes(&s, out);
        all_cards(&s, out);
        text_add(out, "</main>\n");
        page_script(&asset_drafters, out);
    } else
        *why = arena_printf(arena, "what was answered about '%s' is not JSON", *why);
    page_data_release(&data);
    return good;
}
