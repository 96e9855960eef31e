/* test_book_out.c - workbooks that poolwright writes: read back they hold what the text holds, the same bytes each
 * time; and one that LibreOffice opened and saved (tests/data/workbooks/make) is audited as the text is. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <cmocka.h>

#include "base/number.h"
#include "base/text.h"
#include "cards/sheet/sheet.h"
#include "cards/workbook/archive.h"
#include "report/sheet/book_check.h"
#include "support/run.h"

#define DATA "tests/data/workbooks"

static void copy(const char *folder, const char *from, const char *to)
{
    size_t length;
    char *bytes = folder_read(DATA, from, &length);
    assert_non_null(bytes);
    folder_write(folder, to, bytes, length);
    free(bytes);
}

static char *folder_of_data(void)
{
    static const char *const name[] = {"model.yaml", "scenario.yaml", "cards.csv", "prices.csv", "owned.csv",
                                       "tags.csv",   "targets.csv",   "pool.csv",  "notes.csv"};
    char *folder = folder_new();
    for (size_t k = 0; k < sizeof name / sizeof *name; k++)
        copy(folder, name[k], name[k]);
    return folder;
}

static void drop(char *folder)
{
    folder_remove(folder);
    free(folder);
}

static void run_in(const char *folder, const char *const *argument, int code)
{
    Run run;
    run_poolwright(folder, argument, NULL, &run);
    if (run.code != code)
        fprintf(stderr, "%s", run.err);
    assert_int_equal(run.code, code);
    run_forget(&run);
}

#define RUN(folder, code, ...) run_in(folder, (const char *const[]){__VA_ARGS__, NULL}, code)

static bool same_value(const char *a, const char *b)
{
    int64_t x, y;
    if (strcmp(a, b) == 0)
        return true;
    return number_parse(a, 3, false, &x) == NUMBER_OK && number_parse(b, 3, false, &y) == NUMBER_OK && x == y;
}

static void same_sheet(const char *folder, const char *text_name, const char *book_name)
{
    Arena *arena = arena_new();
    Diags diags;
    Sheet text, book;
    diags_init(&diags);
    assert_true(
        sheet_read(arena, NULL, arena_printf(arena, "%s/%s", folder, text_name), (SourcePos){0}, &text, &diags));
    assert_true(
        sheet_read(arena, NULL, arena_printf(arena, "%s/%s", folder, book_name), (SourcePos){0}, &book, &diags));
    assert_int_equal(book.rows, text.rows);
    assert_int_equal(book.header.cells, text.header.cells);
    assert_true(text.rows > 0);
    for (size_t r = 0; r < text.rows; r++)
        for (size_t c = 0; c < text.header.cells; c++) {
            assert_string_equal(book.header.cell[c].text, text.header.cell[c].text);
            if (!same_value(book.row[r].cell[c].text, text.row[r].cell[c].text))
                fail_msg("row %zu, %s: '%s', expected '%s'", r, text.header.cell[c].text, book.row[r].cell[c].text,
                         text.row[r].cell[c].text);
        }
    diags_release(&diags);
    arena_free(arena);
}

static void every_sheet_holds_what_the_text_holds(void **state)
{
    (void)state;
    char *folder = folder_of_data();
    RUN(folder, 0, "best", ".", "-o", "out.csv", "--shopping", "buy.csv", "--all");
    RUN(folder, 0, "best", ".", "-o", "out.xlsx", "--shopping", "buy.XLSX", "--all");
    same_sheet(folder, "out.csv", "out.xlsx#list");
    same_sheet(folder, "buy.csv", "buy.XLSX");
    same_sheet(folder, "buy.csv", "out.xlsx#shopping");
    RUN(folder, 0, "best", ".", "-o", "out.tsv", "--shopping", "buy.tsv", "--all");
    same_sheet(folder, "out.csv", "out.tsv");
    same_sheet(folder, "buy.csv", "buy.tsv");
    char *tabs = folder_read(folder, "out.tsv", NULL);
    assert_int_equal(strncmp(tabs, "name\tcolours\tkind\t", 18), 0);
    free(tabs);
    RUN(folder, 0, "find", ".", "-o", "found.csv");
    RUN(folder, 0, "find", ".", "-o", "found.xlsx");
    same_sheet(folder, "found.csv", "found.xlsx");
    RUN(folder, 0, "what-if", ".", "--caps", "20..30/5", "--csv", "caps.csv");
    RUN(folder, 0, "what-if", ".", "--caps", "20..30/5", "--csv", "caps.xlsx");
    same_sheet(folder, "caps.csv", "caps.xlsx");
    RUN(folder, 0, "feedback", ".", "notes.csv", "--apply", "-o", "new.csv");
    RUN(folder, 0, "feedback", ".", "notes.csv", "--apply", "-o", "new.xlsx");
    same_sheet(folder, "new.csv", "new.xlsx");
    RUN(folder, 1, "audit", ".", "-o", "mended.csv");
    RUN(folder, 1, "audit", ".", "-o", "mended.xlsx");
    same_sheet(folder, "mended.csv", "mended.xlsx#list");
    drop(folder);
}

static Sheet page_of(Arena *arena, const char *folder, const char *title)
{
    Diags diags;
    Sheet sheet;
    diags_init(&diags);
    assert_true(
        sheet_read(arena, NULL, arena_printf(arena, "%s/out.xlsx#%s", folder, title), (SourcePos){0}, &sheet, &diags));
    diags_release(&diags);
    return sheet;
}

static const char *cell_of(const Sheet *sheet, size_t row, const char *header)
{
    const int column = sheet_column(sheet, header);
    assert_true(column >= 0);
    return sheet->row[row].cell[column].text;
}

/* Copies in the list whose cell under the header is, or holds, the word. */
static int listed(const Sheet *list, const char *header, const char *word, bool whole)
{
    int copies = 0;
    for (size_t r = 0; r < list->rows; r++) {
        const char *cell = cell_of(list, r, header);
        if (whole ? strcmp(cell, word) == 0 : strstr(cell, word) != NULL)
            copies += atoi(cell_of(list, r, "chosen"));
    }
    return copies;
}

/* They are counted again from the list. */
static void the_pools_other_sheets(void **state)
{
    (void)state;
    Arena *arena = arena_new();
    char *folder = folder_of_data();
    RUN(folder, 0, "best", ".", "-o", "out.xlsx");
    const Sheet list = page_of(arena, folder, "list"), themes = page_of(arena, folder, "themes"),
                curve = page_of(arena, folder, "colours and curve"), limits = page_of(arena, folder, "limits"),
                changes = page_of(arena, folder, "changes");
    assert_int_equal(themes.rows, 4);
    for (size_t r = 0; r < 2; r++) { /* the tags of the other two stand in sheets of their own too */
        const char *theme = cell_of(&themes, r, "theme");
        assert_true(listed(&list, "tags", theme, false) > 0);
        assert_int_equal(atoi(cell_of(&themes, r, "cards")), listed(&list, "tags", theme, false));
    }
    for (size_t r = 0; r < 3; r++)
        assert_int_equal(atoi(cell_of(&curve, r, "cards")),
                         listed(&list, "colours", cell_of(&curve, r, "cards of"), true));
    for (size_t r = 0; r < curve.rows; r++) {
        int steps = 0;
        for (size_t c = 3; c < curve.header.cells; c++)
            steps += atoi(curve.row[r].cell[c].text);
        assert_int_equal(steps, atoi(cell_of(&curve, r, "cards")));
    }
    assert_string_equal(cell_of(&curve, curve.rows - 1, "cards of"), "all");
    assert_string_equal(cell_of(&curve, curve.rows - 1, "cards"), "20");
    for (int cost = 1; cost <= 6; cost++)
        assert_int_equal(atoi(cell_of(&curve, curve.rows - 1, arena_printf(arena, "cost %d", cost))),
                         listed(&list, "cost", arena_printf(arena, "%d", cost), true));
    assert_string_equal(cell_of(&limits, 0, "limit"), "size of the pool");
    assert_string_equal(cell_of(&limits, 0, "asks for"), "exactly 20");
    int in = 0, out = 0;
    for (size_t r = 0; r < changes.rows; r++)
        *(strcmp(cell_of(&changes, r, "change"), "in") == 0 ? &in : &out) += atoi(cell_of(&changes, r, "copies"));
    assert_true(in > 0);
    assert_int_equal(out - in, 1); /* 21 were in it, of which one is no candidate any more */
    arena_free(arena);
    drop(folder);
}

/* ---- what spreadsheet programs see ---- */

static bool take(void *context, const char *piece, size_t length, bool last)
{
    (void)last;
    text_add_n(context, piece, length);
    return true;
}

static char *member(const char *folder, const char *book, const char *name)
{
    Diags diags;
    size_t length;
    Text text = {0};
    diags_init(&diags);
    char *bytes = folder_read(folder, book, &length);
    Archive *archive = archive_open(bytes, length, book, &diags);
    assert_true(archive_unpack(archive, name, take, &text, &diags));
    archive_close(archive);
    free(bytes);
    return text.data;
}

static void expect_in(const char *xml, const char *piece)
{
    if (strstr(xml, piece) == NULL)
        fail_msg("found no '%s' in '%.2000s'", piece, xml);
}

static void headers_stay_and_numbers_are_numbers(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", "size: 2\ncolours: [brass]\ncolumns: {name: card}\n");
    folder_print(folder, "cards.csv",
                 "card;code;price;power;seen;note;more\n1984;007;1,5;2,25;2026-03-31;\"=1+1\";1,5\n"
                 "Two;12;1200;3;2026-04-01;x;y\n");
    RUN(folder, 0, "best", "cards.csv", "--model", "model.yaml", "-o", "out.xlsx");
    char *sheet = member(folder, "out.xlsx", "xl/worksheets/sheet1.xml");
    char *styles = member(folder, "out.xlsx", "xl/styles.xml"),
         *texts = member(folder, "out.xlsx", "xl/sharedStrings.xml");
    expect_in(sheet, "state=\"frozen\"");
    expect_in(sheet, "<autoFilter ref=\"A1:K3\"/>");
    expect_in(sheet, "<cols><col min=\"1\"");
    expect_in(sheet, "<v>1.5</v>");
    expect_in(sheet, "<v>1200</v>");
    expect_in(sheet, "<v>2.25</v>");
    expect_in(sheet, "<v>46112</v>"); /* 2026-03-31 */
    assert_null(strstr(sheet, "<v>1984</v>"));
    expect_in(texts, "<t>12</t>"); /* of a column of codes */
    assert_null(strstr(sheet, "<f>"));
    expect_in(texts, "<t>1984</t>");
    expect_in(texts, "<t>007</t>");
    expect_in(texts, "<t>=1+1</t>");
    expect_in(styles, "#,##0.00");
    expect_in(styles, "yyyy-mm-dd");
    mem_free(sheet);
    mem_free(styles);
    mem_free(texts);
    drop(folder);
}

static void the_same_bytes_each_time(void **state)
{
    (void)state;
    char *folder = folder_of_data();
    size_t first, second;
    RUN(folder, 0, "best", ".", "-o", "one.xlsx");
    setenv("TZ", "Pacific/Kiritimati", 1);
    sleep(2); /* archives count in twos */
    RUN(folder, 0, "best", ".", "-o", "two.xlsx", "--threads", "2");
    unsetenv("TZ");
    char *one = folder_read(folder, "one.xlsx", &first), *two = folder_read(folder, "two.xlsx", &second);
    assert_int_equal(first, second);
    assert_memory_equal(one, two, first);
    free(one);
    free(two);
    drop(folder);
}

/* ---- round trips ---- */

static char *audit_of(const char *folder, const char *pool)
{
    Run run;
    Text text = {0};
    run_poolwright(folder, (const char *const[]){"audit", ".", pool, "--rules", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    const char *colon = strstr(run.out, ": ");
    assert_non_null(colon); /* the first words name the file */
    text_add(&text, colon);
    run_forget(&run);
    return text.data;
}

static void saved_by_another_program(void **state)
{
    (void)state;
    static const char *const name[] = {"saved.xlsx", "saved.ods", "saved.xlsx#list", "written.xlsx"};
    char *folder = folder_of_data();
    copy(folder, "resaved/pool.csv", "was.csv");
    copy(folder, "resaved/saved.xlsx", "saved.xlsx");
    copy(folder, "resaved/saved.ods", "saved.ods");
    RUN(folder, 0, "best", ".", "-o", "written.xlsx");
    char *was = audit_of(folder, "was.csv");
    assert_true(strlen(was) > 200);
    for (size_t k = 0; k < sizeof name / sizeof *name; k++) {
        char *is = audit_of(folder, name[k]);
        assert_string_equal(is, was);
        mem_free(is);
    }
    mem_free(was);
    drop(folder);
}

/* The present pool is a sheet of the workbook that is written. */
static void a_pool_that_replaces_itself(void **state)
{
    (void)state;
    char *folder = folder_of_data();
    RUN(folder, 0, "best", ".", "-o", "mine.xlsx");
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\nprices: [\"all.xlsx#prices\"]\ntags: [tags.csv]\n"
                 "pool: \"mine.xlsx#list\"\n");
    copy(folder, "openpyxl.xlsx", "all.xlsx");
    RUN(folder, 0, "best", ".", "-o", "mine.xlsx");
    RUN(folder, 2, "best", ".", "-o", "all.xlsx");
    RUN(folder, 2, "find", ".", "-o", "mine.xlsx");
    drop(folder);
}

static void endings_are_known_before_the_search(void **state)
{
    (void)state;
    static const char *const wrong[] = {"out.xls", "out.ods", "out.pdf", "out.xlsx.bak"}, *const right[] = {
                                                                                              "out", "out.txt",
                                                                                              "out.CSV", ".hidden"};
    char *folder = folder_of_data();
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Run run;
        Text expected = {0};
        text_printf(&expected, "error: -o: found '%s', expected a name that ends in .csv or .xlsx\n", wrong[k]);
        run_poolwright(folder, (const char *const[]){"best", ".", "--verbose", "-o", wrong[k], NULL}, NULL, &run);
        assert_int_equal(run.code, 2);
        assert_string_equal(run.out, "");
        assert_non_null(strstr(run.err, text_cstr(&expected)));
        assert_false(folder_has(folder, wrong[k]));
        run_forget(&run);
        text_release(&expected);
        RUN(folder, 2, "best", ".", "--shopping", wrong[k]);
        RUN(folder, 2, "what-if", ".", "--caps", "20..30/5", "--csv", wrong[k]);
        RUN(folder, 2, "what-if", ".", "--caps", "20..30/5", "--plot", wrong[k]);
        RUN(folder, 2, "page", ".", "-o", wrong[k]);
        RUN(folder, 2, "slips", ".", "-o", wrong[k]);
        assert_false(folder_has(folder, wrong[k]));
        RUN(folder, 0, "best", ".", "-o", right[k]);
        assert_true(folder_has(folder, right[k]));
    }
    drop(folder);
}

/* What .xlsx cannot hold is said, and nothing is written. */
static void a_cell_that_is_too_long(void **state)
{
    (void)state;
    char *folder = folder_new();
    Text cards = {0};
    Run run;
    text_add(&cards, "name,text\nOne,");
    for (int k = 0; k < 32768; k++)
        text_add_char(&cards, 'x');
    text_add(&cards, "\n");
    folder_print(folder, "model.yaml", "size: 1\ncolours: [brass]\n");
    folder_print(folder, "cards.csv", text_cstr(&cards));
    run_poolwright(folder,
                   (const char *const[]){"best", "cards.csv", "--model", "model.yaml", "-o", "out.xlsx", "--shopping",
                                         "buy.csv", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 4);
    assert_non_null(strstr(run.err, "holds more than 32767 characters, which no workbook can"));
    assert_false(folder_has(folder, "out.xlsx"));
    assert_false(folder_has(folder, "buy.csv"));
    run_forget(&run);
    text_release(&cards);
    drop(folder);
}

/* "_x0041_" is how a workbook says A: in a text of the user's it stays what it is. What no XML can say is told. */
static void texts_that_workbooks_say_otherwise(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "model.yaml", "size: 1\ncolours: [brass]\n");
    folder_print(folder, "cards.csv", "name,text,_x0042_\nOne,_x0041_ and _x000D_,_x00e9_\n'_x_x0041_,_x,_x41_\n");
    RUN(folder, 0, "find", "cards.csv", "--model", "model.yaml", "-o", "out.csv");
    RUN(folder, 0, "find", "cards.csv", "--model", "model.yaml", "-o", "out.xlsx");
    same_sheet(folder, "out.csv", "out.xlsx");
    folder_print(folder, "cards.csv", "name,text\nOne,half a \xEF\xBF\xBF character\n");
    run_poolwright(folder, (const char *const[]){"find", "cards.csv", "--model", "model.yaml", "-o", "new.xlsx", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 4);
    assert_non_null(strstr(run.err, "holds U+FFFE or U+FFFF, which no workbook can"));
    assert_false(folder_has(folder, "new.xlsx"));
    run_forget(&run);
    drop(folder);
}

/* Holes leave parts that are well-formed: every cell is looked at. */
static void another_sheet_is_not_held(void **state)
{
    (void)state;
    static const char made[] = "name,price,note\nOne,1.50,\nTwo,2.00,x\n";
    static const struct {
        const char *text;
        bool held;
    } sheets[] = {{made, true},
                  {"name,price,note\nOne,1.5,\nTwo,2,x\n", true},
                  {"name,price,notes\nOne,1.50,\nTwo,2.00,x\n", false},
                  {"name,price,note\nOne,1.50,\nTwo,2.01,x\n", false},
                  {"name,price,note\nOne,1.50,y\nTwo,2.00,x\n", false},
                  {"name,price,note\nOne,1.50,\nTwo,2.00,\n", false},
                  {"name,price,note\nOne,1.50,\n", false},
                  {"name,price,note\nOne,1.50,\nTwo,2.00,x\nSix,,\n", false}};
    char *folder = folder_new();
    Arena *arena = arena_new();
    Diags diags;
    Text bytes = {0};
    BookPage page = {.title = "list", .separator = ','};
    diags_init(&diags);
    text_add(&page.text, made);
    assert_true(book_out(&page, 1, "made.xlsx", &bytes, &diags));
    for (size_t k = 0; k < sizeof sheets / sizeof *sheets; k++) {
        Sheet sheet;
        folder_print(folder, "sheet.csv", sheets[k].text);
        assert_true(
            sheet_read(arena, NULL, arena_printf(arena, "%s/sheet.csv", folder), (SourcePos){0}, &sheet, &diags));
        if (book_holds(&bytes, &page, &sheet, 1) != sheets[k].held)
            fail_msg("%s", sheets[k].text);
    }
    text_release(&bytes);
    text_release(&page.text);
    diags_release(&diags);
    arena_free(arena);
    drop(folder);
}

/* What the library keeps in files for a moment may grow to so many blocks: as where the disk is full. */
static void no_room_for_parts_is_told(void **state)
{
    (void)state;
    char *folder = folder_new(), *whole = NULL;
    size_t length = 0;
    int told = 0, written = 0;
    Text cards = {0};
    text_add(&cards, "name,text\n");
    for (int k = 0; k < 400; k++)
        text_printf(&cards, "Card %d,a text of its own: %d\n", k, k * 7919);
    folder_print(folder, "model.yaml", "size: 1\ncolours: [brass]\n");
    folder_print(folder, "cards.csv", text_cstr(&cards));
    text_release(&cards);
    for (int blocks = 120; blocks >= 8; blocks -= 4) {
        char line[4300];
        Run run;
        size_t bytes;
        snprintf(line, sizeof line,
                 "rm -f out.xlsx; ulimit -f %d; exec '%s' find cards.csv --model model.yaml -o out.xlsx", blocks,
                 program_path());
        run_program("sh", folder, (const char *const[]){"-c", line, NULL}, &run);
        char *book = folder_has(folder, "out.xlsx") ? folder_read(folder, "out.xlsx", &bytes) : NULL;
        if (whole == NULL) {
            assert_non_null(whole = book);
            book = NULL;
            length = bytes;
        } else if (run.code == 0) {
            assert_non_null(book);
            assert_true(bytes == length && memcmp(book, whole, length) == 0);
            written++;
        } else {
            assert_int_equal(run.code, 4);
            assert_null(book);
            assert_non_null(strstr(run.err, "error: cannot write 'out.xlsx': "));
            told++;
        }
        free(book);
        run_forget(&run);
    }
    assert_true(told >= 10 && written >= 2);
    free(whole);
    drop(folder);
}

/* Candidates that are a workbook's, with decimal commas: a program that writes 3,50 reads lists of text that part cells
 * by ';' and begin with a mark. */
static void lists_of_text_for_programs_with_commas(void **state)
{
    (void)state;
    static const struct {
        const char *read, *begins;
    } row[] = {{"", "name,"}, {"read: {decimal: point}\n", "name,"}, {"read: {decimal: comma}\n", "\xEF\xBB\xBFname;"}};
    for (size_t k = 0; k < sizeof row / sizeof *row; k++) {
        char *folder = folder_of_data();
        Text model = {0};
        size_t length;
        char *written = folder_read(folder, "model.yaml", NULL);
        text_printf(&model, "%s%s", written, row[k].read);
        RUN(folder, 0, "best", "scenario.yaml", "-o", "list.xlsx");
        folder_print(folder, "model.yaml", text_cstr(&model));
        folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [list.xlsx#list]\n");
        RUN(folder, 0, "best", "scenario.yaml", "-o", "list.csv");
        char *list = folder_read(folder, "list.csv", &length);
        assert_true(length > strlen(row[k].begins) && strncmp(list, row[k].begins, strlen(row[k].begins)) == 0);
        RUN(folder, 0, "audit", "scenario.yaml", "list.csv");
        free(list);
        free(written);
        text_release(&model);
        drop(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_sheet_holds_what_the_text_holds),
        cmocka_unit_test(the_pools_other_sheets),
        cmocka_unit_test(headers_stay_and_numbers_are_numbers),
        cmocka_unit_test(the_same_bytes_each_time),
        cmocka_unit_test(saved_by_another_program),
        cmocka_unit_test(a_pool_that_replaces_itself),
        cmocka_unit_test(endings_are_known_before_the_search),
        cmocka_unit_test(a_cell_that_is_too_long),
        cmocka_unit_test(texts_that_workbooks_say_otherwise),
        cmocka_unit_test(another_sheet_is_not_held),
        cmocka_unit_test(no_room_for_parts_is_told),
        cmocka_unit_test(lists_of_text_for_programs_with_commas),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
