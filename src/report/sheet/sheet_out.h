/* sheet_out.h - cells of the sheets that we write. RFC 4180; lines end in CRLF. */
#ifndef POOLWRIGHT_REPORT_SHEET_SHEET_OUT_H
#define POOLWRIGHT_REPORT_SHEET_SHEET_OUT_H

#include "base/text.h"
#include "cards/cards.h"
#include "cards/sheet/sheet.h"

/* Of the sheets that we write for these cards: that of their first file. */
char sheet_separator(const CardSet *cards);
/* The beginning of a sheet: the byte order mark of UTF-8 where the cards' first file has one or is in Windows-1252,
 * since the program that wrote it would otherwise take our accents for something else. */
void sheet_begin(Text *out, const CardSet *cards);
void sheet_begin_marked(Text *out, bool marked);
/* Do these cards' sheets write 3,5 for 3.5? Then so do ours: a spreadsheet program set up that way would make a date or
 * a text of 12.9. */
bool sheet_has_commas(const CardSet *cards);
/* Does a sheet that we add lines to? As its own numbers are written; where it has none with decimals, as the cards'
 * sheets and the model's habits say. */
bool sheet_keeps_commas(const Sheet *sheet, const CardSet *cards, const Habits *habits);
/* A formatted number as such a sheet writes it; in the arena or itself. */
const char *sheet_number(Arena *arena, bool commas, const char *number);
/* One cell, quoted where it must be. A cell that a spreadsheet program would run as a formula gets an apostrophe before
 * it, which is taken off again when the sheet is read (cards/sheet/csv.h). */
void sheet_cell(Text *out, const char *cell, char separator);
/* All cells of a line and its end. */
void sheet_line(Text *out, const char *const *cell, size_t cells, char separator);

/* A sheet that is written anew, with lines as they stood: what was above its header, the header (to which columns may
 * have come) wherever it stood, blank lines. Of a workbook only the header and the rows. */
typedef struct {
    Text *out;
    const Sheet *sheet;
    const char **header; /* [columns] */
    size_t columns;
    size_t agains; /* written so far */
} SheetAgain;

/* Writes what stands up to the header, which is copied. Freed with sheet_again_end. */
void sheet_again_begin(SheetAgain *again, const Sheet *sheet, const char *const *header, size_t columns, Text *out);
/* The cells in place of a row of the sheet; rows come in its order, and may be left out. */
void sheet_again_row(SheetAgain *again, size_t row, const char *const *cell);
void sheet_again_end(SheetAgain *again); /* what stood behind the last row; then new lines may follow */
/* A whole sheet of ours with this separator, with tabs in its place. False with errors. */
bool sheet_with_tabs(const Text *text, char separator, Text *out, Diags *diags);

#endif
