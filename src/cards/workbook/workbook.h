/* workbook.h - one sheet of a workbook (.xlsx, .ods) as rows: which one, and its cells as text.
 *
 * Formats: ECMA-376 part 1 (SpreadsheetML), OpenDocument 1.3 part 3. */
#ifndef POOLWRIGHT_CARDS_WORKBOOK_WORKBOOK_H
#define POOLWRIGHT_CARDS_WORKBOOK_WORKBOOK_H

#include "cards/sheet/sheet.h"

/* Does the file begin as a workbook, or as one of a kind that is refused: packed archives, old files, web pages? */
bool workbook_is(const char *bytes, size_t length);

typedef struct {
    const char *bytes;
    size_t length;
    const char *sheet; /* NULL: the use says which */
    SourcePos from;    /* who asked for it */
} WorkbookFile;

/* sheet->path names the file; it is completed by the sheet's name. False with errors. */
bool workbook_read(Arena *arena, const WorkbookFile *file, const SheetUse *use, Sheet *sheet, Diags *diags);

/* The paths of the sheets that are shown, "list.xlsx#Prices", in the order of their tabs; name is the file's. In the
 * arena; NULL with errors. */
const char **workbook_paths(Arena *arena, const WorkbookFile *file, const char *name, size_t *count, Diags *diags);

#endif
