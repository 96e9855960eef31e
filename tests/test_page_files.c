/* test_page_files.c - the page as a file: what it takes along gives the same pool elsewhere, the same files give the
 * same bytes, mistakes are told, and the script's modules are joined or refused. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/page_taken.h"

/* ---- the page's files ---- */

static void write_files(const char *folder, const json_t *files)
{
    const char *path;
    json_t *file;
    json_object_foreach ((json_t *)(uintptr_t)files, path, file) {
        assert_true(path[0] != '/' && strstr(path, "..") == NULL);
        if (json_is_string(file))
            folder_write(folder, path, json_string_value(file), json_string_length(file));
        else {
            char command[4600];
            folder_print(folder, "bytes.base64", json_text(file, "base64"));
            folder_print(folder, path, "");
            snprintf(command, sizeof command, "base64 -d '%s/bytes.base64' > '%s/%s'", folder, folder, path);
            assert_int_equal(system(command), 0);
        }
    }
}

/* What is in the page is all that it takes, and gives the same pool. */
static void expect_same_elsewhere(const char *folder, const Page *page)
{
    char *other = folder_new();
    Run run;
    write_files(other, json_object_get(page->data, "files"));
    desk_run(other, &run, 0, WORDS("best", json_text(page->data, "main"), "--json"));
    json_t *best = run_json(&run);
    run_forget(&run);
    const json_t *kept = json_object_get(page->data, "best");
    assert_true(json_equal(json_object_get(kept, "pool"), json_object_get(best, "pool")));
    assert_true(json_equal(json_object_get(kept, "rules"), json_object_get(best, "rules")));
    if (strstr(page->html, folder) != NULL)
        fail_msg("the page tells where it was made: %s", folder);
    json_decref(best);
    desk_done(other);
}

static void files_give_the_same_pool_elsewhere(void **state)
{
    (void)state;
    char *folder = folder_new(), path[4200], subject[4200];
    Page page;
    folder_print(folder, "rules/base.yaml", "size: 2\ncolours: [rye, teal]\nspending_cap: 6\n");
    folder_print(folder, "rules/mine.yaml",
                 "extends: base.yaml\nrules:\n  - {name: rye cards, at_most: 1, where: {colours: rye}}\n");
    folder_print(folder, "pools/this/scenario.yaml",
                 "model: ../../rules/mine.yaml\ncards: [cards.csv, more.txt]\nprices: [../prices.csv]\n"
                 "targets: [targets.csv]\npool: pool.csv\ncases:\n  - {name: more, files: [extra.csv]}\n");
    folder_print(folder, "pools/this/cards.csv", "name,colours,power,price\nOne,rye,3,1\nTwo,teal,2,1\n");
    folder_print(folder, "pools/this/more.txt", "name;colours;power;price\nCaf\xE9;teal;9;5\n"); /* Windows-1252 */
    folder_print(folder, "pools/this/extra.csv", "name,colours,power,price\nThree,teal,9,1\n");
    folder_print(folder, "pools/this/targets.csv", "rule,all\nrye cards,-2\n");
    folder_print(folder, "pools/this/pool.csv", "name\nOne\nTwo\n");
    folder_print(folder, "pools/prices.csv", "name,price\nOne,1.25\nTwo,1.5\n");
    snprintf(subject, sizeof subject, "%s/pools/this", folder); /* named by its whole path */
    snprintf(path, sizeof path, "%s/pool.html", folder);
    Run run;
    desk_run("/", &run, 0, WORDS("page", subject, "-o", path));
    run_forget(&run);
    page_read(folder, "pool.html", &page);
    assert_string_equal(json_text(page.data, "main"), "pools/this/scenario.yaml");
    assert_int_equal(json_object_size(json_object_get(page.data, "files")), 9);
    expect_same_elsewhere(folder, &page);
    page_forget(&page);
    desk_done(folder);
}

/* A preset lies elsewhere on the machine; in the page it is found by its name all the same. */
static void presets_come_along(void **state)
{
    (void)state;
    char *folder = folder_new(), text[400], subject[4200], path[4200];
    Page page;
    folder_print(folder, "my pool/scenario.yaml", "model: four-180\ncards: [cards.csv]\n");
    snprintf(text, sizeof text, "name,colours,power,price,wording\nOne,brass,3,1,\nTwo,tar,2,1,\nThree,tar,5,1,\n");
    folder_print(folder, "my pool/cards.csv", text);
    Run run;
    snprintf(subject, sizeof subject, "%s/my pool", folder);
    snprintf(path, sizeof path, "%s/pool.html", folder);
    run_poolwright(".", WORDS("page", subject, "-o", path), NULL, &run); /* here, where the models are */
    desk_expect_code(&run, 1, "page");                                   /* three cards are too few for the preset */
    run_forget(&run);
    page_read(folder, "pool.html", &page);
    const json_t *files = json_object_get(page.data, "files");
    assert_non_null(json_object_get(files, "models/four-180.yaml"));
    assert_non_null(json_object_get(files, "models/four-base.yaml"));
    assert_non_null(json_object_get(files, "scenario.yaml"));
    assert_int_equal(json_object_size(files), 4);
    assert_null(strstr(page.html, "/models/four-180.yaml")); /* but by its path in the page */
    assert_null(strstr(page.html, folder));
    page_forget(&page);
    desk_done(folder);
}

/* A cards sheet, here a workbook, gets a scenario of its own. */
static void a_sheet_will_do(void **state)
{
    (void)state;
    char *folder = folder_new(), *model, text[8192];
    size_t length;
    char *book = folder_read("tests/data/workbooks", "openpyxl.xlsx", &length);
    model = folder_read("tests/data/workbooks", "model.yaml", NULL);
    assert_non_null(book);
    folder_write(folder, "list.xlsx", book, length);
    snprintf(text, sizeof text, "%sunpriced: skip\n", model);
    folder_print(folder, "model.yaml", text);
    Run run;
    run_poolwright(folder,
                   WORDS("page", "list.xlsx#cards", "--model", "model.yaml", "--cap", "12.50", "-o", "pool.html"), NULL,
                   &run);
    desk_expect_code(&run, 0, "page");
    run_forget(&run);
    Page page;
    page_read(folder, "pool.html", &page);
    assert_string_equal(json_text(page.data, "main"), "scenario.yaml");
    assert_true(json_is_object(json_object_get(json_object_get(page.data, "files"), "list.xlsx")));
    desk_expect(page.text, " of 12.50");
    page_forget(&page);
    free(book);
    free(model);
    desk_done(folder);
}

/* ---- the same again ---- */

static void same_files_same_bytes(void **state)
{
    (void)state;
    char *folder =
        desk_folder("spending_cap: 5\n", "", "name,colours,power,price\nOne,rye,3,1\nTwo,teal,2,1\nThree,rye,2,2\n");
    Run run;
    size_t length, other;
    desk_run(folder, &run, 0, WORDS("page", "scenario.yaml", "--threads", "1", "-o", "pool.html"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("page", ".", "--threads", "2", "-o", "again.html"));
    run_forget(&run);
    char *first = folder_read(folder, "pool.html", &length), *second = folder_read(folder, "again.html", &other);
    assert_int_equal(length, other);
    assert_memory_equal(first, second, length);
    free(first);
    free(second);
    desk_done(folder);
}

/* ---- mistakes ---- */

static void mistakes_are_told(void **state)
{
    (void)state;
    char *folder = desk_folder("", "", "name,colours,power,price\nOne,rye,3,1\nTwo,teal,2,1\n");
    static const struct {
        const char *const words[6];
        const char *told;
    } tries[] = {
        {{"page", ".", NULL}, "expected -o FILE, such as -o pool.html"},
        {{"page", ".", "-o", "cards.csv", NULL}, "'cards.csv' is read by this scenario"},
        {{"page", ".", "-o", "a.html", "--cap=3", NULL}, "--cap goes with a cards sheet only"},
        {{"page", ".", "-o", "a.html", "--size=3", NULL}, "--size does not go with page"},
        {{"page", "-", "-o", "a.html", NULL}, "cannot come from standard input"},
        {{"page", "--drafters", "-o", "a.html", NULL}, "--drafters: expected a scenario or a cards sheet"},
        {{"page", "nowhere", "-o", "a.html", NULL}, "nowhere"},
    };
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++)
        desk_expect_refused(folder, tries[k].words, tries[k].told, "a.html");
    desk_done(folder);
}

/* ---- what makes one script of many modules ---- */

static int join(const char *folder, Run *run)
{
    char script[4096];
    assert_non_null(realpath("src/page/join", script));
    run_program("perl", folder, WORDS(script, "main.js"), run);
    return run->code;
}

static void modules_are_joined(void **state)
{
    (void)state;
    static const struct {
        const char *main, *other, *told; /* told NULL: it is joined */
    } tries[] = {
        {"import { two } from \"./other.js\";\nconst one = two;\n", "export const two = 2;\n", NULL},
        {"import { two } from \"./other.js\";\nconst two = 1;\n", "export const two = 2;\n", "'two' is declared in"},
        {"import { three } from \"./other.js\";\n", "export const two = 2;\n", "does not declare 'three'"},
        {"import two from \"./other.js\";\n", "export const two = 2;\n", "main.js:1:"},
        {"import { two as one } from \"./other.js\";\n", "export const two = 2;\n", "under another name"},
        {"import { two } from \"./other.js\";\n", "export default 2;\n", "expected export before a declaration"},
        {"import { two } from \"./other.js\";\n", "export const two = '<!--';\n", "'<!--'"},
        {"import { two } from \"./another.js\";\n", "", "another.js"},
    };
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        char *folder = folder_new();
        Run run;
        folder_print(folder, "main.js", tries[k].main);
        folder_print(folder, "other.js", tries[k].other);
        const int code = join(folder, &run);
        if (tries[k].told == NULL) {
            assert_int_equal(code, 0);
            const char *first = strstr(run.out, "const two = 2;"), *second = strstr(run.out, "const one = two;");
            assert_true(first != NULL && second != NULL && first < second);
            assert_null(strstr(run.out, "import"));
        } else {
            assert_int_not_equal(code, 0);
            desk_expect(run.err, tries[k].told);
        }
        run_forget(&run);
        desk_done(folder);
    }
}
/* A pipe is told before it is read a second time, which would never end. */
static void pipes_are_told(void **state)
{
    (void)state;
    char *folder = desk_small_folder(""), line[5000];
    Run run;
    snprintf(line, sizeof line,
             "mkfifo pipe; cat cards.csv > pipe & timeout 20 '%s' page pipe --model model.yaml -o pool.html",
             program_path());
    run_program("sh", folder, WORDS("-c", line), &run);
    desk_expect_told(&run, 2, "pipe: error: found something that is read once, such as a pipe, expected a file: ");
    assert_false(folder_has(folder, "pool.html"));
    run_forget(&run);
    desk_done(folder);
}

/* A page without the engine is no answer where one is there and cannot be read. */
static void an_engine_that_cannot_be_read(void **state)
{
    (void)state;
    static const char *const asked[] = {"cards.csv --model model.yaml", ""};
    for (size_t k = 0; k < 2; k++) {
        char *folder = desk_small_folder(""), line[5000];
        Run run;
        snprintf(line, sizeof line,
                 "mkdir -p bin/page/engine.wasm.gz && cp '%s' bin/made && echo >bin/page/engine.js && mkdir models && "
                 "bin/made page %s -o pool.html",
                 program_path(), asked[k]);
        run_program("sh", folder, WORDS("-c", line), &run);
        desk_expect_told(&run, 4, "engine.wasm.gz': it is a folder, expected a file");
        assert_false(folder_has(folder, "pool.html"));
        run_forget(&run);
        desk_done(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(files_give_the_same_pool_elsewhere),
        cmocka_unit_test(presets_come_along),
        cmocka_unit_test(a_sheet_will_do),
        cmocka_unit_test(same_files_same_bytes),
        cmocka_unit_test(mistakes_are_told),
        cmocka_unit_test(pipes_are_told),
        cmocka_unit_test(an_engine_that_cannot_be_read),
        cmocka_unit_test(modules_are_joined),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
