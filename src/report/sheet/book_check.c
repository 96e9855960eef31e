/* book_check.c - see book_check.h.
 *
 * libxlsxwriter keeps each part in a file of its own for a moment and does not look whether it could be written: where
 * the disk is full, parts are cut short, or have holes, without a word. */
#include "report/sheet/book_check.h"

#include <stdlib.h>
#include <string.h>

#include "cards/workbook/workbook.h"
#include "cards/workbook/xml.h"

/* Those that no reading of a sheet looks at from end to end. */
static const char *const other_parts[] = {"[Content_Types].xml",        "_rels/.rels",        "docProps/app.xml",
                                          "docProps/core.xml",          "xl/styles.xml",      "xl/workbook.xml",
                                          "xl/_rels/workbook.xml.rels", "xl/theme/theme1.xml"};

static void pass_over(Xml *xml, const char *name, const char **attribute)
{
    (void)xml;
    (void)name;
    (void)attribute;
}

static bool parts_are_whole(const Text *bytes, Diags *quiet)
{
    Archive *archive = archive_open(bytes->data, bytes->length, "", quiet);
    bool good = archive != NULL;
    for (size_t k = 0; k < sizeof other_parts / sizeof *other_parts && good; k++) {
        Xml xml = {.start = pass_over, .file = "", .diags = quiet};
        good = xml_read(&xml, archive, other_parts[k]);
    }
    archive_close(archive);
    return good;
}

/* Outer blanks, invisible characters and the apostrophe before a formula do not come back. */
static bool is_same_text(const char *written, const char *found)
{
    if (strcmp(written, found) == 0)
        return true;
    char *a = text_fold(written), *b = text_fold(found);
    const bool same = strcmp(a + (a[0] == '\''), b + (b[0] == '\'')) == 0;
    mem_free(a);
    mem_free(b);
    return same;
}

/* 1.50 and, where numbers may have decimal commas, 1,50 come back as 1.5. */
static bool is_same_cell(const char *written, const char *found, bool commas)
{
    if (is_same_text(written, found))
        return true;
    char copy[32], *written_end, *found_end;
    if (written[0] == '\0' || found[0] == '\0' || strlen(written) >= sizeof copy)
        return false;
    memcpy(copy, written, strlen(written) + 1);
    char *comma = commas ? strchr(copy, ',') : NULL;
    if (comma != NULL)
        *comma = '.';
    const double a = strtod(copy, &written_end), b = strtod(found, &found_end);
    return *written_end == '\0' && *found_end == '\0' && !(a < b) && !(a > b);
}

static bool is_same_row(const SheetRow *written, const SheetRow *found, bool commas)
{
    for (size_t c = 0; c < written->cells; c++)
        if (!is_same_cell(written->cell[c].text, c < found->cells ? found->cell[c].text : "", commas))
            return false;
    return true;
}

static bool holds_page(const Text *bytes, const BookPage *page, const Sheet *written, Diags *quiet)
{
    Arena *arena = arena_new();
    Sheet found = {.path = ""};
    const bool commas = page->separator != ',';
    const WorkbookFile file = {.bytes = bytes->data, .length = bytes->length, .sheet = page->title};
    bool good = workbook_read(arena, &file, NULL, &found, quiet) && found.rows == written->rows &&
                is_same_row(&written->header, &found.header, commas);
    for (size_t row = 0; row < written->rows && good; row++)
        good = is_same_row(&written->row[row], &found.row[row], commas);
    arena_free(arena);
    return good;
}

bool book_holds(const Text *bytes, const BookPage *page, const Sheet *sheet, size_t pages)
{
    Diags quiet;
    diags_init(&quiet);
    bool good = parts_are_whole(bytes, &quiet);
    for (size_t k = 0; k < pages && good; k++)
        good = holds_page(bytes, &page[k], &sheet[k], &quiet);
    diags_release(&quiet);
    return good;
}
