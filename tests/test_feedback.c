/* test_feedback.c - notes on cards from outside: sums by hand, the changed pool, the written sheet, bad input. The
 * cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

static const char *const model = "colours: [brass, tar]\nsize: 2\n";
static const char *const cards =
    "name,colours,power,mine,price\nZed,brass,5,a,1\nAnt,tar,4.5,b,1\nBee,tar,4,\"c,d\",1\nCow,tar,1,e,1\n";
/* Ant 4.5 - 0.5 = 4; Bee 4 + 0.5 + 0.25 = 4.75; Cow 1 - 9, kept at the sheet's least 1. Best two: Zed and Ant (9.5),
 * then Zed and Bee (9.75). */
static const char *const notes = "card,date,verdict,note\nAnt,2026-01-01,Worse,\nbee,2026-01-02,better,nice\nBee,2026-"
                                 "02-02,+0.25,\nCow,,-9,\nZed,,,hm\n";

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
    static const char *const arguments[] = {"feedback",   "cards.csv", "notes.csv", "--model",
                                            "model.yaml", "--json",    NULL};
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
    assert_int_equal(json_units(json_object_get(root, "before"), "fit_by_new_powers", 1000), 9000); /* Zed 5, Ant 4 */
    assert_int_equal(json_units(json_object_get(root, "after"), "fit_by_present_powers", 1000),
                     9000); /* Zed 5, Bee 4 */
    assert_int_equal(json_array_size(json_object_get(root, "written")), 0);
    json_decref(root);
    run_forget(&run);
    end(folder);
}

/* Each verdict's points, and their sum. */
static void verdicts_have_their_points(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback",   "cards.csv", "notes.csv", "--model",
                                            "model.yaml", "--json",    NULL};
    static const char *const name[] = {"Ant", "Bee", "Cow", "Zed"};
    static const int64_t sum[] = {-250, 500, 0, -500};
    char *folder = start("card,verdict\nAnt,unused\nBee,better\nCow,fine\nZed,worse\n");
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    assert_int_equal(run.code, 0);
    json_t *root = run_json(&run), *card;
    size_t k;
    assert_int_equal(json_array_size(json_object_get(root, "cards")), 4);
    json_array_foreach (json_object_get(root, "cards"), k, card)
        for (size_t i = 0; i < 4; i++)
            if (strcmp(json_text(card, "name"), name[i]) == 0)
                assert_int_equal(json_units(card, "sum", 1000), sum[i]);
    json_decref(root);
    run_forget(&run);
    end(folder);
}

static void the_sheet_keeps_its_columns_and_order(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml",
                                            "--apply",  "-o",        "next.csv",  NULL};
    char *folder = start(notes);
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    assert_int_equal(run.code, 0);
    char *next = folder_read(folder, "next.csv", NULL), *old = folder_read(folder, "cards.csv", NULL);
    assert_non_null(next);
    assert_string_equal(next, "name,colours,power,mine,price\r\nZed,brass,5,a,1\r\nAnt,tar,4,b,1\r\nBee,tar,4.75,\"c,"
                              "d\",1\r\nCow,tar,1,e,1\r\n");
    assert_string_equal(old, cards);
    free(next);
    free(old);
    run_forget(&run);
    end(folder);
}

static void ask(const char *folder, int code, const char *const *arguments, Run *run)
{
    run_poolwright(folder, arguments, NULL, run);
    if (run->code != code)
        fail_msg("exit code %d, expected %d\n%s", run->code, code, run->err);
}

/* Bee's 4.5 is as good as Ant's: the pool that is there stays. */
static void what_is_as_good_stays(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback",   "cards.csv", "notes.csv", "--model",
                                            "model.yaml", "--json",    NULL};
    char *folder = start("card,verdict\nBee,better\n");
    Run run;
    ask(folder, 0, arguments, &run);
    json_t *root = run_json(&run);
    assert_int_equal(json_array_size(json_object_get(root, "enters")), 0);
    assert_int_equal(json_units(json_object_get(root, "before"), "fit_by_new_powers", 1000), 9500);
    assert_int_equal(json_units(json_object_get(root, "after"), "fit", 1000), 9500);
    json_decref(root);
    run_forget(&run);
    end(folder);
}

/* Nobody need know where other words are explained: the line to write is told. */
static void a_word_of_ones_own_is_asked_for(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml", NULL};
    static const char *const says[][2] = {
        {"besser", "; did you mean 'better'? (what a word of your own means can stand in the model: read: {words: "
                   "{\"besser\": better}})\n"},
        {"peor",
         "or -0.5 (what a word of your own means can stand in the model: read: {words: {\"peor\": better}})\n"}};
    for (size_t k = 0; k < sizeof says / sizeof *says; k++) {
        char sheet[100];
        snprintf(sheet, sizeof sheet, "card,verdict\nBee,%s\n", says[k][0]);
        char *folder = start(sheet);
        Run run;
        ask(folder, 2, arguments, &run);
        if (strstr(run.err, says[k][1]) == NULL)
            fail_msg("expected\n%sfound\n%s", says[k][1], run.err);
        run_forget(&run);
        end(folder);
    }
}

/* Semicolons, decimal commas, headers of the user's own: read and written as they are. */
static void the_sheet_keeps_its_ways(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml",
                                            "--apply",  "-o",        "next.csv",  NULL};
    static const struct {
        const char *cards, *notes, *expected;
    } way[] = {
        {"My list, May;;\n\n\"to test\";;\ncard;colours;score\nZed;brass;5\nAnt;tar;4\nBee;tar;3\n",
         "card,verdict\nBee,0.25\n",
         "My list, May;;\r\n\r\n\"to test\";;\r\ncard;colours;score\r\nZed;brass;5\r\nAnt;tar;4\r\nBee;tar;3.25\r\n"},
        {"card;colours;score;mine\nZed;brass;5;a\nAnt;tar;4,5;b\nBee;tar;4;c\n",
         "card;verdict\nbee;+0,25\nZed;better\n",
         "card;colours;score;mine\r\nZed;brass;5;a\r\nAnt;tar;4,5;b\r\nBee;tar;4,25;c\r\n"}, /* Zed has the greatest
                                                                                                power: it stays within
                                                                                                the sheet's */
        {"card;colours;score;mine\nZed;brass;5;1,5\nAnt;tar;4;2\nBee;tar;3;2\n", "card,verdict\nBee,0.25\n",
         "card;colours;score;mine\r\nZed;brass;5;1,5\r\nAnt;tar;4;2\r\nBee;tar;3,25;2\r\n"}, /* whole powers, but commas
                                                                                                elsewhere */
        {"card;colours;score\nZed;brass;5.5\nAnt;tar;4\nBee;tar;3\n", "card,verdict\nBee,0.25\n",
         "card;colours;score\r\nZed;brass;5.5\r\nAnt;tar;4\r\nBee;tar;3.25\r\n"},
        {"card;colours;score;note\n\nZed;brass;5;\"two\nlines\"\n\n;;\nAnt;tar;4;\nBee;tar;3;\"a\n\nb\"\n",
         "card,verdict\nBee,0.25\n", /* blank lines between cards, and lines within a cell */
         "card;colours;score;note\r\n\r\nZed;brass;5;\"two\nlines\"\r\n\r\n\r\nAnt;tar;4;\r\nBee;tar;3.25;"
         "\"a\n\nb\"\r\n"},
        {"card,colours\nZed,brass\nAnt,tar\nBee,tar\nBee,tar\n",
         "card,verdict\nBee,better\n", /* no powers at all; a line twice stays twice */
         "card,colours,power\r\nZed,brass,\r\nAnt,tar,\r\nBee,tar,2.5\r\nBee,tar,2.5\r\n"},
    };
    for (size_t k = 0; k < sizeof way / sizeof *way; k++) {
        char *folder = start(way[k].notes);
        Run run;
        folder_print(folder, "cards.csv", way[k].cards);
        folder_print(folder, "model.yaml",
                     k < 5 ? "colours: [brass, tar]\nsize: 2\ncolumns: {name: card, power: score}\n"
                           : "colours: [brass, tar]\nsize: 2\ncolumns: {name: card}\nfit: {unscored: 2}\n");
        ask(folder, 0, arguments, &run);
        char *next = folder_read(folder, "next.csv", NULL);
        assert_non_null(next);
        assert_string_equal(next, way[k].expected);
        run_forget(&run);
        free(next);
        end(folder);
    }
}

/* Two sheets: the one that changes is written under its own name, with its own columns; the other is not. */
static void each_sheet_on_its_own(void **state)
{
    (void)state;
    char *folder = start("card,verdict\nYak,worse\n");
    Run run;
    folder_print(folder, "lists.txt", "");
    folder_print(folder, "more.csv", "power;name;pile\n7;Yak;north\n1;Xer;south\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv, more.csv]\n");
    static const char *const arguments[] = {"feedback", "scenario.yaml", "notes.csv", "--apply",
                                            "-o",       "next",          "--json",    NULL};
    ask(folder, 0, arguments, &run);
    json_t *root = run_json(&run);
    const json_t *written = json_object_get(root, "written");
    assert_int_equal(json_array_size(written), 1);
    assert_string_equal(json_string_value(json_array_get(written, 0)), "next/more.csv");
    char *more = folder_read(folder, "next/more.csv", NULL), *same = folder_read(folder, "more.csv", NULL);
    assert_string_equal(more, "power;name;pile\r\n6.5;Yak;north\r\n1;Xer;south\r\n");
    assert_string_equal(same, "power;name;pile\n7;Yak;north\n1;Xer;south\n");
    assert_false(folder_has(folder, "next/cards.csv"));
    free(more);
    free(same);
    json_decref(root);
    run_forget(&run);
    static const struct {
        const char *output, *piece;
    } wrong[] = {{"-", "-o: found '-', expected a folder: the cards are in 2 sheets"},
                 {"lists.txt", "-o: found 'lists.txt', expected a folder"},
                 {".", "expected another folder"}};
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        const char *const asked[] = {"feedback", "scenario.yaml", "notes.csv", "--apply", "-o", wrong[k].output, NULL};
        ask(folder, 2, asked, &run);
        if (strstr(run.err, wrong[k].piece) == NULL)
            fail_msg("expected %s\nfound %s", wrong[k].piece, run.err);
        run_forget(&run);
    }
    end(folder);
}

/* The dearest rise may happen: Zed with 1.00 and 4.00 breaks the cap of 2.50 with any other, whatever its power. By
 * hand: Ant 4 and Bee 3, then Ant 4 and Cow 2. */
static void both_pools_are_protected(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback", "scenario.yaml", "notes.csv", "--json", "--gap", "0", NULL};
    char *folder = start("card,verdict\nBee,-2\nZed,better\n");
    Run run;
    folder_print(folder, "cards.csv", "name,colours,power\nZed,brass,5\nAnt,tar,4\nBee,tar,3\nCow,tar,2\nDuo,tar,1\n");
    folder_print(folder, "prices.csv", "name,price,high\nZed,1,4\nAnt,1,1\nBee,1,1.20\nCow,1,1.30\nDuo,1,1\n");
    folder_print(folder, "model.yaml",
                 "colours: [brass, tar]\nsize: 2\nspending_cap: 2.50\nprice_risk: {protect: 1}\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\n");
    ask(folder, 0, arguments, &run);
    json_t *root = run_json(&run);
    assert_int_equal(json_units(json_object_get(root, "before"), "fit", 1000), 7000);
    assert_int_equal(json_units(json_object_get(root, "after"), "fit", 1000), 6000);
    assert_string_equal(json_text(json_array_get(json_object_get(root, "enters"), 0), "name"), "Cow");
    assert_string_equal(json_text(json_array_get(json_object_get(root, "leaves"), 0), "name"), "Bee");
    json_decref(root);
    run_forget(&run);
    end(folder);
}

/* A title and a total, headers by words or as the model calls them, decimals as the model says: as in all sheets. */
static void notes_are_read_as_other_sheets(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback",   "cards.csv", "notes.csv", "--model",
                                            "model.yaml", "--json",    NULL};
    static const char *const mapped =
        "colours: [brass, tar]\nsize: 2\ncolumns: {card: Was, verdict: Wie, date: Wann, note: Weil}\n"
        "read: {decimal: comma, blanks: [\"?\"], skip_lines: [Summe], words: {besser: better}}\n";
    static const char *const sheet[] = {"Spielabend;;\nKarte;Urteil;Bemerkung\nBee;better;nice\nAnt;-0,5;\n",
                                        "Was,Wie,Weil,Wann\nBee,Besser,nice,2026-03-01\nAnt,\"-0,5\",?,\nSumme,2,,\n",
                                        "name,verdict,note\nBee,better,nice\nAnt,\"-0,5\",\n"};
    for (size_t k = 0; k < 3; k++) {
        char *folder = start(sheet[k]);
        if (k == 1)
            folder_print(folder, "model.yaml", mapped);
        json_t *root = run_answer(folder, 0, arguments);
        const json_t *list = json_object_get(root, "cards");
        assert_int_equal(json_array_size(list), 2);
        assert_int_equal(json_units(json_array_get(list, 0), "sum", 1000), -500);
        const json_t *ant = json_array_get(json_object_get(json_array_get(list, 0), "notes"), 0),
                     *bee = json_array_get(json_object_get(json_array_get(list, 1), "notes"), 0);
        assert_string_equal(json_text(ant, "note"), "");
        assert_string_equal(json_text(bee, "note"), "nice");
        assert_string_equal(json_text(bee, "date"), k == 1 ? "2026-03-01" : "");
        json_decref(root);
        end(folder);
    }
}

static void bad_input_writes_nothing(void **state)
{
    (void)state;
    static const char *const arguments[] = {"feedback", "cards.csv", "notes.csv", "--model", "model.yaml",
                                            "--apply",  "-o",        "next.csv",  NULL};
    static const struct {
        const char *sheet, *expected;
    } bad[] = {
        {"card,date,verdict\nBeee,,better\n",
         "notes.csv:2:1: error: no candidate is called 'Beee'; did you mean 'Bee'?"},
        {"card,date,verdict\nBee,,beter\n", "notes.csv:2:6: error: column 'verdict': found 'beter'"},
        {"card,date,verdict\nBee,soon,better\n", "notes.csv:2:5: error: column 'date': found 'soon', expected a date"},
        {"card,date,verdict\nBee,,2000\n", "notes.csv:2:6: error: column 'verdict': found '2000'"},
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
    static const char *const only_o[] = {"feedback",   "cards.csv", "notes.csv", "--model",
                                         "model.yaml", "-o",        "next.csv",  NULL};
    static const char *const only_apply[] = {"feedback",   "cards.csv", "notes.csv", "--model",
                                             "model.yaml", "--apply",   NULL};
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

/* No notes, no headings over nothing. */
static void no_notes_propose_nothing(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", "size: 1\ncolours: [rye]\n");
    folder_print(folder, "cards.csv", "name,colours,power\nAsh,rye,1\nBee,rye,2\n");
    folder_print(folder, "notes.csv", "card,verdict,note\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"feedback", "cards.csv", "notes.csv", "--model", "model.yaml", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 0);
    assert_string_equal(run.out, "notes.csv: notes on 0 cards, 0 with a new power.\n");
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_notes_propose_nothing),        cmocka_unit_test(sums_and_the_pool),
        cmocka_unit_test(verdicts_have_their_points),      cmocka_unit_test(the_sheet_keeps_its_columns_and_order),
        cmocka_unit_test(notes_are_read_as_other_sheets),  cmocka_unit_test(what_is_as_good_stays),
        cmocka_unit_test(the_sheet_keeps_its_ways),        cmocka_unit_test(each_sheet_on_its_own),
        cmocka_unit_test(a_word_of_ones_own_is_asked_for), cmocka_unit_test(both_pools_are_protected),
        cmocka_unit_test(bad_input_writes_nothing),        cmocka_unit_test(writing_is_asked_for_twice)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
