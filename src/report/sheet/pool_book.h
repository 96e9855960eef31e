/* pool_book.h - a pool as a workbook: the list, and what a designer looks at beside it, sheet by sheet. */
#ifndef POOLWRIGHT_REPORT_SHEET_POOL_BOOK_H
#define POOLWRIGHT_REPORT_SHEET_POOL_BOOK_H

#include "programme/answer.h"
#include "report/sheet/book_out.h"

/* Sheets: list (list_csv), themes, colours and curve, limits, shopping (shopping_csv), and changes where there is a
 * present pool. all: candidates that are not chosen are in the list too. path: what messages call the file. False with
 * errors. */
bool pool_book(const Instance *instance, const Answer *answer, bool all, const char *path, Text *out, Diags *diags);
/* The header of these candidates' column of names. */
const char *book_names(const Instance *instance);

#endif
