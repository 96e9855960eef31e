/* shape_write.c - a shape as sheets and YAML. */
#include "shape.h"

#include <stdlib.h>

#include "tiny.h"

const char *shape_card_name(int card)
{
    static const char *const name[] = {"Anvil",  "Basket", "Candle",  "Drum",    "Easel",
                                       "Funnel", "Gimlet", "Hammock", "Inkwell", "Jug"};
    return name[card];
}

static const char *theme_name(int theme)
{
    static const char *const name[] = {"knots", "kites", "mirrors", "wheels"};
    return name[theme];
}

static const char *colour_name(int colour)
{
    static const char *const name[] = {"ash", "birch", "clay"};
    return name[colour];
}

static void add_colours(Page *page, unsigned colours, char join)
{
    bool first = true;
    for (int c = 0; c < SHAPE_COLOURS; c++) {
        if ((colours >> c & 1) == 0) {
            continue;
        }
        if (!first) {
            page_add(page, "%c", join);
        }
        page_add(page, "%s", colour_name(c));
        first = false;
    }
}

static void write_cards(const Shape *s, const char *folder)
{
    static const char *const role[] = {"", " enabler", " payoff", " both"};
    Page page = {0};
    page_add(&page, "name,colours,power,price,copies,owned,tags\n");
    for (int c = 0; c < s->cards; c++) {
        const ShapeCard *card = &s->card[c];
        page_add(&page, "%s,", shape_card_name(c));
        add_colours(&page, card->colours, card->either ? '/' : '+');
        page_add(&page, ",");
        page_decimal(&page, card->power, 1000, '.');
        page_add(&page, ",");
        page_decimal(&page, card->price, 100, '.');
        page_add(&page, ",%d,%d,", card->most, card->owned);
        for (int t = 0; t < s->themes; t++) {
            if (!card->tagged[t]) {
                continue;
            }
            page_add(&page, "%s%s ", theme_name(t), role[card->role[t]]);
            page_decimal(&page, card->weight[t], 1000, '.');
            page_add(&page, ";");
        }
        page_add(&page, "\n");
    }
    page_save(&page, folder, "cards.csv");
    page_add(&page, "name,copies\n");
    for (int c = 0; c < s->cards; c++) {
        if (s->card[c].present > 0) {
            page_add(&page, "%s,%d\n", shape_card_name(c), s->card[c].present);
        }
    }
    page_save(&page, folder, "pool.csv");
}

static void write_theme(const Shape *s, Page *page, int t)
{
    const ShapeTheme *theme = &s->theme[t];
    page_add(page, "  - name: %s\n    weight: ", theme_name(t));
    page_decimal(page, theme->weight, 1000, '.');
    if (theme->colours != 0) {
        page_add(page, "\n    colours: ");
        add_colours(page, theme->colours, '+');
    }
    if (theme->bonus > 0 || theme->band_from >= 0 || theme->band_to >= 0) {
        page_add(page, "\n    engine: {bonus: ");
        page_decimal(page, theme->bonus, 1000, '.');
        page_add(page, ", ratio: ");
        page_decimal(page, theme->bonus > 0 ? theme->ratio : 1000, 1000, '.');
        if (theme->band_from >= 0 || theme->band_to >= 0) {
            page_add(page, ", enablers_per_payoff: {");
            if (theme->band_from >= 0) {
                page_add(page, "from: ");
                page_decimal(page, theme->band_from, 1000, '.');
            }
            if (theme->band_to >= 0) {
                page_add(page, "%sto: ", theme->band_from >= 0 ? ", " : "");
                page_decimal(page, theme->band_to, 1000, '.');
            }
            page_add(page, "}");
        }
        page_add(page, "}");
    }
    for (int k = 0; k < theme->steps; k++) {
        page_add(page, k == 0 ? "\n    depth: [{" : ", {");
        if (theme->to[k] > 0) {
            page_add(page, "to: %d, ", theme->to[k]);
        }
        page_add(page, "share: %lld%%}%s", (long long)theme->share[k], k + 1 == theme->steps ? "]" : "");
    }
    page_add(page, "\n");
}

static void write_places(const Shape *s, Page *page)
{
    page_add(page, "places:\n  each: colour\n  theme: %d\n", s->per_theme);
    if (s->open >= 0) {
        page_add(page, "  open: %d\n", s->open);
    }
    if (s->by_place) {
        page_add(page, "  by_place: yes\n");
    }
    if (s->also >= 0) {
        page_add(page, "  also: [%s]\n", theme_name(s->also));
    }
    bool own = s->own_colour >= 0 && (s->own_theme >= 0 || s->own_open >= 0);
    if (s->wide_theme >= 0 || own) {
        page_add(page, "  for:\n");
    }
    if (s->wide_theme >= 0) {
        page_add(page, "    %s: %d\n", theme_name(s->wide_theme), s->wide_count);
    }
    if (own) {
        page_add(page, "    %s: {", colour_name(s->own_colour));
        if (s->own_theme >= 0) {
            page_add(page, "%s: %d", theme_name(s->own_theme), s->own_count);
        }
        if (s->own_open >= 0) {
            page_add(page, "%sopen: %d", s->own_theme >= 0 ? ", " : "", s->own_open);
        }
        page_add(page, "}\n");
    }
}

static void write_sets(const Shape *s, Page *page, const ShapeLink *link)
{
    page_add(page, "  - {parts: [");
    for (int p = 0; p < link->parts; p++) {
        const char *between = p > 0 ? "], [" : "[";
        for (int c = 0; c < s->cards; c++) {
            if ((link->part[p] >> c & 1) != 0) {
                page_add(page, "%s%s", between, shape_card_name(c));
                between = ", ";
            }
        }
    }
    page_add(page, "]], bonus: ");
    page_decimal(page, link->number, 1000, '.');
    if (link->sets_most > 0) {
        page_add(page, ", at_most: %d", link->sets_most);
    }
    page_add(page, "}\n");
}

static void write_link(const Shape *s, Page *page, const ShapeLink *link)
{
    static const char *const list[] = {"cards", "one_of", "cards", "cards"};
    static const char *const number[] = {"bonus", "at_least", "at_most", "at_least"};
    page_add(page, "  - {");
    if (link->kind == LINK_NEEDS) {
        page_add(page, "card: %s, ", shape_card_name(link->subject));
    }
    page_add(page, "%s: [", list[link->kind]);
    bool first = true;
    for (int c = s->cards - 1; c >= 0; c--) {
        if ((link->cards >> c & 1) != 0) {
            page_add(page, "%s%s", first ? "" : ", ", shape_card_name(c));
            first = false;
        }
    }
    page_add(page, "], %s: ", number[link->kind]);
    page_decimal(page, link->kind == LINK_TOGETHER ? link->number : link->number * 1000, 1000, '.');
    page_add(page, "}\n");
}

static void write_links(const Shape *s, Page *page)
{
    static const char *const key[] = {"together", "needs", "apart", "groups"};
    for (int kind = LINK_TOGETHER; kind <= LINK_GROUP; kind++) {
        bool any = false;
        for (int i = 0; i < s->links; i++) {
            const bool sets = kind == LINK_TOGETHER && s->link[i].kind == LINK_SETS;
            if (s->link[i].kind != kind && !sets) {
                continue;
            }
            page_add(page, "%s", any ? "" : key[kind]);
            page_add(page, "%s", any ? "" : ":\n");
            any = true;
            if (sets) {
                write_sets(s, page, &s->link[i]);
            } else {
                write_link(s, page, &s->link[i]);
            }
        }
    }
}

static void write_choice(const Shape *s, Page *page)
{
    page_add(page, "choose: {from: [");
    bool first = true;
    for (int t = 0; t < s->themes; t++) {
        if ((s->from >> t & 1) != 0) {
            page_add(page, "%s%s", first ? "" : ", ", theme_name(t));
            first = false;
        }
    }
    page_add(page, "], per: %s, ", s->per_pair ? "pair" : "pool");
    if (s->choose_low == s->choose_high) {
        page_add(page, "exactly: %d}\n", s->choose_low);
    } else {
        page_add(page, "between: [%d, %d]}\n", s->choose_low, s->choose_high);
    }
}

static void write_rules(const Shape *s, Page *page)
{
    page_add(page, "rules:\n  - {name: anything, at_least: 0}\n");
    if (s->payoffs_least >= 0) {
        page_add(page, "  - {name: payoffs, each: theme, where: {role: payoff}, at_least: %d", s->payoffs_least);
        if (s->payoffs_soft > 0) {
            page_add(page, ", soft: ");
            page_decimal(page, s->payoffs_soft, 1000, '.');
        }
        page_add(page, "}\n");
    }
    if (s->tagged_most >= 0) {
        page_add(page, "  - {name: not too many, each: theme, scope: tagged, at_most: %d}\n", s->tagged_most);
    }
    if (s->own_share >= 0) {
        page_add(
            page,
            "  - {name: cards of its own, each: theme, scope: tagged, where: {themes: 1}, at_least: %d%%, of: {}}\n",
            s->own_share);
    }
}

void shape_write(const Shape *s, const char *folder)
{
    Page page = {0};
    write_cards(s, folder);
    page_add(&page, "size: {from: %d, to: %d}\n", s->size_from, s->size_to);
    if (s->cap >= 0) {
        page_add(&page, "spending_cap: ");
        page_decimal(&page, s->cap, 100, '.');
        page_add(&page, "\n");
    }
    page_add(&page, "colours: [ash, birch%s]\ndeck_colours: %d\n", s->colours == 3 ? ", clay" : "", s->deck);
    if (s->playable > 0 || s->stay > 0) {
        page_add(&page, "fit: {playable: %d%%, stay: ", s->playable);
        page_decimal(&page, s->stay, 1000, '.');
        page_add(&page, "}\n");
    }
    if (s->evenness > 0) {
        page_add(&page, "evenness: ");
        page_decimal(&page, s->evenness, 1000, '.');
        page_add(&page, "\n");
    }
    page_add(&page, "themes:\n");
    for (int t = 0; t < s->themes; t++) {
        write_theme(s, &page, t);
    }
    if (s->places) {
        write_places(s, &page);
    }
    write_links(s, &page);
    if (s->from != 0) {
        write_choice(s, &page);
    }
    write_rules(s, &page);
    page_save(&page, folder, "model.yaml");
    page_add(&page, "model: model.yaml\ncards: [cards.csv]\npool: pool.csv\n");
    page_save(&page, folder, "scenario.yaml");
}
