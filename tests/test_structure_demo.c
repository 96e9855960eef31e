/* test_structure_demo.c - structure at the demo's size: each form switched off alone changes the pool, and CBC on the
 * exported programme finds the same fit within the gap. The demo is invented. This test is not repeated under
 * sanitizers: most of its time goes to the solvers. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/run.h"

static const char *const links[] = {"models", "scenarios/demo/cards.csv", "scenarios/demo/targets.csv",
                                    "scenarios/demo/pool.csv"};

/* A folder with the demo's sheets and models, in which scenarios can be written beside the sheets. */
static char *open_folder(void)
{
    char here[4096], from[8192], to[8192];
    char *folder = folder_new();
    assert_non_null(getcwd(here, sizeof here));
    folder_print(folder, "scenarios/demo/note", "");
    folder_print(folder, "scenarios/small/note", "");
    for (size_t i = 0; i < sizeof links / sizeof *links; i++) {
        snprintf(from, sizeof from, "%s/%s", here, links[i]);
        snprintf(to, sizeof to, "%s/%s", folder, links[i]);
        assert_int_equal(symlink(from, to), 0);
    }
    return folder;
}

static void close_folder(char *folder)
{
    char path[8192];
    for (size_t i = 0; i < sizeof links / sizeof *links; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, links[i]);
        assert_int_equal(unlink(path), 0);
    }
    folder_remove(folder);
    free(folder);
}

/* The scenario as shipped, with one case instead of its own. */
static void write_case(const char *folder, const char *scenario, const char *change)
{
    char name[64], *text;
    snprintf(name, sizeof name, "scenarios/%s/scenario.yaml", scenario);
    text = folder_read(".", name, NULL);
    assert_non_null(text);
    char *cases = strstr(text, "\ncases:");
    assert_non_null(cases);
    *cases = '\0';
    const size_t room = strlen(text) + strlen(change) + 64;
    char *whole = malloc(room);
    assert_non_null(whole);
    snprintf(whole, room, "%s\ncases:\n  - {name: other, change: {%s}}\n", text, change);
    snprintf(name, sizeof name, "scenarios/%s/s.yaml", scenario);
    folder_print(folder, name, whole);
    free(whole);
    free(text);
}

static json_t *best(const char *folder, const char *scenario, const char *case_name, const char *gap)
{
    char path[64];
    snprintf(path, sizeof path, "scenarios/%s/s.yaml", scenario);
    /* Work enough to prove the best, and little left for explanations, which are not asked for here. */
    const char *const arguments[] = {
        "best", path, "--json", "--effort", "30k", "--gap", gap, case_name != NULL ? "--case" : NULL, case_name, NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code != 0)
        fail_msg("best %s, case %s: exit code %d\n%s", scenario, case_name != NULL ? case_name : "none", run.code,
                 run.err);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

/* ---- switched off ---- */

/* What forms of the kind add to the pool's fit. */
static int64_t gain_of(const json_t *root, const char *kind)
{
    const json_t *forms = json_object_get(root, "structure");
    int64_t gain = 0;
    for (size_t i = 0; i < json_array_size(forms); i++)
        if (strcmp(json_text(json_array_get(forms, i), "kind"), kind) == 0)
            gain += json_units(json_array_get(forms, i), "fit", 1000);
    return gain;
}

typedef struct {
    const char *kind, *change;
} Off;

/* Without the form the best pool is better than the shipped scenario's pool is without it: another pool, and not by a
 * tie. */
static void switched_off(const char *scenario)
{
    static const Off off[] = {
        {"places", "places: {off: yes}"},
        {"engine", "themes: {soundings: {engine: none}, convoys: {engine: none}, boilers: {engine: none}, letters: "
                   "{engine: none}, lures: {engine: none}, "
                   "contraband: {engine: none}, bells: {engine: none}, eels: {engine: none}}"},
        {"together", "together: {eel supper: {off: yes}, two hands: {off: yes}}"},
        {"needs", "needs: {under the fog: {off: yes}}"},
        {"apart", "apart: {cheap cargo: {off: yes}}"},
        {"group", "groups: {the table's jokes: {off: yes}}"},
    };
    char *folder = open_folder();
    write_case(folder, scenario, "evenness: 0");
    json_t *base = best(folder, scenario, NULL, "0");
    for (size_t i = 0; i < sizeof off / sizeof *off; i++) {
        write_case(folder, scenario, off[i].change);
        json_t *without = best(folder, scenario, "other", "0");
        int64_t old = json_units(base, "fit", 1000) - gain_of(base, off[i].kind),
                now = json_units(without, "fit", 1000);
        print_message("%s without %s: %.3f, the shipped pool %.3f\n", scenario, off[i].kind, (double)now / 1000,
                      (double)old / 1000);
        assert_string_equal(json_text(without, "status"), "best");
        assert_true(now > old);
        json_decref(without);
    }
    json_decref(base);
    close_folder(folder);
}

static void each_form_changes_the_small_pool(void **state)
{
    (void)state;
    switched_off("small");
}

static void each_form_changes_the_pool(void **state)
{
    (void)state;
    switched_off("demo");
}

/* ---- CBC ---- */

#define GAP 0.0005

/* CBC's fit of the exported case, in thousandths; it stops within GAP. */
static double by_cbc(const char *folder, const char *scenario)
{
    char path[64];
    snprintf(path, sizeof path, "scenarios/%s/s.yaml", scenario);
    const char *const export[] = {"export", path, "--case", "other", "-o", "pool.lp", NULL};
    const char *const solve[] = {"pool.lp", "sec", "240", "ratioGap", "0.0005", "solve", "solution", "cbc.txt", NULL};
    Run run;
    run_poolwright(folder, export, NULL, &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    run_program("cbc", folder, solve, &run);
    char *text = folder_read(folder, "cbc.txt", NULL);
    static const char optimal[] = "Optimal";
    const char *value = text != NULL ? strstr(text, "objective value ") : NULL;
    if (value == NULL || strncmp(text, optimal, strlen(optimal)) != 0)
        fail_msg("cbc did not finish %s: %.60s\n%.2000s", scenario, text != NULL ? text : "no solution", run.out);
    double fit = strtod(value + strlen("objective value "), NULL);
    free(text);
    run_forget(&run);
    return fit;
}

static void compare(const char *scenario, const char *change)
{
    char *folder = open_folder();
    write_case(folder, scenario, change);
    json_t *root = best(folder, scenario, "other", "0.05%");
    double ours = (double)json_units(root, "fit", 1000), bound = (double)json_units(root, "bound", 1000),
           theirs = by_cbc(folder, scenario);
    print_message("%s, %s: best finds %.3f and proves %.3f, cbc finds %.3f\n", scenario, change, ours / 1000,
                  bound / 1000, theirs / 1000);
    assert_true(theirs <= bound + 0.5);
    assert_true(theirs >= ours * (1 - GAP) - 0.5);
    json_decref(root);
    close_folder(folder);
}

static void cbc_agrees(void **state)
{
    (void)state;
    if (!program_exists("cbc")) {
        print_message("skipped: cbc (coinor-cbc) is not installed\n");
        skip();
    }
    compare("demo", "evenness: 0");
    compare("demo", "evenness: 0.5, fit: {playable: 30%, stay: 0.1}, themes: {convoys: {depth: [{to: 60, share: 100%}, "
                    "{to: 90, share: 40%}]}}");
    compare("small", "choose: {from: [bells, eels], exactly: 1}, fit: {playable: 50%}");
    compare("small", "places: {by_place: yes}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(each_form_changes_the_small_pool),
                                       cmocka_unit_test(each_form_changes_the_pool), cmocka_unit_test(cbc_agrees)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
