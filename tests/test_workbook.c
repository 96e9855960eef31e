/* test_workbook.c - workbooks as three other programs write them (tests/data/workbooks/make) are read as the sheets
 * that they were made of: the same answers, byte for byte. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <cmocka.h>

#include "base/files/file_draft.h"
#include "base/text.h"
#include "cards/sheet/sheet.h"
#include "support/packed.h"
#include "support/run.h"

#define DATA "tests/data/workbooks"

static const char *const sheets[] = {"cards", "prices", "owned", "tags", "targets", "pool", "notes"};
enum { SHEETS = sizeof sheets / sizeof *sheets };

/* How a test addresses the sheet of this name; freed by the caller. */
typedef char *Address(const char *book, const char *sheet);

static char *of_text(const char *book, const char *sheet)
{
    (void)book;
    Text path = {0};
    text_printf(&path, "%s.csv", sheet);
    return path.data;
}

/* "from-csv" and an ending: a workbook for each sheet. */
static char *of_its_own(const char *book, const char *sheet)
{
    Text path = {0};
    text_printf(&path, "%s%s", sheet, book);
    return path.data;
}

static char *by_name(const char *book, const char *sheet)
{
    Text path = {0};
    text_printf(&path, "%s#%s", book, sheet);
    return path.data;
}

static char *by_headers(const char *book, const char *sheet)
{
    (void)sheet;
    return mem_strdup(book);
}

static void copy(const char *folder, const char *from, const char *to)
{
    size_t length;
    char *bytes = folder_read(DATA, from, &length);
    assert_non_null(bytes);
    folder_write(folder, to, bytes, length);
    free(bytes);
}

/* A folder with a scenario whose sheets are addressed so. */
static char *folder_with(const char *book, Address *address)
{
    char *folder = folder_new();
    Text scenario = {0}, from = {0};
    copy(folder, "model.yaml", "model.yaml");
    text_add(&scenario, "model: model.yaml\n");
    for (int k = 0; k < SHEETS; k++) {
        char *path = address(book, sheets[k]), *sign = strchr(path, '#');
        if (k < SHEETS - 1)
            text_printf(&scenario, k < SHEETS - 2 ? "%s: [\"%s\"]\n" : "%s: \"%s\"\n", sheets[k], path);
        if (sign != NULL)
            *sign = '\0';
        from.length = 0;
        text_printf(&from, "%s%s", address == of_its_own ? "from-csv/" : "", path);
        copy(folder, from.data, path);
        mem_free(path);
    }
    folder_print(folder, "scenario.yaml", text_cstr(&scenario));
    text_release(&scenario);
    text_release(&from);
    return folder;
}

static void replace(Text *text, const char *old, const char *new)
{
    Text result = {0};
    const char *rest = text_cstr(text);
    for (const char *at; (at = strstr(rest, old)) != NULL; rest = at + strlen(old)) {
        text_add_n(&result, rest, (size_t)(at - rest));
        text_add(&result, new);
    }
    text_add(&result, rest);
    text_release(text);
    *text = result;
}

/* What the program says, sheets called by the names of those in text. */
static char *said(const char *folder, const char *book, Address *address, const char *const *arguments, int code)
{
    Run run;
    Text out = {0};
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code != code)
        fprintf(stderr, "%s\n", run.err);
    assert_int_equal(run.code, code);
    text_add(&out, run.out);
    for (int k = 0; k < SHEETS; k++) {
        Text long_name = {0};
        char *plain = of_text(book, sheets[k]), *path = address(book, sheets[k]);
        text_printf(&long_name, "%s%s%s", path, strchr(path, '#') != NULL ? "" : "#",
                    strchr(path, '#') != NULL ? "" : sheets[k]);
        replace(&out, text_cstr(&long_name), plain);
        if (address == of_its_own)
            replace(&out, path, plain);
        text_release(&long_name);
        mem_free(plain);
        mem_free(path);
    }
    run_forget(&run);
    return out.data;
}

static void asked_alike(const char *text_folder, const char *book, Address *address)
{
    char *folder = folder_with(book, address);
    char *notes = address(book, "notes"), *pool = address(book, "pool");
    const struct {
        const char *argument[6];
        const char *plain[6];
    } question[] = {
        {{"check", ".", "--rules", NULL}, {"check", ".", "--rules", NULL}},
        {{"best", ".", NULL}, {"best", ".", NULL}},
        {{"best", ".", "-o", "-", NULL}, {"best", ".", "-o", "-", NULL}},
        {{"audit", ".", pool, NULL}, {"audit", ".", "pool.csv", NULL}},
        {{"feedback", ".", notes, NULL}, {"feedback", ".", "notes.csv", NULL}},
    };
    for (size_t k = 0; k < sizeof question / sizeof *question; k++) {
        const int code = strcmp(question[k].argument[0], "audit") == 0 ? 1 : 0;
        char *from_text = said(text_folder, "", of_text, question[k].plain, code);
        char *from_book = said(folder, book, address, question[k].argument, code);
        assert_true(strlen(from_text) > 200);
        assert_string_equal(from_book, from_text);
        mem_free(from_text);
        mem_free(from_book);
    }
    mem_free(notes);
    mem_free(pool);
    folder_remove(folder);
    free(folder);
}

static void same_answers(void **state)
{
    (void)state;
    static const char *const book[] = {"openpyxl.xlsx", "libxlsxwriter.xlsx", "libreoffice.xlsx", "libreoffice.ods"};
    char *text_folder = folder_with("", of_text);
    asked_alike(text_folder, ".xlsx", of_its_own);
    asked_alike(text_folder, ".ods", of_its_own);
    for (size_t k = 0; k < sizeof book / sizeof *book; k++) {
        asked_alike(text_folder, book[k], by_name);
        asked_alike(text_folder, book[k], by_headers);
    }
    folder_remove(text_folder);
    free(text_folder);
}

/* Cell by cell, with the places of the cells. */
static void compare_sheets(const char *book, const char *sheet)
{
    Arena *arena = arena_new();
    Diags diags;
    Sheet text, cells;
    Text path = {0}, plain = {0};
    diags_init(&diags);
    text_printf(&path, "%s/%s", DATA, book);
    text_printf(&plain, "%s/%s.csv", DATA, sheet);
    assert_true(sheet_read(arena, NULL, plain.data, (SourcePos){0}, &text, &diags));
    assert_true(sheet_read(arena, NULL, path.data, (SourcePos){0}, &cells, &diags));
    assert_int_equal(cells.rows, text.rows);
    assert_int_equal(cells.header.cells, text.header.cells);
    for (size_t i = 0; i < text.header.cells; i++)
        assert_string_equal(cells.header.cell[i].text, text.header.cell[i].text);
    for (size_t r = 0; r < text.rows; r++)
        for (size_t i = 0; i < text.header.cells; i++) {
            assert_string_equal(cells.row[r].cell[i].text, text.row[r].cell[i].text);
            assert_int_equal(cells.row[r].cell[i].line, (int)r + 2);
            assert_int_equal(cells.row[r].cell[i].column, (int)i + 1);
        }
    diags_release(&diags);
    text_release(&path);
    text_release(&plain);
    arena_free(arena);
}

static void same_cells(void **state)
{
    (void)state;
    static const char *const books[] = {"openpyxl.xlsx", "libxlsxwriter.xlsx", "libreoffice.xlsx", "libreoffice.ods"};
    for (int k = 0; k < SHEETS; k++) {
        Text path = {0};
        text_printf(&path, "from-csv/%s.xlsx", sheets[k]);
        compare_sheets(path.data, sheets[k]);
        path.length = 0;
        text_printf(&path, "from-csv/%s.ods", sheets[k]);
        compare_sheets(path.data, sheets[k]);
        for (size_t b = 0; b < sizeof books / sizeof *books; b++) {
            path.length = 0;
            text_printf(&path, "%s#%s", books[b], sheets[k]);
            compare_sheets(path.data, sheets[k]);
        }
        text_release(&path);
    }
}

/* Ticks are booleans in a workbook. */
static void ticks(void **state)
{
    (void)state;
    size_t length;
    Run run;
    char *folder = folder_new();
    char *book = packed_xlsx(
        "<sheetData><row><c t='str'><v>name</v></c><c t='str'><v>price</v></c><c t='str'><v>owned</v></c>"
        "<c t='str'><v>flood</v></c></row><row><c t='str'><v>One</v></c><c><v>2</v></c><c t='b'><v>1</v></c>"
        "<c t='b'><v>1</v></c></row><row><c t='str'><v>Two</v></c><c><v>3</v></c><c t='b'><v>0</v></c>"
        "<c t='b'><v>0</v></c></row></sheetData>",
        NULL, NULL, NULL, &length);
    folder_write(folder, "list.xlsx", book, length);
    folder_print(folder, "list.csv", "name,price,owned,flood\nOne,2,TRUE,true\nTwo,3,FALSE,no\n");
    folder_print(folder, "model.yaml", "size: 2\ncolours: [brass]\nthemes: [{name: flood, weight: 7}]\n");
    for (int k = 0; k < 2; k++) {
        const char *cards = k == 0 ? "list.xlsx" : "list.csv";
        run_poolwright(folder, (const char *const[]){"best", cards, "--model", "model.yaml", "--json", NULL}, NULL,
                       &run);
        json_t *best = run_json(&run);
        assert_int_equal(json_units(best, "cost", 100), 300);
        assert_int_equal(json_units(best, "fit", 1000), 7000);
        json_decref(best);
        run_forget(&run);
    }
    free(book);
    folder_remove(folder);
    free(folder);
}

/* "FILE#SHEET", in whichever of them the sign stands too; and standard input. */
static void paths_of_sheets(void **state)
{
    (void)state;
    Arena *arena = arena_new();
    const char *sheet;
    Run run;
    char *folder = folder_with("", of_text), *here = getcwd(NULL, 0);
    copy(folder, "openpyxl.xlsx", "a#b.xlsx");
    copy(folder, "openpyxl.xlsx", "c.xlsx#d");
    assert_int_equal(chdir(folder), 0);
    assert_string_equal(sheet_file(arena, "a#b.xlsx#cards", &sheet), "a#b.xlsx");
    assert_string_equal(sheet, "cards");
    assert_string_equal(sheet_file(arena, "a#b.xlsx", &sheet), "a#b.xlsx");
    assert_null(sheet);
    assert_string_equal(sheet_file(arena, "c.xlsx#d", &sheet), "c.xlsx#d");
    assert_null(sheet);
    assert_string_equal(sheet_file(arena, "c.xlsx#d#e#f", &sheet), "c.xlsx#d");
    assert_string_equal(sheet, "e#f");
    assert_string_equal(sheet_file(arena, "not#there.ods#e", &sheet), "not#there.ods");
    assert_string_equal(sheet_file(arena, "not#there.csv", &sheet), "not#there.csv");
    assert_int_equal(chdir(here), 0);
    free(here);
    run_poolwright(folder, (const char *const[]){"check", "-", "--model", "model.yaml", NULL}, "a#b.xlsx", &run);
    assert_non_null(strstr(run.err, "standard input: notice: the cards are read from its sheet 'cards' (of 9)"));
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"check", "none.xlsx#cards", "--model", "model.yaml", NULL}, NULL,
                   &run);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.err, "error: found neither a file nor a folder 'none.xlsx'"));
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"check", "cards.csv#cards", "--model", "model.yaml", NULL}, NULL,
                   &run);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.err, "error: found 'cards.csv#cards', but 'cards.csv' is no workbook"));
    run_forget(&run);
    folder_remove(folder);
    free(folder);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(same_cells), cmocka_unit_test(same_answers),
                                       cmocka_unit_test(ticks), cmocka_unit_test(paths_of_sheets)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
