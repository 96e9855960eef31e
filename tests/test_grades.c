/* test_grades.c - scores in words: what they are worth, what is said of a word that is none, and that they stay where
 * they stood in every sheet that is written. Random scenarios have some too (support/tiny_cards.c). */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

static const char sheet[] = "name,power,price,tags,bells\n"
                            "Anchor,must,1.00,eels payoff good,\n"
                            "Buoy,good,1.00,eels GOOD enabler; lamps,must payoff\n"
                            "Cask,filler,1.00,fine good,good\n"
                            "Davit,Must,1.00,eels,payoff\n"
                            "Eel,7,1.00,,x\n"
                            "Fog,6.5,1.00,,\n";

static const char model[] =
    "size: 3\ncolours: [brass]\nthemes: [{name: eels}, {name: bells}]\n"
    "grades: {must: 9, good: 7, filler: 4, for: {all: {must: 3, good: 2}, bells: {good: 2.5}}}\n";

static char *folder_of(const char *cards, const char *rules, const char *scenario)
{
    char *folder = folder_new();
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "model.yaml", rules);
    folder_print(folder, "scenario.yaml", scenario);
    return folder;
}

#define PLAIN "model: model.yaml\ncards: [cards.csv]\n"

static const json_t *card_of(const json_t *root, const char *name)
{
    const json_t *card;
    size_t index;
    json_array_foreach (json_object_get(root, "cards"), index, card) {
        if (strcmp(json_text(card, "name"), name) == 0)
            return card;
    }
    fail_msg("no card %s", name);
    return NULL;
}

static void expect(const json_t *root, const char *name, int power, int fit)
{
    const json_t *card = card_of(root, name);
    assert_int_equal(json_units(card, "power", 1000), power);
    assert_int_equal(json_units(card, "fit", 1000), fit);
}

static void what_they_are_worth(void **state)
{
    (void)state;
    char *folder = folder_of(sheet, model, PLAIN);
    json_t *root = run_answer(folder, 0, WORDS("find", ".", "--json"));
    expect(root, "Anchor", 9000, 11000);
    expect(root, "Buoy", 7000, 12000);
    expect(root, "Cask", 4000, 6500); /* `fine good` is a tag of its own */
    expect(root, "Davit", 9000, 11000);
    expect(root, "Eel", 7000, 8000);
    expect(root, "Fog", 6500, 6500);
    json_decref(root);
    desk_done(folder);
}

/* A theme's word is one only behind the theme, or its role. */
static void a_tag_may_begin_as_a_theme(void **state)
{
    (void)state;
    char *folder = folder_of("name,power,tags\nGull,5,eels day good\nHeron,5,eels payoff good\n", model, PLAIN);
    json_t *root = run_answer(folder, 0, WORDS("find", ".", "--json"));
    assert_string_equal(json_text(json_array_get(json_object_get(card_of(root, "Gull"), "tags"), 0), "tag"),
                        "eels day good");
    expect(root, "Gull", 5000, 5000);
    expect(root, "Heron", 5000, 7000);
    json_decref(root);
    desk_done(folder);
}

/* Later layers change single words; a sheet of tags and a pattern may use them too. */
static void layers_sheets_and_patterns(void **state)
{
    (void)state;
    char *folder = folder_of(sheet, model,
                             PLAIN "tags: [tags.csv]\nchange:\n  grades: {must: 10, for: {bells: {must: 4}}}\n"
                                   "patterns:\n  - {tag: eels, weight: must, where: {name: Fog}}\n");
    folder_print(folder, "tags.csv", "name,tag,weight\nEel,eels,good\nCask,eels,0.5\n");
    json_t *root = run_answer(folder, 0, WORDS("find", ".", "--json"));
    expect(root, "Anchor", 10000, 12000);
    expect(root, "Buoy", 7000, 13000);
    expect(root, "Cask", 4000, 7000);
    expect(root, "Eel", 7000, 10000);
    expect(root, "Fog", 6500, 9500);
    json_decref(root);
    desk_done(folder);
}

static void words_that_are_none(void **state)
{
    (void)state;
    static const struct {
        const char *line, *scenario, *expected[3];
    } wrong[] = {
        {"Gull,fillr,1.00,eels,\n", PLAIN, {"cards.csv:8:6: error: ", "'fillr'", "did you mean 'filler'?"}},
        {"Gull,splendid,1.00,eels,\n", PLAIN, {"cards.csv:8:6: error: ", "'splendid'", "must, good, filler"}},
        {"Gull,1e3,1.00,eels,\n", PLAIN, {"cards.csv:8:6: error: ", "'1e3'", "a number, or one of must"}},
        {"Gull,9,1.00,eels gool,\n", PLAIN, {"cards.csv:8:13: error: ", "'eels gool'", "did you mean 'good'?"}},
        {"Gull,9,1.00,eels gool payoff,\n", PLAIN, {"cards.csv:8:13: error: ", "'eels gool payoff'", "must, good"}},
        {"Gull,9,1.00,,mst payoff\n", PLAIN, {"cards.csv:8:14: error: ", "'mst payoff'", "did you mean 'must'?"}},
        {"Gull,9,1.00,,payof\n", PLAIN, {"cards.csv:8:14: error: ", "'payof'", "did you mean 'payoff'?"}},
        {"", PLAIN "tags: [tags.csv]\n", {"tags.csv:2:10: error: ", "'gooood'", "must, good"}},
        {"", PLAIN "tags: [tags.csv]\n", {"tags.csv:3:11: error: ", "'good'", "a number"}},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char cards[1024];
        Run run;
        strcpy(cards, sheet);
        strcat(cards, wrong[k].line);
        char *folder = folder_of(cards, model, wrong[k].scenario);
        folder_print(folder, "tags.csv", "name,tag,weight\nFog,eels,gooood\nFog,lamps,good\n");
        run_poolwright(folder, WORDS("check", "."), NULL, &run);
        assert_int_equal(run.code, 2);
        for (size_t p = 0; p < 3; p++)
            if (strstr(run.err, wrong[k].expected[p]) == NULL)
                fail_msg("%zu: no \"%s\" in: %s", k, wrong[k].expected[p], run.err);
        run_forget(&run);
        desk_done(folder);
    }
}

/* Does the sheet that was written have the same words at the line of this card? */
static void expect_line(const char *folder, const char *name, const char *begins)
{
    char *text = folder_read(folder, name, NULL);
    if (text == NULL || strstr(text, begins) == NULL)
        fail_msg("%s: no line '%s' in: %s", name, begins, text == NULL ? "nothing" : text);
    free(text);
}

static void they_stay_where_they_stood(void **state)
{
    (void)state;
    char *folder = folder_of(sheet, model, PLAIN);
    json_decref(run_answer(folder, 0, WORDS("best", ".", "-o", "pool.csv", "--all", "--json")));
    expect_line(folder, "pool.csv", "\nAnchor,must,1.00,eels payoff good,,");
    expect_line(folder, "pool.csv", "\nDavit,Must,1.00,eels,payoff,");
    expect_line(folder, "pool.csv", "\nCask,filler,1.00,fine good,good,0,");
    json_decref(run_answer(folder, 0, WORDS("find", ".", "-o", "found.csv", "--json")));
    expect_line(folder, "found.csv", "\nBuoy,good,1.00,eels GOOD enabler; lamps,must payoff");
    folder_print(folder, "again.yaml", "model: model.yaml\ncards: [pool.csv]\n");
    json_t *root = run_answer(folder, 0, WORDS("find", "again.yaml", "--json"));
    expect(root, "Buoy", 7000, 12000);
    expect(root, "Cask", 4000, 6500);
    json_decref(root);
    desk_done(folder);
}

/* Of a card with a new power a word stays a word where another is worth as much. */
static void feedback_writes_words(void **state)
{
    (void)state;
    char *folder = folder_of(sheet, model, PLAIN);
    folder_print(folder, "notes.csv",
                 "card,verdict\nAnchor,-2\nBuoy,better\nCask,better\nCask,better\nCask,better\nEel,2\n");
    json_decref(run_answer(folder, 0, WORDS("feedback", ".", "notes.csv", "--apply", "-o", "new.csv", "--json")));
    json_t *root = run_answer(folder, 0, WORDS("feedback", ".", "notes.csv", "--json"));
    json_decref(root);
    expect_line(folder, "new.csv", "\nAnchor,good,1.00,");
    expect_line(folder, "new.csv", "\nDavit,Must,1.00,");
    expect_line(folder, "new.csv", "\nEel,9,1.00,");
    expect_line(folder, "new.csv", "\nFog,6.5,1.00,");
    desk_done(folder);
}

/* A list with words for scores, imported: what they are worth is asked, and the sheet is read as it is. */
static void import_asks_what_words_are_worth(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv",
                 "name,Score,price\nAnchor,good,1.00\nBuoy,Must,1.00\nCask,good,1.00\nDavit,must,1.00\n");
    folder_print(folder, "a.json", "{\"answers\": {\"grade must\": \"9\", \"grade good\": \"6.5\", \"size\": \"3\"}}");
    run_poolwright(folder, WORDS("import", "list.csv", "--answers", "a.json", "-o", "mine"), NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    expect_line(folder, "mine/model.yaml", "\ngrades: {\"good\": 6.5, \"Must\": 9}\n");
    json_t *root = run_answer(folder, 0, WORDS("find", "mine", "--json"));
    expect(root, "Cask", 6500, 6500);
    expect(root, "Davit", 9000, 9000);
    json_decref(root);
    folder_print(folder, "a.json", "{\"answers\": {\"grade good\": \"much\"}}");
    run_poolwright(folder, WORDS("import", "list.csv", "--answers", "a.json"), NULL, &run);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.err, "the answer to \"grade good\" is 'much', expected a number such as 7 or 6.5"));
    run_forget(&run);
    desk_done(folder);
}

/* "7/10", "70%" and stars, where all of a sheet are out of as much. */
static void scores_out_of_something(void **state)
{
    (void)state;
    static const struct {
        const char *cell[3];
        int power;
    } way[] = {{{"7/10", "8.5 / 10", "2/10"}, 8500},
               {{"70%", "85 %", "20%"}, 85000},
               {{"\u2605\u2605\u2606", "\u2605\u2605\u00BD", "\u2605\u2606\u2606"}, 2500},
               {{"***", "****", "*"}, 4000}};
    for (size_t k = 0; k < sizeof way / sizeof *way; k++) {
        char *folder = folder_new(), text[200];
        const char *const *cell = way[k].cell;
        Run run;
        snprintf(text, sizeof text,
                 "name\tScore\tprice\nAnchor\t%s\t1.00\nBuoy\t%s\t1.00\nCask\t%s\t1.00\nDavit\t%s\t1\nEel\t%s\t1\n",
                 cell[0], cell[1], cell[2], cell[0], cell[0]);
        folder_print(folder, "list.tsv", text);
        run_poolwright(folder, WORDS("import", "list.tsv", "--size", "2", "-o", "mine"), NULL, &run);
        desk_expect_code(&run, 0, text);
        run_forget(&run);
        json_t *root = run_answer(folder, 0, WORDS("find", "mine", "--json"));
        expect(root, "Buoy", way[k].power, way[k].power);
        json_decref(root);
        desk_done(folder);
    }
    char *folder = folder_new();
    folder_print(folder, "model.yaml", "size: 2\ncolours: [ebb]\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [list.csv]\n");
    folder_print(folder, "list.csv", "name,power\nAnchor,7/10\nBuoy,\nCask,9/10\n");
    folder_print(folder, "notes.csv", "card,verdict\nAnchor,better\n");
    json_decref(run_answer(folder, 0, WORDS("feedback", ".", "notes.csv", "--apply", "-o", "new.csv", "--json")));
    expect_line(folder, "new.csv", "\nAnchor,7.5/10");
    folder_print(folder, "list.csv", "name,power\nAnchor,7/10\nBuoy,4/5\n");
    desk_expect_refused(folder, WORDS("best", "."),
                        "list.csv:3:6: error: column 'power': found '4/5', expected a number "
                        "that is out of as much as '7/10' in line 2",
                        "none");
    folder_print(folder, "list.csv", "name,power\nAnchor,7\nBuoy,70%\n");
    desk_expect_refused(folder, WORDS("best", "."), "found '70%', expected a number that is out of as much as '7'",
                        "none");
    desk_done(folder);
}

/* Scores of several people: the average of those that are there, exact, then rounded to thousandths. */
static void scores_of_several_people(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "list.csv",
                 "name,colour,Ana,Ben,Cleo\nAnchor,ebb,1,2,2\nBuoy,ebb,-1,-2,-2\nCask,ebb,4,,5\n"
                 "Davit,ebb,,,\nEel,ebb,3,3,3\n");
    folder_print(folder, "a.json",
                 "{\"answers\": {\"column list.csv Ana\": \"power\", \"column list.csv Ben\": "
                 "\"power\", \"column list.csv Cleo\": \"power\", \"size\": \"2\"}}");
    folder_print(folder, "notes.csv", "card,verdict\nEel,better\n");
    run_poolwright(folder, WORDS("import", "list.csv", "--size", "2"), NULL, &run);
    desk_expect_told(&run, 0, "numbers stand in 'Ana', 'Ben', 'Cleo': if one of these is a score");
    run_forget(&run);
    folder_print(folder, "tenths.csv", "name,colour,Ana,Ben\nAnchor,ebb,1/10,20%\nBuoy,ebb,7/10,70%\n");
    run_poolwright(folder, WORDS("import", "tenths.csv", "--size", "1"), NULL, &run);
    desk_expect_told(&run, 0, "numbers stand in 'Ana', 'Ben': if one of these is a score");
    run_forget(&run);
    run_poolwright(folder, WORDS("import", "list.csv", "--answers", "a.json", "-o", "mine"), NULL, &run);
    desk_expect_told(&run, 0, "a card's power is the average of several columns: 2 are rounded to thousandths");
    run_forget(&run);
    expect_line(folder, "mine/model.yaml", "\n  power: [\"Ana\", \"Ben\", \"Cleo\"]\n");
    json_t *root = run_answer(folder, 0, WORDS("find", "mine", "--json"));
    expect(root, "Anchor", 1667, 1667);
    expect(root, "Buoy", -1667, -1667);
    expect(root, "Cask", 4500, 4500);
    expect(root, "Eel", 3000, 3000);
    json_decref(root);
    desk_expect_refused(folder, WORDS("feedback", "mine", "notes.csv", "--apply", "-o", "new.csv"),
                        "powers are the average of several columns, such as 'Ana' and 'Ben'", "new.csv");
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_they_are_worth),
        cmocka_unit_test(a_tag_may_begin_as_a_theme),
        cmocka_unit_test(layers_sheets_and_patterns),
        cmocka_unit_test(words_that_are_none),
        cmocka_unit_test(they_stay_where_they_stood),
        cmocka_unit_test(feedback_writes_words),
        cmocka_unit_test(import_asks_what_words_are_worth),
        cmocka_unit_test(scores_out_of_something),
        cmocka_unit_test(scores_of_several_people),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
