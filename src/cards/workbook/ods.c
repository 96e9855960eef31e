/* ods.c - an .ods file (OpenDocument 1.3 part 3): all its sheets are in one part, content.xml. */
#include <stdlib.h>
#include <string.h>

#include "cards/workbook/book.h"

bool ods_open(Book *book, Diags *diags)
{
    diag_error(diags, (SourcePos){.file = book->file}, "found .ods, expected .xlsx or CSV");
    return false;
}
