/* test_workbook_cells.c - what cells of workbooks hold, file by file written here: values of all types, formats, merged
 * and hidden ones, which sheet is meant. Dates: ECMA-376 part 1, 18.17.4.1 (examples there). */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "base/text.h"
#include "cards/workbook/values.h"
#include "support/read_book.h"

/* ---- .xlsx ---- */

static void numbers_have_fifteen_digits(void **state)
{
    (void)state;
    static const struct {
        const char *stored, *text;
    } number[] = {{"2.3500000000000001", "2.35"},
                  {"0.1", "0.1"},
                  {"0.30000000000000004", "0.3"},
                  {"5.400000000000001", "5.4"},
                  {"2.9999999999999996", "3"},
                  {"99999.99999999999", "100000"},
                  {"0.57600000000000007", "0.576"},
                  {"0.1234567890123456", "0.123456789012346"},
                  {"1E2", "100"},
                  {"1.5E-3", "0.0015"},
                  {"-0.25", "-0.25"},
                  {"-0", "0"},
                  {"1234567890123", "1234567890123"},
                  {"0.70", "0.7"},
                  {"1e+20", "100000000000000000000"},
                  {"1e30", "1e+30"},
                  {"123456.789", "123456.789"},
                  {"9007199254740993", "9007199254740990"},

                  {"nan", "nan"},
                  {"1,5", "1,5"},
                  {"", ""}};
    Arena *arena = arena_new();
    for (size_t k = 0; k < sizeof number / sizeof *number; k++)
        assert_string_equal(value_number(arena, number[k].stored, FORMAT_NUMBER, false), number[k].text);
    assert_string_equal(value_number(arena, "0.25", FORMAT_PERCENT, false), "25%");
    assert_string_equal(value_number(arena, "0.334", FORMAT_PERCENT, false), "33.4%");
    assert_string_equal(value_number(arena, "0.07", FORMAT_PERCENT, false), "7%");
    assert_string_equal(value_number(arena, "1", FORMAT_PERCENT, false), "100%");
    assert_string_equal(value_number(arena, "0", FORMAT_PERCENT, false), "0%");
    arena_free(arena);
}

static void dates_are_days(void **state)
{
    (void)state;
    static const struct {
        const char *serial;
        bool from_1904;
        const char *day;
    } date[] = {{"1", false, "1900-01-01"},       {"59", false, "1900-02-28"},
                {"61", false, "1900-03-01"},      {"39448", false, "2008-01-01"},
                {"46112", false, "2026-03-31"},   {"45351", false, "2024-02-29"},
                {"2958465", false, "9999-12-31"}, {"46112.5", false, "2026-03-31 12:00:00"},
                {"44650", true, "2026-03-31"},    {"0", true, "1904-01-01"},
                {"2958466", false, "2958466"},    {"-1", false, "-1"}};
    Arena *arena = arena_new();
    for (size_t k = 0; k < sizeof date / sizeof *date; k++)
        assert_string_equal(value_number(arena, date[k].serial, FORMAT_DATE, date[k].from_1904), date[k].day);
    assert_string_equal(value_number(arena, "0.5", FORMAT_TIME, false), "12:00:00");
    arena_free(arena);
}

static void codes_say_what_numbers_are(void **state)
{
    (void)state;
    static const struct {
        const char *code;
        CellFormat format;
    } code[] = {{"General", FORMAT_NUMBER},
                {"0.00", FORMAT_NUMBER},
                {"#,##0.00\\ [$\xE2\x82\xAC-407]", FORMAT_NUMBER},
                {"0.00E+00", FORMAT_NUMBER},
                {"\"day \"0", FORMAT_NUMBER},
                {"0\\d", FORMAT_NUMBER},
                {"0_d", FORMAT_NUMBER},
                {"*d0", FORMAT_NUMBER},
                {"0;d", FORMAT_NUMBER},
                {"[Red]0.0;[Blue]-0.0", FORMAT_NUMBER},
                {"_-* #,##0.00_-", FORMAT_NUMBER},
                {"0%", FORMAT_PERCENT},
                {"0.0\\ %", FORMAT_PERCENT},
                {"yyyy\\-mm\\-dd", FORMAT_DATE},
                {"d. mmmm yyyy", FORMAT_DATE},
                {"[$-409]m/d/yy h:mm AM/PM;@", FORMAT_DATE},
                {"mmm", FORMAT_DATE},
                {"h:mm", FORMAT_TIME},
                {"[h]", FORMAT_TIME},
                {"[mm]", FORMAT_TIME},
                {"[h]:mm:ss", FORMAT_TIME},
                {"mm:ss.0", FORMAT_TIME},
                {"@", FORMAT_NUMBER},
                {"", FORMAT_NUMBER}};
    for (size_t k = 0; k < sizeof code / sizeof *code; k++)
        assert_int_equal(format_of_code(code[k].code), code[k].format);
}

/* ECMA-376 part 1, 18.8.30, with the numbers that other languages give to dates. */
static void numbers_of_formats(void **state)
{
    (void)state;
    static const struct {
        long first, last;
        CellFormat format;
    } built_in[] = {{0, 8, FORMAT_NUMBER},   {9, 10, FORMAT_PERCENT}, {11, 13, FORMAT_NUMBER}, {14, 17, FORMAT_DATE},
                    {18, 21, FORMAT_TIME},   {22, 22, FORMAT_DATE},   {23, 26, FORMAT_NUMBER}, {27, 36, FORMAT_DATE},
                    {37, 44, FORMAT_NUMBER}, {45, 47, FORMAT_TIME},   {48, 49, FORMAT_NUMBER}, {50, 58, FORMAT_DATE},
                    {59, 163, FORMAT_NUMBER}};
    for (size_t k = 0; k < sizeof built_in / sizeof *built_in; k++)
        for (long id = built_in[k].first; id <= built_in[k].last; id++)
            assert_int_equal(format_built_in(id), built_in[k].format);
}

/* An apostrophe in front keeps a sheet from taking a text for a formula; others belong to the text. */
static void texts_are_trimmed(void **state)
{
    (void)state;
    static const struct {
        const char *stored, *text;
    } text[] = {{" a ", "a"},
                {"'=a", "=a"},
                {"'tis", "'tis"},
                {"'", "'"},
                {"a\x7F"
                 "b\x01"
                 "c",
                 "a b c"},
                {"  ", ""}};
    Arena *arena = arena_new();
    for (size_t k = 0; k < sizeof text / sizeof *text; k++)
        assert_string_equal(value_text(arena, text[k].stored, strlen(text[k].stored)), text[k].text);
    arena_free(arena);
}

static void cells_of_all_types(void **state)
{
    (void)state;
    Read read = read_xlsx(
        "<sheetData><row r='1'><c r='A1' t='s'><v>0</v></c><c r='B1' t='s'><v>1</v></c>" TEXT("C1", "c") TEXT("D1", "d")
            TEXT("E1", "e") TEXT("F1", "f") TEXT(
                "G1",
                "g") "</row>"
                     "<row r='3'><c r='A3' t='b'><v>1</v></c><c r='B3' t='e'><v>#N/A</v></c>" NUMBER("C3", "1", "46112")
                         NUMBER("D3", "2",
                                "0.125") "<c r='E3' t='str'><f>A1</f><v>result</v></c><c r='F3'><f>1+1</f><v>2</v></c>"
                                         "<c r='G3' t='str'><f>x</f><v></v></c></row>"
                                         "<row><c t='inlineStr'><is><r><t>'=rich</t></r><r><t xml:space='preserve'> "
                                         "_x0041_&amp; </t></r>"
                                         "<rPh><t>read</t></rPh></is></c><c/><c r='D4'><v>1</v></c><c "
                                         "t='d'><v>2026-03-31</v></c>" TEXT("G4", " a\nb\t ") "</row></sheetData>",
        "<si><t>na</t><rPh><t>no</t></rPh></si><si><r><t>l</t></r><r><t>ong </t></r></si>",
        "<numFmts><numFmt numFmtId='164' formatCode='d. mmm yyyy'/></numFmts><cellStyleXfs><xf numFmtId='9'/>"
        "</cellStyleXfs><cellXfs><xf numFmtId='0'/><xf numFmtId='164'/><xf numFmtId='10'/></cellXfs>",
        NULL);
    assert_true(read.good);
    assert_int_equal(read.diags.count, 1);
    expect_said(
        &read,
        "list.xlsx#List, B3: notice: found 1 cell whose formula failed, such as this one: '#N/A' is read as text\n");
    assert_string_equal(read.sheet.path, "list.xlsx#List");
    assert_int_equal(read.sheet.rows, 2);
    expect_row(&read, 0, ROW("na", "long", "c", "d", "e", "f", "g"));
    expect_row(&read, 1, ROW("TRUE", "#N/A", "2026-03-31", "12.5%", "result", "2", ""));
    expect_row(&read, 2, ROW("=rich A&", "", "", "1", "2026-03-31", "", "a\nb"));
    assert_int_equal(read.sheet.row[1].cell[3].line, 4);
    assert_int_equal(read.sheet.row[1].cell[3].column, 4);
    forget(&read);
    read =
        read_xlsx("<sheetData><row>" TEXT("A1", "name") "</row><row r='2'>" NUMBER("A2", "0", "0") "</row></sheetData>",
                  NULL, "<cellXfs><xf numFmtId='14'/></cellXfs>", "<workbookPr date1904='1'/>");
    expect_row(&read, 1, ROW("1904-01-01"));
    forget(&read);
    read =
        read_xlsx("<sheetData>" HEADER "<row>" NUMBER("A2", "0", "0") "<c t='d'><v>2026-03-31T12:00:00</v></c></row>"
                                                                      "<row>" TEXT("A3", "a_x0000_b_x0041_")
                                                                          TEXT("B3", "_x00E9_t") "</row></sheetData>",
                  NULL, "<cellXfs><xf numFmtId='14'/></cellXfs>", "<workbookPr date1904='true'/>");
    expect_row(&read, 1, ROW("1904-01-01", "2026-03-31 12:00:00"));
    expect_row(&read, 2, ROW("a bA", "_x00E9_t"));
    forget(&read);
}

static void what_is_wrong_is_told_at_its_cell(void **state)
{
    (void)state;
    static const struct {
        const char *rows, *said;
    } wrong[] = {
        {HEADER "<row r='2'><c r='B2'><f>1+1</f></c></row>",
         "list.xlsx#List, B2: error: found a formula without its result"},
        {HEADER "<row r='2'>" TEXT("A2", "One") "<c r='B2'><f>1+1</f></c></row>",
         "list.xlsx#List, B2: error: found a formula without its result"},
        {HEADER "<row r='2'><c r='AB2'><v>7</v></c></row>",
         "list.xlsx#List, AB2: error: found '7' in a column without a header, expected a header in row 1"},
        {"<row r='1'>" TEXT("A1", "name") TEXT("C1", "price") "</row><row r='5'><c r='B5'><v>7</v></c></row>",
         "list.xlsx#List, B5: error: found '7' in a column without a header, expected a header in row 1"},
        {"<row r='1'>" TEXT("A1", "name") TEXT("B1", "Name") "</row>", "list.xlsx#List, B1: error: found two columns"},
        {HEADER "<row r='2'><c r='B2'><v>1</v></c><c r='A2'><v>1</v></c></row>", "damaged"},
        {HEADER "<row r='1'/>", "damaged"},
        {HEADER "<row r='1048577'/>", "damaged"},
        {HEADER "<row r='2'><c r='A3'><v>1</v></c></row>", "damaged"},
        {HEADER "<row r='2'><c r='A2' t='s'><v>1</v></c></row>", "damaged"},
        {HEADER "<row r='2'><c r='A2' t='s'><v>x</v></c></row>", "damaged"},
        {"", "list.xlsx#List: error: the sheet is empty"}};
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Text sheet = {0};
        text_printf(&sheet, "<sheetData>%s</sheetData>", wrong[k].rows);
        Read read = read_xlsx(sheet.data, "<si><t>one</t></si>", NULL, NULL);
        assert_false(read.good);
        expect_said(&read, wrong[k].said);
        forget(&read);
        text_release(&sheet);
    }
}

static void merged_and_hidden_cells(void **state)
{
    (void)state;
    Read read = read_xlsx(
        "<sheetData><row r='1'>" TEXT("A1", "Our list") "</row><row r='2'>" TEXT("A2", "name") TEXT(
            "B2",
            "Prices") "</row>"
                      "<row r='3'>" TEXT("B3", "price") TEXT(
                          "C3",
                          "low") "</row>"
                                 "<row r='4' hidden='1'>" TEXT("A4", "One") NUMBER(
                                     "B4", "0",
                                     "2") "</row><row r='5' hidden='1'/>"
                                          "<row r='6'>" TEXT(
                                              "A6",
                                              "Two") "</row></sheetData><mergeCells><mergeCell ref='A1:C1'/><mergeCell "
                                                     "ref='A2:A3'/>"
                                                     "<mergeCell ref='B2:C2'/><mergeCell ref='B4:B6'/></mergeCells>",
        NULL, NULL, NULL);
    assert_true(read.good);
    expect_row(&read, 0, ROW("name", "price", "low"));
    expect_row(&read, 1, ROW("One", "2", ""));
    expect_row(&read, 2, ROW("Two", "", ""));
    expect_said(&read,
                "list.xlsx#List, A1: notice: 'Our list' over several columns is taken for a title, not for a header\n");
    expect_said(
        &read,
        "list.xlsx#List, B4: notice: found 1 merged cell over several rows: what it holds counts for the first row "
        "alone; split it, and fill in each row\n");
    expect_said(&read, "list.xlsx#List: notice: 1 hidden row is read as all others\n");
    forget(&read);
    read = read_xlsx("<sheetData>" HEADER "<row r='2'>" TEXT("A2", "One") TEXT("B2", "2")
                         TEXT("C2", "3") "</row></sheetData><mergeCells><mergeCell ref='B1:C1'/></mergeCells>",
                     NULL, NULL, NULL);
    assert_false(read.good);
    expect_said(&read,
                "list.xlsx#List, B1: error: found the header 'price' merged over several columns, expected a header "
                "for each: split the merged cell\n");
    assert_int_equal(read.diags.errors, 1);
    forget(&read);
}

/* A text alone in the first row is told once, and not as columns without a header. */
static void a_title_without_names_below_is_told_once(void **state)
{
    (void)state;
    Read read =
        read_xlsx("<sheetData><row r='1'>" TEXT("A1", "Our list") "</row><row r='3'>" TEXT("A3", "labels")
                      TEXT("B3", "hue") "</row><row r='4'>" TEXT("A4", "One") TEXT("B4", "rye") "</row></sheetData>",
                  NULL, NULL, NULL);
    assert_false(read.good);
    expect_said(&read, "list.xlsx#List, A1: error: found only 'Our list' in the first row, expected the names of the "
                       "columns; if they stand in row 3, delete what is above, else put them there\n");
    assert_int_equal(read.diags.errors, 1);
    forget(&read);
}

/* A heading over all columns of its row loses nothing. */
static void merged_headings_are_a_remark(void **state)
{
    (void)state;
    Read read = read_xlsx("<sheetData>" HEADER "<row r='2'>" TEXT("A2", "Rye") "</row><row r='3'>" TEXT("A3", "One")
                              TEXT("B3", "2") "</row></sheetData><mergeCells><mergeCell ref='A2:C2'/></mergeCells>",
                          NULL, NULL, NULL);
    assert_true(read.good);
    expect_said(&read, "list.xlsx#List, A2: notice: found 1 merged cell below the header: what it holds counts for its "
                       "first column only\n");
    char *left = diags_text_short(&read.diags);
    assert_string_equal(left, "");
    mem_free(left);
    forget(&read);
}

/* Words for several columns each, above the names of these. */
static void groups_of_columns(void **state)
{
    (void)state;
    Read read = read_xlsx(
        "<sheetData><row r='1'>" TEXT("A1", "Card") TEXT("C1", "Money")
            TEXT("E1", "Mine") "</row><row r='2'>" TEXT("A2", "Card name") TEXT("B2", "Kind") TEXT("C2", "price")
                TEXT("D2", "low") "</row><row r='3'>" TEXT("A3", "One") NUMBER("C3", "0", "2") NUMBER(
                    "E3", "0",
                    "1") "</row></sheetData><mergeCells><mergeCell ref='A1:B1'/><mergeCell ref='C1:D1'/></mergeCells>",
        NULL, NULL, NULL);
    assert_true(read.good);
    assert_int_equal(read.sheet.rows, 1);
    assert_int_equal(read.sheet.header.line, 2);
    expect_row(&read, 0, ROW("Card name", "Kind", "price", "low", "Mine"));
    expect_row(&read, 1, ROW("One", "", "2", "", "1"));
    forget(&read);
    read = read_xlsx("<sheetData><row r='1'>" TEXT("A1", "Card")
                         TEXT("B1", "Money") "</row><row r='2'>" TEXT("A2", "One") TEXT("B2", "2")
                             TEXT("C2", "3") "</row></sheetData><mergeCells><mergeCell ref='B1:C1'/></mergeCells>",
                     NULL, NULL, NULL);
    assert_false(read.good); /* below it is a card */
    forget(&read);
}

/* As in text: rows of one text each, where a row with the word for names and one for another column comes below. */
static void titles_in_one_cell(void **state)
{
    (void)state;
    Read read = read_xlsx(
        "<sheetData><row r='1'>" TEXT("A1", "Our list, May") "</row><row r='3'>" TEXT("A3", "Card name")
            TEXT("B3", "price") "</row><row r='4'>" TEXT("A4", "One") NUMBER("B4", "0", "2") "</row></sheetData>",
        NULL, NULL, NULL);
    assert_true(read.good);
    expect_row(&read, 0, ROW("Card name", "price"));
    expect_row(&read, 1, ROW("One", "2"));
    expect_said(&read, "list.xlsx#List, A1: notice: 'Our list, May' is taken for a title: the columns are named in row "
                       "3\n");
    forget(&read);
    read = read_xlsx("<sheetData><row r='1'>" TEXT("A1", "name") "</row><row r='2'>" TEXT(
                         "A2", "One") "</row><row r='3'>" TEXT("A3", "Two") "</row></sheetData>",
                     NULL, NULL, NULL);
    assert_true(read.good);
    expect_row(&read, 0, ROW("name"));
    expect_row(&read, 2, ROW("Two"));
    forget(&read);
}

/* ---- .ods ---- */

/* Columns are hidden by spans, which may reach to the end of the sheet. */
static void hidden_columns_are_told(void **state)
{
    (void)state;
    Read read = read_xlsx("<cols><col min='1' max='1' width='9'/><col min='2' max='16384' width='9' hidden='1'/></cols>"
                          "<sheetData>" HEADER "<row r='2'>" TEXT("A2", "One") TEXT("B2", "2") "</row></sheetData>",
                          NULL, NULL, NULL);
    assert_true(read.good);
    expect_row(&read, 1, ROW("One", "2"));
    expect_said(&read, "list.xlsx#List: notice: 1 hidden column is read as all others: 'price'\n");
    forget(&read);
    read = read_ods(NULL,
                    "<table:table table:name='L'><table:table-column table:number-columns-repeated='2'/>"
                    "<table:table-column table:visibility='collapse' table:number-columns-repeated='3'/>"
                    "<table:table-row>" P("name") P("a") P("b") P("c") "</table:table-row><table:table-row>" P("One")
                        P("1") P("2") P("3") "</table:table-row></table:table>",
                    NULL);
    assert_true(read.good);
    expect_said(&read, "list.xlsx#L: notice: 2 hidden columns are read as all others: 'b', 'c'\n");
    forget(&read);
}

static void cells_of_open_documents(void **state)
{
    (void)state;
    Read read = read_ods(
        NULL,
        "<table:table table:name='L'><table:table-header-rows><table:table-row>" P("name") P("a") P("b") P("c")
            P("d") "</table:table-row></table:table-header-rows><table:table-row "
                   "table:number-rows-repeated='3'><table:table-cell "
                   "table:number-columns-repeated='16384'/></table:table-row><table:table-row "
                   "table:number-rows-repeated='2'>"
                   "<table:table-cell office:value-type='string'><office:annotation><text:p>a "
                   "note</text:p></office:annotation>"
                   "<text:p>two<text:s text:c='2'/><text:span>words</text:span></text:p><text:p>and more</text:p>"
                   "<table:table table:name='inner'><table:table-row>" P(
                       "no") "</table:table-row></table:table></table:table-cell>"
                             "<table:table-cell table:number-columns-repeated='2' office:value-type='float' "
                             "office:value='2.5'><text:p>3</text:p>"
                             "</table:table-cell><table:table-cell office:value-type='percentage' office:value='0.5'/>"
                             "<table:table-cell office:value-type='boolean' "
                             "office:boolean-value='true'/></table:table-row>"
                             "<table:table-row table:visibility='collapse'><table:table-cell office:value-type='date' "
                             "office:date-value='2026-03-31'/><table:table-cell office:value-type='date' "
                             "office:date-value='2026-03-31T12:30:00'/><table:table-cell office:value-type='time' "
                             "office:time-value='PT12H30M05S'/><table:table-cell office:value-type='currency' "
                             "office:currency='EUR' "
                             "office:value='1.2'/><table:covered-table-cell "
                             "office:value-type='string'><text:p>under</text:p>"
                             "</table:covered-table-cell></table:table-row></table:table>",
        NULL);
    assert_true(read.good);
    assert_int_equal(read.sheet.rows, 3);
    expect_row(&read, 1, ROW("two  words\nand more", "2.5", "2.5", "50%", "TRUE"));
    expect_row(&read, 2, ROW("two  words\nand more", "2.5", "2.5", "50%", "TRUE"));
    expect_row(&read, 3, ROW("2026-03-31", "2026-03-31 12:30:00", "12:30:05", "1.2", ""));
    assert_int_equal(read.sheet.row[1].line, 6);
    expect_said(&read, "list.xlsx#L: notice: 1 hidden row is read as all others\n");
    forget(&read);
}

static void failed_formulas_of_open_documents(void **state)
{
    (void)state;
    Read read =
        read_ods(NULL,
                 "<table:table table:name='L'><table:table-row>" P(
                     "name") "</table:table-row><table:table-row>"
                             "<table:table-cell office:value-type='string' office:string-value='' "
                             "calcext:value-type='error'><text:p>#DIV/0!</text:p></table:table-cell></table:table-row>"
                             "</table:table>",
                 NULL);
    assert_true(read.good);
    expect_row(&read, 1, ROW("#DIV/0!"));
    expect_said(&read, "list.xlsx#L, A2: notice: found 1 cell whose formula failed, such as this one: '#DIV/0!'");
    forget(&read);
}

/* ---- which sheet ---- */

#define SHEET(name, style, cells)                                                                                      \
    "<table:table table:name='" name "' table:style-name='" style "'><table:table-row>" cells                          \
    "</table:table-row><table:table-row>" P("x") "</table:table-row></table:table>"
#define HIDE "<style:style style:name='h'><style:table-properties table:display='false'/></style:style>"

static int counts_prices(const Sheet *sheet, const void *nothing)
{
    (void)nothing;
    return sheet_column(sheet, "name") < 0 ? -1 : 1 + (sheet_column(sheet, "price") >= 0);
}

static void the_sheet_that_is_meant(void **state)
{
    (void)state;
    static const struct {
        const char *tables, *name, *said, *path;
    } book[] = {
        {SHEET("A", "", P("name")), NULL, "", "list.xlsx#A"},
        {SHEET("A", "h", P("name")), NULL, "", "list.xlsx#A"},
        {SHEET("a", "", P("name")) SHEET("A", "", P("name")), "A", "", "list.xlsx#A"},
        {SHEET("A", "h", P("name")) SHEET("B", "", P("other")), NULL, "", "list.xlsx#B"},
        {SHEET("A", "h", P("name") P("price")) SHEET("B", "", P("name")) SHEET("C", "", P("other")), NULL,
         "list.xlsx: notice: the prices are read from its sheet 'B' (of 3), as the headers say; 'list.xlsx#B' names "
         "it\n",
         "list.xlsx#B"},
        {SHEET("A", "h", P("name")), "a", "", "list.xlsx#A"},
        {SHEET("list", "", P("name") P("price") P("chosen") P("reason")) SHEET("B", "", P("name")), NULL, "",
         "list.xlsx#list"},
        {SHEET("A", "", P("name")) SHEET("B", "", P("name") P("price")), NULL,
         "list.xlsx: notice: the prices are read from its sheet 'B' (of 2), as the headers say; 'list.xlsx#B' names "
         "it\n",
         "list.xlsx#B"},
        {SHEET("A", "", P("name") P("price") P("more")) SHEET("B", "", P("name") P("price")), NULL,
         "list.xlsx: notice: the prices are read from its sheet 'B' (of 2), as the headers say; 'list.xlsx#B' names "
         "it\n",
         "list.xlsx#B"},
        {SHEET("A", "", P("name")) SHEET("B", "", P("name")), NULL,
         "s.yaml:3: error: found two sheets in 'list.xlsx' that may hold the prices, 'A' and 'B'; expected one of them "
         "by "
         "its name: 'list.xlsx#A'\n",
         NULL},
        {SHEET("A", "", P("note")) SHEET("B", "", P("other")), NULL,
         "s.yaml:3: error: found no sheet in 'list.xlsx' whose headers say that it holds the prices; it has 'A', 'B'\n",
         NULL},
        {SHEET("Prices", "", P("name")), "Price",
         "s.yaml:3: error: found no sheet 'Price' in 'list.xlsx'; did you mean 'Prices'?\n", NULL},
        {SHEET("A", "", P("name")) SHEET("B", "h", P("name")), "Whatever",
         "s.yaml:3: error: found no sheet 'Whatever' in 'list.xlsx', which has 'A'\n", NULL},
        {"", NULL, "list.xlsx: error: found a workbook without sheets", NULL}};
    const SheetUse use = {.what = "prices", .fits = counts_prices};
    for (size_t k = 0; k < sizeof book / sizeof *book; k++) {
        size_t length;
        char *bytes = packed_ods(HIDE, book[k].tables, &length);
        Read read = read_named(bytes, length, book[k].name, &use);
        expect_said(&read, book[k].said);
        assert_int_equal(read.good, book[k].path != NULL);
        if (book[k].path != NULL)
            assert_string_equal(read.sheet.path, book[k].path);
        if (book[k].said[0] == '\0')
            expect_silence(&read);
        forget(&read);
    }
}

/* Of many sheets the first twenty are named. */
static void many_sheets_are_counted(void **state)
{
    (void)state;
    Text tables = {0};
    for (int k = 0; k < 23; k++)
        text_printf(&tables, "<table:table table:name='S%d'%s></table:table>", k, "");
    Read read = read_ods(NULL, text_cstr(&tables), "Other");
    expect_said(&read, "'S18', 'S19' and 3 more\n");
    forget(&read);
    text_release(&tables);
}

/* Of a line of totals nobody needs what its formulas come to. */
static void totals_without_results(void **state)
{
    (void)state;
    Read read = read_xlsx("<sheetData>" HEADER "<row r='2'>" TEXT("A2", "One") "</row><row r='3'>" TEXT(
                              "A3", "Total") "<c r='B3'><f>SUM(B2:B2)</f></c></row></sheetData>",
                          NULL, NULL, NULL);
    assert_true(read.good);
    expect_row(&read, 2, ROW("Total", ""));
    expect_said(&read, "list.xlsx#List, B3: notice: found a formula without its result in the line 'Total'");
    forget(&read);
}

static void a_sheet_for_any_use(void **state)
{
    (void)state;
    Read read = read_ods(NULL, SHEET("A", "", P("name")) SHEET("B", "", P("name") P("price")), NULL);
    assert_false(read.good);
    expect_said(&read,
                "s.yaml:3: error: found several sheets in 'list.xlsx', expected the name of one: 'list.xlsx#A'; it has "
                "'A', 'B'\n");
    forget(&read);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_title_without_names_below_is_told_once),
        cmocka_unit_test(merged_headings_are_a_remark),
        cmocka_unit_test(numbers_have_fifteen_digits),
        cmocka_unit_test(dates_are_days),
        cmocka_unit_test(codes_say_what_numbers_are),
        cmocka_unit_test(numbers_of_formats),
        cmocka_unit_test(texts_are_trimmed),
        cmocka_unit_test(cells_of_all_types),
        cmocka_unit_test(what_is_wrong_is_told_at_its_cell),
        cmocka_unit_test(merged_and_hidden_cells),
        cmocka_unit_test(groups_of_columns),
        cmocka_unit_test(titles_in_one_cell),
        cmocka_unit_test(hidden_columns_are_told),
        cmocka_unit_test(cells_of_open_documents),
        cmocka_unit_test(the_sheet_that_is_meant),
        cmocka_unit_test(failed_formulas_of_open_documents),
        cmocka_unit_test(a_sheet_for_any_use),
        cmocka_unit_test(many_sheets_are_counted),
        cmocka_unit_test(totals_without_results),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
