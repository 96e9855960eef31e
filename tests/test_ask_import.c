/* test_ask_import.c - sheets asked about from C (ask_import) are what `import` says of them, and become the same files.
 * All data are of an invented game. */
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

static void expect_file(const char *folder, const char *name, const json_t *text)
{
    char *written = folder_read(folder, name, NULL);
    assert_string_equal(json_string_value(text), written);
    free(written);
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
    expect_file(folder, "pool/model.yaml", json_object_get(root, "model"));
    expect_file(folder, "pool/scenario.yaml", json_object_get(root, "scenario"));
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_questions_and_files),
        cmocka_unit_test(what_does_not_do_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
