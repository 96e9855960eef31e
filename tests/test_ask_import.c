/* test_ask_import.c - sheets asked about from C (ask_import) are what `import` says of them, and become the same files;
 * a first scenario without sheets (ask_init) is that of `init`; files of an answer are those that `best` writes; the
 * cells of a workbook (ask_sheets) are those of the same sheet as text. All data are of an invented game. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include <jansson.h>

#include "ask/ask.h"
#include "support/desk.h"

static const char list[] = "Karte;Farbe;Typ;Kosten;Preis\nAsh Kiln;fen;rig;2;1,50\nBee Yard;fen/clay;rig;3;0,75\n"
                           "Coal Cart;clay;tool;1;\nDusk Bell;fen;rig;2;2,00\nElm Gate;clay;rig;5;0,10\n";
static const char owned[] = "Karte,Anzahl\nAsh Kiln,1\nElm Gate,2\n";

/* The answer for list.csv and owned.csv of the folder; more: further keys, with a comma in front. */
static json_t *asked(const char *folder, const char *more)
{
    Text line = {0}, out = {0};
    text_printf(&line, "{\"files\": [\"%s/list.csv\", \"%s/owned.csv\"], \"folder\": \"%s/pool\"%s}", folder, folder,
                folder, more);
    ask_import(text_cstr(&line), line.length, &out);
    json_t *root = json_loadb(text_cstr(&out), out.length, 0, NULL);
    assert_non_null(root);
    text_release(&line);
    text_release(&out);
    return root;
}

static char *sheets(void)
{
    char *folder = folder_new();
    folder_print(folder, "list.csv", list);
    folder_print(folder, "owned.csv", owned);
    return folder;
}

static void the_same_questions_and_files(void **state)
{
    (void)state;
    char *folder = sheets();
    Run run;
    json_t *root = asked(folder, ", \"answers\": {\"slash\": \"both\", \"size\": \"3\"}, \"cap\": \"4\"");
    folder_print(folder, "answers.json", "{\"answers\": {\"slash\": \"both\", \"size\": \"3\"}}");
    desk_run(folder, &run, 0,
             (const char *const[]){"import", "list.csv", "owned.csv", "-o", "pool", "--cap", "4", "--answers",
                                   "answers.json", "--json", NULL});
    json_t *told = run_json(&run);
    const json_t *mine = json_object_get(root, "questions"), *theirs = json_object_get(told, "questions");
    assert_int_equal(json_array_size(mine), json_array_size(theirs));
    assert_true(json_array_size(mine) > 5);
    for (size_t k = 0; k < json_array_size(mine); k++)
        assert_true(json_equal(json_object_get(json_array_get(mine, k), "answer"),
                               json_object_get(json_array_get(theirs, k), "answer")));
    desk_expect_file(folder, "pool/model.yaml", json_string_value(json_object_get(root, "model")));
    desk_expect_file(folder, "pool/scenario.yaml", json_string_value(json_object_get(root, "scenario")));
    json_decref(told);
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void expect_error(const char *folder, const char *more, const char *part)
{
    json_t *root = asked(folder, more);
    const char *message =
        json_string_value(json_object_get(json_array_get(json_object_get(root, "error"), 0), "message"));
    assert_non_null(message);
    assert_null(json_object_get(root, "model"));
    desk_expect(message, part);
    json_decref(root);
}

static void what_does_not_do_is_said(void **state)
{
    (void)state;
    char *folder = sheets();
    Text out = {0};
    expect_error(folder, ", \"answers\": {\"size\": \"9\"}", "found 9, expected a whole number up to the 5 candidates");
    expect_error(folder, ", \"answers\": {\"slash\": \"perhaps\"}", "'perhaps', which is none of its choices");
    expect_error(folder, ", \"cap\": \"much\"", "found much, expected an amount of money");
    folder_print(folder, "list.csv", "x,y\n1,2\n");
    folder_print(folder, "owned.csv", "a,b\n1,2\n");
    expect_error(folder, "", "no sheet seems to hold candidates");
    ask_import("{", 1, &out);
    desk_expect(text_cstr(&out), "the question names no sheets");
    text_release(&out);
    folder_remove(folder);
    free(folder);
}

/* The answer's files and those of the command line, byte for byte. */
static void files_are_those_that_best_writes(void **state)
{
    (void)state;
    static const char *const name[] = {"pool.csv", "shopping.csv", "pool.xlsx"};
    const char *question = "{\"ask\": \"best\", \"files\": true, \"effort\": 10000}";
    char *folder = folder_new(), *here = realpath(".", NULL), path[4096];
    Text answer = {0};
    snprintf(path, sizeof path, "%s/scenarios/small/scenario.yaml", here);
    Ask *ask = ask_open(path, NULL, &answer);
    assert_non_null(ask);
    ask_question(ask, question, strlen(question), &answer);
    json_t *root = json_loadb(text_cstr(&answer), answer.length, 0, NULL), *files = json_object_get(root, "files");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", path, "--effort", "10k", "-o", "pool.csv", "--shopping", "shopping.csv"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", path, "--effort", "10k", "-o", "pool.xlsx"));
    run_forget(&run);
    assert_int_equal(json_object_size(files), 3);
    for (size_t k = 0; k < 3; k++) {
        size_t length;
        Text wanted = {0};
        const json_t *file = json_object_get(files, name[k]), *bytes = json_object_get(file, "base64");
        char *written = folder_read(folder, name[k], &length);
        if (bytes != NULL)
            text_add_base64(&wanted, written, length);
        else
            text_add_n(&wanted, written, length);
        assert_string_equal(json_string_value(bytes != NULL ? bytes : file), text_cstr(&wanted));
        text_release(&wanted);
        free(written);
    }
    json_decref(root);
    ask_close(ask);
    text_release(&answer);
    folder_remove(folder);
    free(folder);
    free(here);
}

static json_t *cells(const char *path)
{
    Text out = {0};
    ask_sheets(path, &out);
    json_t *root = json_loadb(text_cstr(&out), out.length, 0, NULL);
    assert_non_null(root);
    text_release(&out);
    return root;
}

static void cells_of_workbooks_are_those_of_the_text(void **state)
{
    (void)state;
    static const char *const name[] = {"notes", "tags", "pool"}, *const ending[] = {"xlsx", "ods"};
    for (size_t k = 0; k < 3; k++) {
        char path[200];
        snprintf(path, sizeof path, "tests/data/workbooks/%s.csv", name[k]);
        json_t *text = cells(path), *sheet = json_array_get(json_object_get(text, "sheets"), 0);
        assert_true(json_array_size(json_object_get(sheet, "rows")) > 2);
        for (size_t e = 0; e < 2; e++) {
            snprintf(path, sizeof path, "tests/data/workbooks/from-csv/%s.%s", name[k], ending[e]);
            json_t *book = cells(path), *same = json_array_get(json_object_get(book, "sheets"), 0);
            assert_int_equal(json_array_size(json_object_get(book, "sheets")), 1);
            assert_true(json_equal(json_object_get(same, "header"), json_object_get(sheet, "header")));
            assert_true(json_equal(json_object_get(same, "rows"), json_object_get(sheet, "rows")));
            json_decref(book);
        }
        json_decref(text);
    }
    json_t *several = cells("tests/data/workbooks/openpyxl.xlsx"), *none = cells("tests/data/workbooks/none.xlsx");
    assert_true(json_array_size(json_object_get(several, "sheets")) > 3);
    assert_non_null(json_object_get(none, "error"));
    json_decref(several);
    json_decref(none);
}

/* A sheet that says what cards are, or what they cost, is no sheet of notes, whatever a column of scores is called. */
static void notes_say_nothing_of_what_cards_are(void **state)
{
    (void)state;
    static const struct {
        const char *header;
        bool notes;
    } is[] = {{"card,verdict", true},          {"Karte,Urteil,Datum", true},   {"card,verdict,price", false},
              {"name,colours,verdict", false}, {"Karte,Urteil,Anzahl", false}, {"card,verdict,players", true},
              {"name,verdict,status", false},  {"Karte,Urteil,Themen", false}, {"card,points", false}};
    char *folder = folder_new(), path[4200], text[200];
    snprintf(path, sizeof path, "%s/sheet.csv", folder);
    for (size_t k = 0; k < sizeof is / sizeof *is; k++) {
        snprintf(text, sizeof text, "%s\nA,1,1\n", is[k].header);
        if (strchr(strchr(is[k].header, ',') + 1, ',') == NULL)
            snprintf(text, sizeof text, "%s\nA,1\n", is[k].header);
        folder_print(folder, "sheet.csv", text);
        json_t *root = cells(path), *sheet = json_array_get(json_object_get(root, "sheets"), 0);
        if ((json_object_get(sheet, "notes") != NULL) != is[k].notes)
            fail_msg("%s: taken for notes, or not", is[k].header);
        json_decref(root);
    }
    folder_remove(folder);
    free(folder);
}

static void a_first_scenario_is_that_of_init(void **state)
{
    (void)state;
    static const char *const name[] = {"cards.csv", "targets.csv", "model.yaml", "scenario.yaml"};
    static const struct {
        const char *line, *told;
    } wrong[] = {
        {"{}", "the size: found nothing, expected a number of cards such as 360"},
        {"{\"size\": \"12\", \"colours\": \"rye\"}", "the size: found 12, expected a whole number from 20 to 5000"},
        {"{\"size\": \"90\", \"colours\": \" \"}", "colours: found nothing, expected names with commas between"},
        {"{\"size\": \"90\", \"colours\": \"rye\", \"themes\": \"a=rue\"}",
         "themes: found the colour 'rue', expected one of rye; did you mean 'rye'?"},
    };
    const char *line = "{\"size\": \"90\", \"colours\": \"rye, teal\", \"themes\": \"eels=rye; bells=rye+teal\"}";
    char *folder = folder_new();
    Text out = {0};
    Run run;
    ask_init(line, strlen(line), &out);
    json_t *root = json_loadb(text_cstr(&out), out.length, 0, NULL), *files = json_object_get(root, "files");
    desk_run(folder, &run, 0,
             WORDS("init", "new", "--size", "90", "--colours", "rye, teal", "--themes", "eels=rye; bells=rye+teal"));
    run_forget(&run);
    assert_int_equal(json_object_size(files), 4);
    for (size_t k = 0; k < 4; k++) {
        char path[100];
        snprintf(path, sizeof path, "new/%s", name[k]);
        desk_expect_file(folder, path, json_string_value(json_object_get(files, name[k])));
    }
    json_decref(root);
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        text_clear(&out);
        ask_init(wrong[k].line, strlen(wrong[k].line), &out);
        desk_expect(text_cstr(&out), wrong[k].told);
        assert_null(strstr(text_cstr(&out), "files"));
    }
    text_release(&out);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_questions_and_files),
        cmocka_unit_test(what_does_not_do_is_said),
        cmocka_unit_test(a_first_scenario_is_that_of_init),
        cmocka_unit_test(files_are_those_that_best_writes),
        cmocka_unit_test(cells_of_workbooks_are_those_of_the_text),
        cmocka_unit_test(notes_say_nothing_of_what_cards_are),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
