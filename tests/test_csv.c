/* test_csv.c - sheets: RFC 4180, section 2; encodings, separators, places, and what is no sheet. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "cards/sheet/sheet.h"
#include "support/run.h"

typedef struct {
    char *folder, *path;
    Arena *arena;
    Diags diags;
    Sheet sheet;
    bool good;
} Reading;

static Reading read_bytes(const char *bytes, size_t length)
{
    Reading reading = {.folder = folder_new(), .arena = arena_new()};
    assert_true(asprintf(&reading.path, "%s/s.csv", reading.folder) > 0);
    folder_write(reading.folder, "s.csv", bytes, length);
    diags_init(&reading.diags);
    reading.good = sheet_read(reading.arena, NULL, reading.path, (SourcePos){0}, &reading.sheet, &reading.diags);
    assert_true(reading.good == (reading.diags.errors == 0));
    return reading;
}

static Reading read_text(const char *text)
{
    return read_bytes(text, strlen(text));
}

static void done(Reading *reading)
{
    diags_release(&reading->diags);
    arena_free(reading->arena);
    folder_remove(reading->folder);
    free(reading->folder);
    free(reading->path);
}

/* The cells as "a|b|c/d|e|f", header first. */
static void assert_cells(const char *text, const char *expected)
{
    Reading reading = read_text(text);
    Text found = {0};
    for (size_t i = 0; reading.good && i <= reading.sheet.rows; i++) {
        const SheetRow *row = i == 0 ? &reading.sheet.header : &reading.sheet.row[i - 1];
        text_add(&found, i == 0 ? "" : "/");
        for (size_t j = 0; j < row->cells; j++)
            text_printf(&found, "%s%s", j == 0 ? "" : "|", row->cell[j].text);
    }
    char *errors = diags_text(&reading.diags);
    if (!reading.good || strcmp(text_cstr(&found), expected) != 0)
        fail_msg("'%s' gave '%s' %s", text, text_cstr(&found), errors);
    mem_free(errors);
    text_release(&found);
    done(&reading);
}

/* The first error, without the folder, begins with this: "2:5: error: found ..."; "error: ..." when it has no place. */
static void assert_refused(const char *bytes, size_t length, const char *expected)
{
    Reading reading = read_bytes(bytes, length);
    assert_false(reading.good);
    diags_sort(&reading.diags);
    char *errors = diags_text(&reading.diags);
    const char *found = strstr(errors, "s.csv:");
    assert_non_null(found);
    found += strlen("s.csv:");
    found += *found == ' ';
    if (strncmp(found, expected, strlen(expected)) != 0)
        fail_msg("'%.60s' gave '%s', expected '%s'", bytes, found, expected);
    mem_free(errors);
    done(&reading);
}

/* The examples of RFC 4180, section 2 (the headers of its third one are all alike; ours must differ). */
static void the_standards_examples(void **state)
{
    (void)state;
    assert_cells("a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "a|b|c/aaa|bbb|ccc/zzz|yyy|xxx");
    assert_cells("a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx", "a|b|c/aaa|bbb|ccc/zzz|yyy|xxx");
    assert_cells("a,b,c\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", "a|b|c/aaa|bbb|ccc/zzz|yyy|xxx");
    assert_cells("a,b,c\r\n\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", "a|b|c/aaa|b\r\nbb|ccc/zzz|yyy|xxx");
    assert_cells("a,b,c\r\n\"aaa\",\"b\"\"bb\",\"ccc\"", "a|b|c/aaa|b\"bb|ccc");
    assert_cells("a,b\r\n\"x,y\",\"\"\"\"", "a|b/x,y|\"");
    assert_cells("a,b\r\n\"\",\"\"\"x\"\"\"", "a|b/|\"x\"");
}

static void line_ends_blanks_and_short_lines(void **state)
{
    (void)state;
    assert_cells("a,b\nx,y\nz,w\n", "a|b/x|y/z|w");
    assert_cells("a,b\rx,y\rz,w", "a|b/x|y/z|w");
    assert_cells("\n\r\n  \na,b\n\n \t \n,\n , \nx,y\n\n\n", "a|b/x|y");
    assert_cells(" a , b \n  x  ,\t y z \n", "a|b/x|y z");
    assert_cells("a,b\n \"x\" , \" y \" \n\"  \",z", "a|b/x| y /|z");
    assert_cells("a,b\n\xC2\xA0x\xC2\xA0,y\n", "a|b/x|y");
    assert_cells("a,b,c\nx\ny,z\n", "a|b|c/x||/y|z|");
    assert_cells("a,b,,\nx,y,,\n", "a|b||/x|y||");
    assert_cells("a", "a");
}

static void separators_are_found_in_the_header(void **state)
{
    (void)state;
    assert_cells("a;b;c\nx,1;y;\"z;z\"\n", "a|b|c/x,1|y|z;z");
    assert_cells("a\tb\nx;1,2\t\"y\"\n\tz\n", "a|b/x;1,2|y/|z");
    assert_cells("\"a;b;c\",d\nx,y\n", "a;b;c|d/x|y"); /* not within quotes */
    assert_cells("\"a\n;;;\",d\nx,y\n", "a\n;;;|d/x|y");
    assert_cells("\"a\nb\";c\nx;y\n", "a\nb|c/x|y");   /* nor does the line end there */
    assert_cells("a,b\nx;y;z;w,1\n", "a|b/x;y;z;w|1"); /* not from other lines */
    assert_cells("sep=;\r\na,b;c\r\n1;2\r\n", "a,b|c/1|2");
    assert_cells("sep=\t\na\tb\n1\t2\n", "a|b/1|2");
    Reading reading = read_text("a;b\n1;2\n");
    assert_int_equal(reading.sheet.separator, ';');
    assert_true(sheet_decimal_comma(&reading.sheet));
    done(&reading);
}

/* What spreadsheet programs write as Unicode text; whoever writes it again knows that it had a mark. */
static void utf16_is_read_as_utf8(void **state)
{
    (void)state;
    static const char text[] = "Name\t\xE2\x82\xAC\r\n\xF0\x9F\xA6\x80 \xC5\x81\xC3\xB3\xC5\xBA\tx\ty\r\n";
    for (int big = 0; big < 2; big++) {
        char *folder = folder_new(), *path;
        assert_true(asprintf(&path, "%s/s.txt", folder) > 0);
        folder_write_utf16(folder, "s.txt", text, big == 1);
        Reading reading = {.folder = folder, .path = path, .arena = arena_new()};
        diags_init(&reading.diags);
        assert_false(sheet_read(reading.arena, NULL, path, (SourcePos){0}, &reading.sheet, &reading.diags));
        assert_int_equal(reading.diags.item[0].at.line, 2); /* three fields */
        assert_int_equal(reading.diags.item[0].at.column, 9);
        diags_release(&reading.diags);
        folder_write_utf16(folder, "s.txt", "Name\t\xE2\x82\xAC\r\n\xF0\x9F\xA6\x80 \xC5\x81\xC3\xB3\xC5\xBA\tx\r\n",
                           big == 1);
        assert_true(sheet_read(reading.arena, NULL, path, (SourcePos){0}, &reading.sheet, &reading.diags));
        assert_int_equal(reading.diags.count, 0);
        assert_true(reading.sheet.marked);
        assert_int_equal(reading.sheet.separator, '\t');
        assert_string_equal(reading.sheet.header.cell[0].text, "Name");
        assert_string_equal(reading.sheet.header.cell[1].text, "\xE2\x82\xAC");
        assert_string_equal(reading.sheet.row[0].cell[0].text, "\xF0\x9F\xA6\x80 \xC5\x81\xC3\xB3\xC5\xBA");
        assert_int_equal(reading.sheet.row[0].cell[1].column, 7);
        done(&reading);
    }
}

static void encodings(void **state)
{
    (void)state;
    assert_cells("\xEF\xBB\xBF"
                 "a,b\nŁódź,€\n",
                 "a|b/Łódź|€");
    Reading reading = read_text("a,b\nCaf\xE9,\x80\n");
    assert_true(reading.good);
    assert_true(reading.sheet.windows_1252);
    assert_string_equal(reading.sheet.row[0].cell[0].text, "Café");
    assert_string_equal(reading.sheet.row[0].cell[1].text, "€");
    assert_int_equal(reading.sheet.row[0].cell[1].column, 6);
    assert_int_equal(reading.diags.count, 1);
    assert_int_equal(reading.diags.item[0].kind, DIAG_NOTICE);
    assert_int_equal(reading.diags.item[0].at.line, 2);
    assert_int_equal(reading.diags.item[0].at.column, 4);
    done(&reading);
}

static void places_count_lines_and_characters(void **state)
{
    (void)state;
    Reading reading = read_text("a,b\r\n\"Łó\r\ndź\",  x\r\n\r\né,\"y\"\n");
    assert_true(reading.good);
    const SheetCell *cell = reading.sheet.row[0].cell;
    assert_int_equal(reading.sheet.row[0].line, 2);
    assert_int_equal(cell[0].line, 2);
    assert_int_equal(cell[0].column, 2);
    assert_int_equal(cell[1].line, 3);
    assert_int_equal(cell[1].column, 7);
    cell = reading.sheet.row[1].cell;
    assert_int_equal(cell[0].line, 5);
    assert_int_equal(cell[1].column, 4);
    assert_int_equal(sheet_column(&reading.sheet, " B"), 1);
    assert_int_equal(sheet_column(&reading.sheet, "c"), -1);
    assert_int_equal(sheet_column(&reading.sheet, ""), -1);
    done(&reading);
}

static void bad_sheets_are_refused(void **state)
{
    (void)state;
    static const struct {
        const char *bytes, *expected;
    } cases[] = {
        {"", "error: the file is empty"},
        {" \r\n\n", "error: the file is empty"},
        {"\xEF\xBB\xBF", "error: the file is empty"},
        {"a,b\nx,\"y\n\nz", "2:3: error: found the end of the file in a quoted field that begins here"},
        {"a,b\nx,\"", "2:3: error: found the end of the file in a quoted field"},
        {"\"a", "1:1: error: found the end of the file in a quoted field"},
        {"a,b\nx,5\" pipe\n", "2:4: error: found a quote in the middle of a field"},
        {"a,b\nx, é\"y\"\n", "2:5: error: found a quote in the middle of a field"},
        {"a,b\n\"x\"y,z\n", "2:4: error: found text after a closing quote"},
        {"a,b\n\"x\" y,z\n", "2:5: error: found text after a closing quote"},
        {"a,b\n\"x \"y\" z\",w\n", "2:5: error: found text after a closing quote"},
        {"a,b\n\"x,1\ny,\"2\nz,3\n", "3:4: error: found text after the closing quote of a field that begins in line 2, "
                                     "column 1, expected ',' or the "
                                     "end of the line; probably its closing quote is missing there"},
        {"title,,\nupdated,,\nx,1,2\ny,3,\nz,,4\n", "1:1: error: found only 'title' in the first line, expected the "
                                                    "names of the columns; if they stand in line 3, "
                                                    "delete what is above, else put them there"},
        {"a,,\nx,,\ny,,\nz,1,\n", "4:3: error: found '1' in a column without a header"},
        {"a,b\n1,2\n<<<<<<< ours\n3,4\n=======\n5,6\n>>>>>>> theirs\n",
         "3:1: error: found the marks of two versions of this file, expected one of them"},
        {"a,b\n1,2,3\n", "2:5: error: found 3 fields, expected at most the header's 2"},
        {"a;b\n1;2;;3\n", "2:5: error: found 4 fields, expected at most the header's 2 (a field that holds ';'"},
        {"a,b,A \n", "1:5: error: found two columns named 'A', the first as column 1"},
        {"Łódź,lodz\n", "1:6: error: found two columns named 'lodz'"},
        {"a,\nx,\ny,z\n", "3:3: error: found 'z' in a column without a header, expected a header in line 1"},
        {"a,b\nCaf\xE9\x81,\n", "2:5: error: found byte 0x81"},
        {"\xEF\xBB\xBF"
         "a\nCaf\xE9\n",
         "2:4: error: found byte 0xE9, expected UTF-8"},
        {"a,b\nx\x1By,\n", "2:2: error: found a control character (byte 0x1B)"},
        {"PK\x03\x04rest", "error: found a packed archive that is damaged or cut short"},
        {"\xFE\xFF", "error: the file is empty, expected a header line"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_refused(cases[i].bytes, strlen(cases[i].bytes), cases[i].expected);
    assert_refused("a,b\nx\0y,z\n", 10, "2:2: error: found a control character (byte 0x00)");
    assert_refused("\xFF\xFE"
                   "a\0\r\0\n\0\xE9\0x",
                   11, "2:2: error: found half a character, expected UTF-16");
    assert_refused("\xFF\xFE"
                   "a\0\n\0b\0\x3D\xD8",
                   10, "2:2: error: found half a character");
    assert_refused("\xFF\xFE"
                   "a\0\n\0b\0\x3D\xD8 \0",
                   12, "2:2: error: found half a character");
    assert_refused("\xFE\xFF"
                   "\0a\0\n\xDC\0",
                   8, "2:1: error: found half a character");
    assert_refused("\xFF\xFE"
                   "a\0\n\0\0\0",
                   8, "2:1: error: found a control character (byte 0x00)");
    assert_refused("a\0\n\0", 4, "1:2: error: found a control character (byte 0x00)"); /* without a mark */
}

static void all_wide_lines_are_reported(void **state)
{
    (void)state;
    Reading reading = read_text("a,b\n1,2,3\n1,2\n1,2,3,4\n");
    assert_int_equal(reading.diags.errors, 2);
    assert_int_equal(reading.diags.item[1].at.line, 4);
    done(&reading);
}

static char *repeated(const char *head, char c, size_t count, const char *tail)
{
    char *text = malloc(strlen(head) + count + strlen(tail) + 1);
    assert_non_null(text);
    strcpy(text, head);
    memset(text + strlen(head), c, count);
    strcpy(text + strlen(head) + count, tail);
    return text;
}

static void huge_lines_are_refused(void **state)
{
    (void)state;
    const size_t many = SHEET_MAX_FIELD + 1000;
    static const struct {
        const char *head;
        char c;
        const char *tail, *expected;
    } cases[] = {
        {"", 'x', "\n", "1:1: error: found a field longer than 1048576 bytes"},
        {"a,b\nx,", 'y', "\n", "2:3: error: found a field longer than"},
        {"a,b\nx,\"", 'y', "\"\n",
         "2:3: error: found a field longer than 1048576 bytes (is its closing quote missing?)"},
        {"a,b\nx,\"", '\n', "\"\n", "2:3: error: found a field longer than"},
        {"a,b\nx", ',', "\n", "2:1002: error: found more than 1000 fields"},
        {"a", ',', "\n", "1:1002: error: found more than 1000 fields"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *text = repeated(cases[i].head, cases[i].c, many, cases[i].tail);
        assert_refused(text, strlen(text), cases[i].expected);
        free(text);
    }
    char *most = repeated("a,b\n", 'x', SHEET_MAX_FIELD - 1, ",y\n"); /* the longest that is let through */
    Reading reading = read_text(most);
    assert_true(reading.good);
    assert_int_equal(strlen(reading.sheet.row[0].cell[0].text), SHEET_MAX_FIELD - 1);
    done(&reading);
    free(most);
    Text wide = {0}; /* 1000 columns and 10001 short lines */
    for (int i = 0; i < SHEET_MAX_COLUMNS; i++)
        text_printf(&wide, "h%d%s", i, i + 1 < SHEET_MAX_COLUMNS ? "," : "\n");
    for (int i = 0; i <= 10000; i++)
        text_add(&wide, "x\n");
    if (!sanitised()) /* whose ten million cells take longer than all else here */
        assert_refused(text_cstr(&wide), wide.length, "10002:1: error: found more than 10000000 cells");
    text_release(&wide);
    char *blank = repeated("a,b\n", '\n', many, "x,y\n");
    reading = read_text(blank);
    assert_true(reading.good);
    assert_int_equal(reading.sheet.row[0].line, many + 2);
    done(&reading);
    free(blank);
}

/* ---- random tables, written by the rules of the standard and read back ---- */

static uint64_t next_random(uint64_t *state)
{
    *state += UINT64_C(0x9e3779b97f4a7c15);
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static size_t below(uint64_t *state, size_t count)
{
    return (size_t)(next_random(state) % count);
}

static void random_cell(uint64_t *dice, char *cell)
{
    static const char *const piece[] = {"a", "quay", "Łódź", "\"", ",", ";", "\t", "\n", "\r\n", "'", "=1", "€", "-"};
    cell[0] = '\0';
    for (size_t n = below(dice, 6); n > 0; n--)
        strcat(cell, piece[below(dice, sizeof piece / sizeof *piece)]);
    if (strspn(cell, " \t\r\n") == strlen(cell))
        cell[0] = '\0'; /* blank in quotes is blank */
    if (cell[0] == '\'' && cell[1] != '\0' && strchr("=+-@", cell[1]) != NULL)
        cell[0] = 'b'; /* the apostrophe that guards a formula is tested apart */
}

/* Quoted where the standard asks for it, or by chance; blanks around are only kept within quotes. */
static void write_cell(Text *text, uint64_t *dice, const char *cell, char separator)
{
    size_t length = strlen(cell), trimmed = length;
    text_trim(cell, &trimmed);
    bool quoted =
        strchr(cell, separator) != NULL || strpbrk(cell, "\"\r\n") != NULL || trimmed != length || below(dice, 4) == 0;
    if (!quoted) {
        text_add(text, cell);
        return;
    }
    text_add_char(text, '"');
    for (; *cell != '\0'; cell++) {
        text_add_char(text, *cell);
        if (*cell == '"')
            text_add_char(text, '"');
    }
    text_add_char(text, '"');
}

/* An apostrophe that keeps a spreadsheet program from running the cell is no part of it. */
static const char *without_guard(const char *cell)
{
    return cell[0] == '\'' && cell[1] != '\0' && strchr("=+-@", cell[1]) != NULL ? cell + 1 : cell;
}

static void random_tables_read_back(void **state)
{
    (void)state;
    enum { COLUMNS = 4, ROWS = 6, TABLES = 400 };
    uint64_t dice = 20261125;
    for (int table = 0; table < TABLES; table++) {
        char separator = ",;\t"[below(&dice, 3)];
        const char *end = below(&dice, 2) == 0 ? "\n" : "\r\n";
        char cell[ROWS][COLUMNS][64];
        Text text = {0};
        for (int i = 0; i < COLUMNS; i++)
            text_printf(&text, "h%d%c", i, i + 1 < COLUMNS ? separator : '\n');
        for (int row = 0; row < ROWS; row++)
            for (int i = 0; i < COLUMNS; i++) {
                random_cell(&dice, cell[row][i]);
                if (i == 0)
                    strcat(cell[row][i], "x"); /* a line of blanks would be left out */
                write_cell(&text, &dice, cell[row][i], separator);
                text_add(&text, i + 1 < COLUMNS                    ? (char[]){separator, '\0'}
                                : row + 1 < ROWS || table % 2 == 0 ? end
                                                                   : "");
            }
        Reading reading = read_bytes(text_cstr(&text), text.length);
        assert_true(reading.good);
        assert_int_equal(reading.sheet.separator, separator);
        assert_int_equal(reading.sheet.rows, ROWS);
        for (int row = 0; row < ROWS; row++)
            for (int i = 0; i < COLUMNS; i++)
                assert_string_equal(reading.sheet.row[row].cell[i].text, without_guard(cell[row][i]));
        done(&reading);
        text_release(&text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_standards_examples),
        cmocka_unit_test(line_ends_blanks_and_short_lines),
        cmocka_unit_test(separators_are_found_in_the_header),
        cmocka_unit_test(utf16_is_read_as_utf8),
        cmocka_unit_test(encodings),
        cmocka_unit_test(places_count_lines_and_characters),
        cmocka_unit_test(bad_sheets_are_refused),
        cmocka_unit_test(all_wide_lines_are_reported),
        cmocka_unit_test(huge_lines_are_refused),
        cmocka_unit_test(random_tables_read_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
