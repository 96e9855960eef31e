/* test_bought.c - money over months, from outside: plan, buy at other prices than planned, book, plan again; sums right
 * to the cent at every step. Cards and prices are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/run.h"

static const char cards[] = "name,colours,power,price\n"
                            "Coble,ebb,9,4.00\nDrag,ebb,8,3.00\nFender,silt,7,2.00\nKelp,silt,6,1.00\n"
                            "Lamp,,5,0.50\nOar,,4,0.25\n";

static char *make(const char *counts, const char *owned)
{
    char *folder = folder_new(), model[300];
    snprintf(model, sizeof model, "size: 4\nspending_cap: 9.50\ncolours: [ebb, silt]\n%s", counts);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "scenario.yaml",
                 owned == NULL ? "model: model.yaml\ncards: [cards.csv]\n"
                               : "model: model.yaml\ncards: [cards.csv]\nowned: [owned.csv]\n");
    if (owned != NULL)
        folder_print(folder, "owned.csv", owned);
    return folder;
}

static void expect_plan(const char *folder, int64_t fit, int64_t cost, int64_t paid, int64_t left)
{
    json_t *root = run_answer(folder, 0, (const char *const[]){"best", ".", "--gap", "0", "--json", NULL});
    const json_t *money = json_object_get(root, "money");
    assert_int_equal(json_units(root, "fit", 1000), fit);
    assert_int_equal(json_units(root, "cost", 100), cost);
    assert_int_equal(json_units(money, "paid", 100), paid);
    assert_int_equal(json_units(money, "left", 100), left);
    json_decref(root);
}

/* 9.50 buy the four dearest but for one: 4 + 3 + 2 + .50. They are bought in two parcels, the first dearer than
 * planned; then the rest is cheaper than planned; then one is sold. */
static void a_plan_is_bought_in_parcels(void **state)
{
    (void)state;
    char *folder = make("cap_counts: paid and to buy\n", "name,copies,paid\n");
    expect_plan(folder, 29000, 950, 0, 0);
    folder_print(folder, "parcel.csv",
                 "what,name,copies,each,sum,paid\nbuy,Coble,1,4.00,4.00,5.20\n"
                 "buy,Drag,1,3.00,3.00,\nbuy,Lamp,1,0.50,0.50,\nsum,all,4,,9.50,\n");
    json_t *root = run_answer(folder, 0, (const char *const[]){"bought", ".", "parcel.csv", "--apply", "--json", NULL});
    assert_int_equal(json_units(root, "paid", 100), 520);
    assert_int_equal(json_units(root, "planned", 100), 400);
    assert_int_equal(json_integer_value(json_object_get(root, "waiting")), 2);
    json_decref(root);
    /* 4.30 are left: Coble is owned; Drag + Kelp + Oar cost 4.25, fit 27; Drag, Lamp and Oar 3.75 and less fit;
       Fender + Kelp + Lamp 3.50 and fit 27 as well, which is cheaper */
    expect_plan(folder, 27000, 350, 520, 80);
    folder_print(folder, "second.csv", "name,paid\nfender,\"1,50\"\nKELP,0\n");
    root = run_answer(folder, 0, (const char *const[]){"bought", ".", "second.csv", "--apply", "--json", NULL});
    assert_int_equal(json_units(root, "paid_until_now", 100), 670);
    json_decref(root);
    char *sheet = folder_read(folder, "owned.csv", NULL);
    assert_string_equal(sheet, "name,copies,paid\r\nCoble,1,5.20\r\nFender,1,1.50\r\nKelp,1,0.00\r\n");
    free(sheet);
    expect_plan(folder, 27000, 50, 670, 230);
    /* Coble is sold for 6.00: 8.80 are left; Drag and Lamp join Fender and Kelp again, or Coble anew for 4.00, with
       Drag, 7.00 */
    folder_print(folder, "owned.csv",
                 "name,copies,paid\nCoble,0,-0.80\nFender,1,1.50\nKelp,1,\nNever Heard of It,1,\n");
    expect_plan(folder, 30000, 700, 70, 180);
    folder_remove(folder);
    free(folder);
}

/* A list is filled in parcel by parcel: what is booked is not booked again. */
static void what_was_booked_is_left_out(void **state)
{
    (void)state;
    static const char once[] = "name,copies,paid\r\nCoble,1,5.20\r\nLamp,1,0.50\r\n";
    char *folder = make("", "name,copies,paid\nCoble,1,5.20\n");
    folder_print(folder, "list.csv", "name,paid\nCoble,5.20\nLamp,0.50\n");
    static const char *const says[] = {
        "1 card bought for 0.50; planned were 0.50.\n1 card of the list was booked before for the same money and is "
        "left out, such as Coble. A further copy for as much is a line of your own in the sheet of owned cards.\nPaid "
        "until now: 5.70.\n",
        "Nothing in the list is new, so nothing is booked.\n2 cards of the list were booked before for the same money "
        "and are left out, such as Coble."};
    for (int time = 0; time < 2; time++) {
        Run run;
        run_poolwright(folder, (const char *const[]){"bought", ".", "list.csv", "--apply", NULL}, NULL, &run);
        assert_int_equal(run.code, 0);
        if (strstr(run.out, says[time]) == NULL)
            fail_msg("%s", run.out);
        run_forget(&run);
        char *sheet = folder_read(folder, "owned.csv", NULL);
        assert_string_equal(sheet, once);
        free(sheet);
    }
    folder_remove(folder);
    free(folder);
}

/* A gift is booked once, and of a card bought twice each of the two lists is known again; both also where a new sheet
 * is written each time. */
static void gifts_and_second_copies_are_booked_once(void **state)
{
    (void)state;
    static const char *const list[] = {"first.csv", "first.csv", "second.csv", "second.csv", "first.csv"};
    static const int64_t paid[] = {520, 0, 480, 0, 0};
    for (int anew = 0; anew < 2; anew++) {
        char *folder = make("", "name,copies,paid\nOar,1,\n");
        folder_print(folder, "first.csv", "name,copies,paid\nCoble,1,5.20\nLamp,1,0\n");
        folder_print(folder, "second.csv", "name,copies,paid\nCoble,1,4.80\nLamp,1,0.00\n");
        for (size_t k = 0; k < sizeof list / sizeof *list; k++) {
            const char *words[] = {
                "bought", ".", list[k], anew ? "-o" : "--apply", anew ? "new.csv" : "--json", anew ? "--json" : NULL,
                NULL};
            json_t *root = run_answer(folder, 0, words);
            if (json_units(root, "paid", 100) != paid[k])
                fail_msg("%zu: %s booked again", k, list[k]);
            assert_int_equal(json_integer_value(json_object_get(root, "booked_before")), k % 2 == 0 ? k / 2 : 2);
            json_decref(root);
            if (anew) {
                char *sheet = folder_read(folder, "new.csv", NULL);
                folder_print(folder, "owned.csv", sheet);
                free(sheet);
            }
        }
        char *sheet = folder_read(folder, "owned.csv", NULL);
        assert_string_equal(sheet, anew
                                       ? "name,copies,paid\r\nCoble,1,5.20\r\nCoble,1,4.80\r\nLamp,1,0.00\r\nOar,1,\r\n"
                                       : "name,copies,paid\r\nOar,1,\r\nCoble,1,5.20\r\nLamp,1,0.00\r\n"
                                         "Coble,1,4.80\r\n");
        free(sheet);
        folder_remove(folder);
        free(folder);
    }
}

/* Without a column for copies each copy is a line, the first with the money: still the line is known again when another
 * of the card comes later. */
static void copies_without_a_column_are_booked_once(void **state)
{
    (void)state;
    char *folder = make("", "name,paid\nOar,\n");
    folder_print(folder, "list.csv", "name,copies,paid\nCoble,2,5.00\nCoble,1,\n");
    static const int64_t paid[] = {500, 0, 200, 0};
    for (size_t k = 0; k < sizeof paid / sizeof *paid; k++) {
        if (k == 2)
            folder_print(folder, "list.csv", "name,copies,paid\nCoble,2,5.00\nCoble,1,2.00\n");
        json_t *root = run_answer(folder, 0, WORDS("bought", ".", "list.csv", "--apply", "--json"));
        if (json_units(root, "paid", 100) != paid[k])
            fail_msg("%zu: booked again", k);
        json_decref(root);
    }
    char *sheet = folder_read(folder, "owned.csv", NULL);
    assert_string_equal(sheet, "name,paid\r\nOar,\r\nCoble,5.00\r\nCoble,\r\nCoble,2.00\r\n");
    free(sheet);
    folder_remove(folder);
    free(folder);
}

/* One card on two lines, as from two shops: each parcel is booked when its line is filled in, and once. */
static void lines_of_one_card_are_booked_by_themselves(void **state)
{
    (void)state;
    static const char *const list[] = {"name,copies,paid\nCoble,1,1.00\nCoble,1,\nCoble,2,\n",
                                       "name,copies,paid\nCoble,1,1.00\nCoble,1,1.00\nCoble,2,\n",
                                       "name,copies,paid\nCoble,1,1.00\nCoble,1,1.00\nCoble,2,2.50\n",
                                       "name,copies,paid\nCoble,1,1.00\nCoble,1,1.00\nCoble,2,2.50\n"};
    static const int64_t paid[] = {100, 100, 250, 0};
    for (int anew = 0; anew < 2; anew++) {
        char *folder = make("", "name,copies,paid\nOar,1,\nCoble,1,9.00\n");
        for (size_t k = 0; k < sizeof list / sizeof *list; k++) {
            folder_print(folder, "list.csv", list[k]);
            const char *words[] = {
                "bought", ".", "list.csv", anew ? "-o" : "--apply", anew ? "new.csv" : "--json", anew ? "--json" : NULL,
                NULL};
            json_t *root = run_answer(folder, 0, words);
            if (json_units(root, "paid", 100) != paid[k])
                fail_msg("the list at %zu: %d is booked", k, (int)json_units(root, "paid", 100));
            json_decref(root);
            char *sheet = anew ? folder_read(folder, "new.csv", NULL) : NULL;
            if (anew)
                folder_print(folder, "owned.csv", sheet);
            free(sheet);
        }
        folder_remove(folder);
        free(folder);
    }
}

/* Without cap_counts money paid is shown and changes nothing. */
static void paid_is_only_told_where_the_cap_does_not_count_it(void **state)
{
    (void)state;
    char *folder = make("", "name,copies,paid\nKelp,1,7.77\nGone Long Ago,1,1.23\n");
    expect_plan(folder, 30000, 900, 900, 50);
    folder_remove(folder);
    free(folder);
}

/* Money for cards that are no candidates stays in the sheet and counts. */
static void what_is_no_candidate_stays_booked(void **state)
{
    (void)state;
    char *folder = make("cap_counts: paid and to buy\n", "name,copies,paid\nGone Long Ago,2,3.00\nKelp,1,1.00\n");
    expect_plan(folder, 26000, 550, 400, 0); /* Kelp, Drag, Fender, Lamp */
    folder_print(folder, "list.csv", "name,copies,paid\nLamp,1,0.40\nLamp,1,0.50\n");
    json_t *root =
        run_answer(folder, 0, (const char *const[]){"bought", ".", "list.csv", "-o", "new.csv", "--json", NULL});
    assert_int_equal(json_units(root, "paid_until_now", 100), 490);
    json_decref(root);
    char *sheet = folder_read(folder, "new.csv", NULL);
    assert_string_equal(sheet,
                        "name,copies,paid\r\nKelp,1,1.00\r\nLamp,1,0.40\r\nLamp,1,0.50\r\nGone Long Ago,2,3.00\r\n");
    free(sheet);
    folder_remove(folder);
    free(folder);
}

/* What was paid in another currency is booked in the model's, as an owned sheet would be read. */
static void what_is_paid_turns_into_the_models_currency(void **state)
{
    (void)state;
    char *folder = make("currency: {default: EUR, rates: {USD: 0.5, GBP: 1.2}}\n", "name,copies,paid\nKelp,1,$2.00\n");
    folder_print(folder, "list.csv", "name,copies,paid\nCoble,2x,$10.00\nLamp,1,0.40\nOar,1,0.50 GBP\n");
    json_t *root = run_answer(folder, 0, (const char *const[]){"bought", ".", "list.csv", "--apply", "--json", NULL});
    assert_int_equal(json_units(root, "paid", 100), 600);
    assert_int_equal(json_units(root, "paid_until_now", 100), 700);
    json_decref(root);
    char *sheet = folder_read(folder, "owned.csv", NULL);
    assert_string_equal(sheet, "name,copies,paid\r\nKelp,1,$2.00\r\nCoble,2,5.00\r\nLamp,1,0.40\r\nOar,1,0.60\r\n");
    free(sheet);
    folder_remove(folder);
    free(folder);
}

/* The new sheet has the header under which the model looks for owned copies, so it can stand for the old one. */
static void the_models_headers_stay(void **state)
{
    (void)state;
    char *folder = make("columns: {owned: Have}\n", "name,Have\nKelp,1\n");
    folder_print(folder, "list.csv", "name,copies,paid\nLamp,1,0.40\n");
    json_t *root = run_answer(folder, 0, (const char *const[]){"bought", ".", "list.csv", "--apply", "--json", NULL});
    json_decref(root);
    char *sheet = folder_read(folder, "owned.csv", NULL);
    assert_string_equal(sheet, "name,Have,paid\r\nKelp,1,\r\nLamp,1,0.40\r\n");
    free(sheet);
    json_decref(run_answer(folder, 0, (const char *const[]){"best", ".", "--json", NULL}));
    folder_remove(folder);
    free(folder);
}

/* A whole collection as owned sheet: cards that are no candidates stay in it, with and without money. */
static void lines_of_other_cards_stay(void **state)
{
    (void)state;
    char *folder = make("", "name,copies,paid\nKelp,1,1.00\nGone Long Ago,2,3.00\nFrom Another Box,4,\n");
    folder_print(folder, "list.csv", "name,copies,paid\nLamp,1,0.40\n");
    json_decref(run_answer(folder, 0, (const char *const[]){"bought", ".", "list.csv", "--apply", "--json", NULL}));
    char *sheet = folder_read(folder, "owned.csv", NULL);
    assert_string_equal(
        sheet, "name,copies,paid\r\nKelp,1,1.00\r\nGone Long Ago,2,3.00\r\nFrom Another Box,4,\r\nLamp,1,0.40\r\n");
    free(sheet);
    folder_remove(folder);
    free(folder);
}

/* A title, columns of one's own, no column of copies or of money: the sheet stays as it is, with lines behind its own.
 */
static void a_sheet_keeps_what_it_says(void **state)
{
    (void)state;
    static const struct {
        const char *owned, *after;
    } kept[] = {
        {"name,copies,box\nKelp,1,blue\nLamp,2,\n",
         "name,copies,box,paid\r\nKelp,1,blue,\r\nLamp,2,,\r\nLamp,2,,0.40\r\n"},
        {"My cards,,\n\npaid,name\n,Kelp\n", "My cards,,\r\n\r\npaid,name\r\n,Kelp\r\n0.40,Lamp\r\n,Lamp\r\n"},
    };
    for (size_t k = 0; k < sizeof kept / sizeof *kept; k++) {
        char *folder = make("", kept[k].owned);
        folder_print(folder, "list.csv", "name,copies,paid\nLamp,2,0.40\n");
        json_t *root =
            run_answer(folder, 0, (const char *const[]){"bought", ".", "list.csv", "--apply", "--json", NULL});
        json_decref(root);
        char *sheet = folder_read(folder, "owned.csv", NULL);
        assert_string_equal(sheet, kept[k].after);
        free(sheet);
        root = run_answer(folder, 0, (const char *const[]){"find", ".", "--where", "name=Lamp", "--json", NULL});
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
}

/* More is paid than the cap allows: no pool, and the cap from which there is one. */
static void too_much_is_paid(void **state)
{
    (void)state;
    char *folder = make("cap_counts: paid and to buy\n", "name,copies,paid\nKelp,1,10.00\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"best", ".", NULL}, NULL, &run);
    assert_int_equal(run.code, 1);
    if (strstr(run.out, "12.75") == NULL) /* Kelp is there; Oar, Lamp and Fender are the cheapest three */
        fail_msg("%s", run.out);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void bad_lists_are_told(void **state)
{
    (void)state;
    static const struct {
        const char *list, *message;
        bool apply;
    } wrong[] = {
        {"name,paid\nLamp,$1\nOar,€1\n", "list.csv:3:5: error: found a price in '€', but list.csv:2 is in '$'", false},
        {"name\nLamp\n", "list.csv:1:1: error: found no column 'paid'", false},
        {"name,paid\nLamp,\n", "found nothing bought", false},
        {"name,paid\nLampp,1\n", "list.csv:2:1: error: no candidate is called 'Lampp'; did you mean 'Lamp'?", false},
        {"name,paid\nLamp,much\n", "list.csv:2:6: error: column 'paid': found 'much', expected money such as 4.50",
         false},
        {"name,paid\nLamp,-1\n", "expected money such as 4.50", false},
        {"name,copies,paid\nLamp,0,1\n",
         "list.csv:2:6: error: column 'copies': found '0', expected a whole number of copies", false},
        {"name,paid\nLamp,1\n", "the scenario has no owned sheet, expected -o FILE", true},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char *folder = make("", NULL);
        folder_print(folder, "list.csv", wrong[k].list);
        Run run;
        run_poolwright(folder,
                       (const char *const[]){"bought", ".", "list.csv", wrong[k].apply ? "--apply" : "-o",
                                             wrong[k].apply ? NULL : "new.csv", NULL},
                       NULL, &run);
        assert_int_equal(run.code, 2);
        if (strstr(run.err, wrong[k].message) == NULL)
            fail_msg("%s: %s", wrong[k].message, run.err);
        assert_false(folder_has(folder, "new.csv"));
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

/* The list that `best` writes, filled in, is a list that `bought` reads. */
static void a_shopping_list_comes_back(void **state)
{
    (void)state;
    char *folder = make("cap_counts: paid and to buy\n", "name,copies,paid\n");
    json_decref(
        run_answer(folder, 0, (const char *const[]){"best", ".", "--gap", "0", "--shopping", "s.csv", "--json", NULL}));
    char *sheet = folder_read(folder, "s.csv", NULL), *at = strstr(sheet, "Coble,1,4.00,4.00,");
    assert_non_null(at);
    at += strlen("Coble,1,4.00,4.00,");
    char *filled = malloc(strlen(sheet) + 8);
    sprintf(filled, "%.*s3.33%s", (int)(at - sheet), sheet, at);
    folder_print(folder, "s2.csv", filled);
    json_t *root = run_answer(folder, 0, (const char *const[]){"bought", ".", "s2.csv", "--json", NULL});
    assert_int_equal(json_units(root, "paid", 100), 333);
    assert_int_equal(json_integer_value(json_object_get(root, "copies")), 1);
    json_decref(root);
    free(filled);
    free(sheet);
    folder_remove(folder);
    free(folder);
}

/* The new sheet is called as the scenario would call it, which lies in another folder. */
static void the_line_to_copy_is_right(void **state)
{
    (void)state;
    char *folder = make("", "name,copies\n");
    Run run;
    folder_print(folder, "deep/scenario.yaml", "model: ../model.yaml\ncards: [../cards.csv]\n");
    folder_print(folder, "list.csv", "name,paid\nCoble,3.00\n");
    run_poolwright(folder, (const char *const[]){"bought", "deep", "list.csv", "-o", "new.csv", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    if (strstr(run.out, "Written: new.csv. Name it in the scenario instead of the owned sheets:") == NULL ||
        strstr(run.out, "owned: [../new.csv].") == NULL)
        fail_msg("%s", run.out);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

/* Cards may be written with points, and sheets beside them with commas: lines are added as the sheet writes numbers. */
static void sheets_keep_their_decimal_marks(void **state)
{
    (void)state;
    static const char *const owned[][2] = {
        {"name;copies;paid\nCoble;1;5,20\n", "name;copies;paid\r\nCoble;1;5,20\r\nLamp;1;1,50\r\n"},
        {"name,copies,paid\nCoble,1,\"5,20\"\n", "name,copies,paid\r\nCoble,1,\"5,20\"\r\nLamp,1,\"1,50\"\r\n"},
        {"name;copies;paid\nCoble;1;5.20\n", "name;copies;paid\r\nCoble;1;5.20\r\nLamp;1;1.50\r\n"},
        {"name;copies;paid\nCoble;1;5\n", "name;copies;paid\r\nCoble;1;5\r\nLamp;1;1.50\r\n"}};
    for (size_t k = 0; k < sizeof owned / sizeof *owned; k++) {
        char *folder = make("cap_counts: paid and to buy\n", owned[k][0]);
        folder_print(folder, "list.csv", "name,paid\nLamp,1.50\n");
        json_t *root = run_answer(folder, 0, WORDS("bought", ".", "list.csv", "--apply", "--json"));
        json_decref(root);
        char *sheet = folder_read(folder, "owned.csv", NULL);
        assert_string_equal(sheet, owned[k][1]);
        free(sheet);
        root = run_answer(folder, 0, WORDS("best", ".", "--json"));
        assert_int_equal(json_units(json_object_get(root, "money"), "paid", 100), k < 3 ? 670 : 650);
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
}

/* So are the present pool and the journal. */
static void pool_and_journal_keep_their_decimal_marks(void **state)
{
    (void)state;
    Run run;
    char *folder = make("", NULL);
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\npool: pool.csv\n");
    folder_print(folder, "prices.csv", "name,price\nCoble,3.50\n");
    folder_print(folder, "pool.csv", "name;price\nDrag;3,00\nFender;2,00\nKelp;1,00\nOar;0,25\n");
    folder_print(folder, "journal.csv", "date;change;card;price\n2026-01-01;in;Oar;0,25\n");
    run_poolwright(folder, WORDS("revise", ".", "--swaps", "1", "--apply", "--today", "2026-02-01"), NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    char *pool = folder_read(folder, "pool.csv", NULL), *journal = folder_read(folder, "journal.csv", NULL);
    if (strstr(pool, "Coble;3,50\r\n") == NULL || strstr(journal, ";in;Coble;3,50;") == NULL)
        fail_msg("%s\n%s", pool, journal);
    free(pool);
    free(journal);
    folder_remove(folder);
    free(folder);
}

/* Somebody writes into the sheet of owned cards while this runs: that is told, and stays. */
static void a_sheet_that_changes_is_not_written_over(void **state)
{
    (void)state;
    char *folder = make("", "name,copies,paid\n"), line[5000];
    folder_print(folder, "list.csv", "name,paid\nCoble,5.20\n");
    snprintf(line, sizeof line,
             "mkfifo pipe; { exec 3>pipe; echo Oar,1,0.10 >>owned.csv; cat list.csv >&3; } & "
             "'%s' bought . pipe --apply",
             program_path());
    Run run;
    run_program("sh", folder, WORDS("-c", line), &run);
    desk_expect_told(&run, 4,
                     "error: cannot write './owned.csv': it was changed while this ran; run this again, so that "
                     "nothing of it is lost\n");
    run_forget(&run);
    desk_expect_file(folder, "owned.csv", "name,copies,paid\nOar,1,0.10\n");
    folder_remove(folder);
    free(folder);
}

/* Of two at once each books its list, or says that it did not. */
static void two_at_once_lose_nothing(void **state)
{
    (void)state;
    char *folder = make("", NULL), line[9000];
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nowned: [owned.csv]\n");
    folder_print(folder, "first.csv", "name,paid\nCoble,5.20\n");
    folder_print(folder, "second.csv", "name,paid\nLamp,0.50\n");
    snprintf(
        line, sizeof line,
        "for k in 1 2 3 4 5 6 7 8 9 10 11 12; do echo name,copies,paid >owned.csv; "
        "('%s' bought . first.csv --apply >out1 2>&1; echo $? >code1) & '%s' bought . second.csv --apply >out2 2>&1; "
        "echo $? >code2; wait; "
        "test $(cat code1 code2 | grep -c '^0$') = $(grep -c '^[CL]' owned.csv) || { cat out1 out2 owned.csv; "
        "exit 1; }; "
        "cat code1 code2 | grep -qv '^[04]$' && exit 2; done; exit 0",
        program_path(), program_path());
    Run run;
    run_program("sh", folder, WORDS("-c", line), &run);
    if (run.code != 0)
        fail_msg("%d: %s", run.code, run.out);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plan_is_bought_in_parcels),
        cmocka_unit_test(what_was_booked_is_left_out),
        cmocka_unit_test(gifts_and_second_copies_are_booked_once),
        cmocka_unit_test(copies_without_a_column_are_booked_once),
        cmocka_unit_test(lines_of_one_card_are_booked_by_themselves),
        cmocka_unit_test(paid_is_only_told_where_the_cap_does_not_count_it),
        cmocka_unit_test(what_is_no_candidate_stays_booked),
        cmocka_unit_test(the_models_headers_stay),
        cmocka_unit_test(sheets_keep_their_decimal_marks),
        cmocka_unit_test(pool_and_journal_keep_their_decimal_marks),
        cmocka_unit_test(what_is_paid_turns_into_the_models_currency),
        cmocka_unit_test(lines_of_other_cards_stay),
        cmocka_unit_test(a_sheet_keeps_what_it_says),
        cmocka_unit_test(too_much_is_paid),
        cmocka_unit_test(bad_lists_are_told),
        cmocka_unit_test(a_shopping_list_comes_back),
        cmocka_unit_test(the_line_to_copy_is_right),
        cmocka_unit_test(a_sheet_that_changes_is_not_written_over),
        cmocka_unit_test(two_at_once_lose_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
