/* sheet_table.h - inside the cards room: cells on their way to a Sheet, whatever the file. Blank rows are left out,
 * short ones padded, headers looked at. */
#ifndef POOLWRIGHT_CARDS_SHEET_SHEET_TABLE_H
#define POOLWRIGHT_CARDS_SHEET_SHEET_TABLE_H

#include "cards/sheet/sheet.h"

typedef struct {
    Arena *arena;
    Sheet *sheet;
    Diags *diags;
    SheetCell *cell; /* of the current row */
    size_t cells, cell_capacity, row_capacity, again_capacity;
    size_t *longer; /* [longers] rows with more cells than the header, which are blank */
    size_t longers, longer_capacity;
    bool has_header;
    bool failed; /* told; nothing more is taken */
} SheetTable;

/* A cell of the current row; the text lives in the arena. */
void sheet_table_add(SheetTable *table, const char *text, int line, int column);
/* The first row that is not blank is the header. */
void sheet_table_end_row(SheetTable *table);
/* All rows are there: looks at titles and headers. False with errors. */
bool sheet_table_finish(SheetTable *table);
/* split_numbers.c: tells of such rows that perhaps hold 1,5 as two cells. */
void tell_split_numbers(const SheetTable *table);
/* The rows go to the arena. */
void sheet_table_release(SheetTable *table);
const char *separator_name(char separator); /* "a tab", "';'" */
/* Does the cell begin with the apostrophe of sheets of ours, before = + - or @, a guard against formulas? */
bool cell_is_guarded(const char *text, size_t length);

#endif
