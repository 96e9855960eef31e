/* find_report.c - candidates that were looked for: sorted, as a table, as JSON, as sheets. */
#include <string.h>

#include "base/number.h"
#include "report/words/money.h"
#include "report/desk/desk.h"
#include "report/layout/format.h"
#include "report/json/json.h"
#include "report/sheet/sheet_out.h"

/* ---- cells ---- */

static void add_kinds(const Instance *in, size_t c, Text *out)
{
    const Card *card = &in->cards->card[c];
    for (size_t k = 0; k < card->kinds; k++)
        text_printf(out, "%s%s", k > 0 ? ";" : "", in->cards->kind[card->kind[k]]);
}

static void add_tags(const Instance *in, size_t c, Arena *arena, Text *out)
{
    const Card *card = &in->cards->card[c];
    for (size_t k = 0; k < card->tags; k++) {
        const CardTag *tag = &card->tag[k];
        const char *role = role_name(tag->role);
        text_printf(out, "%s%s%s%s", k > 0 ? "; " : "", in->cards->tag[tag->tag], role[0] != '\0' ? " " : "", role);
        if (tag->weight != 1000)
            text_printf(out, " %s", format_number(arena, tag->weight));
    }
}

static void add_status(const Instance *in, size_t c, Text *out)
{
    static const struct {
        unsigned bit;
        const char *word;
    } word[] = {{STATUS_KEEP, "keep"}, {STATUS_BAN, "ban"}, {STATUS_WISH, "wish"}, {STATUS_IN, "in"}};
    for (size_t k = 0; k < sizeof word / sizeof *word; k++)
        if (in->status[c] & word[k].bit)
            text_printf(out, "%s%s", out->length > 0 ? ";" : "", word[k].word);
}

/* The sum of money by which fit is told: a power of ten, 1.00 at least and the average price at most. */
static int64_t unit_of_money(const Instance *in)
{
    int128 sum = 0, priced = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (price_known(in, c)) {
            sum += in->price[c];
            priced++;
        }
    int64_t unit = 100;
    while (unit * 10 * priced <= sum && priced > 0)
        unit *= 10;
    return unit;
}

/* Fit for so much money, rounded; "-" where it says nothing. */
static const char *per_money(const Instance *in, size_t c, int64_t unit, Arena *arena)
{
    if (fit_for_money(in, c) != FIT_FOR_MONEY)
        return "-";
    return format_money(arena,
                        (int64_t)round_div((int128)in->fit[c] * unit, 10 * (int128)in->price[c])); /* hundredths */
}

static const char *text_in(Arena *arena, Text *text)
{
    const char *copy = arena_strdup(arena, text_cstr(text));
    text_release(text);
    return copy;
}

static const char *colours_of(const Instance *in, size_t c, Arena *arena)
{
    CardVocabulary vocabulary = model_vocabulary(in->model);
    return colours_text(&vocabulary, &in->cards->card[c].colours, arena);
}

/* Columns that would be empty, or that nobody asked for, are left out unless all is to be shown. */
typedef struct {
    bool per_money, status;
    int64_t unit; /* of money, for per_money */
} Columns;

static Columns columns_of(const Instance *in, FindSort sort, bool full, const size_t *card, size_t count)
{
    Columns shown = {full || sort == SORT_FIT_PER_MONEY, full, unit_of_money(in)};
    for (size_t k = 0; k < count; k++)
        shown.status = shown.status || in->status[card[k]] != 0;
    return shown;
}

static void add_row(const Instance *in, size_t c, const Columns *columns, Arena *arena, Table *table)
{
    const Card *card = &in->cards->card[c];
    Text kinds = {0}, tags = {0}, status = {0};
    add_kinds(in, c, &kinds);
    add_tags(in, c, arena, &tags);
    add_status(in, c, &status);
    table_add(table, card->name);
    table_add(table, colours_of(in, c, arena));
    table_add(table, text_in(arena, &kinds));
    table_add(table, card->has_cost ? format_number(arena, card->cost) : "-");
    table_add(table, price_text(in, c, arena));
    table_add(table, format_number(arena, in->fit[c]));
    if (columns->per_money)
        table_add(table, per_money(in, c, columns->unit, arena));
    const char *statuses = text_in(arena, &status);
    if (columns->status)
        table_add(table, statuses);
    table_add(table, text_in(arena, &tags));
}

static Table *cards_table(const Columns *columns, bool full, Arena *arena)
{
    const char *header[] = {"card", "colours", "kind", "cost", "price", "fit", "", "", ""};
    char align[] = "lllrrr\0\0\0";
    size_t count = strlen(align);
    if (columns->per_money) {
        header[count] = arena_printf(arena, "per %s", format_money(arena, columns->unit));
        align[count++] = 'r';
    }
    if (columns->status) {
        header[count] = "status";
        align[count++] = full ? 'l' : 'L';
    }
    header[count] = "tags";
    align[count] = full ? 'l' : 'C'; /* a line a card */
    if (!full)
        align[0] = 'c';
    return table_new(align, header);
}

void find_text(const Instance *instance, const size_t *card, size_t count, size_t top, FindSort sort, bool full,
               const Style *style, Text *out)
{
    Arena *arena = arena_new();
    const size_t shown = top > 0 && top < count ? top : count;
    const Columns columns = columns_of(instance, sort, full, card, shown);
    text_printf(out, "%zu of %zu candidates", count, instance->cards->count);
    if (shown < count)
        text_printf(out, "; the first %zu (--top N shows more)", shown);
    text_add(out, count == 0 ? ".\n" : ":\n");
    Table *table = cards_table(&columns, full, arena);
    for (size_t k = 0; k < shown; k++)
        add_row(instance, card[k], &columns, arena, table);
    if (shown > 0)
        table_print(table, out, style);
    table_free(table);
    arena_free(arena);
}

json_t *find_card_json(const Instance *in, size_t c, Arena *arena)
{
    const Card *card = &in->cards->card[c];
    Text status = {0};
    json_t *item = json_object(), *tags = json_array();
    json_object_set_new(item, "name", json_string(card->name));
    json_object_set_new(item, "colours", json_string(colours_of(in, c, arena)));
    json_object_set_new(item, "class", json_string(class_name(in->class[c])));
    json_object_set_new(item, "kind", json_kinds(in->cards, card));
    json_object_set_new(item, "cost", json_cost(card));
    json_object_set_new(item, "power", card->has_power ? json_number_of(card->power) : json_null());
    json_object_set_new(item, "price", json_price(in, c));
    json_object_set_new(item, "fit", json_number_of(in->fit[c]));
    for (size_t k = 0; k < card->tags; k++) {
        json_t *tag = json_object();
        json_object_set_new(tag, "tag", json_string(in->cards->tag[card->tag[k].tag]));
        json_object_set_new(tag, "role", json_string(role_name(card->tag[k].role)));
        json_object_set_new(tag, "weight", json_number_of(card->tag[k].weight));
        json_array_append_new(tags, tag);
    }
    json_object_set_new(item, "tags", tags);
    add_status(in, c, &status);
    json_object_set_new(item, "status", json_string(text_in(arena, &status)));
    return item;
}

bool find_json(const Instance *instance, const size_t *card, size_t count, const Diags *notices, Text *out)
{
    Arena *arena = arena_new();
    json_t *root = json_object(), *list = json_array();
    json_object_set_new(root, "candidates", json_count(instance->cards->count));
    for (size_t k = 0; k < count; k++)
        json_array_append_new(list, find_card_json(instance, card[k], arena));
    json_object_set_new(root, "cards", list);
    json_object_set_new(root, "notices", json_notices(notices));
    arena_free(arena);
    return json_finish(root, out);
}

/* A column called so: the last one is ours, left by an earlier list; another is the user's, and there is none of ours
 * beside it. */
static int fit_column(const CardSet *set)
{
    for (size_t i = 0; i < set->columns; i++)
        if (text_folds_to(set->column[i], "fit"))
            return (int)i;
    return -1;
}

void find_csv(const Instance *instance, const size_t *card, size_t count, Text *out)
{
    const CardSet *set = instance->cards;
    char separator = sheet_separator(instance->cards);
    const bool commas = sheet_has_commas(instance->cards);
    sheet_begin(out, instance->cards);
    Arena *arena = arena_new();
    const char **cell = arena_alloc(arena, set->columns + 1, sizeof *cell);
    const int fit = fit_column(set);
    const bool is_ours = fit >= 0 && (size_t)fit + 1 == set->columns, has_fit = fit < 0 || is_ours;
    for (size_t k = 0; k <= count; k++) { /* the header first */
        size_t cells = 0;
        for (size_t i = 0; i < set->columns - is_ours; i++)
            cell[cells++] = k == 0 ? set->column[i] : set->card[card[k - 1]].cell[i];
        if (has_fit)
            cell[cells++] =
                k == 0 ? "fit" : sheet_number(arena, commas, format_number(arena, instance->fit[card[k - 1]]));
        sheet_line(out, cell, cells, separator);
    }
    arena_free(arena);
}

void find_sheet(const Instance *instance, const size_t *card, size_t count, Text *out)
{
    static const char *const header[] = {"name",    "status", "tag",  "role",       "weight",   "fit", "price",
                                         "colours", "kind",   "cost", "has status", "has tags", "text"};
    char separator = sheet_separator(instance->cards);
    const bool commas = sheet_has_commas(instance->cards);
    sheet_begin(out, instance->cards);
    Arena *arena = arena_new();
    sheet_line(out, header, sizeof header / sizeof *header, separator);
    for (size_t k = 0; k < count; k++) {
        size_t c = card[k];
        const Card *about = &instance->cards->card[c];
        Text kinds = {0}, tags = {0}, status = {0};
        add_kinds(instance, c, &kinds);
        add_tags(instance, c, arena, &tags);
        add_status(instance, c, &status);
        const char *cell[] = {
            about->name,
            "",
            "",
            "",
            "",
            sheet_number(arena, commas, format_number(arena, instance->fit[c])),
            price_known(instance, c) ? sheet_number(arena, commas, format_money(arena, instance->price[c])) : "",
            colours_of(instance, c, arena),
            text_in(arena, &kinds),
            about->has_cost ? sheet_number(arena, commas, format_number(arena, about->cost)) : "",
            text_in(arena, &status),
            text_in(arena, &tags),
            about->text};
        sheet_line(out, cell, sizeof cell / sizeof *cell, separator);
    }
    arena_free(arena);
}
