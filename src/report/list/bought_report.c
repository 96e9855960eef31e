/* bought_report.c - see bought_report.h. */
#include "report/list/bought_report.h"

#include <stdlib.h>
#include <string.h>

#include "model/sheets/matched_sheet.h"
#include "report/json/json.h"
#include "report/sheet/sheet_out.h"
#include "report/layout/format.h"

#define SHOWN 10

/* Those that cost most beyond plan, or least below it. */
static void add_surprises(const Instance *in, const Bought *b, Arena *arena, const Style *style, Text *out)
{
    static const char *const header[] = {"card", "copies", "planned", "paid", "more"};
    Table *table = table_new("crrrr", header);
    bool *shown = arena_alloc(arena, b->lines, sizeof *shown);
    for (size_t row = 0; row < SHOWN; row++) {
        const BoughtLine *worst = NULL;
        for (size_t k = 0; k < b->lines; k++) {
            const BoughtLine *line = &b->line[k];
            if (!shown[k] && line->paid != line->planned &&
                (worst == NULL || llabs(line->paid - line->planned) > llabs(worst->paid - worst->planned)))
                worst = line;
        }
        if (worst == NULL)
            break;
        shown[worst - b->line] = true;
        table_add(table, in->cards->card[worst->card].name);
        table_addf(table, "%d", worst->copies);
        table_add(table, format_money(arena, worst->planned));
        table_add(table, format_money(arena, worst->paid));
        table_add(table, format_money(arena, worst->paid - worst->planned));
    }
    if (table_rows(table) > 0) {
        style_heading(out, style, "Otherwise than planned, the most first");
        table_print(table, out, style);
    }
    table_free(table);
}

void bought_text(const Instance *in, const Bought *b, const char *written, const char *named, bool replaced,
                 const Style *style, Text *out)
{
    Arena *arena = arena_new();
    const Model *model = in->model;
    if (b->lines == 0)
        text_add(out, "Nothing in the list is new, so nothing is booked.\n");
    else
        text_printf(out, "%s bought for %s; planned were %s.\n", format_cards(arena, b->copies),
                    format_money(arena, b->paid), format_money(arena, b->planned));
    if (b->before > 0)
        text_printf(out,
                    "%zu card%s of the list %s booked before for the same money and %s left out, such as %s. A further "
                    "copy for as much is a line of your own in the sheet of owned cards.\n",
                    b->before, b->before == 1 ? "" : "s", b->before == 1 ? "was" : "were",
                    b->before == 1 ? "is" : "are", in->cards->card[b->first_before].name);
    if (b->waiting > 0)
        text_printf(out, "%zu line%s of the list %s still to buy.\n", b->waiting, b->waiting == 1 ? "" : "s",
                    b->waiting == 1 ? "is" : "are");
    text_printf(out, "Paid until now: %s", format_money(arena, in->paid + b->paid));
    if (model->has_cap && model->counts_paid)
        text_printf(out, " of %s; left: %s", format_money(arena, model->cap),
                    format_money(arena, model->cap - in->paid - b->paid));
    text_add(out, ".\n");
    if (b->postage > 0)
        text_printf(out, "Postage of %s is not among it: the cap and the prices are those of cards.\n",
                    format_money(arena, b->postage));
    add_surprises(in, b, arena, style, out);
    if (written != NULL && replaced && b->lines > 0)
        text_printf(out, "\nBooked in %s.\n", written);
    else if (written != NULL && !replaced)
        text_printf(out, "\nWritten: %s. Name it in the scenario instead of the owned sheets: owned: [%s].\n", written,
                    named);
    else if (b->lines > 0)
        text_add(out, "\nNothing is written yet: -o FILE writes a new sheet of owned cards, --apply books it into the "
                      "scenario's own.\n");
    if (model->has_cap && !model->counts_paid)
        text_add(out,
                 "The cap is on what must still be bought; cap_counts: paid and to buy in the model counts both.\n");
    arena_free(arena);
}

bool bought_json(const Instance *in, const Bought *b, const Diags *notices, Text *out)
{
    json_t *root = json_object(), *list = json_array();
    for (size_t k = 0; k < b->lines; k++) {
        json_t *item = json_object();
        json_object_set_new(item, "name", json_string(in->cards->card[b->line[k].card].name));
        json_object_set_new(item, "copies", json_integer(b->line[k].copies));
        json_object_set_new(item, "paid", json_money(b->line[k].paid));
        json_object_set_new(item, "planned", json_money(b->line[k].planned));
        json_array_append_new(list, item);
    }
    json_object_set_new(root, "cards", list);
    json_object_set_new(root, "copies", json_integer(b->copies));
    json_object_set_new(root, "paid", json_money(b->paid));
    json_object_set_new(root, "planned", json_money(b->planned));
    json_object_set_new(root, "postage", json_money(b->postage));
    json_object_set_new(root, "paid_until_now", json_money(in->paid + b->paid));
    const Model *model = in->model;
    json_object_set_new(
        root, "left", model->has_cap && model->counts_paid ? json_money(model->cap - in->paid - b->paid) : json_null());
    json_object_set_new(root, "booked_before", json_count(b->before));
    json_object_set_new(root, "waiting", json_count(b->waiting));
    json_object_set_new(root, "notices", json_notices(notices));
    return json_finish(root, out);
}

/* The header that the model gives this field and no sheet of cards has: without it in the new sheet, which stands for
 * the old ones, the model would look for it in vain. NULL: none. */
static const char *header_beside_cards(const Instance *in, const char *field)
{
    const Model *model = in->model;
    for (size_t i = 0; i < model->maps; i++)
        if (strcmp(model->map_field[i], field) == 0 && in->cards->map_used[i] &&
            card_column(in->cards, model->map_header[i]) < 0)
            return model->map_header[i];
    return NULL;
}

static const char *paid_cell(Arena *arena, bool commas, int64_t paid)
{
    return sheet_number(arena, commas, format_money(arena, paid));
}

/* Columns of the owned sheet; -1: it has none for copies. */
enum { AT_NAME, AT_COPIES, AT_PAID, AT_ALL };

/* As many lines as need be: where no column says how many, a line is one copy. */
static void add_lines(const Instance *in, const BoughtLine *line, const Sheet *sheet, const int column[AT_ALL],
                      bool commas, const char **cell, size_t columns, Text *out)
{
    Arena *arena = arena_new();
    for (int k = 0; k < (column[AT_COPIES] >= 0 ? 1 : line->copies); k++) {
        for (size_t c = 0; c < columns; c++)
            cell[c] = "";
        cell[column[AT_NAME]] = in->cards->card[line->card].name;
        if (column[AT_COPIES] >= 0)
            cell[column[AT_COPIES]] = arena_printf(arena, "%d", line->copies);
        cell[column[AT_PAID]] = k == 0 ? paid_cell(arena, commas, line->paid) : "";
        sheet_line(out, cell, columns, sheet->separator);
    }
    arena_free(arena);
}

void bought_lines(const Instance *in, const Bought *b, const Sheet *sheet, Text *out)
{
    const Model *model = in->model;
    const int owns = side_column(sheet, model, "owned"), paid = side_column(sheet, model, "paid");
    const size_t columns = sheet->header.cells + (paid < 0);
    const int column[AT_ALL] = {[AT_NAME] = side_column(sheet, model, "name"),
                                [AT_COPIES] = owns >= 0 ? owns : side_column(sheet, model, "copies"),
                                [AT_PAID] = paid >= 0 ? paid : (int)columns - 1};
    const char **cell = mem_new(columns, sizeof *cell), *paid_header = header_beside_cards(in, "paid");
    for (size_t c = 0; c < columns; c++)
        cell[c] = c < sheet->header.cells ? sheet->header.cell[c].text : paid_header != NULL ? paid_header : "paid";
    SheetAgain again;
    sheet_again_begin(&again, sheet, cell, columns, out);
    for (size_t r = 0; r < sheet->rows; r++) {
        for (size_t c = 0; c < columns; c++)
            cell[c] = c < sheet->header.cells ? sheet->row[r].cell[c].text : "";
        sheet_again_row(&again, r, cell);
    }
    sheet_again_end(&again);
    const bool commas = sheet_keeps_commas(sheet, in->cards, &model->habits);
    for (size_t k = 0; k < b->lines; k++)
        add_lines(in, &b->line[k], sheet, column, commas, cell, columns, out);
    mem_free(cell);
}

static void add_owned(const Instance *in, size_t card, int copies, const char *paid, char separator, Text *out)
{
    char count[12];
    snprintf(count, sizeof count, "%d", copies);
    sheet_line(out, (const char *const[]){in->cards->card[card].name, count, paid}, 3, separator);
}

/* A line for each payment, by which it is known should the list come again. */
void bought_sheet(const Instance *in, const Bought *b, Text *out)
{
    const char separator = sheet_separator(in->cards);
    const bool commas = sheet_has_commas(in->cards);
    Arena *arena = arena_new();
    sheet_begin(out, in->cards);
    const char *owned = header_beside_cards(in, "owned"), *copies_header = header_beside_cards(in, "copies"),
               *paid_header = header_beside_cards(in, "paid");
    sheet_line(out,
               (const char *const[]){"name",
                                     owned != NULL           ? owned
                                     : copies_header != NULL ? copies_header
                                                             : "copies",
                                     paid_header != NULL ? paid_header : "paid"},
               3, separator);
    for (size_t c = 0, k = 0; c < in->cards->count; c++) {
        int copies = in->listed[c];
        for (size_t i = 0; i < in->paid_lines; i++)
            copies -= in->paid_line[i].card == c ? in->paid_line[i].copies : 0;
        if (copies > 0)
            add_owned(in, c, copies, "", separator, out);
        for (size_t i = 0; i < in->paid_lines; i++)
            if (in->paid_line[i].card == c)
                add_owned(in, c, in->paid_line[i].copies, paid_cell(arena, commas, in->paid_line[i].paid), separator,
                          out);
        for (; k < b->lines && b->line[k].card == c; k++)
            add_owned(in, c, b->line[k].copies, paid_cell(arena, commas, b->line[k].paid), separator, out);
    }
    for (size_t k = 0; k < in->strays; k++) {
        const char *const cell[] = {in->stray[k].name, arena_printf(arena, "%d", in->stray[k].copies),
                                    in->stray[k].paid == 0 ? "" : paid_cell(arena, commas, in->stray[k].paid)};
        sheet_line(out, cell, 3, separator);
    }
    arena_free(arena);
}
