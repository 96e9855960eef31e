/* read_book.h - a workbook written in a test, read, and what is expected of it. */
#ifndef POOLWRIGHT_SUPPORT_READ_BOOK_H
#define POOLWRIGHT_SUPPORT_READ_BOOK_H

#include "cards/workbook/workbook.h"
#include "support/packed.h"

typedef struct {
    Arena *arena;
    Diags diags;
    Sheet sheet; /* its path begins with "list.xlsx" */
    bool good;
} Read;

/* The sheet of this name, or the one that the use wants; the bytes are freed. */
Read read_named(char *bytes, size_t length, const char *name, const SheetUse *use);
Read read_xlsx(const char *sheet, const char *shared, const char *styles, const char *workbook);
Read read_ods(const char *styles, const char *tables, const char *name);
void forget(Read *read);

/* These words are among what is told; nothing is told. */
void expect_said(const Read *read, const char *words);
void expect_silence(const Read *read);
/* The cells of a row from the first on; 0: the header. NULL ends them. */
void expect_row(const Read *read, size_t row, const char *const *cell);

#define ROW(...) ((const char *const[]){__VA_ARGS__, NULL})
#define TEXT(at, text) "<c r='" at "' t='inlineStr'><is><t>" text "</t></is></c>"
#define NUMBER(at, style, value) "<c r='" at "' s='" style "'><v>" value "</v></c>"
#define HEADER "<row r='1'>" TEXT("A1", "name") TEXT("B1", "price") "</row>"
/* A cell of an .ods file. */
#define P(text) "<table:table-cell office:value-type='string'><text:p>" text "</text:p></table:table-cell>"

#endif
