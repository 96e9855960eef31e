/* book.h - inside the reading of workbooks: what an archive is found to hold. */
#ifndef POOLWRIGHT_CARDS_WORKBOOK_BOOK_H
#define POOLWRIGHT_CARDS_WORKBOOK_BOOK_H

#include "cards/workbook/grid.h"
#include "cards/workbook/values.h"
#include "cards/workbook/xml.h"

#define BOOK_MAX_SHEETS 1000
#define BOOK_MAX_FORMATS 100000

typedef struct {
    const char *name;
    const char *member; /* .xlsx: its part in the archive */
    bool hidden;
} BookSheet;

typedef struct Book Book;
struct Book {
    Arena *arena; /* of what the book itself holds */
    Arena *texts; /* of the sheet that is read: shared texts live there */
    Archive *archive;
    const char *file; /* what messages call it */
    BookSheet *sheet; /* [sheets], in the order of their tabs */
    size_t sheets;
    /* False where it cannot be read; with errors also where some of its cells are wrong. */
    bool (*read_sheet)(const Book *book, size_t sheet, Arena *arena, const char *path, Grid *grid, Diags *diags);
    const char **shared; /* .xlsx: texts that cells point to; freed with mem_free */
    size_t shareds;
    const CellFormat *format; /* by the style of a cell */
    size_t formats;
    bool from_1904;
};

/* Find the sheets and what all of them need. False with errors. */
bool xlsx_open(Book *book, Diags *diags);
bool ods_open(Book *book, Diags *diags);
/* BookSheet lists grow by this; false when there are too many, with an error. */
bool book_add_sheet(Book *book, BookSheet sheet, Diags *diags);
/* Adds a cell; errors are told at its place and end the reading. */
void book_add_cell(Xml *xml, Grid *grid, SourcePos at, const char *text);

#endif
