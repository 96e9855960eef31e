/* part_list.c - what is to be bought, dearest first; the whole list with texts, section by section. */

#include "base/sort.h"
#include "page/parts/static_parts.h"

/* ---- shopping ---- */

/* Of one copy, as in the sheet of what to buy. */
static int by_price(const void *a, const void *b)
{
    const double x = (*(const PoolCard *const *)a)->price, y = (*(const PoolCard *const *)b)->price;
    return x > y ? -1 : x < y;
}

/* Where no card has a price there is nothing to say of money. */
static void shopping_row(const PageData *data, const PoolCard *card, Text *out)
{
    row_begin(out);
    html_name(out, card->name);
    row_name_end(out);
    cell_int(out, card->buy);
    if (data->priced && card->has_price) {
        cell_money(out, card->price);
        cell_money(out, (double)card->cents / 100);
    } else if (data->priced) {
        cell_empty(out);
        cell_empty(out);
    }
    cell_begin(out);
    colours_words(data, card->colours, out);
    cell_end(out);
    row_end(out);
}

void shopping_part(const PageData *data, Text *out)
{
    const HtmlColumn priced[] = {{"Card", false}, {"Copies", true}, {"Each", true}, {"Sum", true}, {"Colours", false}},
                     plain[] = {{"Card", false}, {"Copies", true}, {"Colours", false}};
    const PoolCard **list = mem_new(data->count, sizeof *list);
    size_t count = 0;
    int64_t all = 0;
    for (size_t c = 0; c < data->count; c++)
        if (data->pool[c].buy > 0) {
            list[count++] = &data->pool[c];
            all += data->pool[c].cents;
        }
    sort_stable(list, count, sizeof *list, by_price);
    part_begin(out, "shopping", "Shopping list");
    text_add(out, "<p>");
    count_words((int64_t)count, "card", out);
    const double handling = get_number(data->model, "handling", 0);
    if (data->priced && handling > 0)
        html(out, ", %.2f, with %.2f handling for each copy.</p>\n", (double)all / 100, handling);
    else if (data->priced)
        html(out, ", %.2f.</p>\n", (double)all / 100);
    else
        text_add(out, "; no card has a price.</p>\n");
    if (data->priced)
        table_begin(out, "To buy, dearest first", priced, sizeof priced / sizeof *priced);
    else
        table_begin(out, "To buy", plain, sizeof plain / sizeof *plain);
    for (size_t k = 0; k < count; k++)
        shopping_row(data, list[k], out);
    table_end(out);
    part_end(out);
    mem_free(list);
}

/* ---- the whole list ---- */

static void list_words(const json_t *card, const char *key, const char *inner, Text *out)
{
    for (size_t k = 0; k < items_of(card, key); k++) {
        const json_t *one = item_at(card, key, k);
        html(out, "%s%s", k > 0 ? ", " : "", inner != NULL ? get_text(one, inner) : json_string_value(one));
        if (inner != NULL && get_text(one, "role")[0] != '\0')
            html(out, " (%s)", get_text(one, "role"));
    }
}

static void card_row(const PageData *data, const PoolCard *card, Text *out)
{
    card_row_begin(data, card, out);
    cell_begin(out);
    list_words(card->card, "kind", NULL, out);
    cell_end(out);
    cost_cell(card, out);
    if (has_number(card->card, "price"))
        cell_money(out, card->price);
    else
        cell_empty(out);
    cell_number(out, get_number(card->card, "fit", 0));
    cell_begin(out);
    list_words(card->card, "tags", "tag", out);
    cell_end(out);
    html(out, "<td class=\"text\"><bdi>%s</bdi></td>", get_text(card->card, "text"));
    row_end(out);
}

void list_part(const PageData *data, Text *out)
{
    const HtmlColumn columns[] = {{"Card", false}, {"Colours", false}, {"Kind", false}, {"Cost", true},
                                  {"Price", true}, {"Fit", true},      {"Tags", false}, {"Text", false}};
    part_begin(out, "list", "The whole list");
    for (size_t s = 0; section_name(data, s) != NULL; s++) {
        bool any = false;
        for (size_t c = 0; c < data->count; c++) {
            if (!in_section(data, &data->pool[c], s))
                continue;
            if (!any)
                table_begin(out, section_name(data, s), columns, sizeof columns / sizeof *columns);
            any = true;
            card_row(data, &data->pool[c], out);
        }
        if (any)
            table_end(out);
    }
    part_end(out);
}
