/* test_desk_buying.c - what to buy, what changes of the present pool cost, and what new prices change, from outside.
 * All data are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

/* A rule that asks for a least spending cannot be met by buying what is owned: two A are both owned, so B must be
 * bought. */
static void owned_copies_come_first(void **state)
{
    (void)state;
    char *folder = desk_folder("unpriced: error\nrules:\n  - {name: out, measure: spend, at_least: 5.00}\n", "",
                               "name,colours,power,price,owned,copies\nA,rye,9,5.00,2,3\nB,teal,1,6.00,,\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--json"));
    json_t *answer = run_json(&run);
    assert_int_equal(json_units(answer, "fit", 1000), 10000);
    assert_int_equal(json_units(answer, "cost", 100), 600);
    assert_string_equal(desk_names(answer, "pool"), "A|B");
    json_decref(answer);
    run_forget(&run);
    desk_done(folder);
}

static void what_to_buy_is_listed(void **state)
{
    (void)state;
    char *folder = desk_folder("size: 5\nhandling: 0.10\n", "pool: pool.csv\npool_owned: no\n", "");
    folder_print(folder, "model.yaml", "size: 5\ncolours: [rye, teal]\nhandling: 0.10\nspending_cap: 50.00\n");
    folder_print(folder, "cards.csv",
                 "name,colours,power,price,owned,copies\nA,rye,9,1.00,,\nB,teal,9,6.00,,\n\"C, "
                 "too\",rye+teal,9,2.00,1,3\nD,,1,0.10,,\n");
    folder_print(folder, "pool.csv", "name,copies\nD,1\nOld One,2\nA,1\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--shopping", "buy.csv", "-o", "list.csv"));
    desk_expect(run.out, "What to buy is in buy.csv");
    run_forget(&run);
    char *list = folder_read(folder, "buy.csv", NULL);
    assert_string_equal(list, "what,name,copies,each,sum,paid,colours,class,note\r\n"
                              "buy,B,1,6.00,6.10,,teal,mono,dear\r\n"
                              "buy,\"C, too\",2,2.00,4.20,,rye+teal,gold,\r\n"
                              "buy,A,1,1.00,1.10,,rye,mono,\r\n"
                              "subtotal,rye,1,,1.10,,,,\r\n"
                              "subtotal,teal,1,,6.10,,,,\r\n"
                              "subtotal,gold,2,,4.20,,,,\r\n"
                              "of it,handling,4,0.10,0.40,,,,\r\n"
                              "total,all,4,,11.40,,,,\r\n"
                              "leaves,D,1,,,,colourless,colourless,\r\n"
                              "leaves,Old One,2,,,,,,no candidate any more\r\n");
    free(list);
    desk_run(folder, &run, 4, WORDS("best", "scenario.yaml", "--shopping", "nowhere/buy.csv", "-o", "list2.csv"));
    assert_false(folder_has(folder, "list2.csv")); /* both or none */
    run_forget(&run);
    desk_done(folder);
}

/* By hand: of C 1 is owned and 2 are in the pool, so of 3 one is bought; D is in the pool; B must be bought, and has no
 * price. Out goes A. On paper or not: the pool that is revised is there. */
static void what_changes_cost_is_listed(void **state)
{
    (void)state;
    static const char *const owned[] = {"pool: pool.csv\n", "pool: pool.csv\npool_owned: no\n", ""};
    for (size_t k = 0; k < 3; k++) {
        char *folder = desk_folder("", owned[k], "");
        folder_print(folder, "model.yaml", "size: 5\ncolours: [rye, teal]\nhandling: 0.10\n");
        folder_print(
            folder, "cards.csv",
            "name,colours,power,price,owned,copies\nA,rye,1,1.00,,\nB,teal,9,,,\nC,rye,9,2.00,1,3\nD,,8,3.00,,\n");
        folder_print(folder, "pool.csv", "name,copies\nA,1\nC,2\nD,1\nOld One,1\n");
        Run run;
        desk_run(
            folder, &run, 0,
            WORDS("revise", "scenario.yaml", "pool.csv", "--swaps", "1", "--shopping", "buy.csv", "-o", "list.csv"));
        desk_expect(run.out, "\nThe list is in list.csv\nWhat to buy is in buy.csv\n");
        run_forget(&run);
        assert_true(folder_has(folder, "list.csv"));
        char *list = folder_read(folder, "buy.csv", NULL);
        desk_expect(list, "what,name,copies,each,sum,paid,colours,class,note\r\n"
                          "buy,C,1,2.00,2.10,,rye,mono,dear\r\n"
                          "buy,B,1,,0.10,,teal,mono,no price\r\n");
        desk_expect(list, "total,all,2,,2.20,,,,\r\nleaves,A,1,,,,rye,mono,\r\n");
        free(list);
        desk_run(folder, &run, 4,
                 WORDS("revise", "scenario.yaml", "pool.csv", "--shopping", "nowhere/buy.csv", "-o", "list2.csv"));
        assert_false(folder_has(folder, "list2.csv")); /* both or none */
        run_forget(&run);
        desk_run(folder, &run, 2, WORDS("revise", "scenario.yaml", "pool.csv", "--shopping", "cards.csv"));
        run_forget(&run);
        desk_run(folder, &run, 2, WORDS("audit", "scenario.yaml", "pool.csv", "--shopping", "buy2.csv"));
        run_forget(&run);
        desk_done(folder);
    }
}

/* By hand: B and C are as good as each other, and what changes is which of them is cheaper; two of C come in. */
static void less_money_is_a_gain(void **state)
{
    (void)state;
    char *folder =
        desk_folder("", "prices: [old.csv]\n", "name,colours,power,copies\nA,rye,4,1\nB,rye,4,1\nC,rye,4,2\n");
    folder_print(folder, "old.csv", "name,price\nA,0.50\nB,0.50\nC,1.00\n");
    folder_print(folder, "new.csv", "name,price\nA,1.50\nB,1.50\nC,0.25\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv"));
    desk_expect(run.out,
                "cost 1.00 and would now cost 3.00 and still meets every limit; the new pool has as much fit for "
                "2.50 less.");
    desk_expect(run.out, "  in   2 x C  1.00 -> 0.25 (-0.75)");
    run_forget(&run);
    desk_done(folder);
}

static void new_prices_say_what_changes(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 1.60\n", "prices: [old.csv]\n",
                               "name,colours,power\nA,rye,5\nB,rye,4\nC,rye,3\nD,rye,2\n");
    folder_print(folder, "old.csv", "name,price\nA,1.00\nB,0.60\nC,0.35\nD,0.10\n");
    folder_print(folder, "new.csv", "name,price\nA,1.50\nB,0.60\nC,0.30\nD,0.10\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv", "--json"));
    json_t *answer = run_json(&run);
    json_t *news = json_object_get(answer, "new_prices");
    assert_int_equal(json_units(news, "higher", 1), 1);
    assert_int_equal(json_units(news, "lower", 1), 1);
    assert_int_equal(json_units(news, "cost_before", 100), 160);
    assert_int_equal(json_units(news, "cost_at_new_prices", 100), 210);
    assert_true(json_is_false(json_object_get(news, "still_allowed")));
    /* A with D costs 1.60 and has 7, as has B with C for 0.90: either way one of these */
    assert_int_equal(json_units(answer, "fit", 1000), 7000);
    json_decref(answer);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv"));
    desk_expect(run.out, "cost 1.60 and would now cost 2.10: it breaks 1 limit (spending cap)");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "old.csv"));
    desk_expect(run.out, "The same cards are best.");
    run_forget(&run);
    /* at one of the two prices there is no pool */
    folder_print(folder, "dear.csv", "name,price\nA,3.00\nB,2.00\nC,2.00\nD,1.00\n");
    desk_run(folder, &run, 1, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "dear.csv"));
    desk_expect(run.out, "  Prices of candidates: 4 higher, 0 lower.\n"
                         "  At the old prices there is a pool: it has a fit of 9 and costs 1.60.\n");
    run_forget(&run);
    char *old = folder_read(folder, "old.csv", NULL), *dear = folder_read(folder, "dear.csv", NULL);
    folder_print(folder, "old.csv", dear);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv"));
    desk_expect(run.out, "  At the old prices no pool meets every limit: proven.\n");
    run_forget(&run);
    folder_print(folder, "old.csv", old);
    free(old);
    free(dear);
    /* a list of what has changed alone: all others as before, also where the scenario's own are cheaper */
    folder_print(folder, "some.csv", "name,price\nA,1.50\nC,0.30\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "some.csv", "--json"));
    answer = run_json(&run);
    news = json_object_get(answer, "new_prices");
    assert_int_equal(json_units(news, "higher", 1), 1);
    assert_int_equal(json_units(news, "lower", 1), 1);
    assert_int_equal(json_units(news, "not_listed", 1), 2);
    assert_int_equal(json_units(news, "cost_at_new_prices", 100), 210);
    json_decref(answer);
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "some.csv"));
    desk_expect(run.out,
                "Prices of candidates: 1 higher, 1 lower; 2 have no price in the new list, so an older one counts.");
    run_forget(&run);
    folder_print(folder, "old.csv", "name,price\nA,1.00\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--prices", "new.csv"));
    desk_expect(run.err, "no pool at the scenario's own prices to compare with");
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(owned_copies_come_first),     cmocka_unit_test(what_to_buy_is_listed),
        cmocka_unit_test(what_changes_cost_is_listed), cmocka_unit_test(less_money_is_a_gain),
        cmocka_unit_test(new_prices_say_what_changes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
