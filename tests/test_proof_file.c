/* test_proof_file.c - `best --proof` and `audit --proof` from outside: what is proven, what is refused, and where.
 * (Whether certificates are right, whoever wrote them: test_certificate.c.) All cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/tiny.h"

/* Of five cards two, with a rig, for 4.05: Bell Cart and Drift Net have 8, Ash Kite and Coal Lamp 10. */
static char *proven_folder(void)
{
    char *folder = desk_small_folder("");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--proof", "best.proof", "-o", "pool.csv"));
    desk_expect(run.out, "The proof that no pool has more is in best.proof\n");
    run_forget(&run);
    return folder;
}

static void a_best_pool_and_its_proof(void **state)
{
    (void)state;
    char *folder = proven_folder();
    Run run;
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "best.proof"));
    desk_expect(run.out, "pool.csv keeps all limits, with 10 of fit.\nThe proof in best.proof holds (");
    desk_expect(run.out, "): no pool has more than 10.\nSo there is no better one.\n");
    run_forget(&run);
    json_t *root =
        run_answer(folder, 0, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "best.proof", "--json"));
    assert_true(json_is_true(json_object_get(root, "keeps_all_limits")));
    assert_int_equal(json_units(root, "fit", 1000), 10000);
    assert_int_equal(json_units(root, "no_pool_has_more_than", 1000), 10000);
    json_decref(root);
    desk_done(folder);
}

static void another_pool_beside_it(void **state)
{
    (void)state;
    char *folder = proven_folder();
    Run run;
    folder_print(folder, "less.csv", "Bell Cart\nDrift Net\n");
    folder_print(folder, "broken.csv", "Coal Lamp\nDrift Net\n");
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "less.csv", "--proof", "best.proof"));
    desk_expect(run.out, "less.csv keeps all limits, with 8 of fit.\n");
    desk_expect(run.out, "So none is better by more than 2.\n");
    run_forget(&run);
    desk_run(folder, &run, 1, WORDS("audit", "scenario.yaml", "broken.csv", "--proof", "best.proof"));
    desk_expect(run.out, "broken.csv does not keep all limits: ");
    assert_null(strstr(run.out, "So "));
    run_forget(&run);
    desk_done(folder);
}

/* The proof by itself, also where nothing fits: then a pool beside it breaks a limit. */
static void no_pool_beside_it(void **state)
{
    (void)state;
    char *folder = proven_folder();
    Run run;
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "--proof", "best.proof"));
    desk_expect(run.out, "The proof in best.proof holds (");
    desk_expect(run.out, "): no pool has more than 10.\n");
    assert_null(strstr(run.out, "So "));
    run_forget(&run);
    desk_run(folder, &run, 1,
             WORDS("best", "scenario.yaml", "--cap", "1.39", "--proof", "none.proof", "-o", "none.csv"));
    desk_expect(run.out, "No pool of these candidates meets every limit: proven.\n");
    desk_expect(run.out, "The proof that no pool keeps all limits is in none.proof\n");
    run_forget(&run);
    assert_false(folder_has(folder, "none.csv"));
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "--cap", "1.39", "--proof", "none.proof"));
    desk_expect(run.out, "The proof in none.proof holds (");
    desk_expect(run.out, "): no pool keeps all limits.\n");
    run_forget(&run);
    desk_run(folder, &run, 1, WORDS("audit", "scenario.yaml", "--cap", "1.40", "--proof", "none.proof"));
    desk_expect(run.err, "error: the proof does not hold: ");
    run_forget(&run);
    desk_run(folder, &run, 1, WORDS("audit", "scenario.yaml", "pool.csv", "--cap", "1.39", "--proof", "none.proof"));
    desk_expect(run.out, "pool.csv does not keep all limits: ");
    run_forget(&run);
    desk_done(folder);
}

/* With more money there is a better pool: the steps do not hold there, and say where. */
static void another_scenario(void **state)
{
    (void)state;
    char *folder = proven_folder();
    Run run;
    desk_run(folder, &run, 1, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "best.proof", "--cap", "6"));
    desk_expect(run.err, "best.proof:");
    desk_expect(run.err, "error: the proof does not hold: ");
    desk_expect(run.err, "is the scenario as it was when the proof was written, with the same options?\n");
    assert_string_equal(run.out, "");
    run_forget(&run);
    folder_print(folder, "cards.csv", DESK_CARDS "Fen Drum,rig,1,9.00\n");
    desk_run(folder, &run, 1, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "best.proof"));
    desk_expect(run.err, "best.proof:4: error: the proof is of a programme of 5 columns and ");
    run_forget(&run);
    desk_done(folder);
}

static void what_is_no_proof(void **state)
{
    (void)state;
    static const struct {
        const char *text, *told;
    } bad[] = {
        {"", "p:1:1: error: found the line's end, expected the line 'poolwright proof 1'"},
        {"name\nBell Cart\n", "p:1:1: error: found 'name', expected the line 'poolwright proof 1'"},
        {"poolwright proof 2\n", "p:1:18: error: found '2', expected the line 'poolwright proof 1'"},
        {"poolwright proof 1\ncolumns 5\n", "p:2:10: error: found the line's end, expected a line such as "},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted much\n",
         "p:2:25: error: found 'much', expected a whole number or 'any'"},
        {"# so\n\npoolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 bond r0 1\n",
         "p:5:3: error: found 'bond', expected bound, none, cut, branch or order"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\nbound r0 1\n",
         "p:3:1: error: found 'bound', expected how many branches are above the step"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 bound r0 0\n",
         "p:3:12: error: found '0', expected a whole number other than 0"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 bound r0 1 r2 1\n",
         "p:3:14: error: found 'r2', expected a row that the programme has"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 bound r0 99999999999999999999\n",
         "p:3:12: error: found '99999999999999999999', expected a whole number other than 0"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 bound r0 1 c3\n",
         "p:3:14: error: found 'c3', expected a row such as r12 or k3"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 cut 0 r0 1\n",
         "p:3:7: error: found '0', expected a divisor of 1 or more"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 order r1\n",
         "p:3:9: error: found 'r1', expected a column such as c12"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 order c1 c2 0\n",
         "p:3:15: error: found '0', expected a column such as c12, or how much it takes in any case"},
        {"poolwright proof 1\ncolumns 5 rows 2 wanted 1\n0 branch c1\n",
         "p:3:12: error: found the line's end, expected one whole number"},
    };
    char *folder = proven_folder();
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        Run run;
        folder_print(folder, "p", bad[k].text);
        desk_run(folder, &run, 2, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "p"));
        desk_expect(run.err, bad[k].told);
        run_forget(&run);
    }
    Run run;
    static const char nought[] = "poolwright proof 1\n# \0\n";
    folder_write(folder, "p", nought, sizeof nought - 1);
    desk_run(folder, &run, 2, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "p"));
    desk_expect(run.err, "p:2:3: error: found a byte 0, expected lines of text");
    run_forget(&run);
    desk_run(folder, &run, 2, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "none.proof"));
    desk_expect(run.err, "none.proof");
    run_forget(&run);
    desk_done(folder);
}

/* A line of it left out, or one too many: told at its place. */
static void a_proof_that_was_changed(void **state)
{
    (void)state;
    char *folder = proven_folder(), *text = folder_read(folder, "best.proof", NULL);
    Run run;
    Page longer = {.data = NULL};
    page_add(&longer, "%s0 bound r0 1\n", text);
    page_save(&longer, folder, "longer.proof");
    desk_run(folder, &run, 1, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "longer.proof"));
    desk_expect(run.err, "error: the proof does not hold: of this step, all is proven before it;");
    run_forget(&run);
    char *wanted = strstr(text, " wanted 10001\n"); /* what the pool has itself */
    assert_non_null(wanted);
    memcpy(wanted, " wanted 10000\n", strlen(" wanted 10000\n"));
    folder_print(folder, "more.proof", text);
    desk_run(folder, &run, 1, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "more.proof"));
    desk_expect(run.err, "error: the proof does not hold: ");
    run_forget(&run);
    free(text);
    desk_done(folder);
}

static void what_does_not_go_together(void **state)
{
    (void)state;
    char *folder = proven_folder();
    desk_expect_refused(folder, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "best.proof", "-o", "m.csv"),
                        "-o does not go with --proof: nothing is mended", "m.csv");
    desk_expect_refused(folder,
                        WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "best.proof", "--against", "pool.csv"),
                        "--against does not go with --proof: nothing is compared", "m.csv");
    desk_expect_refused(folder, WORDS("best", "scenario.yaml", "--proof", "-"),
                        "--proof: found '-', expected a file, since standard output shows the answer", "-");
    desk_expect_refused(folder, WORDS("best", "scenario.yaml", "--proof", "cards.csv"), "cards.csv", "x");
    desk_done(folder);
}

/* Bell Cart and Coal Lamp cost 4.00, and 5.00 should the latter rise: for 4.99 it is Ash Kite and Coal Lamp. The proof
 * is of the columns and rows that export writes, and its steps are none of the same with less at risk. */
static void prices_that_may_rise(void **state)
{
    (void)state;
    char *folder = desk_folder("spending_cap: 4.99\nprice_risk: {protect: 1}\n", "prices: prices.csv\n",
                               "name,colours,power\nAsh Kite,rye,4\nBell Cart,rye,5\nCoal Lamp,rye,6\n");
    folder_print(folder, "prices.csv", "name,price,high\nAsh Kite,1.00,2.00\nBell Cart,2.00,2.50\nCoal Lamp,2,3\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--proof", "p", "-o", "pool.csv"));
    run_forget(&run);
    char *proof = folder_read(folder, "p", NULL);
    desk_expect(proof, "\n0 order c3 ");
    json_t *size = run_answer(folder, 0, WORDS("export", "scenario.yaml", "-o", "p.lp", "--json"));
    char shape[60];
    snprintf(shape, sizeof shape, "\ncolumns %d rows %d wanted 10001\n",
             (int)json_integer_value(json_object_get(size, "columns")),
             (int)json_integer_value(json_object_get(size, "rows")));
    desk_expect(proof, shape);
    json_decref(size);
    free(proof);
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "p"));
    desk_expect(run.out, "): no pool has more than 10.\nSo there is no better one.\n");
    run_forget(&run);
    folder_print(folder, "prices.csv", "name,price,high\nAsh Kite,1.00,2.00\nBell Cart,2.00,2.50\nCoal Lamp,2,2.9\n");
    desk_run(folder, &run, 1, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "p"));
    desk_expect(run.err, "error: the proof does not hold: ");
    run_forget(&run);
    desk_done(folder);
}

/* A multiplier that is next to nothing is left out: no step has a 0, which no reader takes. */
static void no_multiplier_is_nought(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml",
                 "colours: [ebb, rye]\nsize: 5\nspending_cap: 10.48\nrules:\n"
                 "  - {name: crew, where: {kind: crew}, at_least: 0}\n"
                 "  - {name: monos, each: colour, where: {class: mono}, between: [1, 4]}\n"
                 "  - {name: curve, measure: cost, average_at_most: 4.17}\n"
                 "  - {name: share, where: {class: gold}, at_most: 79%}\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    folder_print(folder, "cards.csv",
                 "name,colours,kind,cost,power,price,copies,owned\nAsh Kite,ebb+rye,crew,1,7.8,1.78,1,1\n"
                 "Bell Cart,rye,crew,5,1.3,0.15,2,0\nCoal Lamp,ebb,errand,5,9.2,3.99,1,0\n"
                 "Drift Net,ebb,crew,5,7.1,2.32,3,1\nEel Pot,rye,errand,3,7.1,3.49,1,0\n"
                 "Fen Drum,ebb+rye,errand,2,3.7,2.79,3,1\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "--gap", "0", "--proof", "p", "-o", "pool.csv"));
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "p"));
    desk_expect(run.out, "So there is no better one.\n");
    run_forget(&run);
    desk_done(folder);
}

/* The proof of a gap is one of the bound. */
static void a_gap(void **state)
{
    (void)state;
    if (sanitised())
        skip(); /* a long search, and others like it are short */
    char *folder = folder_new(), proof[600], pool[600];
    snprintf(proof, sizeof proof, "%s/a.proof", folder);
    snprintf(pool, sizeof pool, "%s/pool.csv", folder);
    Run run;
    run_poolwright(".", WORDS("best", "scenarios/demo", "--gap", "2%", "--proof", proof, "-o", pool), NULL, &run);
    desk_expect_code(&run, 0, run.err);
    run_forget(&run);
    run_poolwright(".", WORDS("audit", "scenarios/demo", pool, "--proof", proof), NULL, &run);
    desk_expect_told(&run, 0, "So none is better by more than ");
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_best_pool_and_its_proof), cmocka_unit_test(another_pool_beside_it),
        cmocka_unit_test(no_pool_beside_it),         cmocka_unit_test(another_scenario),
        cmocka_unit_test(what_is_no_proof),          cmocka_unit_test(a_proof_that_was_changed),
        cmocka_unit_test(what_does_not_go_together), cmocka_unit_test(prices_that_may_rise),
        cmocka_unit_test(no_multiplier_is_nought),   cmocka_unit_test(a_gap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
