/* order_report.c - see order_report.h. */
#include "report/list/order_report.h"

#include "report/explain_report.h"
#include "report/json/json.h"
#include "report/sheet/sheet_out.h"
#include "report/whatif_report.h"
#include "report/words/money.h"
#include "report/layout/format.h"

#define SHOWN 5

static const char *shop_name(const Instance *in, size_t shop)
{
    return in->shop[shop].name[0] == '\0' ? "(no shop named)" : in->shop[shop].name;
}

/* ---- text ---- */

static void add_shops(const Instance *in, const Order *o, Arena *arena, const Style *style, Text *out)
{
    static const char *const header[] = {"shop", "cards", "for", "postage", "in all"};
    Table *table = table_new("crrrr", header);
    for (size_t s = 0; s < o->shops; s++) {
        const OrderShop *shop = &o->shop[s];
        table_add(table, shop_name(in, shop->shop));
        table_addf(table, "%d", shop->copies);
        table_add(table, format_money(arena, shop->cards));
        table_add(table, format_money(arena, shop->postage));
        table_add(table, format_money(arena, shop->cards + shop->postage));
    }
    style_heading(out, style, "Parcels");
    table_print(table, out, style);
    table_free(table);
    if (in->shops == 1 && in->shop[0].name[0] == '\0')
        text_add(out, "  No price names a shop (a column `shop` in the sheets of prices), so all is one parcel.\n");
    else if (in->model->shops == 0)
        text_add(out, "  The model says nothing of postage: 'shops: [{name: ..., postage: 3.50}]' does.\n");
}

static void add_cards(const Instance *in, const Order *o, Arena *arena, const Style *style, Text *out)
{
    static const char *const header[] = {"card", "copies", "each", "condition", "language"};
    for (size_t s = 0, l = 0; s < o->shops; s++) {
        Table *table = table_new("crrLL", header);
        for (; l < o->lines && in->offer[o->line[l].offer].shop == o->shop[s].shop; l++) {
            const ShopOffer *offer = &in->offer[o->line[l].offer];
            table_add(table, in->cards->card[offer->card].name);
            table_addf(table, "%d", o->line[l].copies);
            table_add(table, format_money(arena, offer->price));
            table_add(table, offer->condition);
            table_add(table, offer->language);
        }
        style_heading(out, style, shop_name(in, o->shop[s].shop));
        table_print(table, out, style);
        table_free(table);
    }
}

/* "Amber Hull", "3 x Bent Cargo" */
static const char *unsold_name(const Instance *in, const Unsold *unsold, Arena *arena)
{
    return format_copies(arena, unsold->copies, in->cards->card[unsold->card].name);
}

/* A price in the cards sheet is no offer. */
static bool has_price_in_cards_alone(const Instance *in, const Unsold *unsold)
{
    return in->cards->card[unsold->card].has_price && !in->quoted[unsold->card] && !in->sold_out[unsold->card];
}

static void add_unsold(const Instance *in, const Order *o, Arena *arena, Text *out)
{
    size_t copies = 0, priced = 0, sold_out = 0;
    int64_t counted = 0; /* at most a hundred thousand copies */
    if (o->unsolds == 0)
        return;
    for (size_t k = 0; k < o->unsolds; k++) {
        copies += (size_t)o->unsold[k].copies;
        counted += o->unsold[k].copies * instance_buy_price(in, o->unsold[k].card);
        priced += has_price_in_cards_alone(in, &o->unsold[k]) ? (size_t)o->unsold[k].copies : 0;
        sold_out += in->sold_out[o->unsold[k].card] ? (size_t)o->unsold[k].copies : 0;
    }
    text_printf(out, "No offer for %zu card%s: ", copies, copies == 1 ? "" : "s");
    for (size_t k = 0; k < o->unsolds && k < SHOWN; k++)
        text_printf(out, "%s%s", k > 0 ? ", " : "", unsold_name(in, &o->unsold[k], arena));
    text_add(out, o->unsolds > SHOWN ? ", ... (--full lists them).\n" : ".\n");
    if (priced > 0)
        text_printf(out, "  %zu of them %s a price in the cards sheet alone; offers stand in sheets of prices.\n",
                    priced, priced == 1 ? "has" : "have");
    if (sold_out > 0)
        text_printf(out, "  %zu of them %s sold out, as the sheets of prices say.\n", sold_out,
                    sold_out == 1 ? "is" : "are");
    if (counted > 0)
        text_printf(out, "  In what a pool has to buy %s.\n",
                    arena_printf(arena, copies == 1 ? "it counts as %s" : "they count as %s together",
                                 format_money(arena, counted)));
}

static void add_moves(const Instance *in, const char *label, const Moved *moved, size_t count, Arena *arena,
                      const Style *style, Text *out)
{
    NameList list;
    name_list_begin(&list, label, SIZE_MAX, style, out);
    for (size_t k = 0; k < count; k++)
        name_list_add(&list, format_copies(arena, moved[k].copies, in->cards->card[moved[k].card].name));
    name_list_end(&list);
}

/* What was given for what. */
static void add_given(const Instance *in, const Order *o, const OrderGiven *g, Arena *arena, const Style *style,
                      Text *out)
{
    if (!g->changed) {
        text_printf(out, "No pool with a fit of %s or more %s.\n", format_number(arena, g->floor),
                    g->proven ? "is cheaper to order: proven" : "was found that is cheaper to order; there may be one");
        return;
    }
    text_printf(out, "With %s in and %s out: fit %s instead of %s%s, ",
                format_cards(arena, moved_copies(g->change.enters, g->change.enter_count)),
                format_count(arena, moved_copies(g->change.leaves, g->change.leave_count)),
                format_number(arena, o->fit), format_number(arena, g->fit),
                o->most_fit ? "" : " (more may be possible)");
    if (g->listed->has_order)
        text_printf(out, "%s less than the list as it is (%s%s).\n", format_money(arena, g->listed->cost - o->cost),
                    format_money(arena, g->listed->cost), g->listed->proven ? "" : ", not proven least");
    else
        text_add(out, g->listed->impossible ? "where the list as it is cannot be ordered.\n"
                                            : "where what the list as it is comes to was not found out.\n");
    add_moves(in, "out  ", g->change.leaves, g->change.leave_count, arena, style, out);
    add_moves(in, "in   ", g->change.enters, g->change.enter_count, arena, style, out);
}

void order_text(const Instance *in, const int *list, const Order *o, const OrderGiven *given, bool full,
                const char *written, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    int copies = 0;
    int64_t postage = 0;
    for (size_t s = 0; s < o->shops; s++) {
        copies += o->shop[s].copies;
        postage += o->shop[s].postage;
    }
    if (o->impossible)
        text_add(out, "No way to buy these cards keeps every shop's least order: proven.\n");
    else if (!o->has_order)
        text_add(out, "Stopped before an order was found.\n");
    else if (o->lines == 0)
        text_add(out, o->unsolds > 0 ? "Nothing of it is for sale.\n" : "Nothing must be bought.\n");
    else
        text_printf(out, "%s from %zu shop%s for %s, of it %s postage; %s.\n", format_cards(arena, copies), o->shops,
                    o->shops == 1 ? "" : "s", format_money(arena, o->cost), format_money(arena, postage),
                    o->proven ? given != NULL && given->changed ? "no pool with that fit costs less to order: proven"
                                                                : "no order costs less: proven"
                              : arena_printf(arena, "proven: none below %s", format_money(arena, o->bound)));
    pool_owned_text(in, list, out);
    if (o->has_order && o->lines > 0 && o->one_by_one > o->cost)
        text_printf(out, "Each card where it is cheapest would come to %s.\n", format_money(arena, o->one_by_one));
    if (given != NULL)
        add_given(in, o, given, arena, style, out);
    add_unsold(in, o, arena, out);
    if (o->has_order && o->lines > 0) {
        add_shops(in, o, arena, style, out);
        if (full)
            add_cards(in, o, arena, style, out);
    }
    for (size_t k = SHOWN; k < o->unsolds && full; k++)
        text_printf(out, "%sNo offer: %s\n", k == SHOWN ? "\n" : "", unsold_name(in, &o->unsold[k], arena));
    if (written != NULL)
        text_printf(out, "\nWritten: %s. Fill in `paid`, then `poolwright bought` books it.\n", written);
    else if (!full && o->lines > 0)
        text_add(out, "\nMore: --full (every card by shop), -o order.csv (as a sheet).\n");
    arena_free(arena);
}

/* ---- JSON ---- */

static json_t *line_json(const Instance *in, const OrderLine *line)
{
    const ShopOffer *offer = &in->offer[line->offer];
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(in->cards->card[offer->card].name));
    json_object_set_new(item, "copies", json_integer(line->copies));
    json_object_set_new(item, "each", json_money(offer->price));
    json_object_set_new(item, "condition", json_string(offer->condition));
    json_object_set_new(item, "language", json_string(offer->language));
    json_object_set_new(item, "file", json_string(offer->at.file));
    json_object_set_new(item, "line", json_integer(offer->at.line));
    return item;
}

static json_t *given_json(const Instance *in, const Order *o, const OrderGiven *g)
{
    json_t *item = json_object();
    json_object_set_new(item, "fit", json_number_of(g->asked));
    json_object_set_new(item, "proven", json_boolean(g->proven));
    json_object_set_new(item, "fit_before", json_number_of(g->fit));
    if (g->listed->has_order)
        json_object_set_new(item, "cost_before", json_money(g->listed->cost));
    if (!g->changed)
        return item;
    json_object_set_new(item, "fit_after", json_number_of(o->fit));
    json_object_set_new(item, "most_fit", json_boolean(o->most_fit));
    exchange_json(in, &g->change, item);
    return item;
}

bool order_json(const Instance *in, const int *list, const Order *o, const OrderGiven *given, const Diags *notices,
                Text *out)
{
    json_t *root = json_object(), *shops = json_array(), *unsold = json_array();
    const char *status = o->impossible ? "infeasible" : o->proven ? "best" : "stopped";
    json_object_set_new(root, "status", json_string(status));
    json_object_set_new(root, "pool_owned", json_integer(pool_owned_copies(in, list)));
    if (o->has_order) {
        json_object_set_new(root, "cost", json_money(o->cost));
        json_object_set_new(root, "bound", json_money(o->proven ? o->cost : o->bound));
    }
    if (o->one_by_one >= 0)
        json_object_set_new(root, "each_at_its_cheapest", json_money(o->one_by_one));
    for (size_t s = 0, l = 0; s < o->shops; s++) {
        json_t *item = json_object(), *cards = json_array();
        for (; l < o->lines && in->offer[o->line[l].offer].shop == o->shop[s].shop; l++)
            json_array_append_new(cards, line_json(in, &o->line[l]));
        json_object_set_new(item, "shop", json_string(in->shop[o->shop[s].shop].name));
        json_object_set_new(item, "copies", json_integer(o->shop[s].copies));
        json_object_set_new(item, "cost", json_money(o->shop[s].cards));
        json_object_set_new(item, "postage", json_money(o->shop[s].postage));
        json_object_set_new(item, "cards", cards);
        json_array_append_new(shops, item);
    }
    json_object_set_new(root, "shops", shops);
    for (size_t k = 0; k < o->unsolds; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(in->cards->card[o->unsold[k].card].name));
        json_object_set_new(item, "copies", json_integer(o->unsold[k].copies));
        json_object_set_new(item, "price_in_cards_sheet", json_boolean(has_price_in_cards_alone(in, &o->unsold[k])));
        json_object_set_new(item, "sold_out", json_boolean(in->sold_out[o->unsold[k].card]));
        json_array_append_new(unsold, item);
    }
    json_object_set_new(root, "no_offer", unsold);
    if (given != NULL)
        json_object_set_new(root, "given", given_json(in, o, given));
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}

/* ---- sheet ---- */

/* A line of what is no purchase. */
static void add_note(const Instance *in, const char *what, const Moved *moved, Arena *arena, char separator, Text *out)
{
    const char *const cell[] = {
        what, "", in->cards->card[moved->card].name, arena_printf(arena, "%d", moved->copies), "", "", "", "", ""};
    sheet_line(out, cell, 9, separator);
}

void order_sheet(const Instance *in, const Order *o, const OrderGiven *given, Text *out)
{
    static const char *const header[] = {"what", "shop", "name",      "copies",  "each",
                                         "sum",  "paid", "condition", "language"};
    const char separator = sheet_separator(in->cards);
    const bool commas = sheet_has_commas(in->cards);
    Arena *arena = arena_new();
    sheet_begin(out, in->cards);
    sheet_line(out, header, 9, separator);
    for (size_t s = 0, l = 0; s < o->shops; s++) {
        const char *shop = in->shop[o->shop[s].shop].name;
        for (; l < o->lines && in->offer[o->line[l].offer].shop == o->shop[s].shop; l++) {
            const ShopOffer *offer = &in->offer[o->line[l].offer];
            const int copies = o->line[l].copies;
            const char *const cell[] = {"buy",
                                        shop,
                                        in->cards->card[offer->card].name,
                                        arena_printf(arena, "%d", copies),
                                        sheet_number(arena, commas, format_money(arena, offer->price)),
                                        sheet_number(arena, commas, format_money(arena, copies * offer->price)),
                                        "",
                                        offer->condition,
                                        offer->language};
            sheet_line(out, cell, 9, separator);
        }
        const char *const postage[] = {
            "postage", shop, "", "", "", sheet_number(arena, commas, format_money(arena, o->shop[s].postage)),
            "",        "",   ""};
        sheet_line(out, postage, 9, separator);
    }
    for (size_t k = 0; k < o->unsolds; k++)
        add_note(in, "no offer", &(Moved){o->unsold[k].card, o->unsold[k].copies}, arena, separator, out);
    for (size_t k = 0; given != NULL && k < given->change.leave_count; k++)
        add_note(in, "leaves", &given->change.leaves[k], arena, separator, out);
    for (size_t k = 0; given != NULL && k < given->change.enter_count; k++)
        add_note(in, "enters", &given->change.enters[k], arena, separator, out);
    arena_free(arena);
}
