/* test_workbook_layout.c - how the cells of a workbook lie: merged headers, titles, what is hidden, what an .ods file
 * tells of its cells beside their values; parts under unusual paths, tabs that are no sheets. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "base/text.h"
#include "support/read_book.h"

/* A sheet of these rows and merged cells. */
static Read read_merged(const char *rows, const char *merges)
{
    Text sheet = {0};
    text_printf(&sheet, "<sheetData>%s</sheetData><mergeCells>%s</mergeCells>", rows, merges);
    Read read = read_xlsx(text_cstr(&sheet), NULL, NULL, NULL);
    text_release(&sheet);
    return read;
}

#define CARD "<row r='2'>" TEXT("A2", "One") TEXT("B2", "2") "</row>"

static void a_wide_header_over_nothing(void **state)
{
    (void)state;
    Read read = read_merged(HEADER CARD, "<mergeCell ref='B1:D1'/>");
    assert_true(read.good);
    expect_row(&read, 1, ROW("One", "2"));
    expect_silence(&read);
    forget(&read);
}

static void merges_of_a_single_cell_say_nothing(void **state)
{
    (void)state;
    Read read = read_merged(HEADER CARD, "<mergeCell ref='A2:A2'/><mergeCell ref='A2;B3'/><mergeCell/>");
    assert_true(read.good);
    expect_silence(&read);
    forget(&read);
}

static void merges_over_rows_and_columns(void **state)
{
    (void)state;
    Read read = read_merged(HEADER CARD, "<mergeCell ref='$A$2:$B$3'/>");
    assert_true(read.good);
    expect_said(&read, "list.xlsx#List, A2: notice: found 1 merged cell over several rows");
    forget(&read);
}

/* A header may be merged over ten rows; over more it is a column of one text. */
static void headers_of_many_rows(void **state)
{
    (void)state;
    Read read = read_merged(HEADER CARD, "<mergeCell ref='A1:A10'/>");
    assert_int_equal(read.sheet.header.line, 10);
    forget(&read);
    read = read_merged(HEADER CARD, "<mergeCell ref='A1:A11'/>");
    assert_int_equal(read.sheet.header.line, 1);
    expect_row(&read, 1, ROW("One", "2"));
    forget(&read);
}

static void headers_are_told_at_their_cell(void **state)
{
    (void)state;
    Read read = read_merged("<row r='1'>" TEXT("A1", "name") TEXT("B1", "Name") "</row><row r='2'>" TEXT(
                                "C2", "price") "</row><row r='3'>" TEXT("A3", "One") "</row>",
                            "<mergeCell ref='A1:A2'/>");
    assert_false(read.good);
    expect_said(&read, "list.xlsx#List, B1: error: found two columns");
    forget(&read);
}

/* The names of the columns, below so many titles. */
static Read below_titles(int titles)
{
    Text rows = {0};
    for (int row = 1; row <= titles; row++)
        text_printf(&rows, "<row r='%d'><c r='A%d' t='inlineStr'><is><t>title %d</t></is></c></row>", row, row, row);
    text_printf(&rows, "<row>%s</row>",
                "<c t='inlineStr'><is><t>name</t></is></c><c t='inlineStr'><is><t>price</t></is></c>");
    Read read = read_merged(text_cstr(&rows), "");
    text_release(&rows);
    return read;
}

static void titles_have_an_end(void **state)
{
    (void)state;
    Read read = below_titles(10);
    assert_true(read.good);
    assert_int_equal(read.sheet.header.line, 11);
    forget(&read);
    read = below_titles(11);
    assert_int_equal(read.sheet.header.line, 1);
    forget(&read);
}

static void hidden_columns_by_name(void **state)
{
    (void)state;
    Read read = read_xlsx("<cols><col min='2' max='2' hidden='1'/></cols><sheetData>" HEADER CARD "</sheetData>", NULL,
                          NULL, NULL);
    expect_said(&read, "list.xlsx#List: notice: 1 hidden column is read as all others: 'price'\n");
    forget(&read);
    read = read_xlsx("<cols><col min='2' max='5' hidden='1'/></cols><sheetData><row r='1'>" TEXT("A1", "name")
                         TEXT("B1", "a") TEXT("C1", "b") TEXT("D1", "c") TEXT("E1", "d") "</row></sheetData>",
                     NULL, NULL, NULL);
    expect_said(&read, "list.xlsx#List: notice: 4 hidden columns are read as all others: 'a', 'b', 'c', ...\n");
    forget(&read);
}

/* ---- .ods ---- */

#define CELL(attributes, text) "<table:table-cell " attributes "><text:p>" text "</text:p></table:table-cell>"
#define LINE(cells) "<table:table-row>" cells "</table:table-row>"
#define L(lines) "<table:table table:name='L'>" lines "</table:table>"
#define DATE(value) CELL("office:value-type='date' office:date-value='" value "'", "x")
#define TIME(value) CELL("office:value-type='time' office:time-value='" value "'", "x")

static void values_of_open_documents(void **state)
{
    (void)state;
    Read read = read_ods(NULL,
                         L(LINE(P("name") P("a") P("b") P("c")) LINE(DATE("2026-03-31T00:00:00") DATE(
                             "2026-03-31T12:30:00.5") TIME("PT12H30M75S") P("one<text:tab/>two<text:line-break/>three"))
                               LINE(CELL("table:number-columns-repeated='-2'", "four") P("five"))),
                         NULL);
    assert_true(read.good);
    expect_row(&read, 1, ROW("2026-03-31", "2026-03-31 12:30:00", "PT12H30M75S", "one two\nthree"));
    expect_row(&read, 2, ROW("four", "five"));
    expect_silence(&read);
    forget(&read);
}

static void merged_cells_of_open_documents(void **state)
{
    (void)state;
    Read read =
        read_ods(NULL,
                 L(LINE(CELL("table:number-columns-spanned='2' table:number-rows-spanned='1'", "Our list"))
                       LINE(P("name") P("price"))
                           LINE(P("One") CELL("table:number-columns-spanned='1' table:number-rows-spanned='2'", "2"))
                               LINE(P("Two"))),
                 NULL);
    assert_true(read.good);
    expect_said(&read, "list.xlsx#L, A1: notice: 'Our list' over several columns is taken for a title");
    expect_said(&read, "list.xlsx#L, B3: notice: found 1 merged cell over several rows");
    expect_row(&read, 0, ROW("name", "price"));
    expect_row(&read, 2, ROW("Two", ""));
    forget(&read);
}

/* ---- files ---- */

#define OFFICE "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
#define RELATION(id, type, target) "<Relationship Id='" id "' Type='" OFFICE type "' Target='" target "'/>"
#define PART(path, text)                                                                                               \
    {                                                                                                                  \
        .name = path, .bytes = text, .length = sizeof text - 1                                                         \
    }

/* Charts have tabs too; targets may begin with "./". */
static void tabs_that_are_no_sheets(void **state)
{
    (void)state;
    static const PackedPart part[] = {
        PART("_rels/.rels",
             "<Relationships>" RELATION("r1", "/officeDocument", "./xl/workbook.xml") "</Relationships>"),
        PART("xl/_rels/workbook.xml.rels", "<Relationships>" RELATION("r1", "/chartsheet", "chartsheets/one.xml")
                                               RELATION("r2", "/worksheet", "./worksheets/one.xml") "</Relationships>"),
        PART("xl/workbook.xml", "<workbook><sheets><sheet name='Chart' sheetId='1' r:id='r1'/>"
                                "<sheet name='List' sheetId='2' r:id='r2'/></sheets></workbook>"),
        PART("xl/chartsheets/one.xml", "<chartsheet/>"),
        PART("xl/worksheets/one.xml", "<worksheet><sheetData>" HEADER CARD "</sheetData></worksheet>")};
    size_t length;
    char *bytes = packed_make(part, sizeof part / sizeof *part, &length);
    Read read = read_named(bytes, length, NULL, NULL);
    assert_true(read.good);
    assert_string_equal(read.sheet.path, "list.xlsx#List");
    expect_row(&read, 1, ROW("One", "2"));
    forget(&read);
}

static void sheets_that_are_shown(void **state)
{
    (void)state;
    size_t length, count;
    char *bytes =
        packed_ods("<style:style style:name='h'><style:table-properties table:display='false'/></style:style>",
                   "<table:table table:name='A'/><table:table table:name='B' table:style-name='h'/>"
                   "<table:table table:name='C'/>",
                   &length);
    Arena *arena = arena_new();
    Diags diags;
    diags_init(&diags);
    const WorkbookFile file = {.bytes = bytes, .length = length};
    const char **path = workbook_paths(arena, &file, "list.ods", &count, &diags);
    assert_int_equal(count, 2);
    assert_string_equal(path[0], "list.ods#A");
    assert_string_equal(path[1], "list.ods#C");
    diags_release(&diags);
    arena_free(arena);
    free(bytes);
}

static void files_that_look_like_workbooks(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        bool is;
    } file[] = {{"<html><table>", true},     {"\xEF\xBB\xBF<table>", true}, {"<!DOCTYPE html>", true},
                {"PK\x03\x04", true},        {"\xD0\xCF\x11\xE0", true},    {"name,price", false},
                {"\xEF\xBB\xBFname", false}, {"<b>,price", false},          {"", false}};
    for (size_t k = 0; k < sizeof file / sizeof *file; k++)
        assert_int_equal(workbook_is(file[k].bytes, strlen(file[k].bytes)), file[k].is);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_wide_header_over_nothing),     cmocka_unit_test(merges_of_a_single_cell_say_nothing),
        cmocka_unit_test(merges_over_rows_and_columns),   cmocka_unit_test(headers_of_many_rows),
        cmocka_unit_test(headers_are_told_at_their_cell), cmocka_unit_test(titles_have_an_end),
        cmocka_unit_test(hidden_columns_by_name),         cmocka_unit_test(values_of_open_documents),
        cmocka_unit_test(merged_cells_of_open_documents), cmocka_unit_test(tabs_that_are_no_sheets),
        cmocka_unit_test(sheets_that_are_shown),          cmocka_unit_test(files_that_look_like_workbooks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
