/* grid.c - see grid.h. */
#include "cards/workbook/grid.h"

#include <string.h>

#include "base/text.h"
#include "cards/sheet/sheet_table.h"
#include "cards/names/titles.h"

#define HEADER_ROWS 10 /* a header is not merged over more */

GridStatus grid_add(Grid *grid, int row, int column, const char *text)
{
    const GridCell *last = grid->cells > 0 ? &grid->cell[grid->cells - 1] : NULL;
    if (last != NULL && (row < last->row || (row == last->row && column <= last->column)))
        return GRID_UNORDERED;
    if (text[0] == '\0')
        return GRID_ADDED;
    grid->bytes += strlen(text) + 1;
    if (row > GRID_MAX_ROW || column > GRID_MAX_COLUMN || grid->cells == SHEET_MAX_CELLS ||
        grid->bytes > GRID_MAX_BYTES)
        return GRID_FULL;
    mem_reserve((void **)&grid->cell, &grid->cell_capacity, grid->cells + 1, sizeof *grid->cell);
    grid->cell[grid->cells++] = (GridCell){.row = row, .column = column, .text = text};
    return GRID_ADDED;
}

void grid_fault(Grid *grid, int row, int column, const char *text)
{
    if (grid->faults++ == 0)
        grid->fault = (GridCell){.row = row, .column = column, .text = text};
}

void grid_merge(Grid *grid, GridMerge merge)
{
    if (grid->merges == GRID_MAX_MERGES || merge.top < 1 || merge.left < 1 || merge.bottom < merge.top ||
        merge.right < merge.left)
        return;
    mem_reserve((void **)&grid->merge, &grid->merge_capacity, grid->merges + 1, sizeof *grid->merge);
    grid->merge[grid->merges++] = merge;
}

void grid_hide_columns(Grid *grid, int first, int last)
{
    if (first < 1 || last < first || grid->hides >= GRID_MAX_COLUMN)
        return;
    mem_reserve((void **)&grid->hide, &grid->hide_capacity, grid->hides + 1, sizeof *grid->hide);
    grid->hide[grid->hides++] = (GridSpan){first, last};
}

void grid_release(Grid *grid)
{
    mem_free(grid->cell);
    mem_free(grid->merge);
    mem_free(grid->hide);
}

/* ---- as a sheet ---- */

typedef struct {
    const Grid *grid;
    Sheet *sheet;
    Diags *diags;
    SheetTable table;
    size_t first;  /* the cell with which the header begins */
    size_t data;   /* the first cell below it */
    int top, line; /* the header's rows */
} Filling;

static size_t row_end(const Grid *grid, size_t cell)
{
    size_t end = cell;
    while (end < grid->cells && grid->cell[end].row == grid->cell[cell].row)
        end++;
    return end;
}

/* The merged cell that begins here, or NULL. */
static const GridMerge *merge_at(const Grid *grid, const GridCell *cell)
{
    for (size_t k = 0; k < grid->merges; k++)
        if (grid->merge[k].top == cell->row && grid->merge[k].left == cell->column)
            return &grid->merge[k];
    return NULL;
}

/* Do the cells from `cell` to `end`, one row, name columns? */
static bool names_columns(const Grid *grid, size_t cell, size_t end)
{
    const char **text = mem_new(end - cell, sizeof *text);
    for (size_t k = cell; k < end; k++)
        text[k - cell] = grid->cell[k].text;
    const bool names = titles_names_columns(text, end - cell);
    mem_free(text);
    return names;
}

/* The row that names the columns, below rows of one text each; 0: there is none such. */
static int named_row(const Grid *grid)
{
    size_t end = 0;
    for (size_t cell = 0; cell < grid->cells; cell = end) {
        end = row_end(grid, cell);
        if (grid->cell[cell].row > grid->cell[0].row + TITLE_LINES)
            return 0;
        if (end > cell + 1)
            return names_columns(grid, cell, end) ? grid->cell[cell].row : 0;
    }
    return 0;
}

/* Rows above the header that hold one text, over several columns or above names of columns, are its title. */
static void skip_titles(Filling *f)
{
    const Grid *grid = f->grid;
    const int named = named_row(grid);
    char excerpt[TEXT_EXCERPT];
    for (size_t end; f->first < grid->cells; f->first = end) {
        const GridCell *cell = &grid->cell[f->first];
        end = row_end(grid, f->first);
        const GridMerge *merge = end == f->first + 1 && end < grid->cells ? merge_at(grid, cell) : NULL;
        const bool wide = merge != NULL && merge->right > merge->left && merge->bottom == merge->top;
        const SheetCell at = {.line = cell->row, .column = cell->column};
        if (wide)
            diag_remark(f->diags, sheet_pos(f->sheet, &at),
                        "'%s' over several columns is taken for a title, not for a header",
                        text_excerpt(excerpt, cell->text));
        else if (cell->row < named)
            diag_remark(f->diags, sheet_pos(f->sheet, &at),
                        "'%s' is taken for a title: the columns are named in row %d", text_excerpt(excerpt, cell->text),
                        named);
        else
            break;
    }
}

/* Does the header begin with a row of words for several columns each ("Values" over costs and scores), and the next row
 * name the columns? */
static bool begins_with_groups(const Filling *f)
{
    const Grid *grid = f->grid;
    const size_t end = row_end(grid, f->first);
    bool wide = false;
    for (size_t k = f->first; k < end && !wide; k++) {
        const GridMerge *merge = merge_at(grid, &grid->cell[k]);
        wide = merge != NULL && merge->right > merge->left;
    }
    return wide && end < grid->cells && grid->cell[end].row == f->top + 1 &&
           names_columns(grid, end, row_end(grid, end));
}

/* Where a header's cell is merged downwards, the rows beside it belong to the header too; and the names of columns
 * below words for several of them. */
static void find_header(Filling *f)
{
    const Grid *grid = f->grid;
    skip_titles(f);
    f->data = f->first;
    if (f->first == grid->cells)
        return;
    f->top = f->line = grid->cell[f->first].row;
    for (size_t k = 0; k < grid->merges; k++)
        if (grid->merge[k].top == f->top && grid->merge[k].bottom > f->line &&
            grid->merge[k].bottom < f->top + HEADER_ROWS)
            f->line = grid->merge[k].bottom;
    if (f->line == f->top && begins_with_groups(f))
        f->line = f->top + 1;
    while (f->data < grid->cells && grid->cell[f->data].row <= f->line)
        f->data++;
}

/* Of each column the lowest text of the header's rows. */
static void add_header(Filling *f)
{
    const GridCell *cell = f->grid->cell;
    int last = 0;
    for (size_t k = f->first; k < f->data; k++)
        last = cell[k].column > last ? cell[k].column : last;
    const GridCell **lowest = mem_new((size_t)last + 1, sizeof *lowest);
    for (size_t k = f->first; k < f->data; k++)
        lowest[cell[k].column] = &cell[k];
    for (int column = 1; column <= last; column++)
        sheet_table_add(&f->table, lowest[column] != NULL ? lowest[column]->text : "",
                        lowest[column] != NULL ? lowest[column]->row : f->line, column);
    mem_free(lowest);
    sheet_table_end_row(&f->table);
    f->sheet->header.line = f->line;
}

/* The row's cells from `cell` on, blank ones between and behind them. Returns the next row's first. */
static size_t add_row(Filling *f, size_t cell)
{
    const Grid *grid = f->grid;
    const size_t end = row_end(grid, cell);
    const int row = grid->cell[cell].row, width = (int)f->sheet->header.cells;
    int column = 1;
    for (; cell < end; cell++, column++) {
        for (; column < grid->cell[cell].column && !f->table.failed; column++)
            sheet_table_add(&f->table, "", row, column);
        sheet_table_add(&f->table, grid->cell[cell].text, row, column);
    }
    for (; column <= width; column++)
        sheet_table_add(&f->table, "", row, column);
    sheet_table_end_row(&f->table);
    return end;
}

/* ---- what is told ---- */

static bool has_data(const Filling *f, int column)
{
    for (size_t k = f->data; k < f->grid->cells; k++)
        if (f->grid->cell[k].column == column)
            return true;
    return false;
}

/* One header over several columns that all hold something. */
static bool check_wide_headers(const Filling *f)
{
    const Grid *grid = f->grid;
    const SheetRow *header = &f->sheet->header;
    bool good = true;
    for (size_t k = f->first; k < f->data; k++) {
        const GridMerge *merge = merge_at(grid, &grid->cell[k]);
        const int from = merge != NULL ? merge->left + 1 : 1, to = merge != NULL ? merge->right : 0;
        for (int column = from; column <= to && column <= GRID_MAX_COLUMN && good; column++) {
            const bool blank = (size_t)column > header->cells || header->cell[column - 1].text[0] == '\0';
            if (!blank || !has_data(f, column))
                continue;
            const SheetCell at = {.line = grid->cell[k].row, .column = grid->cell[k].column};
            char excerpt[TEXT_EXCERPT];
            diag_error(f->diags, sheet_pos(f->sheet, &at),
                       "found the header '%s' merged over several columns, expected a header for each: split the "
                       "merged cell",
                       text_excerpt(excerpt, grid->cell[k].text));
            good = false;
        }
    }
    return good;
}

/* Below the header: those over several rows lose what the other rows were to have; one over a single row is a heading.
 */
static void tell_merges(const Filling *f)
{
    const Grid *grid = f->grid;
    size_t tall = 0, wide = 0;
    SheetCell first_tall = {0}, first_wide = {0};
    for (size_t k = 0; k < grid->merges; k++) {
        const GridMerge *merge = &grid->merge[k];
        const SheetCell at = {.line = merge->top, .column = merge->left};
        if (merge->top <= f->line || (merge->top == merge->bottom && merge->left == merge->right))
            continue;
        if (merge->top < merge->bottom)
            first_tall = tall++ == 0 ? at : first_tall;
        else
            first_wide = wide++ == 0 ? at : first_wide;
    }
    if (tall > 0)
        diag_notice(f->diags, sheet_pos(f->sheet, &first_tall),
                    "found %zu merged %s over several rows: what %s counts for the first row alone; split %s, and fill "
                    "in each row",
                    tall, tall == 1 ? "cell" : "cells", tall == 1 ? "it holds" : "they hold",
                    tall == 1 ? "it" : "them");
    if (wide > 0)
        diag_remark(f->diags, sheet_pos(f->sheet, &first_wide),
                    "found %zu merged %s below the header: what %s counts for %s first column only", wide,
                    wide == 1 ? "cell" : "cells", wide == 1 ? "it holds" : "they hold", wide == 1 ? "its" : "their");
}

static void tell_faults(const Filling *f)
{
    const GridCell *first = &f->grid->fault;
    const SheetCell at = {.line = first->row, .column = first->column};
    char excerpt[TEXT_EXCERPT];
    if (f->grid->faults > 0)
        diag_notice(f->diags, sheet_pos(f->sheet, &at), "found %zu %s failed, such as this one: '%s' is read as text",
                    f->grid->faults, f->grid->faults == 1 ? "cell whose formula" : "cells whose formulas",
                    text_excerpt(excerpt, first->text));
}

static void tell_hidden(const Filling *f)
{
    if (f->grid->hidden > 0)
        diag_remark(f->diags, (SourcePos){.file = f->sheet->path}, "%zu hidden %s read as all others", f->grid->hidden,
                    f->grid->hidden == 1 ? "row is" : "rows are");
}

static bool is_hidden_column(const Grid *grid, int column)
{
    for (size_t k = 0; k < grid->hides; k++)
        if (column >= grid->hide[k].first && column <= grid->hide[k].last)
            return true;
    return false;
}

#define HIDDEN_NAMES 3

static void tell_hidden_columns(const Filling *f)
{
    const SheetRow *header = &f->sheet->header;
    Text names = {0};
    size_t count = 0;
    for (size_t k = 0; k < header->cells && f->grid->hides > 0; k++) {
        char excerpt[TEXT_EXCERPT];
        if (header->cell[k].text[0] == '\0' || !is_hidden_column(f->grid, header->cell[k].column))
            continue;
        if (count++ < HIDDEN_NAMES)
            text_printf(&names, "%s'%s'", count == 1 ? "" : ", ", text_excerpt(excerpt, header->cell[k].text));
    }
    if (count > 0)
        diag_remark(f->diags, (SourcePos){.file = f->sheet->path}, "%zu hidden %s read as all others: %s%s", count,
                    count == 1 ? "column is" : "columns are", text_cstr(&names), count > HIDDEN_NAMES ? ", ..." : "");
    text_release(&names);
}

void grid_to_sheet(const Grid *grid, Arena *arena, Sheet *sheet, Diags *diags)
{
    Filling f = {
        .grid = grid, .sheet = sheet, .diags = diags, .table = {.arena = arena, .sheet = sheet, .diags = diags}};
    sheet->workbook = true;
    sheet->separator = ',';
    find_header(&f);
    if (f.first < grid->cells)
        add_header(&f);
    const bool wide = !f.table.failed && check_wide_headers(&f);
    for (size_t cell = f.data; cell < grid->cells && wide && !f.table.failed;)
        cell = add_row(&f, cell);
    if (wide)
        sheet_table_finish(&f.table);
    sheet_table_release(&f.table);
    tell_merges(&f);
    tell_faults(&f);
    tell_hidden(&f);
    tell_hidden_columns(&f);
}
