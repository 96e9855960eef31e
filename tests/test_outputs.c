/* test_outputs.c - files that are written: nothing that is read is written over, what cannot be written is said before
 * the search where it can be known, and the answer is shown where it could not. All data are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"

#define PRICES "name,price\nAsh Kite,1.10\nBell Cart,2.00\nCoal Lamp,3.00\n"

static void folder_link(const char *folder, const char *target, const char *name)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    assert_int_equal(symlink(target, path), 0);
}

/* The sheets that a scenario reads are the user's own work; another output may go over an older one. */
static void inputs_are_never_overwritten(void **state)
{
    (void)state;
    static const char *const wrong[][8] = {
        {"best", ".", "-o", "cards.csv"},
        {"best", "scenario.yaml", "-o", "./cards.csv"},
        {"best", ".", "-o", "scenario.yaml"},
        {"best", ".", "-o", "new.csv", "--shopping", "cards.csv"},
        {"best", "cards.csv", "--model", "model.yaml", "-o", "cards.csv"},
        {"find", ".", "-o", "cards.csv"},
        {"find", ".", "--sheet", "-o", "cards.csv"},
        {"find", ".", "--filter", "filter.yaml", "-o", "filter.yaml"},
        {"best", ".", "-o", "model.yaml"},
        {"best", ".", "--shopping", "model.yaml"},
        {"export", ".", "-o", "model.yaml"},
        {"export", "cards.csv", "--model", "model.yaml", "-o", "cards.csv"},
        {"audit", ".", "list.csv", "-o", "cards.csv"},
        {"revise", ".", "list.csv", "-o", "model.yaml"},
        {"revise", ".", "list.csv", "--new", "more.csv", "-o", "more.csv"},
        {"feedback", ".", "notes.csv", "--apply", "-o", "cards.csv"},
        {"feedback", ".", "notes.csv", "--apply", "-o", "notes.csv"},
        {"what-if", ".", "--csv", "model.yaml"},
        {"what-if", ".", "--caps", "1,2,3", "--plot", "cards.csv"},
        {"best", ".", "-o", "sheets/prices.csv"},
        {"best", ".", "--prices", "cards.csv", "-o", "sheets/prices.csv"}, /* the old prices are compared with */
        {"best", ".", "-o", "linked/money.csv"},
        {"best", ".", "--shopping", "old.csv"}, /* only a pool replaces the present pool */
        {"find", ".", "-o", "old.csv"},
        {"export", ".", "-o", "old.csv"},
        {"what-if", ".", "--csv", "old.csv"},
        {"feedback", ".", "notes.csv", "--apply", "-o", "old.csv"},
    };
    char *folder = desk_small_folder("");
    folder_print(folder, "filter.yaml", "kind: rig\n");
    folder_print(folder, "list.csv", "name\nAsh Kite\nBell Cart\n");
    folder_print(folder, "more.csv", "name,kind,power,price\nNew Kiln,rig,1,1.00\n");
    folder_print(folder, "notes.csv", "card,date,verdict,note\nAsh Kite,2026-01-02,better,\n");
    folder_print(folder, "base.csv",
                 DESK_CARDS); /* the name that what-if gives to the pool of the scenario as it stands */
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\nprices: [sheets/prices.csv]\npool: old.csv\n");
    folder_print(folder, "two.yaml", "model: model.yaml\ncards: [cards.csv, more.csv]\nprices: [sheets/prices.csv]\n");
    folder_print(folder, "sheets/prices.csv", PRICES);
    folder_print(folder, "old.csv", "name\nAsh Kite\n");
    folder_print(folder, "linked/own.csv", "");
    folder_link(folder, "../sheets/prices.csv", "linked/money.csv");
    folder_link(folder, "sheets", "elsewhere");
    folder_print(folder, "with-base.yaml", "model: model.yaml\ncards: [base.csv]\n");
    Run run;
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        run_poolwright(folder, wrong[k], NULL, &run);
        desk_expect_told(&run, 2, "is read by this scenario and would be overwritten, expected another name\n");
        run_forget(&run);
    }
    static const char *const folders[][8] = {
        {"what-if", ".", "-o", "."},
        {"what-if", "with-base.yaml", "-o", "."},
        {"what-if", ".", "-o", "sheets"},
        {"what-if", ".", "-o", "sheets/"},
        {"what-if", ".", "-o", "linked"},
        {"what-if", ".", "-o", "elsewhere"},
        {"what-if", ".", "--prices", "cards.csv", "-o", "sheets"},
        {"feedback", "two.yaml", "notes.csv", "--apply", "-o", "sheets"},
        {"feedback", "two.yaml", "notes.csv", "--apply", "-o", "."},
    };
    for (size_t k = 0; k < sizeof folders / sizeof *folders; k++) {
        run_poolwright(folder, folders[k], NULL, &run);
        desk_expect_told(&run, 2, "is read by this scenario and could be overwritten, expected another folder than '");
        run_forget(&run);
    }
    desk_expect_file(folder, "cards.csv", DESK_CARDS);
    desk_expect_file(folder, "sheets/prices.csv", PRICES);
    desk_expect_file(folder, "old.csv", "name\nAsh Kite\n");
    assert_false(folder_has(folder, "new.csv"));
    for (int again = 0; again < 2; again++) {
        run_poolwright(folder, (const char *const[]){"best", ".", "-o", "pool.csv", NULL}, NULL, &run);
        desk_expect_told(&run, 0, "The list is in pool.csv");
        run_forget(&run);
    }
    desk_done(folder);
}

static void nothing_to_draw_writes_nothing(void **state)
{
    (void)state;
    Run run;
    char *folder = desk_small_folder("");
    run_poolwright(folder,
                   (const char *const[]){"what-if", ".", "--caps", "0.10,0.20", "-o", "pools", "--csv", "all.csv",
                                         "--plot", "caps.svg", NULL},
                   NULL, &run);
    desk_expect_told(&run, 4, "error: --plot: fewer than two caps have a pool, so there is nothing to draw\n");
    assert_false(folder_has(folder, "pools") || folder_has(folder, "all.csv") || folder_has(folder, "caps.svg"));
    run_forget(&run);
    desk_done(folder);
}

/* Said before the search: nothing is printed, the explanations of a long run are not lost. */
static void outputs_that_cannot_be_written(void **state)
{
    (void)state;
    static const struct {
        const char *word[8];
        const char *says;
    } wrong[] = {
        {{"best", ".", "-o", "nowhere/pool.csv"},
         "error: cannot write 'nowhere/pool.csv': there is no folder 'nowhere'\n"},
        {{"best", ".", "-o", "place"}, "error: cannot write 'place': it is a folder, expected the name of a file\n"},
        {{"init", "not/there", "--size=90", "--colours", "a,b"},
         "error: cannot make the folder 'not/there': the folder that it would be in is not there\n"},
        {{"best", ".", "--shopping", "nowhere/buy.csv"}, "error: cannot write 'nowhere/buy.csv'"},
        {{"find", ".", "-o", "cards.csv/list.csv"}, "error: cannot write 'cards.csv/list.csv': not a directory\n"},
    };
    char *folder = desk_small_folder("");
    folder_print(folder, "place/old.csv", "x\n");
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Run run;
        run_poolwright(folder, wrong[k].word, NULL, &run);
        desk_expect_told(&run, 4, wrong[k].says);
        assert_string_equal(run.out, "");
        run_forget(&run);
    }
    desk_done(folder);
}

/* The search is not run where the outputs stand in each other's way. */
static void outputs_do_not_meet(void **state)
{
    (void)state;
    static const struct {
        const char *word[12];
        const char *says;
    } wrong[] = {
        {{"best", ".", "-o", "new.csv", "--shopping", "./new.csv"},
         "error: -o and --shopping name one file, expected two\n"},
        {{"best", ".", "-o", "place/new.csv", "--shopping", "linked/new.csv"}, "-o and --shopping name one file"},
        {{"what-if", ".", "--caps", "1,9", "-o", "out", "--csv", "out"}, "-o and --csv name one file"},
        {{"what-if", ".", "-o", "out", "--csv", "out/comparison.csv"},
         "error: --csv: found 'out/comparison.csv', which is in the folder whose sheets -o writes, expected a file "
         "elsewhere\n"},
        {{"what-if", ".", "-o", "out/", "--csv", "./out/x.csv"}, "which is in the folder whose sheets -o writes"},
        {{"what-if", ".", "-o", "cards.csv"}, "error: -o: found 'cards.csv', expected a folder, and this is a file\n"},
        {{"what-if", ".", "--caps", "1,9", "--csv", "-", "--plot", "-"}, "--csv and --plot name one file"},
        {{"best", ".", "--shopping", "-"},
         "--shopping: found '-', expected a file, since standard output shows the answer"},
        {{"best", ".", "--json", "-o", "-"}, "--json and -o - would both go to standard output; give -o a file"},
        {{"what-if", ".", "--json", "--csv", "-"},
         "--json and --csv - would both go to standard output; give --csv a file"},
    };
    char *folder = desk_small_folder("");
    folder_print(folder, "place/old.csv", "x\n");
    folder_link(folder, "place", "linked");
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Run run;
        run_poolwright(folder, wrong[k].word, NULL, &run);
        desk_expect_told(&run, 2, wrong[k].says);
        assert_string_equal(run.out, "");
        run_forget(&run);
    }
    assert_false(folder_has(folder, "out"));
    Run run; /* the folder is made first, and no sheet has this name */
    run_poolwright(
        folder, (const char *const[]){"what-if", ".", "--caps", "3,5,9", "-o", "out", "--plot", "out/caps.svg", NULL},
        NULL, &run);
    desk_expect_told(&run, 0, "caps.svg");
    assert_true(folder_has(folder, "out/caps.svg") && folder_has(folder, "out/comparison.csv"));
    run_forget(&run);
    desk_done(folder);
}

static void bad_input_is_told_before_outputs(void **state)
{
    (void)state;
    static const char *const asked[][8] = {{"what-if", ".", "--csv", "x.csv"},
                                           {"what-if", ".", "--caps", "3,9", "--plot", "x.svg"},
                                           {"what-if", ".", "-o", "out"},
                                           {"best", ".", "-o", "x.csv"}};
    char *folder = desk_small_folder("");
    folder_print(folder, "cards.csv", "name,kind,power,price\nAsh Kite,rig,many,1.00\n");
    for (size_t k = 0; k < sizeof asked / sizeof *asked; k++) {
        Run run;
        run_poolwright(folder, asked[k], NULL, &run);
        desk_expect_told(&run, 2, "found 'many'");
        run_forget(&run);
    }
    assert_false(folder_has(folder, "x.csv") || folder_has(folder, "x.svg") || folder_has(folder, "out"));
    desk_done(folder);
}

/* Twenty sheets that change, written together. */
static void many_sheets(void **state)
{
    (void)state;
    char *folder = desk_small_folder("");
    Text scenario = {0}, notes = {0};
    text_add(&scenario, "model: model.yaml\ncards: [cards.csv");
    text_add(&notes, "card,date,verdict,note\n");
    for (int k = 0; k < 20; k++) {
        char name[40], sheet[200];
        snprintf(name, sizeof name, "sheet%d.csv", k);
        snprintf(sheet, sizeof sheet, "name,kind,power,price\nKite %d,rig,5,1.00\n", k);
        folder_print(folder, name, sheet);
        text_printf(&scenario, ", %s", name);
        text_printf(&notes, "Kite %d,2026-01-02,better,\n", k);
    }
    text_add(&scenario, "]\n");
    folder_print(folder, "scenario.yaml", text_cstr(&scenario));
    folder_print(folder, "notes.csv", text_cstr(&notes));
    Run run;
    run_poolwright(folder, (const char *const[]){"feedback", ".", "notes.csv", "--apply", "-o", "next", NULL}, NULL,
                   &run);
    desk_expect_told(&run, 0, "sheet19.csv");
    for (int k = 0; k < 20; k++) {
        char name[40];
        snprintf(name, sizeof name, "next/sheet%d.csv", k);
        assert_true(folder_has(folder, name));
    }
    run_forget(&run);
    text_release(&scenario);
    text_release(&notes);
    desk_done(folder);
}

/* No file may grow at all: as on a full disk, a write fails. What was found is shown all the same. */
static void the_answer_is_shown_where_a_file_cannot_be_written(void **state)
{
    (void)state;
    static const struct {
        const char *command, *shown, *missing;
    } asked[] = {
        {"best . -o pool.csv --shopping buy.csv", "fit 10", "error: cannot write 'buy.csv': file too large"},
        {"best . -o pool.csv --json", "\"fit\": 10", "cannot write 'pool.csv': file too large"},
        {"audit . list.csv -o pool.csv", "list.csv: 2 cards", "error: cannot write 'pool.csv': file too large"},
        {"revise . list.csv -o pool.csv", "swap", "error: cannot write 'pool.csv': file too large"},
        {"best . -o /dev/full", "fit 10", "error: cannot write '/dev/full': no space left on device"},
        {"find . -o found.csv", "Ash Kite", "error: cannot write 'found.csv': file too large"},
        {"what-if . -o out --csv all.csv", "dear", "error: cannot write 'out/base.csv': file too large"},
        {"feedback . notes.csv --apply -o next.csv", "Ash Kite", "error: cannot write 'next.csv': file too large"},
    };
    char *folder = desk_small_folder("");
    folder_print(folder, "list.csv", "name\nAsh Kite\nDrift Net\n");
    folder_print(folder, "notes.csv", "card,date,verdict,note\nAsh Kite,2026-01-02,better,\n");
    for (size_t k = 0; k < sizeof asked / sizeof *asked; k++) {
        char line[5000];
        snprintf(line, sizeof line, "(ulimit -f 0; '%s' %s; echo \"code $?\") 2>&1 | cat", program_path(),
                 asked[k].command);
        Run run;
        run_program("sh", folder, (const char *const[]){"-c", line, NULL}, &run);
        desk_expect_told(&run, 0, asked[k].shown);
        desk_expect_told(&run, 0, asked[k].missing);
        desk_expect_told(&run, 0, "code 4\n");
        if (strstr(run.out, " in pool.csv") != NULL)
            fail_msg("said to be written:\n%s", run.out);
        run_forget(&run);
    }
    assert_false(folder_has(folder, "pool.csv") || folder_has(folder, "buy.csv") || folder_has(folder, "all.csv") ||
                 folder_has(folder, "out") || folder_has(folder, "next.csv"));
    desk_done(folder);
}

/* Also help and version; a stream that was closed is no place for another file of ours. */
static void a_full_device_is_told(void **state)
{
    (void)state;
    static const struct {
        const char *command, *says;
    } asked[] = {
        {"--help >/dev/full", "error: cannot write to standard output: no space left on device\n"},
        {"--version >/dev/full", "error: cannot write to standard output: no space left on device\n"},
        {"best --help >/dev/full", "error: cannot write to standard output: no space left on device\n"},
        {"best . >/dev/full", "error: cannot write to standard output: no space left on device\n"},
        {"best . -o - >/dev/full", "error: cannot write to standard output: no space left on device\n"},
        {"check . --json >/dev/full", "error: cannot write to standard output: no space left on device\n"},
        {"export . >/dev/full", "error: cannot write to standard output: no space left on device\n"},
        {"best . -o pool.csv >&-", "error: cannot write to standard output: bad file descriptor\n"},
    };
    char *folder = desk_small_folder("");
    for (size_t k = 0; k < sizeof asked / sizeof *asked; k++) {
        char line[5000];
        snprintf(line, sizeof line, "'%s' %s", program_path(), asked[k].command);
        Run run;
        run_program("sh", folder, (const char *const[]){"-c", line, NULL}, &run);
        desk_expect_told(&run, 4, asked[k].says);
        run_forget(&run);
    }
    char *pool = folder_read(folder, "pool.csv", NULL);
    assert_non_null(pool);
    assert_int_equal(strncmp(pool, "name,", 5), 0);
    free(pool);
    desk_done(folder);
}

/* The library writes into a file in memory, whose last piece it does not miss. */
static void a_programme_is_whole_or_told(void **state)
{
    (void)state;
    char *folder = desk_small_folder("");
    for (int lp = 0; lp < 2; lp++) {
        char line[5000];
        snprintf(line, sizeof line, "(ulimit -f 0; '%s' export . --format %s; echo \"code $?\") 2>&1 | cat",
                 program_path(), lp ? "lp" : "mps");
        Run run;
        run_program("sh", folder, (const char *const[]){"-c", line, NULL}, &run);
        assert_string_equal(run.out, "error: the GLPK library could not write the programme\ncode 4\n");
        run_forget(&run);
    }
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(inputs_are_never_overwritten),
        cmocka_unit_test(nothing_to_draw_writes_nothing),
        cmocka_unit_test(outputs_that_cannot_be_written),
        cmocka_unit_test(outputs_do_not_meet),
        cmocka_unit_test(bad_input_is_told_before_outputs),
        cmocka_unit_test(many_sheets),
        cmocka_unit_test(the_answer_is_shown_where_a_file_cannot_be_written),
        cmocka_unit_test(a_full_device_is_told),
        cmocka_unit_test(a_programme_is_whole_or_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
