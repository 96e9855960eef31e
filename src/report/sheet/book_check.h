/* book_check.h - is a workbook that was just written what it was to be? */
#ifndef POOLWRIGHT_REPORT_SHEET_BOOK_CHECK_H
#define POOLWRIGHT_REPORT_SHEET_BOOK_CHECK_H

#include "cards/sheet/sheet.h"
#include "report/sheet/book_out.h"

/* True where each part of the workbook is whole and its sheets, read again, hold what those of the pages hold:
 * sheet[k] is the text of page[k] as it was read. */
bool book_holds(const Text *bytes, const BookPage *page, const Sheet *sheet, size_t pages);

#endif
