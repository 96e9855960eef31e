/* test_journal.c - revisions that are taken, the journal that remembers them, trials and nevers, from outside. Cards
 * and reasons are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"

static const char model[] = "size: 4\nspending_cap: 9.50\ncolours: [ebb, silt]\ncap_counts: paid and to buy\n";
static const char cards[] = "name,colours,power,price,trial,never\n"
                            "Coble,ebb,9,4.00,,\nDrag,ebb,8,3.00,,\nFender,silt,7,2.00,,\n"
                            "Kelp,silt,6,1.00,2026-06-01,\nLamp,,5,0.50,,\nOar,,4,0.25,,too thin\n";
static const char scenario[] =
    "model: model.yaml\ncards: [cards.csv]\npool: pool.csv\nowned: [owned.csv]\npool_owned: no\n";
static const char pool[] = "name,note,paid\nOar,x,\nLamp,y,\nFender,,2.10\nGone,,\nKelp,,\n";

static char *make(void)
{
    char *folder = folder_new();
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "scenario.yaml", scenario);
    folder_print(folder, "pool.csv", pool);
    folder_print(folder, "owned.csv", "name,copies,paid\n");
    return folder;
}

/* In a list of ours the line of a card that enters says what the other lines say, and its price is that of the sheet of
 * prices, as in the journal. */
static void a_card_that_enters_has_its_line(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml", "size: 2\nspending_cap: 9.00\ncolours: [ebb, silt]\n");
    folder_print(folder, "cards.csv", "name,colours,power,price\nCoble,ebb,9,4.00\nDrag,ebb,8,8.00\nLamp,,5,0.50\n");
    folder_print(folder, "prices.csv", "name,price\nCoble,4.00\n");
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\npool: pool.csv\npool_owned: no\n");
    folder_print(folder, "pool.csv", "name\nCoble\n");
    Run run;
    run_poolwright(folder, (const char *const[]){"best", ".", "-o", "pool.csv", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    folder_print(folder, "prices.csv", "name,price\nCoble,4.00\nDrag,1.25\n");
    run_poolwright(folder, (const char *const[]){"revise", ".", "--swaps", "1", "--apply", NULL}, NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    desk_expect_file(folder, "pool.csv",
                     "name,colours,power,price,chosen,class,fit,reason\r\n"
                     "Coble,ebb,9,4.00,1,mono,9,stays\r\nDrag,ebb,8,1.25,1,mono,8,\r\n");
    folder_remove(folder);
    free(folder);
}

static void expect_said(const char *folder, int code, const char *const *arguments, const char *what, bool there)
{
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    assert_int_equal(run.code, code);
    if ((strstr(run.out, what) != NULL || strstr(run.err, what) != NULL) != there)
        fail_msg("%s: %s\n%s", what, run.out, run.err);
    run_forget(&run);
}

/* Best are Drag, Fender, Kelp, Lamp for 6.50, with the 2.10 paid 8.60: Oar is never in, and Coble costs 1.00 too much
 * in place of Drag. */
static void a_revision_is_taken(void **state)
{
    (void)state;
    char *folder = make();
    json_t *root = run_answer(
        folder, 0,
        (const char *const[]){"revise", ".", "--swaps", "2", "--apply", "--json", "--today", "2026-03-01", NULL});
    assert_int_equal(json_array_size(json_object_get(root, "journal")), 3);
    json_decref(root);
    desk_expect_file(folder, "pool.csv", "name,note,paid\r\nLamp,y,\r\nFender,,2.10\r\nKelp,,\r\nDrag,,\r\n");
    desk_expect_file(folder, "journal.csv",
                     "date,change,card,copies,price,reason\r\n2026-03-01,out,Oar,1,0.25,too thin\r\n"
                     "2026-03-01,out,Gone,1,,no candidate any more\r\n"
                     "2026-03-01,in,Drag,1,3.00,\"one of 1 out and 1 in: fit 22 to 26, limits broken before\"\r\n");
    /* again: nothing to take, nothing written */
    expect_said(folder, 0, (const char *const[]){"revise", ".", "--apply", "--today", "2026-03-02", NULL},
                "Nothing to take", true);
    root = run_answer(folder, 0, (const char *const[]){"why", ".", "Oar", "--json", "--today", "2026-03-02", NULL});
    const json_t *card = json_array_get(json_object_get(root, "cards"), 0);
    assert_string_equal(json_text(json_object_get(card, "cut"), "date"), "2026-03-01");
    assert_string_equal(json_text(json_object_get(card, "cut"), "reason"), "too thin");
    assert_string_equal(json_text(card, "never"), "too thin");
    json_decref(root);
    desk_done(folder);
}

/* Fender is paid for: its line stays when it leaves. It comes again when it is better, and that is told. */
static void a_card_that_was_cut_is_proposed_again(void **state)
{
    (void)state;
    char *folder = make();
    folder_print(folder, "cards.csv",
                 "name,colours,power,price\nCoble,ebb,9,1.00\nDrag,ebb,8,3.00\nFender,silt,1,2.00\nKelp,silt,6,1.00\n"
                 "Lamp,,5,0.50\n");
    folder_print(folder, "pool.csv", "Our pool,,\n\nname,chosen,paid\nFender,1,2.10\nDrag,1,\nKelp,1,\nLamp,1,\n");
    expect_said(folder, 0,
                (const char *const[]){"revise", ".", "--apply", "--reason", "too slow", "--today", "2026-03-01", NULL},
                "Taken: 1 out, 1 in", true);
    desk_expect_file(
        folder, "pool.csv",
        "Our pool,,\r\n\r\nname,chosen,paid\r\nFender,0,2.10\r\nDrag,1,\r\nKelp,1,\r\nLamp,1,\r\nCoble,1,\r\n");
    desk_expect_file(folder, "journal.csv",
                     "date,change,card,copies,price,reason\r\n2026-03-01,out,Fender,1,2.00,too slow\r\n"
                     "2026-03-01,in,Coble,1,1.00,too slow\r\n");
    folder_print(folder, "cards.csv",
                 "name,colours,power,price\nCoble,ebb,9,1.00\nDrag,ebb,8,3.00\nFender,silt,7,2.00\nKelp,silt,6,1.00\n"
                 "Lamp,,5,0.50\n");
    expect_said(folder, 0, (const char *const[]){"revise", ".", "--today", "2026-09-01", NULL},
                "Proposed again\n  Fender: cut on 2026-03-01: too slow", true);
    expect_said(folder, 0, (const char *const[]){"why", ".", "Fender", "--today", "2026-09-01", NULL},
                "It was cut on 2026-03-01: too slow.", true);
    json_t *root = run_answer(folder, 0, (const char *const[]){"revise", ".", "--json", "--today", "2026-09-01", NULL});
    const json_t *cut = json_array_get(json_object_get(root, "cut_before"), 0);
    assert_string_equal(json_text(cut, "name"), "Fender");
    assert_string_equal(json_text(cut, "reason"), "too slow");
    json_decref(root);
    /* best tells it as well, and counts it on its first screen */
    expect_said(folder, 0, (const char *const[]){"best", ".", "--show", "changes", "--today", "2026-09-01", NULL},
                "Fender: cut on 2026-03-01: too slow", true);
    expect_said(folder, 0, (const char *const[]){"best", ".", "--today", "2026-09-01", NULL},
                "1 that comes in was cut before", true);
    /* taken again: then it is no card that was cut */
    expect_said(folder, 0, (const char *const[]){"revise", ".", "--apply", "--today", "2026-09-02", NULL},
                "Taken: 1 out, 1 in", true);
    expect_said(folder, 0, (const char *const[]){"why", ".", "Fender", "--today", "2026-09-03", NULL}, "It was cut",
                false);
    /* before that day it was not cut */
    expect_said(folder, 0, (const char *const[]){"revise", ".", "--today", "2026-02-01", NULL}, "Proposed again",
                false);
    desk_done(folder);
}

/* The day before Kelp stays, though Drag is better; on the day it goes. */
static void a_trial_ends(void **state)
{
    (void)state;
    char *folder = make();
    folder_print(folder, "cards.csv",
                 "name,colours,power,price,trial\nCoble,ebb,9,1.00,\nDrag,ebb,8,3.00,\nFender,silt,7,2.00,\n"
                 "Kelp,silt,1,1.00,2026-06-01\nLamp,,5,0.50,\n");
    folder_print(folder, "pool.csv", "name\nCoble\nFender\nKelp\nLamp\n");
    static const char *const before[] = {"revise", ".", "--swaps", "1", "--apply", "--today", "2026-05-31", NULL};
    static const char *const after[] = {"revise", ".", "--swaps", "1", "--apply", "--today", "2026-06-01", NULL};
    expect_said(folder, 0, before, "Taken: 1 out, 1 in", true);
    desk_expect_file(folder, "pool.csv", "name\r\nCoble\r\nFender\r\nKelp\r\nDrag\r\n");
    expect_said(folder, 0, after, "Taken: 1 out, 1 in", true);
    desk_expect_file(folder, "pool.csv", "name\r\nCoble\r\nFender\r\nDrag\r\nLamp\r\n");
    desk_expect_file(
        folder, "journal.csv",
        "date,change,card,copies,price,reason\r\n2026-05-31,out,Lamp,1,0.50,makes room for Drag: 3 more fit\r\n"
        "2026-05-31,in,Drag,1,3.00,instead of Lamp: 3 more fit\r\n"
        "2026-06-01,out,Kelp,1,1.00,makes room for Lamp: 4 more fit\r\n"
        "2026-06-01,in,Lamp,1,0.50,instead of Kelp: 4 more fit\r\n");
    desk_done(folder);
}

/* In each verb that reads, from that day on, until the journal says what became of it. */
static void the_day_of_a_trial_is_told(void **state)
{
    (void)state;
    char *folder = make();
    static const char told[] = "'Kelp' was on trial until 2026-06-01";
    static const char *const verb[] = {"best", "revise", "check"};
    for (size_t k = 0; k < 3; k++) {
        expect_said(folder, 0, (const char *const[]){verb[k], ".", "--today", "2026-05-31", NULL}, told, false);
        expect_said(folder, 0, (const char *const[]){verb[k], ".", "--today", "2026-06-01", NULL}, told, true);
    }
    expect_said(folder, 0, (const char *const[]){"check", ".", "--rules", "--today", "2026-05-31", NULL},
                "trial until 2026-06-01)", true);
    expect_said(folder, 0, (const char *const[]){"check", ".", "--today", "2026-05-31", NULL},
                "1 to keep, 1 banned, 0 wishes, 1 on trial, 4 in the present pool", true);
    expect_said(folder, 0, (const char *const[]){"check", ".", "--rules", NULL}, "Oar must stay out (too", true);
    expect_said(folder, 0, (const char *const[]){"revise", ".", "--apply", "--today", "2026-06-03", NULL}, told, true);
    char *journal = folder_read(folder, "journal.csv", NULL);
    assert_non_null(strstr(journal, "2026-06-03,stays,Kelp,1,1.00,its trial ended\r\n"));
    free(journal);
    expect_said(folder, 0, (const char *const[]){"best", ".", "--today", "2026-06-04", NULL}, told, false);
    desk_done(folder);
}

/* The revision's reason is not that of a card which stays, nor of one that was not in the pool. */
static void an_ended_trial_has_its_own_reason(void **state)
{
    (void)state;
    static const char *const apply[] = {"revise", ".", "--apply", "--reason", "dull", "--today", "2026-06-03", NULL};
    char *folder = make();
    expect_said(folder, 0, apply, "Taken: 2 out, 1 in", true);
    char *journal = folder_read(folder, "journal.csv", NULL);
    assert_non_null(
        strstr(journal, "2026-06-03,in,Drag,1,3.00,dull\r\n2026-06-03,stays,Kelp,1,1.00,its trial ended\r\n"));
    free(journal);
    folder_remove(folder);
    free(folder);
    folder = make();
    folder_print(folder, "pool.csv", "name\nOar\nLamp\nFender\n");
    folder_print(folder, "cards.csv",
                 "name,colours,power,price,trial\nCoble,ebb,9,1.00,\nDrag,ebb,8,3.00,\nFender,silt,7,2.00,\n"
                 "Kelp,silt,1,1.00,2026-06-01\nLamp,,5,0.50,\nOar,,1,0.25,\n");
    expect_said(folder, 0, apply, "Taken", true);
    journal = folder_read(folder, "journal.csv", NULL);
    if (strstr(journal, "2026-06-03,out,Kelp,1,1.00,\"its trial ended, and it was not in the pool\"\r\n") == NULL)
        fail_msg("%s", journal);
    free(journal);
    desk_done(folder);
}

/* The scenario's words, and a journal of the user's own: other columns, another separator, another name. */
static void words_of_the_scenario_and_a_journal_of_ones_own(void **state)
{
    (void)state;
    char *folder = make(), text[400];
    snprintf(text, sizeof text, "%strial: {Lamp: 01.06.2026}\nnever: {Drag: \"rusty, and dear\"}\njournal: book.csv\n",
             scenario);
    folder_print(folder, "scenario.yaml", text);
    folder_print(folder, "pool.csv", "name\nOar\nLamp\nFender\nGone\nKelp\n");
    folder_print(folder, "book.csv", "Our book;;;\nwho;date;card;change\nIda;05.01.2026;Nobody;in\n");
    expect_said(folder, 0, (const char *const[]){"why", ".", "Drag", "--today", "2026-05-01", NULL},
                "(scenario.yaml:7): rusty, and dear", true);
    expect_said(folder, 0, (const char *const[]){"why", ".", "Lamp", "--today", "2026-05-01", NULL},
                "Lamp is in on trial until 2026-06-01 (scenario.yaml:6)", true);
    expect_said(folder, 0, (const char *const[]){"check", ".", "--today", "2026-06-01", NULL},
                "scenario.yaml:6:9: notice: 'Lamp' was on trial until 2026-06-01", true);
    expect_said(
        folder, 0,
        (const char *const[]){"revise", ".", "--apply", "--reason", "why, indeed", "--today", "2026-05-01", NULL},
        "Taken: 2 out, 1 in", true);
    desk_expect_file(folder, "book.csv",
                     "Our book;;;\r\nwho;date;card;change;copies;price;reason\r\nIda;05.01.2026;Nobody;in;;;\r\n"
                     ";2026-05-01;Oar;out;1;0.25;why, indeed\r\n;2026-05-01;Gone;out;1;;no candidate any more\r\n"
                     ";2026-05-01;Coble;in;1;4.00;why, indeed\r\n");
    assert_false(folder_has(folder, "journal.csv"));
    desk_done(folder);
}

/* The scenario's day counts, not the sheet's: an earlier one ends the trial, a later one goes on with it. */
static void the_scenario_moves_the_day_of_a_trial(void **state)
{
    (void)state;
    static const char *const day[] = {"2026-05-01", "2026-07-01"};
    for (int later = 0; later < 2; later++) {
        char *folder = make(), text[400];
        folder_print(folder, "cards.csv",
                     "name,power,price,trial\nCoble,9,1.00,\nDrag,8,1.00,\nFender,7,1.00,\nLamp,5,0.50,\n"
                     "Kelp,1,1.00,2026-06-15\n");
        snprintf(text, sizeof text, "%strial: {Kelp: %s}\n", scenario, day[later]);
        folder_print(folder, "scenario.yaml", text);
        folder_print(folder, "pool.csv", "name\nCoble\nDrag\nFender\nKelp\n");
        static const char *const before[] = {"best", ".", "--rules", "--today", "2026-05-15", NULL};
        static const char *const after[] = {"best", ".", "--rules", "--today", "2026-06-20", NULL};
        expect_said(folder, 0, before, "Kelp must be in", later);
        expect_said(folder, 0, before, "'Kelp' was on trial until 2026-05-01", !later);
        expect_said(folder, 0, after, "Kelp must be in", later);
        desk_done(folder);
    }
}

/* A short list speaks later than the cards sheet: its keep and ban count before `never` and `trial` there, a wish does
 * not touch them. Within one line they contradict each other, whatever a short list says. */
static void a_short_list_speaks_after_trial_and_never(void **state)
{
    (void)state;
    static const char *const best[] = {"best", ".", "--rules", "--today", "2026-05-15", NULL};
    char *folder = make();
    folder_print(folder, "cards.csv",
                 "name,power,price,trial,never\nCoble,9,1.00,2026-06-01,\nDrag,8,1.00,,dull\nFender,7,1.00,,thin\n"
                 "Lamp,5,0.50,,\nOar,4,0.50,,\nKelp,1,1.00,2026-06-01,\n");
    folder_print(folder, "marks.csv", "name,status\nCoble,ban\nDrag,keep\nFender,wish\nKelp,wish\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\ntags: [marks.csv]\n");
    expect_said(folder, 0, best, "Drag must be in", true);
    expect_said(folder, 0, best, "Coble must stay out", true);
    expect_said(folder, 0, best, "Fender must stay out", true);
    expect_said(folder, 0, best, "Kelp must be in", true);
    folder_print(folder, "cards.csv", "name,power,price,trial,status\nCoble,9,1.00,2026-06-01,ban\n");
    folder_print(folder, "marks.csv", "name,status\nCoble,ban\n");
    expect_said(folder, 2, best, "cards.csv:2:1: error: 'Coble' is on trial and may not be in", true);
    desk_done(folder);
}

typedef struct {
    const char *file, *text;
    const char *arguments[8];
    const char *message;
} Wrong;

static void what_is_wrong_is_told_and_nothing_is_written(void **state)
{
    (void)state;
    static const Wrong wrong[] = {
        {"journal.csv", "date,change\n", {"best", "."}, "journal.csv:1:1: error: found no column 'card'"},
        {"journal.csv",
         "date,change,card\n2026-02-30,out,Oar\n",
         {"best", "."},
         "journal.csv:2:1: error: column 'date': found '2026-02-30', expected a date such as 2026-03-31"},
        {"journal.csv",
         "date,change,card\n2026-02-01,gone,Oar\n",
         {"best", "."},
         "journal.csv:2:12: error: column 'change': found 'gone', expected out, in or stays"},
        {"journal.csv",
         "date,change,card\n2026-02-01,out,\n",
         {"best", "."},
         "journal.csv:2:16: error: column 'card': found ''"},
        {"journal.csv",
         "date,change,card,copies\n2026-02-01,out,Oar,0\n",
         {"best", "."},
         "journal.csv:2:20: error: column 'copies': found '0', expected a whole number of copies"},
        {"journal.csv",
         "date,change,card,price\n2026-02-01,out,Oar,dear\n",
         {"best", "."},
         "journal.csv:2:20: error: column 'price': found 'dear', expected money such as 4.50"},
        {"cards.csv",
         "name,power,price,trial\nOar,1,1,soon\n",
         {"best", "."},
         "cards.csv:2:9: error: column 'trial': found 'soon', expected a day such as 2026-06-01"},
        {"cards.csv",
         "name,power,price,trial,status\nOar,1,1,2999-01-01,ban\n",
         {"best", "."},
         "'Oar' is on trial and may not be in"},
        {"cards.csv",
         "name,power,price,never,status\nOar,1,1,thin,keep\n",
         {"best", "."},
         "'Oar' is kept and never in"},
        {"scenario.yaml",
         "model: model.yaml\ncards: [cards.csv]\ntrial: {Oar: soon}\n",
         {"best", "."},
         "scenario.yaml:3:14: error: found 'soon', expected a day such as 2026-06-01"},
        {"scenario.yaml",
         "model: model.yaml\ncards: [cards.csv]\ntrial: {Oarr: 2026-01-01}\n",
         {"best", "."},
         "no candidate is called 'Oarr'; did you mean 'Oar'?"},
        {"scenario.yaml",
         "model: model.yaml\ncards: [cards.csv]\nkeep: [Drag]\nnever: {Drag: rusty}\n",
         {"best", "."},
         "'Drag' is both kept and banned"},
        {"scenario.yaml",
         "model: model.yaml\ncards: [cards.csv]\n",
         {"revise", ".", "pool.csv", "--apply"},
         "expected no list"},
        {"scenario.yaml",
         "model: model.yaml\ncards: [cards.csv]\nowned: [owned.csv]\npool: text.xlsx\n",
         {"revise", ".", "--apply"},
         "scenario.yaml:4:7: error: --apply changes text alone, and the present pool './text.xlsx' is none: save it as "
         ".csv, and name that here"},
        {"x", "", {"revise", ".", "--apply", "-o", "new.csv"}, "found -o and --apply, expected one of them"},
        {"x", "", {"revise", ".", "--reason", "so"}, "--reason: it goes into the journal"},
        {"x", "", {"revise", ".", "--apply", "--new", "cards.csv"}, "name the sheet under `cards:`"},
        {"journal.csv", "date,change,card\n", {"best", ".", "-o", "journal.csv"}, "would be overwritten"},
        {"cards.csv",
         "name,power,price,status\nOar,1,1,in\nLamp,1,1,\nKelp,1,1,\nDrag,1,1,\nFender,1,1,\n",
         {"revise", ".", "--apply"},
         "'Oar' is in the present pool by its status `in`"},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char *folder = make();
        Run run;
        folder_print(folder, wrong[k].file, wrong[k].text);
        folder_print(folder, "text.xlsx", pool);
        run_poolwright(folder, wrong[k].arguments, NULL, &run);
        if (run.code != 2 || strstr(run.err, wrong[k].message) == NULL)
            fail_msg("%s: %d %s", wrong[k].message, run.code, run.err);
        run_forget(&run);
        desk_expect_file(folder, "pool.csv", pool);
        assert_int_equal(folder_has(folder, "journal.csv"), strcmp(wrong[k].file, "journal.csv") == 0);
        desk_done(folder);
    }
}

/* ---- sheets of the present pool in every way that people write them ---- */

enum { WAYS = 6, RANDOM_CARDS = 9 };

/* One line of the pool's sheet, by the way that the sheet is written. */
static void add_pool_line(Text *sheet, int way, Dice *dice, int card, int copies, int64_t *paid)
{
    static const char *const count[] = {"%d", "%dx", "x%d"};
    char number[16] = "";
    const char mark = way == 3 ? ';' : ',';
    snprintf(number, sizeof number, count[copies == 0 ? 0 : dice_roll(dice, 0, 2)], copies);
    if (way == 0) /* a line for each copy */
        text_printf(sheet, "Card %d\n", card);
    else if (way == 1)
        text_printf(sheet, "%dx Card %d\n", copies, card);
    else if (way == 2)
        text_printf(sheet, "\"note, of %d\",card %d,%s\n", card, card, number);
    else {
        const int cents = dice_chance(dice, 40) ? dice_roll(dice, 0, 300) : -1;
        text_printf(sheet, "CARD %d%c%s%c", card, mark, number, mark);
        if (cents >= 0)
            text_printf(sheet, way == 3 ? "%d,%02d" : "%d.%02d", cents / 100, cents % 100);
        *paid += cents > 0 ? cents : 0;
        text_add(sheet, way == 5 ? ",kept as it was\n" : "\n");
    }
}

static void write_random_pool(const char *folder, Dice *dice, int way, int64_t *paid)
{
    static const char *const header[WAYS] = {"name\n",
                                             "name\n",
                                             "note,name,chosen\n",
                                             "name;copies;paid\n",
                                             "name,chosen,paid\n",
                                             "name,copies,paid,mine\n"};
    Text sheet = {0};
    *paid = 0;
    text_add(&sheet, header[way]);
    for (int card = 0; card < RANDOM_CARDS; card++) {
        const int lines = dice_roll(dice, 0, 2);
        for (int k = 0; k < lines; k++)
            add_pool_line(&sheet, way, dice, card, dice_roll(dice, way >= 2 ? 0 : 1, 2), paid);
    }
    if (way >= 3) {
        text_printf(&sheet, way == 3 ? "Gone;1;0,50\n" : "Gone,1,0.50%s\n", way == 5 ? "," : "");
        *paid += 50;
    }
    add_pool_line(&sheet, way, dice, 0, 1, paid);
    folder_print(folder, "pool.csv", text_cstr(&sheet));
    text_release(&sheet);
}

static void write_random_cards(const char *folder, Dice *dice)
{
    Text sheet = {0};
    text_add(&sheet, "name,power,price,copies,status\n");
    for (int card = 0; card < RANDOM_CARDS; card++)
        text_printf(&sheet, "Card %d,%d,0.%02d,%d,%s\n", card, dice_roll(dice, 1, 9), dice_roll(dice, 5, 50),
                    dice_roll(dice, 1, 3), dice_chance(dice, 12) ? "ban" : "");
    folder_print(folder, "cards.csv", text_cstr(&sheet));
    text_release(&sheet);
}

/* Of the answer's one point. */
static int64_t told(const json_t *root, const char *key, int scale)
{
    return json_units(json_array_get(json_object_get(root, "points"), 0), key, scale);
}

static json_t *applied(const char *folder, uint64_t seed)
{
    static const char *const apply[] = {"revise", ".", "--swaps", "30", "--gap", "0", "--apply", "--json", NULL};
    Run run;
    run_poolwright(folder, apply, NULL, &run);
    if (run.code != 0)
        fail_msg("seed %llu, files in %s: %d\n%s", (unsigned long long)seed, folder, run.code, run.err);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

/* What was taken is what is read again, and no money is lost. */
static void sheets_of_the_present_pool_are_changed_as_they_are(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(60);
    uint64_t changed = 0;
    for (uint64_t seed = first; seed < first + count; seed++) {
        Dice dice;
        int64_t paid;
        char *folder = make();
        dice_seed(&dice, seed);
        folder_print(folder, "model.yaml", "size: 6\ncolours: [ebb, silt]\nspending_cap: 50.00\n");
        write_random_cards(folder, &dice);
        write_random_pool(folder, &dice, (int)(seed % WAYS), &paid);
        json_t *root = applied(folder, seed), *again = applied(folder, seed);
        changed += json_array_size(json_object_get(root, "journal")) > 0;
        if (told(root, "paid", 100) != paid || told(again, "paid", 100) != paid ||
            told(again, "fit", 1000) != told(root, "fit", 1000) || told(again, "out", 1) != 0 ||
            told(again, "in", 1) != 0 || json_array_size(json_object_get(again, "journal")) != 0)
            fail_msg("seed %llu, files in %s", (unsigned long long)seed, folder);
        json_decref(root);
        json_decref(again);
        desk_done(folder);
    }
    assert_true(count < 20 || changed * 2 > count);
}

/* The journal cannot be written: the pool stays as it is. */
static void a_journal_that_cannot_be_written(void **state)
{
    (void)state;
    char *folder = make(), text[400];
    snprintf(text, sizeof text, "%sjournal: nowhere/book.csv\n", scenario);
    folder_print(folder, "scenario.yaml", text);
    expect_said(folder, 4, (const char *const[]){"revise", ".", "--apply", NULL}, "nowhere", true);
    desk_expect_file(folder, "pool.csv", pool);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_revision_is_taken),
        cmocka_unit_test(a_card_that_enters_has_its_line),
        cmocka_unit_test(a_card_that_was_cut_is_proposed_again),
        cmocka_unit_test(a_trial_ends),
        cmocka_unit_test(the_day_of_a_trial_is_told),
        cmocka_unit_test(an_ended_trial_has_its_own_reason),
        cmocka_unit_test(words_of_the_scenario_and_a_journal_of_ones_own),
        cmocka_unit_test(the_scenario_moves_the_day_of_a_trial),
        cmocka_unit_test(a_short_list_speaks_after_trial_and_never),
        cmocka_unit_test(what_is_wrong_is_told_and_nothing_is_written),
        cmocka_unit_test(sheets_of_the_present_pool_are_changed_as_they_are),
        cmocka_unit_test(a_journal_that_cannot_be_written),
    };
    return cmocka_run_group_tests_name("journal", tests, NULL, NULL);
}
