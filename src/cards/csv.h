/* csv.h - sheets as tables of trimmed UTF-8 cells with their places. RFC 4180 over libcsv; separators, encodings, byte
 * order mark. */
#ifndef POOLWRIGHT_CARDS_CSV_H
#define POOLWRIGHT_CARDS_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "base/diag.h"
#include "base/memory.h"

typedef struct {
    const char *text; /* "" if blank; outer blanks trimmed unless quoted content */
    int line, column; /* of the field's first character (within the quotes, if quoted) */
} SheetCell;

typedef struct {
    int line; /* on which the record begins */
    size_t cells;
    SheetCell *cell;
} SheetRow;

typedef struct {
    const char *path; /* as the user named it; "standard input" for "-" */
    char separator;
    bool windows_1252, marked; /* marked: it begins with a byte order mark */
    SheetRow header;
    SheetRow *row; /* [rows], each padded to header.cells; lines of blanks and separators only are left out */
    size_t rows;
} Sheet;

#define SHEET_MAX_FIELD ((size_t)1 << 20) /* longest field, bytes */
#define SHEET_MAX_COLUMNS 1000
#define SHEET_MAX_ROWS 1000000
#define SHEET_MAX_CELLS ((size_t)10000000) /* rows times columns: short lines under a wide header cost memory too */

/* Reads a sheet into the arena; an apostrophe before = + - @ at the start of a cell is a guard against formulas and is
 * dropped; false with errors in diags. Notices (encoding) too. Headers are unique (folded); a column without a header
 * has only blank cells, except that the first column's header may be blank over any cells (a caller that minds must
 * look). No rows are no error here. Syntax errors end the reading of the file; lines with too many fields and bad
 * headers are all reported. */
bool sheet_read(Arena *arena, const char *path, SourcePos from, Sheet *sheet, Diags *diags);
SourcePos sheet_pos(const Sheet *sheet, const SheetCell *cell);
/* Column whose folded header equals the folded name, or -1. */
int sheet_column(const Sheet *sheet, const char *name);
/* Whether a comma in a number is a decimal comma here. */
bool sheet_decimal_comma(const Sheet *sheet);

#endif
