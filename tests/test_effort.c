/* test_effort.c - the built program with little effort, over 250 random scenarios whose best pool is known from trying
 * every pool: what it calls best or infeasible is so, a pool that it shows is allowed, and no bound is below the best.
 * The scenarios are invented (tests/support/tiny_*.c). This test is not repeated under sanitizers: test_search_random
 * does the same from inside, and test_brute the reading of the files. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/tiny.h"

enum { SCENARIOS = 250, FIRST_SEED = 50001 };

static void little_effort_is_never_contradicted(void **state)
{
    (void)state;
    static const char *const effort[] = {"1", "2", "3", "5", "8", "13", "30"};
    const size_t efforts = sizeof effort / sizeof *effort;
    int how[3] = {0};
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + SCENARIOS; seed++) {
        Tiny tiny;
        TinyAnswer answer;
        tiny_make(&tiny, seed);
        tiny_solve(&tiny, &answer);
        char *folder = folder_new();
        tiny_write(&tiny, folder);
        for (size_t k = 0; k < 2; k++) { /* two of them each, all of them in turn */
            how[tiny_check_effort(&tiny, folder, &answer, effort[(seed + 3 * k) % efforts], seed)]++;
        }
        folder_remove(folder);
        free(folder);
    }
    print_message("%d runs proven, %d stopped without a pool, %d with one\n", how[TINY_PROVEN], how[TINY_STOPPED],
                  how[TINY_STOPPED_WITH_POOL]);
    assert_true(how[TINY_PROVEN] >= 50 && how[TINY_STOPPED] >= 50 && how[TINY_STOPPED_WITH_POOL] >= 10);
}

/* What several answers together come to: 3 when one of them was stopped, 1 when none has a pool, else 0. */
static int code_of(const json_t *cases)
{
    bool stopped = false, any = false;
    for (size_t k = 0; k < json_array_size(cases); k++) {
        const json_t *item = json_array_get(cases, k);
        stopped = stopped || strcmp(json_text(item, "status"), "stopped") == 0;
        any = any || json_object_get(item, "fit") != NULL;
    }
    return stopped ? 3 : any ? 0 : 1;
}

static void what_ifs_say_when_they_were_stopped(void **state)
{
    (void)state;
    static const char *const effort[] = {"1", "4", "10", "60", "1M"};
    int codes[4] = {0};
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + 60; seed++) {
        Tiny tiny;
        tiny_make(&tiny, seed);
        char *folder = folder_new();
        tiny_write(&tiny, folder);
        const char *const arguments[] = {"what-if", "scenario.yaml", "--sizes",        "3,5", "--json", "--gap",
                                         "0",       "--effort",      effort[seed % 5], NULL};
        Run run;
        run_poolwright(folder, arguments, NULL, &run);
        if (run.code != 2) { /* wishes that contradict each other at one of the sizes are refused */
            json_t *root = run_json(&run);
            int expected = code_of(json_object_get(root, "cases"));
            if (run.code != expected)
                fail_msg("seed %llu: exit code %d, expected %d\n%.1500s", (unsigned long long)seed, run.code, expected,
                         run.out);
            json_decref(root);
        }
        codes[run.code]++;
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
    print_message("exit codes: %d x 0, %d x 1, %d x 2, %d x 3\n", codes[0], codes[1], codes[2], codes[3]);
    assert_true(codes[0] >= 5 && codes[3] >= 15);
}

/* Sixty cards of which any twenty miss soft rules by so much that the fit is below nothing. */
static char *poor_folder(uint64_t seed)
{
    static const char *const colour[] = {"rye", "teal", "fern"};
    char *folder = folder_new();
    Page cards = {.data = NULL};
    Dice dice;
    dice_seed(&dice, seed);
    page_add(&cards, "name,colours,power,price,number\n");
    for (int c = 0; c < 60; c++)
        page_add(&cards, "card %d,%s,%d,%d.%02d,%d\n", c, colour[dice_roll(&dice, 0, 2)], dice_roll(&dice, 1, 30),
                 dice_roll(&dice, 0, 9), dice_roll(&dice, 1, 99), dice_roll(&dice, 0, 40));
    page_save(&cards, folder, "cards.csv");
    folder_print(folder, "model.yaml",
                 "size: 20\ncolours: [rye, teal, fern]\nspending_cap: 71.37\nrules:\n"
                 "  - {name: many, where: {colours: rye}, at_least: 30, soft: 25}\n"
                 "  - {name: few, where: {colours: teal}, at_most: 3, soft: 30}\n"
                 "  - {name: sum, measure: number, at_least: 600, soft: 2}\n"
                 "  - {name: spend, where: {colours: fern}, measure: spend, at_least: 30.17, soft: 7}\n");
    return folder;
}

/* Where the fit is not above nothing no share can say how far it is from the bound; the bound itself is still said. */
static void bounds_of_fits_below_nothing(void **state)
{
    (void)state;
    static const char *const effort[] = {"40", "60", "100", "150", "250", "400"};
    int open = 0;
    for (uint64_t seed = 1; seed <= 6; seed++) {
        char *folder = poor_folder(seed);
        const char *arguments[] = {"best",  "--json", "cards.csv", "--model", "model.yaml",
                                   "--gap", "0",      NULL,        NULL,      NULL};
        Run run;
        run_poolwright(folder, arguments, NULL, &run);
        json_t *root = run_json(&run);
        const int64_t best = json_units(root, "fit", 1000);
        assert_int_equal(json_units(root, "bound", 1000), best);
        json_decref(root);
        run_forget(&run);
        arguments[7] = "--effort";
        for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
            Run screen;
            arguments[8] = effort[k];
            arguments[1] = "--json";
            run_poolwright(folder, arguments, NULL, &run);
            arguments[1] = "--rules";
            run_poolwright(folder, arguments, NULL, &screen);
            root = run_json(&run);
            assert_int_equal(run.code, screen.code);
            if (run.code == 3) {
                const bool has_pool = json_object_get(root, "fit") != NULL;
                const int64_t bound = json_units(root, "bound", 1000);
                assert_true(bound >= best && (!has_pool || json_units(root, "fit", 1000) <= best));
                if (!tiny_screen_agrees(screen.out, root))
                    fail_msg("seed %llu, effort %s:\n%.400s\n%.400s", (unsigned long long)seed, effort[k], screen.out,
                             run.out);
                open += has_pool && json_units(root, "fit", 1000) <= 0 && bound > json_units(root, "fit", 1000);
            }
            json_decref(root);
            run_forget(&run);
            run_forget(&screen);
        }
        folder_remove(folder);
        free(folder);
    }
    print_message("%d runs with a fit below nothing and a bound above it\n", open);
    assert_true(open >= 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(little_effort_is_never_contradicted),
                                       cmocka_unit_test(what_ifs_say_when_they_were_stopped),
                                       cmocka_unit_test(bounds_of_fits_below_nothing)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
