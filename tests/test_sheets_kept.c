/* test_sheets_kept.c - sheets that are written are as those that were read: with their decimal commas and their byte
 * order mark. All data are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

#define REST "colours: [ebb, flow]\nspending_cap: 9.00\n"
#define SCENARIO "model: model.yaml\ncards: [cards.csv]\n"

/* Where the cards' sheet writes 4,5 so do the sheets that come out; a spreadsheet program set up so would make a date
 * of 4.5. */
static void sheets_keep_the_decimal_comma(void **state)
{
    (void)state;
    static const struct {
        const char *cards, *each, *fit;
    } sheet[] = {
        {"name;colours;power;price\nAsh Kite;ebb;4,5;1,20 EUR\nBell Cart;ebb;5;2\n",
         "buy;Ash Kite;1;1,20;1,20;;ebb;mono;", ";4,5\r\n"},
        {"name;colours;power;price\nAsh Kite;ebb;4.5;1.20 EUR\nBell Cart;ebb;5;2\n",
         "buy;Ash Kite;1;1.20;1.20;;ebb;mono;", ";4.5\r\n"},
        {"name\tcolours\tpower\tprice\nAsh Kite\tebb\t4,5\t1.2\nBell Cart\tebb\t5,5\t2\n",
         "buy\tAsh Kite\t1\t1,20\t1,20\t\tebb\tmono\t", "\t4,5\r\n"},
        {"name,colours,power,price\nAsh Kite,ebb,4.5,1.20\nBell Cart,ebb,5,\"2.00\"\n",
         "buy,Ash Kite,1,1.20,1.20,,ebb,mono,", ",4.5\r\n"},
    };
    for (size_t k = 0; k < sizeof sheet / sizeof *sheet; k++) {
        Run run;
        char *folder = folder_new();
        folder_print(folder, "model.yaml", "size: 2\n" REST);
        folder_print(folder, "cards.csv", sheet[k].cards);
        folder_print(folder, "scenario.yaml", SCENARIO);
        run_poolwright(folder, (const char *const[]){"best", ".", "--shopping", "shopping.csv", NULL}, NULL, &run);
        assert_int_equal(run.code, 0);
        run_forget(&run);
        run_poolwright(folder, (const char *const[]){"find", ".", "-o", "found.csv", NULL}, NULL, &run);
        assert_int_equal(run.code, 0);
        run_forget(&run);
        char *shopping = folder_read(folder, "shopping.csv", NULL), *found = folder_read(folder, "found.csv", NULL);
        if (strstr(shopping, sheet[k].each) == NULL || strstr(found, sheet[k].fit) == NULL)
            fail_msg("expected '%s' and '%s' in\n%s\n%s", sheet[k].each, sheet[k].fit, shopping, found);
        free(shopping);
        free(found);
        folder_remove(folder);
        free(folder);
    }
}

/* A program that saves with a byte order mark, or in Windows-1252, needs the mark to read accents again. */
static void sheets_keep_the_mark(void **state)
{
    (void)state;
    static const struct {
        const char *cards;
        bool marked;
    } sheet[] = {
        {"\xEF\xBB\xBFname;price\n\xC3\x85sh Kite;1\nBell Cart;1\n", true},
        {"name;price\n\xC5sh Kite;1\nBell Cart;1\n", true},
        {"name;price\n\xC3\x85sh Kite;1\nBell Cart;1\n", false},
    };
    static const char *const file[] = {"pool.csv",      "shopping.csv",       "found.csv",    "fill.csv",
                                       "all/cards.csv", "all/comparison.csv", "all/base.csv", "next.csv"};
    static const char *const run_of[][10] = {
        {"best", ".", "-o", "pool.csv", "--shopping", "shopping.csv"},
        {"find", ".", "-o", "found.csv"},
        {"find", ".", "--sheet", "-o", "fill.csv"},
        {"what-if", ".", "-o", "all"},
        {"feedback", ".", "notes.csv", "--apply", "-o", "next.csv"},
    };
    for (size_t k = 0; k < sizeof sheet / sizeof *sheet; k++) {
        char *folder = folder_new();
        folder_print(folder, "model.yaml", "size: 2\n" REST);
        folder_print(folder, "cards.csv", sheet[k].cards);
        folder_print(folder, "notes.csv", "card;verdict\nBell Cart;better\n");
        folder_print(folder, "scenario.yaml", SCENARIO);
        for (size_t r = 0; r < sizeof run_of / sizeof *run_of; r++) {
            Run run;
            run_poolwright(folder, run_of[r], NULL, &run);
            if (run.code != 0)
                fail_msg("%s: exit code %d\n%s", run_of[r][0], run.code, run.err);
            run_forget(&run);
        }
        for (size_t f = 0; f < sizeof file / sizeof *file; f++) {
            char *text = folder_read(folder, file[f], NULL);
            if (text == NULL || (strncmp(text, "\xEF\xBB\xBF", 3) == 0) != sheet[k].marked ||
                strstr(text + 3, "\xEF\xBB\xBF") != NULL)
                fail_msg("sheet %zu: %s\n%s", k, file[f], text);
            free(text);
        }
        folder_remove(folder);
        free(folder);
    }
}

static void expect_applied(const char *folder, const char *const *arguments, const char *file, const char *text)
{
    Run run;
    desk_run(folder, &run, 0, arguments);
    run_forget(&run);
    desk_expect_file(folder, file, text);
}

/* The columns' names once more, as on each page of a printed list, stand where they stood, with the columns that come;
 * also where the line below them leaves, and where nothing is below. */
static void sheets_keep_headers_further_down(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", "size: 2\ncolours: [ebb, flow]\ncap_counts: paid and to buy\nspending_cap: 9\n");
    folder_print(folder, "cards.csv",
                 "name,price,power\nAsh Kite,1,5\n\nname,price,power\n\nBell Cart,1,1\nCart,1,4\nname,price,power\n");
    folder_print(folder, "notes.csv", "card,verdict\nBell Cart,better\n");
    folder_print(folder, "owned.csv", "Our box\nname,copies\nAsh Kite,1\nname,copies\nBell Cart,1\n");
    folder_print(folder, "shopping.csv", "name,paid\nCart,0.80\n");
    folder_print(folder, "pool.csv",
                 "name,\"my\nnote\"\nname,\"my\nnote\"\nBell Cart,x\n\nname,\"my\nnote\"\nAsh Kite,\n");
    folder_print(folder, "scenario.yaml", SCENARIO "owned: [owned.csv]\npool: pool.csv\njournal: j.csv\n");
    folder_print(folder, "j.csv", "date,change,card\n2026-01-01,in,Ash Kite\ndate,change,card\n2026-02-01,in,Cart\n");
    expect_applied(folder, (const char *const[]){"feedback", ".", "notes.csv", "--apply", "-o", "next.csv", NULL},
                   "next.csv",
                   "name,price,power\r\nAsh Kite,1,5\r\n\r\nname,price,power\r\n\r\nBell Cart,1,1.5\r\nCart,1,4\r\n"
                   "name,price,power\r\n");
    expect_applied(folder, (const char *const[]){"bought", ".", "shopping.csv", "--apply", NULL}, "owned.csv",
                   "Our box\r\nname,copies,paid\r\nAsh Kite,1,\r\nname,copies,paid\r\nBell Cart,1,\r\nCart,1,0.80\r\n");
    expect_applied(
        folder, (const char *const[]){"revise", ".", "--apply", "--today", "2026-03-01", "--reason", "dull", NULL},
        "pool.csv", "name,\"my\nnote\"\r\nname,\"my\nnote\"\r\n\r\nname,\"my\nnote\"\r\nAsh Kite,\r\nCart,\r\n");
    desk_expect_file(folder, "j.csv",
                     "date,change,card,copies,price,reason\r\n2026-01-01,in,Ash Kite,,,\r\n"
                     "date,change,card,copies,price,reason\r\n2026-02-01,in,Cart,,,\r\n"
                     "2026-03-01,out,Bell Cart,1,1.00,dull\r\n2026-03-01,in,Cart,1,1.00,dull\r\n");
    /* and all of it is read again */
    Run run;
    desk_run(folder, &run, 0, (const char *const[]){"check", ".", NULL});
    run_forget(&run);
    desk_done(folder);
}

/* The first line that states the separator, and a title, stand again above the columns. */
static void sheets_keep_what_stands_above(void **state)
{
    (void)state;
    static const char *const above[] = {"sep=,\r\n", "sep=,\r\nMy box\r\n\r\n", "My box\r\n", ""};
    for (size_t k = 0; k < sizeof above / sizeof *above; k++) {
        char *folder = folder_new(), text[200];
        folder_print(folder, "model.yaml", "size: 1\n" REST);
        snprintf(text, sizeof text, "%sname,price,power\r\nAsh Kite,1,2\r\nBell Cart,1,1\r\n", above[k]);
        folder_write(folder, "cards.csv", text, strlen(text));
        folder_print(folder, "notes.csv", "card,verdict\nBell Cart,better\n");
        folder_print(folder, "scenario.yaml", SCENARIO);
        Run run;
        run_poolwright(folder, (const char *const[]){"feedback", ".", "notes.csv", "--apply", "-o", "next.csv", NULL},
                       NULL, &run);
        if (run.code != 0)
            fail_msg("exit code %d\n%s", run.code, run.err);
        run_forget(&run);
        snprintf(text, sizeof text, "%sname,price,power\r\nAsh Kite,1,2\r\nBell Cart,1,1.5\r\n", above[k]);
        char *next = folder_read(folder, "next.csv", NULL);
        assert_string_equal(next, text);
        free(next);
        folder_remove(folder);
        free(folder);
    }
}

static void a_new_folder_for_decimal_commas(void **state)
{
    (void)state;
    Run run;
    char *folder = folder_new(), *bound[2];
    static const char *const words[2][10] = {{"init", "new", "--size", "45", "--colours", "ebb,flow", "--semicolons"},
                                             {"init", "plain", "--size", "45", "--colours", "ebb,flow"}};
    for (int k = 0; k < 2; k++) {
        run_poolwright(folder, words[k], NULL, &run);
        assert_int_equal(run.code, 0);
        run_forget(&run);
        run_poolwright(folder, (const char *const[]){"best", words[k][1], NULL}, NULL, &run);
        assert_int_equal(run.code, 0);
        bound[k] = run.out;
        run.out = NULL;
        run_forget(&run);
    }
    assert_string_equal(strtok(bound[0], "\n"), strtok(bound[1], "\n")); /* the same cards and rules */
    char *cards = folder_read(folder, "new/cards.csv", NULL), *targets = folder_read(folder, "new/targets.csv", NULL),
         *plain = folder_read(folder, "plain/targets.csv", NULL);
    assert_non_null(strstr(
        cards,
        "\xEF\xBB\xBFname;colours;kind;cost;power;price;tags;owned;status;text\r\nSample ebb 1;ebb;body;1;4,0;0,10;"));
    assert_non_null(strstr(targets, "\xEF\xBB\xBFrule;all;ebb;flow\r\n"));
    assert_non_null(strstr(targets, "..")); /* 7-11 would become a date */
    assert_non_null(strstr(plain, ".."));
    free(bound[0]);
    free(bound[1]);
    free(cards);
    free(targets);
    free(plain);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sheets_keep_the_decimal_comma),   cmocka_unit_test(sheets_keep_the_mark),
        cmocka_unit_test(sheets_keep_what_stands_above),   cmocka_unit_test(sheets_keep_headers_further_down),
        cmocka_unit_test(a_new_folder_for_decimal_commas),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
