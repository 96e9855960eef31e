/* sheet.h - sheets as tables of trimmed UTF-8 cells with their places, whatever the file: text (RFC 4180 over libcsv;
 * separators, encodings, byte order mark) or one sheet of a workbook (.xlsx, .ods). */
#ifndef POOLWRIGHT_CARDS_SHEET_SHEET_H
#define POOLWRIGHT_CARDS_SHEET_SHEET_H

#include <stdbool.h>
#include <stddef.h>

#include "base/files/file_store.h"
#include "cards/habits.h"
#include "cards/sheet/encoding.h"

typedef struct {
    const char *text; /* "" if blank; outer blanks trimmed unless quoted content */
    int line, column; /* of the field's first character (within the quotes, if quoted); of a workbook row and column */
} SheetCell;

typedef struct {
    int line; /* on which the record begins */
    size_t cells;
    SheetCell *cell;
} SheetRow;

typedef struct {
    const char *path;          /* as the user named it; "standard input" for "-"; of a workbook "list.xlsx#Sheet" */
    char separator;            /* of a workbook ',', as new sheets are written */
    DecimalMark decimal;       /* what the model says; whoever reads the sheet sets it */
    bool workbook;             /* numbers have points, texts in it may have decimal commas */
    bool windows_1252, marked; /* marked: it begins with a byte order mark */
    const char *above; /* of text: the lines above the header, as they stand, also the one that states the separator;
                          NULL: none */
    SheetRow header;
    SheetRow *row; /* [rows], each padded to header.cells; lines of blanks and separators only are left out */
    size_t rows;
    int *again; /* [agains] the lines on which the header comes again, which are no rows */
    size_t agains;
} Sheet;

#define SHEET_MAX_FIELD ((size_t)1 << 20) /* longest field, bytes */
#define SHEET_MAX_COLUMNS 1000
#define SHEET_MAX_ROWS 1000000
#define SHEET_MAX_CELLS ((size_t)10000000) /* rows times columns: short lines under a wide header cost memory too */

/* Which sheet of a workbook is meant, where the path does not say. */
typedef struct {
    const char *what; /* "cards", "prices": for messages */
    /* How many of the sheet's headers are of use; negative where one is missing that must be there. Only path and
     * header of the sheet are known. */
    int (*fits)(const Sheet *sheet, const void *context);
    /* Does a sheet's name say that it is the one? Of those that fit such a one is taken. NULL: names say nothing. */
    bool (*called)(const char *name, const void *context);
    const void *context;
} SheetUse;

/* Reads a sheet into the arena, its file by way of the store (may be NULL); an apostrophe before = + - @ at the start
 * of a cell is a guard against formulas and is dropped; false with errors in diags, and then *sheet has only a header
 * and rows, as far as they were read (no cells where none was). Notices (encoding, the chosen
 * sheet) too. Headers are unique (folded); a column without a header has only blank cells, except that the first
 * column's header may be blank over any cells (a caller that minds must look). No rows are no error here. Syntax errors
 * end the reading of the file; lines with too many fields and bad headers are all reported. A workbook is known by its
 * first bytes. "list.xlsx#Prices" names its sheet; else, of several, the one is taken that fits best, and told; where
 * two fit alike that is an error. */
bool sheet_read_for(Arena *arena, FileStore *files, const char *path, SourcePos from, const SheetUse *use, Sheet *sheet,
                    Diags *diags);
/* The same for any use: of a workbook the only sheet. */
bool sheet_read(Arena *arena, FileStore *files, const char *path, SourcePos from, Sheet *sheet, Diags *diags);
/* The paths of all sheets that the path leads to: of a workbook whose sheet it does not name all that are shown, else
 * itself. In the arena; NULL with errors. */
const char **sheet_paths(Arena *arena, FileStore *files, const char *path, size_t *count, Diags *diags);
/* The file that a sheet's path leads to: without "#Prices", unless there is a file of that whole name. In the arena.
 * *sheet: the name of the sheet, NULL without one; the argument may be NULL. */
const char *sheet_file(Arena *arena, const char *path, const char **sheet);
/* What a sheet is called: "Springs" of "list.xlsx#Springs", "lures" of "sheets/lures.csv". In the arena. */
const char *sheet_title(Arena *arena, const char *path);
SourcePos sheet_pos(const Sheet *sheet, const SheetCell *cell);
/* Reports a cell of the column: "column 'paid': found '4,x', expected ...". */
void sheet_report(const Sheet *sheet, int column, const SheetCell *cell, const char *expected, Diags *diags);
/* The same in the words of the first of its kind (*first, NULL before it), so that all of a column are one error.
 * decimals: of a number that has too many how many there may be, for the formula that rounds; else 0. */
void sheet_report_as_first(const Sheet *sheet, const char *header, const SheetCell *cell, const SheetCell **first,
                           const char *expected, int decimals, Diags *diags);
const char *sheet_line_word(const Sheet *sheet); /* "line", of a workbook "row" */
/* The place of a line as a whole: its first column. */
SourcePos sheet_line_pos(const Sheet *sheet, int line);
/* Column whose folded header equals the folded name, or -1. */
int sheet_column(const Sheet *sheet, const char *name);
/* Of a list of names without a header, one column wide: its first line, which was taken for one, becomes a line, and
 * the header is "name". */
void sheet_as_names(Arena *arena, Sheet *sheet);
/* Text as such a list whatever marks its lines hold, each that is not blank a name; only where a mark that parts fields
 * stands in it. False, with nothing reported, where it is nothing of the kind. */
bool sheet_read_lines(Arena *arena, FileStore *files, const char *path, Sheet *sheet);
/* The lines of the text that are not blank as rows of one cell under the header "name", whatever marks they hold, but
 * for quotes around them and separators behind. The path stays as it is. */
void sheet_split_lines(Arena *arena, const Decoded *text, Sheet *sheet);
/* What a model says of its sheets holds for this one: its decimal mark; lines that are no cards (by the column of
 * names) go, and words that stand for a blank cell become one, but for names. */
void sheet_take_habits(Sheet *sheet, size_t name, const Habits *habits);
/* Whether a comma in a number is a decimal comma here. */
bool sheet_decimal_comma(const Sheet *sheet);

#endif
