/* part_seats.c - what the drafter of each theme sees, which one will be short, of what. The numbers are those of
 * `seats` (docs/seats.md), whose order of themes is kept: the one that is short first. */
#include "page/parts/static_parts.h"
#include "report/layout/format.h"

#define NAMED_MOST 3 /* themes in a picture's title */

static const json_t *seen_by(const json_t *cards, const char *by)
{
    return json_object_get(cards, by);
}

static int needed(const PageData *data, const char *role)
{
    return (int)get_int(json_object_get(data->seats, "package"), role);
}

/* [0] for one drafter, [1] for two. */
static const char *enough(const PageData *data, const json_t *theme, const char *key, size_t which)
{
    return format_chance(data->arena, json_number_value(item_at(theme, key, which)));
}

static void cell_mean(const PageData *data, const json_t *cards, const char *by, Text *out)
{
    html(out, "<td class=\"number\">%s</td>", format_mean(data->arena, get_number(seen_by(cards, by), "mean", 0)));
}

static void cell_words(const char *words, Text *out)
{
    html(out, "<td class=\"number\">%s</td>", words);
}

/* ---- words ---- */

static void table_words(const PageData *data, Text *out)
{
    const json_t *seats = data->seats, *drawn = json_object_get(seats, "drawn");
    const int64_t sit = get_int(seats, "seats"), says = get_int(json_object_get(data->model, "seats"), "seats"),
                  pool = get_int(seats, "pool"), dealt = get_int(drawn, "dealt");
    text_add(out, "<p class=\"quiet\">");
    count_words(sit, "seat", out);
    html(out, ", ");
    count_words(get_int(seats, "packs"), "pack", out);
    html(out, " of %d each: a seat opens %d cards, and %d pass it.", (int)get_int(seats, "pack_size"),
         (int)get_int(drawn, "opens"), (int)get_int(drawn, "sees"));
    if (sit < says)
        html(out, " The model says %d seats; the pool serves %d.", (int)says, (int)sit);
    if (dealt < pool)
        html(out, " %d of the %d cards are dealt.", (int)dealt, (int)pool);
    text_add(out, "</p>\n");
}

static void shortest_words(const PageData *data, Text *out)
{
    for (size_t k = 0; k < items_of(data->seats, "text"); k++)
        html(out, "<p>%s</p>\n", json_string_value(item_at(data->seats, "text", k)));
}

/* ---- tables and pictures ---- */

static void seen_table(const PageData *data, size_t count, Text *out)
{
    const HtmlColumn columns[] = {{"Theme", false}, {"Cards", true},       {"First pack", true}, {"Opens", true},
                                  {"Passes", true}, {"Nine of ten", true}, {"Short of", false}};
    table_begin(out, "What a drafter sees of each theme, the one that is short first", columns,
                sizeof columns / sizeof *columns);
    for (size_t k = 0; k < count; k++) {
        const json_t *theme = item_at(data->seats, "themes", k), *cards = json_object_get(theme, "cards");
        row_begin(out);
        html_name(out, get_text(theme, "theme"));
        text_add(out, k == 0 && get_text(data->seats, "short_first")[0] != '\0' ? " <em>short first</em>" : "");
        row_name_end(out);
        cell_int(out, get_int(cards, "copies"));
        cell_mean(data, cards, "pack", out);
        cell_mean(data, cards, "opens", out);
        cell_mean(data, cards, "sees", out);
        cell_int(out, get_int(seen_by(cards, "sees"), "nine_in_ten"));
        cell_text(out, get_text(theme, "short_of"));
        row_end(out);
    }
    table_end(out);
    text_add(out,
             "<p class=\"quiet\">First pack, opens, passes: its cards on average in one pack, in all packs that a seat "
             "opens, in all that passes it. Nine of ten: so many at least pass nine seats of ten. Short of: of what "
             "there is less for two drafters.</p>\n");
}

/* "Enablers: nine seats of ten see enough for two drafters in 8 of 10 themes; not in bells, eels". */
static void role_picture(const PageData *data, const char *role, const char *word, size_t count, Text *out)
{
    const int need = needed(data, role);
    SeenRow *row = arena_alloc(data->arena, count, sizeof *row);
    size_t two = 0, named = 0;
    Text title = {0};
    for (size_t k = 0; k < count; k++) {
        const json_t *theme = item_at(data->seats, "themes", k), *cards = json_object_get(theme, role),
                     *sees = seen_by(cards, "sees");
        row[k] = (SeenRow){.name = get_text(theme, "theme"),
                           .copies = (int)get_int(cards, "copies"),
                           .sure = (int)get_int(sees, "nine_in_ten"),
                           .mean = get_number(sees, "mean", 0)};
        two += row[k].sure >= 2 * need;
    }
    text_printf(&title, "%s: nine seats of ten see enough for two drafters in %zu of %zu %s", word, two, count,
                count == 1 ? "theme" : "themes");
    for (size_t k = 0; k < count && named < NAMED_MOST; k++)
        if (row[k].sure < 2 * need)
            text_printf(&title, "%s%s", named++ == 0 ? "; not in " : ", ", row[k].name);
    if (count - two > named)
        text_printf(&title, " and %zu more", count - two - named);
    html(out, "<figure><figcaption>%s that pass nine seats of ten, and the average</figcaption>", word);
    seen_picture(text_cstr(&title), row, count, need, out);
    text_add(out, "</figure>\n");
    text_release(&title);
}

static void enough_table(const PageData *data, size_t count, Text *out)
{
    const HtmlColumn columns[] = {{"Theme", false},      {"Enablers", true}, {"Pass", true},    {"Nine of ten", true},
                                  {"For one", true},     {"For two", true},  {"Payoffs", true}, {"Pass", true},
                                  {"Nine of ten", true}, {"For one", true},  {"For two", true}};
    static const char *const role[] = {"enablers", "payoffs"}, *const key[] = {"enough_enablers", "enough_payoffs"};
    Text caption = {0};
    text_printf(&caption,
                "The pictures in numbers, and the chance that enough passes a seat for one drafter (%d enablers, %d "
                "payoffs), for two",
                needed(data, role[0]), needed(data, role[1]));
    table_begin(out, text_cstr(&caption), columns, sizeof columns / sizeof *columns);
    for (size_t k = 0; k < count; k++) {
        const json_t *theme = item_at(data->seats, "themes", k);
        row_begin(out);
        html_name(out, get_text(theme, "theme"));
        row_name_end(out);
        for (size_t r = 0; r < 2; r++) {
            const json_t *cards = json_object_get(theme, role[r]);
            cell_int(out, get_int(cards, "copies"));
            cell_mean(data, cards, "sees", out);
            cell_int(out, get_int(seen_by(cards, "sees"), "nine_in_ten"));
            cell_words(enough(data, theme, key[r], 0), out);
            cell_words(enough(data, theme, key[r], 1), out);
        }
        row_end(out);
    }
    table_end(out);
    text_release(&caption);
}

static void together_table(const PageData *data, Text *out)
{
    static const char *const by[] = {"dealt", "sees", "opens"};
    const HtmlColumn columns[] = {
        {"All cards of", false}, {"Are dealt", true}, {"One seat sees", true}, {"One seat opens", true}};
    const size_t count = items_of(data->seats, "together");
    if (count == 0)
        return;
    table_begin(out, "Cards that belong together: the chance that all of them are there", columns, 4);
    for (size_t k = 0; k < count; k++) {
        const json_t *one = item_at(data->seats, "together", k);
        const bool lacks = !get_true(one, "in");
        row_begin(out);
        html_name(out, get_text(one, "name"));
        row_name_end(out);
        for (size_t w = 0; w < sizeof by / sizeof *by; w++)
            cell_words(!lacks   ? format_chance(data->arena, get_number(one, by[w], 0))
                       : w == 0 ? "not in the pool"
                                : "",
                       out);
        row_end(out);
    }
    table_end(out);
}

/* Themes that can be short of cards come first; the others have no candidate with a role, or are not chosen. */
static size_t may_be_short(const PageData *data)
{
    size_t count = 0;
    while (count < items_of(data->seats, "themes") &&
           get_text(item_at(data->seats, "themes", count), "short_of")[0] != '\0')
        count++;
    return count;
}

void seats_part(const PageData *data, Text *out)
{
    const size_t count = items_of(data->seats, "themes"), pictured = may_be_short(data);
    if (data->seats == NULL)
        return;
    part_begin(out, "seats", "At the seats");
    table_words(data, out);
    if (count > 0) {
        shortest_words(data, out);
        seen_table(data, count, out);
    }
    if (pictured > 0) {
        text_add(out, "<div class=\"curves\">\n");
        role_picture(data, "enablers", "Enablers", pictured, out);
        role_picture(data, "payoffs", "Payoffs", pictured, out);
        text_add(out, "</div>\n");
        enough_table(data, pictured, out);
    }
    together_table(data, out);
    text_add(out,
             "<p class=\"quiet\">Chances are exact. What passes a seat is counted as if all picks were at random; who "
             "drafts a theme at a table where others want it too gets less.</p>\n");
    part_end(out);
}
