/* book_out.h - sheets as a workbook (.xlsx): a header that stays in sight, filters, numbers as numbers. */
#ifndef POOLWRIGHT_REPORT_SHEET_BOOK_OUT_H
#define POOLWRIGHT_REPORT_SHEET_BOOK_OUT_H

#include "base/diag.h"
#include "base/text.h"

/* A sheet of the workbook, written as text first (sheet_out.h). */
typedef struct {
    const char *title; /* at most 31 characters */
    char separator;    /* of the text; where it is no comma, numbers may have decimal commas */
    const char *names; /* header of the column of names, which are no numbers whatever they look like; NULL: "name" */
    Text text;
} BookPage;

/* Does the path end in .xlsx? NULL does not. */
bool is_book_path(const char *path);
/* The workbook's bytes; the same for the same pages. path: what messages call it. False with errors. */
bool book_out(const BookPage *page, size_t pages, const char *path, Text *out, Diags *diags);

#endif
