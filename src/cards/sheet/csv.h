/* csv.h - text as a sheet: RFC 4180 over libcsv, separators, titles above the header. */
#ifndef POOLWRIGHT_CARDS_SHEET_CSV_H
#define POOLWRIGHT_CARDS_SHEET_CSV_H

#include "cards/sheet/sheet.h"

/* Reads text as a sheet whose path is known; the cells are the arena's. False with errors. */
bool csv_read(Arena *arena, const Decoded *text, Sheet *sheet, Diags *diags);
/* Of tab, semicolon and comma the one that parts the fields of the text's first line that is not blank, from start on:
 * the one that is there most often outside quotes, on a draw the first of them. */
char csv_separator(const char *bytes, size_t length, size_t start);

#endif
