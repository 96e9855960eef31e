/* test_side_sheets.c - single sheets beside the cards, of an invented game: what is told of them, what is taken for
 * something else, what is left as it is. Random ways of writing them are in test_side_layouts.c. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/packed.h"

static char *told_folder(const char *more)
{
    return desk_folder("unpriced: 1.00\nspending_cap: 9\ncap_counts: paid and to buy\n", more,
                       "name,colours,copies\nAsh,rye,3\nBay,rye,3\nCod,teal,3\n");
}

static void expect_told(const char *folder, const char *const *words, int code, const char *says)
{
    Run run;
    desk_run(folder, &run, code, words);
    desk_expect_told(&run, code, says);
    run_forget(&run);
}

static void what_stands_beside_cards_is_told(void **state)
{
    (void)state;
    char *folder = told_folder("owned: [o.csv]\npool: p.csv\n");
    folder_print(folder, "p.csv", "name\nAsh\n");
    folder_print(folder, "o.csv", "name,owned\nAsh,x\nBay,\nCod,no\n"); /* a blank cell among marks */
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--keep", "Bay", "--keep", "Cod", "--json"));
    assert_int_equal(json_units(root, "cost", 100), 200);
    json_decref(root);
    folder_print(folder, "o.csv", "name,copies,paid\nAsh,1,2.00\nBay,1,1.00\nTotal,2,3.00\n");
    root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--json"));
    assert_int_equal(json_units(json_object_get(root, "money"), "paid", 100), 300);
    json_decref(root);
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "'Total' is taken for a heading or a total, not for a card");
    folder_print(folder, "o.csv", "name,copies\n2x Ash,1\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0, "'2x Ash' says another number of copies than its column");
    folder_print(folder, "o.csv", "Ash,2\nBay,1\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 2,
                "the first line has 'Ash', which is a card; write a line above it that names the columns, such as "
                "name,copies");
    folder_print(folder, "o.csv", "name,copies\nAsh,-\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 2, "write read: {blanks: [\"-\"]} into the model");
    folder_print(folder, "o.csv", "name,copies\n,3\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 2, "write read: {skip_lines: [\"\"]} into the model");
    folder_print(folder, "o.csv", "name,a,Anzahl,Qty\nAsh,1,2,3\n"); /* two that may be it */
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "found no column 'copies', so each line counts as one copy");
    folder_print(folder, "o.csv", "name\nAsh\n");
    folder_print(folder, "p.csv", "name,with us\nAsh,x\nBay,\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0, "if 'with us' holds them");
    folder_print(folder, "p.csv", "In the box\nAsh\nBay\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0, "'In the box' is taken for the title of a list of names");
    desk_done(folder);
}

/* What is no card stays where it stands when the present pool is written again. */
static void headings_and_totals_stay(void **state)
{
    (void)state;
    char *folder = told_folder("pool: p.csv\n");
    Run run;
    folder_print(folder, "cards.csv", "name,colours,power\nAsh,rye,1\nBay,rye,2\nCod,teal,3\n");
    folder_print(folder, "p.csv", "Karte,Anzahl\nRye,\nAsh,1\nBay (1),1\nTotal,2\n");
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--swaps", "1", "--apply", "--today", "2026-03-31"));
    run_forget(&run);
    char *pool = folder_read(folder, "p.csv", NULL);
    desk_expect(pool, "\nRye,\r\n");
    desk_expect(pool, "\nTotal,2\r\n");
    desk_expect(pool, "\nCod,1");
    assert_null(strstr(pool, "Ash"));
    free(pool);
    for (int k = 0; k < 2; k++) { /* a list of names alone has no place for copies */
        static const char *const list[] = {"Ash\nBay\n", "In the box\nAsh\nBay\n"};
        folder_print(folder, "p.csv", list[k]);
        expect_told(folder, WORDS("revise", "scenario.yaml", "--swaps", "1", "--apply"), 2,
                    "is a list of names without names of columns; put a line with `name`");
        desk_expect_file(folder, "p.csv", list[k]);
        run_poolwright(folder, WORDS("check", "scenario.yaml"), NULL, &run);
        desk_expect_code(&run, 0, list[k]);
        run_forget(&run);
    }
    desk_done(folder);
}

static void what_shops_say_is_not_passed_over(void **state)
{
    (void)state;
    char *folder = told_folder("prices: [p.csv]\nchange: {currency: {default: EUR, rates: {USD: 0.5}}}\n");
    folder_print(folder, "p.csv", "name,Price (USD)\nAsh,3.00\nBay,3 EUR\nCod,1\n");
    json_t *root = run_answer(folder, 0, WORDS("find", "scenario.yaml", "--json"));
    const json_t *card;
    size_t k;
    json_array_foreach (json_object_get(root, "cards"), k, card) {
        const char name = json_text(card, "name")[0];
        assert_int_equal(json_units(card, "price", 100), name == 'A' ? 150 : name == 'B' ? 300 : 50);
    }
    assert_int_equal(k, 3);
    json_decref(root);
    folder_print(folder, "p.csv", "name,Preis,Lager\nAsh,3.00,0\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "p.csv:1:12: notice: the column 'Lager' is not read; if it is the stock, write columns: {stock: "
                "\"Lager\"} into the model, else own: [\"Lager\"]");
    desk_done(folder);
}

/* Only where it matters: conditions are asked for by `accept`, highs by `price_risk`, days by `stale`. */
static void what_decides_is_not_passed_over(void **state)
{
    (void)state;
    static const struct {
        const char *change, *told;
    } scenario[] = {
        {"accept: {condition: [new]}", "p.csv:1:12: notice: the column 'Zustand' is not read; if it is the condition,"},
        {"accept: {language: [German]}",
         "p.csv:1:20: notice: the column 'Sprache' is not read; if it is the language,"},
        {"price_risk: {protect: 1}", "p.csv:1:28: notice: the column 'Max price' is not read; if it is the high,"},
        {"stale: 30", "p.csv:1:38: notice: the column 'Datum' is not read; if it is the date,"},
        {"headroom: 1%", NULL},
    };
    for (size_t k = 0; k < sizeof scenario / sizeof *scenario; k++) {
        char more[200];
        snprintf(more, sizeof more, "prices: [p.csv]\nchange: {%s}\n", scenario[k].change);
        char *folder = told_folder(more);
        folder_print(folder, "p.csv",
                     "name,Preis,Zustand,Sprache,Max price,Datum\nAsh,3.00,worn,French,9,2020-01-31\n");
        Run run;
        desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
        if (scenario[k].told != NULL)
            desk_expect_told(&run, 0, scenario[k].told);
        else
            assert_null(strstr(run.err, "is not read"));
        run_forget(&run);
        desk_done(folder);
    }
    char *folder = told_folder("tags: [t.csv, s.csv]\n");
    folder_print(folder, "t.csv", "name,tag,Poids\nAsh,kites,3\n");
    folder_print(folder, "s.csv", "name,Entscheidung\nAsh,ban\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "t.csv:1:10: notice: the column 'Poids' is not read; if it is the weight, write columns: {weight: "
                "\"Poids\"} into the model, else own: [\"Poids\"]");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "s.csv:1:6: notice: the column 'Entscheidung' is not read; if it is the status,");
    desk_done(folder);
}

#define CELL(text) "<table:table-cell office:value-type='string'><text:p>" text "</text:p></table:table-cell>"
#define LINE(...) "<table:table-row>" __VA_ARGS__ "</table:table-row>"
#define SHEET(name, lines) "<table:table table:name='" name "'>" lines "</table:table>"

/* One workbook with all sheets, and the scenario names none of them but the short list: the sheet of the cards says how
 * many may be in the pool, not how many are owned, and a sheet that is called "Pool" is the pool, whatever else has
 * names. */
static void sheets_of_one_workbook_are_told_apart(void **state)
{
    (void)state;
    char *folder = told_folder("");
    size_t length;
    char *bytes = packed_ods(
        NULL,
        SHEET("Cards", LINE(CELL("name") CELL("colours") CELL("copies")) LINE(CELL("Ash") CELL("rye") CELL("3"))
                           LINE(CELL("Bay") CELL("rye") CELL("3")))
            SHEET("Short", LINE(CELL("name") CELL("status")) LINE(CELL("Ash") CELL("keep")))
                SHEET("Marks", LINE(CELL("name") CELL("tag") CELL("note")) LINE(CELL("Ash") CELL("t") CELL("!")))
                    SHEET("Pool", LINE(CELL("name") CELL("why") CELL("since")) LINE(CELL("Bay") CELL("!") CELL("!")))
                        SHEET("Owned", LINE(CELL("Karte") CELL("Notiz")) LINE(CELL("2x Ash") CELL("!"))),
        &length);
    folder_write(folder, "all.ods", bytes, length);
    free(bytes);
    folder_print(
        folder, "scenario.yaml",
        "model: model.yaml\ncards: [all.ods]\nowned: [all.ods]\npool: all.ods\ntags: [all.ods, all.ods#Short]\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "-o", "-", "--all"));
    desk_expect_told(&run, 0, "notice: the owned cards are read from its sheet 'Owned' (of 5), as it is called;");
    desk_expect_told(&run, 0,
                     "notice: the cards of the present pool are read from its sheet 'Pool' (of 5), as it is called;");
    desk_expect_told(&run, 0, "notice: the tags are read from its sheet 'Marks' (of 5), as the headers say;");
    assert_non_null(strstr(run.out, "name,colours,copies,chosen,owned,class,fit,reason\r\nAsh,rye,3,2,2,mono,1,"));
    run_forget(&run);
    run_poolwright(folder, WORDS("audit", "scenario.yaml", "all.ods"), NULL, &run); /* named: the same one */
    desk_expect_told(&run, 1, "notice: the cards of the pool are read from its sheet 'Pool' (of 5), as it is called;");
    run_forget(&run);
    bytes = packed_ods(NULL,
                       SHEET("Cards", LINE(CELL("name") CELL("colours") CELL("copies")) LINE(
                                          CELL("Ash") CELL("rye") CELL("3")) LINE(CELL("Bay") CELL("rye") CELL("3")))
                           SHEET("Box", LINE(CELL("name") CELL("copies") CELL("note") CELL("since"))
                                            LINE(CELL("Ash") CELL("1") CELL("!") CELL("!"))),
                       &length);
    folder_write(folder, "two.ods", bytes, length); /* more of Box is of no use, and yet it is meant */
    free(bytes);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [two.ods]\nowned: [two.ods]\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "-o", "-", "--all"));
    desk_expect_told(&run, 0, "notice: the owned cards are read from its sheet 'Box' (of 2), as the headers say;");
    run_forget(&run);
    desk_done(folder);
}

static void a_list_without_columns_takes_no_money(void **state)
{
    (void)state;
    char *folder = told_folder("owned: [o.csv]\n");
    folder_print(folder, "o.csv", "Ash\nBay\n");
    folder_print(folder, "b.csv", "name,paid\nAsh,1.00\nSum,1.00\n");
    expect_told(folder, WORDS("bought", "scenario.yaml", "b.csv"), 0, "'Sum' is taken for a total, not for a card");
    expect_told(folder, WORDS("bought", "scenario.yaml", "b.csv", "--apply"), 2,
                "--apply: 'o.csv' is a list of names without names of columns");
    desk_expect_file(folder, "o.csv", "Ash\nBay\n");
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(what_stands_beside_cards_is_told),
                                       cmocka_unit_test(headings_and_totals_stay),
                                       cmocka_unit_test(what_shops_say_is_not_passed_over),
                                       cmocka_unit_test(what_decides_is_not_passed_over),
                                       cmocka_unit_test(sheets_of_one_workbook_are_told_apart),
                                       cmocka_unit_test(a_list_without_columns_takes_no_money)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
