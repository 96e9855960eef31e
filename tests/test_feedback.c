/* test_feedback.c - notes on cards from outside: sums by hand, the changed pool, the written sheet, bad input. The cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

static const char *const model = "colours: [brass, tar]\nsize: 2\n";
static const char *const cards = "name,colours,power,mine,price\nZed,brass,5,a,1\nAnt,tar,4.5,b,1\nBee,tar,4,\"c,d\",1\nCow,tar,1,e,1\n";
/* Ant 4.5 - 0.5 = 4; Bee 4 + 0.5 + 0.25 = 4.75; Cow 1 - 9, kept at the sheet's least 1. Best two: Zed and Ant (9.5), then Zed and Bee (9.75). */
static const char *const notes = "card,date,verdict,note\nAnt,2026-01-01,Worse,\nbee,2026-01-02,better,nice\nBee,2026-02-02,+0.25,\nCow,,-9,\nZed,,,hm\n";

static char *start(const char *sheet)
{
    char *folder = folder_new();
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "notes.csv", sheet);
    return folder;
}

static void end(char *folder)
{
    folder_remove(folder);
    free(folder);
}

static void sums_and_the_pool(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml", "--json", NULL};
    static const int64_t after[] = {4000, 4750, 1000, 5000}, sum[] = {-500, 750, -9000, 0};
    char *folder = start(notes);
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    assert_int_equal(run.code, 0);
    json_t *root = run_json(&run);
    const json_t *list = json_object_get(root, "cards");
    assert_int_equal(json_array_size(list), 4);
    for (size_t k = 0; k < 4; k++) {
        assert_int_equal(json_units(json_array_get(list, k), "new_power", 1000), after[k]);
        assert_int_equal(json_units(json_array_get(list, k), "sum", 1000), sum[k]);
    }
    const json_t *bee = json_object_get(json_array_get(list, 1), "notes");
    assert_string_equal(json_text(json_array_get(bee, 0), "date"), "2026-02-02"); /* the newest first */
    assert_string_equal(json_text(json_array_get(bee, 1), "note"), "nice");
    assert_int_equal(json_units(json_object_get(root, "before"), "fit", 1000), 9500);
    assert_int_equal(json_units(json_object_get(root, "after"), "fit", 1000), 9750);
    assert_string_equal(json_text(json_array_get(json_object_get(root, "enters"), 0), "name"), "Bee");
    assert_string_equal(json_text(json_array_get(json_object_get(root, "leaves"), 0), "name"), "Ant");
    assert_true(json_is_null(json_object_get(root, "written")));
    json_decref(root);
    run_forget(&run);
    end(folder);
}

static void the_sheet_keeps_its_columns_and_order(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml", "--apply", "-o", "next.csv", NULL};
    char *folder = start(notes);
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    assert_int_equal(run.code, 0);
    char *next = folder_read(folder, "next.csv", NULL), *old = folder_read(folder, "cards.csv", NULL);
    assert_non_null(next);
    assert_string_equal(next, "name,colours,power,mine,price\r\nZed,brass,5,a,1\r\nAnt,tar,4,b,1\r\nBee,tar,4.75,\"c,d\",1\r\nCow,tar,1,e,1\r\n");
    assert_string_equal(old, cards);
    free(next);
    free(old);
    run_forget(&run);
    end(folder);
}

static void bad_input_writes_nothing(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml", "--apply", "-o", "next.csv", NULL};
    static const struct {
        const char *sheet, *expected;
    } bad[] = {{"card,date,verdict\nBeee,,better\n", "notes.csv:2:1: error: no candidate is called 'Beee'; did you mean 'Bee'?"},
               {"card,date,verdict\nBee,,beter\n", "notes.csv:2:6: error: found 'beter'"},
               {"card,date,verdict\nBee,soon,better\n", "notes.csv:2:5: error: found 'soon', expected a date"},
               {"card,date,verdict\nBee,,2000\n", "notes.csv:2:6: error: found '2000'"},
               {"card,date\nBee,\n", "notes.csv:1:1: error: found no column 'verdict'"}};
    for (size_t k = 0; k < sizeof bad / sizeof bad[0]; k++) {
        char *folder = start(bad[k].sheet);
        Run run;
        run_poolwright(folder, arguments, NULL, &run);
        assert_int_equal(run.code, 2);
        if (strstr(run.err, bad[k].expected) == NULL)
            fail_msg("expected %s\nfound %s", bad[k].expected, run.err);
        assert_false(folder_has(folder, "next.csv"));
        run_forget(&run);
        end(folder);
    }
}

static void writing_is_asked_for_twice(void **state)
{
    (void)state;
    static const char *const only_o[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml", "-o", "next.csv", NULL};
    static const char *const only_apply[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml", "--apply", NULL};
    char *folder = start(notes);
    for (int k = 0; k < 2; k++) {
        Run run;
        run_poolwright(folder, k == 0 ? only_o : only_apply, NULL, &run);
        assert_int_equal(run.code, 2);
        run_forget(&run);
    }
    assert_false(folder_has(folder, "next.csv"));
    end(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(sums_and_the_pool), cmocka_unit_test(the_sheet_keeps_its_columns_and_order),
                                       cmocka_unit_test(bad_input_writes_nothing), cmocka_unit_test(writing_is_asked_for_twice)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
