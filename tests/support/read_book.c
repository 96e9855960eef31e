/* read_book.c - see read_book.h. */
#include "support/read_book.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "base/text.h"

Read read_named(char *bytes, size_t length, const char *name, const SheetUse *use)
{
    Read read = {.arena = arena_new()};
    diags_init(&read.diags);
    read.sheet.path = "list.xlsx";
    const WorkbookFile file = {.bytes = bytes, .length = length, .sheet = name, .from = {.file = "s.yaml", .line = 3}};
    assert_true(workbook_is(bytes, length));
    read.good = workbook_read(read.arena, &file, use, &read.sheet, &read.diags);
    free(bytes);
    return read;
}

Read read_xlsx(const char *sheet, const char *shared, const char *styles, const char *workbook)
{
    size_t length;
    char *bytes = packed_xlsx(sheet, shared, styles, workbook, &length);
    return read_named(bytes, length, NULL, NULL);
}

Read read_ods(const char *styles, const char *tables, const char *name)
{
    size_t length;
    char *bytes = packed_ods(styles, tables, &length);
    return read_named(bytes, length, name, NULL);
}

void forget(Read *read)
{
    diags_release(&read->diags);
    arena_free(read->arena);
}

void expect_said(const Read *read, const char *words)
{
    char *text = diags_text(&read->diags);
    if (strstr(text, words) == NULL)
        fail_msg("found '%s', expected '%s'", text, words);
    mem_free(text);
}

void expect_silence(const Read *read)
{
    char *text = diags_text(&read->diags);
    assert_string_equal(text, "");
    mem_free(text);
}

void expect_row(const Read *read, size_t row, const char *const *cell)
{
    const SheetRow *found = row == 0 ? &read->sheet.header : &read->sheet.row[row - 1];
    for (size_t k = 0; cell[k] != NULL; k++) {
        assert_in_range(k, 0, found->cells - 1);
        assert_string_equal(found->cell[k].text, cell[k]);
    }
}
