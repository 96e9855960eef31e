/* xlsx.h - inside the reading of .xlsx files. */
#ifndef POOLWRIGHT_CARDS_WORKBOOK_XLSX_H
#define POOLWRIGHT_CARDS_WORKBOOK_XLSX_H

#include "cards/workbook/book.h"

/* Is a flag such as hidden="1" set? NULL is not. */
bool xlsx_is_set(const char *value);
void xlsx_unescape(Text *text);
bool xlsx_read_sheet(const Book *book, size_t sheet, Arena *arena, const char *path, Grid *grid, Diags *diags);

#endif
