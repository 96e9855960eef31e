/* sheet_out.c - writing cells. */
#include "report/sheet/sheet_out.h"

#include <limits.h>
#include <string.h>

#include "cards/sheet/csv.h"

/* A spreadsheet program runs a cell that begins so as a formula (OWASP, "CSV injection"). Numbers such as -3 stay
 * numbers, and dashes alone, with which people say that there is nothing, are no formula. */
static bool runs_as_formula(const char *cell)
{
    if (cell[0] == '\0' || strchr("=+-@\t\r", cell[0]) == NULL)
        return false;
    if (cell[0] != '-' && cell[0] != '+')
        return true;
    return cell[strspn(cell, "-")] != '\0' && (cell[1 + strspn(cell + 1, "0123456789.,")] != '\0' || cell[1] == '\0');
}

char sheet_separator(const CardSet *cards)
{
    return cards->files > 0 ? cards->file[0].separator : ',';
}

void sheet_begin_marked(Text *out, bool marked)
{
    if (marked)
        text_add(out, "\xEF\xBB\xBF");
}

/* The title and what else stands above the header, with ends of lines as ours. */
static void copy_above(Text *out, const char *above)
{
    while (*above != '\0') {
        const size_t length = strcspn(above, "\r\n");
        text_printf(out, "%.*s\r\n", (int)length, above);
        above += length;
        above += above[0] == '\r' && above[1] == '\n' ? 2 : above[0] != '\0';
    }
}

void sheet_begin(Text *out, const CardSet *cards)
{
    sheet_begin_marked(out, cards->files > 0 && (cards->file[0].marked || cards->file[0].windows_1252));
}

/* "3,5", "-0,25 EUR": digits, the mark, digits, and no more of either. */
static bool has_decimal_mark(const char *cell, char mark)
{
    const char *at = strchr(cell, mark);
    if (at == NULL || at == cell || strchr("0123456789", at[-1]) == NULL)
        return false;
    const size_t decimals = strspn(at + 1, "0123456789");
    const char *digits = strpbrk(cell, "0123456789");
    return decimals > 0 && decimals <= 3 && strspn(digits, "0123456789") == (size_t)(at - digits) &&
           strpbrk(at + 1 + decimals, "0123456789.,") == NULL;
}

bool sheet_has_commas(const CardSet *cards)
{
    if (sheet_separator(cards) == ',')
        return false;
    size_t commas = 0, points = 0;
    for (size_t c = 0; c < cards->count; c++)
        for (size_t k = 0; k < cards->columns; k++) {
            commas += has_decimal_mark(cards->card[c].cell[k], ',');
            points += has_decimal_mark(cards->card[c].cell[k], '.');
        }
    return commas > points;
}

bool sheet_keeps_commas(const Sheet *sheet, const CardSet *cards, const Habits *habits)
{
    size_t commas = 0, points = 0;
    for (size_t r = 0; r < sheet->rows; r++)
        for (size_t c = 0; c < sheet->row[r].cells; c++) {
            commas += has_decimal_mark(sheet->row[r].cell[c].text, ',');
            points += has_decimal_mark(sheet->row[r].cell[c].text, '.');
        }
    if (commas != points)
        return commas > points;
    return sheet_has_commas(cards) && (sheet->separator != ',' || habits->decimal == DECIMAL_COMMA);
}

const char *sheet_number(Arena *arena, bool commas, const char *number)
{
    if (!commas || strchr(number, '.') == NULL)
        return number;
    char *copy = arena_strdup(arena, number);
    *strchr(copy, '.') = ',';
    return copy;
}

void sheet_cell(Text *out, const char *cell, char separator)
{
    bool guard = runs_as_formula(cell);
    char special[] = {separator, '"', '\r', '\n', '\0'};
    bool blank_ends = cell[0] == ' ' || (cell[0] != '\0' && cell[strlen(cell) - 1] == ' ');
    if (!guard && !blank_ends && strpbrk(cell, special) == NULL) {
        text_add(out, cell);
        return;
    }
    text_add_char(out, '"');
    if (guard)
        text_add_char(out, '\'');
    for (const char *c = cell; *c != '\0'; c++) {
        if (*c == '"')
            text_add_char(out, '"');
        text_add_char(out, *c);
    }
    text_add_char(out, '"');
}

bool sheet_with_tabs(const Text *text, char separator, Text *out, Diags *diags)
{
    Arena *arena = arena_new();
    Text stated = {0};
    Sheet sheet = {.path = "sheet"};
    const bool marked = strncmp(text_cstr(text), "\xEF\xBB\xBF", 3) == 0;
    text_printf(&stated, "sep=%c\r\n%s", separator, text_cstr(text) + (marked ? 3 : 0));
    const Decoded decoded = {.bytes = stated.data, .length = stated.length};
    const bool good = csv_read(arena, &decoded, &sheet, diags);
    sheet_begin_marked(out, marked);
    for (size_t r = 0; r <= sheet.rows && good; r++) {
        const SheetRow *row = r == 0 ? &sheet.header : &sheet.row[r - 1];
        const char **cell = arena_alloc(arena, row->cells, sizeof *cell);
        for (size_t c = 0; c < row->cells; c++)
            cell[c] = row->cell[c].text;
        sheet_line(out, cell, row->cells, '\t');
    }
    text_release(&stated);
    arena_free(arena);
    return good;
}

void sheet_line(Text *out, const char *const *cell, size_t cells, char separator)
{
    for (size_t i = 0; i < cells; i++) {
        if (i > 0)
            text_add_char(out, separator);
        sheet_cell(out, cell[i], separator);
    }
    text_add(out, "\r\n");
}

/* The line on which the row ends: texts may go over several. */
static int last_line(const SheetRow *row)
{
    int last = row->line;
    for (size_t c = 0; c < row->cells; c++) {
        int line = row->cell[c].line;
        for (const char *at = row->cell[c].text; (at = strchr(at, '\n')) != NULL; at++)
            line++;
        last = line > last ? line : last;
    }
    return last;
}

static void write_header(const SheetAgain *a)
{
    sheet_line(a->out, a->header, a->columns, a->sheet->separator);
}

/* Does the header stand again before this line, and was not written there yet? */
static bool header_is_due(const SheetAgain *a, int line)
{
    return !a->sheet->workbook && a->agains < a->sheet->agains && a->sheet->again[a->agains] < line;
}

void sheet_again_begin(SheetAgain *a, const Sheet *sheet, const char *const *header, size_t columns, Text *out)
{
    *a = (SheetAgain){
        .out = out, .sheet = sheet, .columns = columns, .header = mem_copy(header, columns, sizeof *header)};
    sheet_begin_marked(out, sheet->marked || sheet->windows_1252);
    if (sheet->above != NULL)
        copy_above(out, sheet->above);
    write_header(a);
}

void sheet_again_row(SheetAgain *a, size_t row, const char *const *cell)
{
    const Sheet *sheet = a->sheet;
    const int tall = last_line(&sheet->header) - sheet->header.line, first = sheet->row[row].line;
    int line = last_line(row > 0 ? &sheet->row[row - 1] : &sheet->header) + 1;
    for (; header_is_due(a, line); a->agains++) /* before rows that are left out */
        write_header(a);
    for (; line < first && !sheet->workbook; line++) {
        if (header_is_due(a, line + 1)) {
            write_header(a);
            a->agains++;
            line += tall;
        } else {
            text_add(a->out, "\r\n");
        }
    }
    sheet_line(a->out, cell, a->columns, sheet->separator);
}

void sheet_again_end(SheetAgain *a)
{
    for (; header_is_due(a, INT_MAX); a->agains++)
        write_header(a);
    mem_free(a->header);
}
