/* sheet_table.c - see sheet_table.h. */
#include "cards/sheet/sheet_table.h"

#include <string.h>

#include "base/text.h"

void sheet_table_add(SheetTable *table, const char *text, int line, int column)
{
    if (table->failed)
        return;
    if (table->cells == SHEET_MAX_COLUMNS) {
        const SheetCell cell = {.line = line, .column = column};
        diag_error(table->diags, sheet_pos(table->sheet, &cell), "found more than %d fields in one line",
                   SHEET_MAX_COLUMNS);
        table->failed = true;
        return;
    }
    mem_reserve((void **)&table->cell, &table->cell_capacity, table->cells + 1, sizeof *table->cell);
    table->cell[table->cells++] = (SheetCell){.text = text, .line = line, .column = column};
}

const char *separator_name(char separator)
{
    return separator == '\t' ? "a tab" : separator == ';' ? "';'" : "','";
}

bool cell_is_guarded(const char *text, size_t length)
{
    return length > 1 && text[0] == '\'' && memchr("=+-@", text[1], 4) != NULL;
}

static void report_surplus(const SheetTable *table)
{
    const size_t expected = table->sheet->header.cells;
    const SheetCell *cell = &table->cell[expected];
    char excerpt[TEXT_EXCERPT];
    if (table->sheet->workbook) {
        while (cell->text[0] == '\0')
            cell++;
        diag_error(table->diags, sheet_pos(table->sheet, cell),
                   "found '%s' in a column without a header, expected a header in row %d",
                   text_excerpt(excerpt, cell->text), table->sheet->header.line);
        return;
    }
    diag_error(table->diags, sheet_pos(table->sheet, cell),
               "found %zu fields, expected at most the header's %zu (a field that holds %s must stand in quotes)",
               table->cells, expected, separator_name(table->sheet->separator));
}

/* Fields beyond the header that hold nothing, as of separators at the end of a line, are none. */
static void drop_blank_surplus(SheetTable *table)
{
    while (table->has_header && table->cells > table->sheet->header.cells &&
           table->cell[table->cells - 1].text[0] == '\0')
        table->cells--;
}

static SheetRow keep_row(const SheetTable *table, size_t width)
{
    SheetRow row = {
        .line = table->cell[0].line, .cells = width, .cell = arena_alloc(table->arena, width, sizeof *row.cell)};
    memcpy(row.cell, table->cell, (table->cells < width ? table->cells : width) * sizeof *row.cell);
    const SheetCell *last = &table->cell[table->cells - 1];
    for (size_t i = table->cells; i < width; i++)
        row.cell[i] = (SheetCell){.text = "", .line = last->line, .column = last->column};
    return row;
}

static bool all_blank(const SheetTable *table)
{
    for (size_t i = 0; i < table->cells; i++)
        if (table->cell[i].text[0] != '\0')
            return false;
    return true;
}

/* A line such as "My list;;;"? */
static bool holds_one_text(const SheetRow *row, size_t cells_least)
{
    for (size_t i = 1; i < row->cells; i++)
        if (row->cell[i].text[0] != '\0')
            return false;
    return row->cells >= cells_least && row->cell[0].text[0] != '\0';
}

/* Such a line above the header, which is in the line `below`, is told as what it is, not once for each column. */
static void report_title(SheetTable *table, int below)
{
    const Sheet *sheet = table->sheet;
    char excerpt[TEXT_EXCERPT];
    diag_error(
        table->diags, sheet_pos(sheet, &sheet->header.cell[0]),
        "found only '%s' in the first %s, expected the names of the columns; if they stand in %s %d, delete what is "
        "above, else put them there",
        text_excerpt(excerpt, sheet->header.cell[0].text), sheet_line_word(sheet), sheet_line_word(sheet), below);
    table->failed = true;
}

/* Is there room for one more row? */
static bool has_room(SheetTable *table)
{
    const Sheet *sheet = table->sheet;
    const SourcePos at = sheet_pos(sheet, &table->cell[0]);
    if (sheet->rows == SHEET_MAX_ROWS)
        diag_error(table->diags, at, "found more than %d lines", SHEET_MAX_ROWS);
    else if ((sheet->rows + 1) * sheet->header.cells > SHEET_MAX_CELLS)
        diag_error(table->diags, at, "found more than %zu cells", SHEET_MAX_CELLS);
    else
        return true;
    table->failed = true;
    return false;
}

/* The names of the columns once more, as on each page of a printed list. A list of names, one column wide, may begin
 * with a name that comes again. */
static bool is_header_again(const SheetTable *table)
{
    const SheetRow *header = &table->sheet->header;
    size_t named = 0;
    if (table->cells > header->cells)
        return false;
    for (size_t i = 0; i < header->cells; i++) {
        const char *text = i < table->cells ? table->cell[i].text : "";
        if (strcmp(text, header->cell[i].text) != 0)
            return false;
        named += text[0] != '\0';
    }
    return named >= 2;
}

void sheet_table_end_row(SheetTable *table)
{
    Sheet *sheet = table->sheet;
    if (table->failed || all_blank(table)) {
        table->cells = 0;
        return;
    }
    const bool longer = table->has_header && table->cells > sheet->header.cells;
    drop_blank_surplus(table);
    if (text_is_merge_mark(table->cell[0].text)) {
        diag_error(table->diags, sheet_pos(sheet, &table->cell[0]),
                   "found the marks of two versions of this file, expected one of them");
        table->failed = true;
    } else if (!table->has_header) {
        sheet->header = keep_row(table, table->cells);
        table->has_header = true;
    } else if (table->cells > sheet->header.cells) {
        if (holds_one_text(&sheet->header, sheet->workbook ? 1 : 2) && sheet->rows == 0)
            report_title(table, table->cell[0].line);
        else
            report_surplus(table);
    } else if (is_header_again(table)) {
        mem_reserve((void **)&sheet->again, &table->again_capacity, sheet->agains + 1, sizeof *sheet->again);
        sheet->again[sheet->agains++] = table->cell[0].line;
    } else if (has_room(table)) {
        if (longer) {
            mem_reserve((void **)&table->longer, &table->longer_capacity, table->longers + 1, sizeof *table->longer);
            table->longer[table->longers++] = sheet->rows;
        }
        mem_reserve((void **)&sheet->row, &table->row_capacity, sheet->rows + 1, sizeof *sheet->row);
        sheet->row[sheet->rows++] = keep_row(table, sheet->header.cells);
    }
    table->cells = 0;
}

/* ---- headers ---- */

/* What stands alone in the first line is a title if most lines below it hold more than their first cell. */
static bool check_title(SheetTable *table)
{
    const Sheet *sheet = table->sheet;
    size_t fuller = 0, first = 0;
    for (size_t i = sheet->rows; i-- > 0;)
        if (!holds_one_text(&sheet->row[i], 1)) {
            fuller++;
            first = i;
        }
    if (!holds_one_text(&sheet->header, 3) || fuller <= sheet->rows / 2)
        return true;
    report_title(table, sheet->row[first].line);
    return false;
}

static bool check_headers(const SheetTable *table)
{
    Sheet *sheet = table->sheet;
    size_t width = sheet->header.cells, errors = table->diags->errors;
    char **folded = mem_new(width, sizeof *folded);
    for (size_t i = 0; i < width; i++) {
        folded[i] = text_fold(sheet->header.cell[i].text);
        for (size_t j = 0; j < i && folded[i][0] != '\0'; j++)
            if (strcmp(folded[i], folded[j]) == 0) {
                char excerpt[TEXT_EXCERPT];
                diag_error(table->diags, sheet_pos(sheet, &sheet->header.cell[i]),
                           "found two columns named '%s', the first as column %zu",
                           text_excerpt(excerpt, sheet->header.cell[i].text), j + 1);
                break;
            }
    }
    for (size_t i = 1; i < width; i++)
        for (size_t row = 0; row < sheet->rows && folded[i][0] == '\0'; row++)
            if (sheet->row[row].cell[i].text[0] != '\0') {
                char excerpt[TEXT_EXCERPT];
                diag_error(table->diags, sheet_pos(sheet, &sheet->row[row].cell[i]),
                           "found '%s' in a column without a header, expected a header in %s %d",
                           text_excerpt(excerpt, sheet->row[row].cell[i].text), sheet_line_word(sheet),
                           sheet->header.line);
                break;
            }
    for (size_t i = 0; i < width; i++)
        mem_free(folded[i]);
    mem_free(folded);
    return table->diags->errors == errors;
}

/* ---- the end ---- */

/* Rows grow by resizing while they are read; what stays belongs to the arena. */
static void settle_rows(SheetTable *table)
{
    Sheet *sheet = table->sheet;
    SheetRow *row = arena_alloc(table->arena, sheet->rows, sizeof *row);
    if (sheet->rows > 0)
        memcpy(row, sheet->row, sheet->rows * sizeof *row);
    mem_free(sheet->row);
    sheet->row = row;
    int *again = arena_alloc(table->arena, sheet->agains, sizeof *again);
    if (sheet->agains > 0)
        memcpy(again, sheet->again, sheet->agains * sizeof *again);
    mem_free(sheet->again);
    sheet->again = again;
}

bool sheet_table_finish(SheetTable *table)
{
    if (table->failed)
        return false;
    if (!table->has_header) {
        diag_error(table->diags, (SourcePos){.file = table->sheet->path},
                   "the %s is empty, expected a header line with the names of the columns",
                   table->sheet->workbook ? "sheet" : "file");
        return false;
    }
    if (!check_title(table) || !check_headers(table))
        return false;
    tell_split_numbers(table);
    return true;
}

void sheet_table_release(SheetTable *table)
{
    settle_rows(table);
    mem_free(table->longer);
    mem_free(table->cell);
}
