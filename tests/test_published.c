/* test_published.c - problems with published optima, as scenarios: items are candidates, profits their power, each
 * resource a column of numbers with a rule `measure: COLUMN, at_most`, and the pool may have any size. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/petersen.h"
#include "support/run.h"
#include "support/tiny.h"

static void write_sheet(const Petersen *problem, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "name,power");
    for (int r = 0; r < problem->resources; r++) {
        page_add(&page, ",resource %d", r + 1);
    }
    for (int i = 0; i < problem->items; i++) {
        page_add(&page, "\nproject %d,", i + 1);
        page_decimal(&page, problem->profit[i], 1000, '.');
        for (int r = 0; r < problem->resources; r++) {
            page_add(&page, ",%d", problem->weight[r * problem->items + i]);
        }
    }
    page_add(&page, "\n");
    page_save(&page, folder, "projects.csv");
}

static void write_model(const Petersen *problem, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "size: {from: 1, to: %d}\ncolours: [grey]\nrules:\n", problem->items);
    for (int r = 0; r < problem->resources; r++) {
        page_add(&page, "  - {name: limit %d, measure: resource %d, at_most: %d}\n", r + 1, r + 1, problem->limit[r]);
    }
    page_save(&page, folder, "projects.yaml");
}

/* The chosen items counted here: profit, and no limit broken. */
static int64_t profit_of(const Petersen *problem, const json_t *pool)
{
    int64_t profit = 0;
    int used[16] = {0};
    for (size_t k = 0; k < json_array_size(pool); k++) {
        const json_t *entry = json_array_get(pool, k);
        int i = atoi(json_text(entry, "name") + strlen("project ")) - 1;
        assert_in_range(i, 0, problem->items - 1);
        assert_int_equal(json_integer_value(json_object_get(entry, "copies")), 1);
        profit += problem->profit[i];
        for (int r = 0; r < problem->resources; r++) {
            used[r] += problem->weight[r * problem->items + i];
        }
    }
    for (int r = 0; r < problem->resources; r++) {
        assert_true(used[r] <= problem->limit[r]);
    }
    return profit;
}

static void solve(const Petersen *problem, const char *folder, const char *engine)
{
    const char *const arguments[] = {"best", "projects.csv", "--model",  "projects.yaml", "--gap",
                                     "0",    "--json",       "--engine", engine,          NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code != 0) {
        fail_msg("problem %d, engine %s: exit code %d\n%s", problem->number, engine, run.code, run.err);
    }
    json_t *root = run_json(&run);
    assert_string_equal(json_text(root, "status"), "best");
    assert_int_equal(json_units(root, "fit", 1000), problem->optimum);
    assert_int_equal(json_units(root, "bound", 1000), problem->optimum);
    assert_int_equal(profit_of(problem, json_object_get(root, "pool")), problem->optimum);
    json_decref(root);
    run_forget(&run);
}

static void published_optima(void **state)
{
    (void)state;
    for (size_t p = 0; p < PETERSENS; p++) {
        char *folder = folder_new();
        write_sheet(&petersen[p], folder);
        write_model(&petersen[p], folder);
        solve(&petersen[p], folder, "fast");
        solve(&petersen[p], folder, "reference");
        folder_remove(folder);
        free(folder);
    }
}

/* Which decks of two colours can play a card, by listing them: a card of the colours in `mask`, all of which it needs,
 * or any one of which will do. */
static int decks_that_play(int colours, unsigned mask, bool all, int *decks)
{
    int playing = 0;
    *decks = 0;
    for (int a = 0; a < colours; a++)
        for (int b = a + 1; b < colours; b++) {
            const unsigned deck = 1u << a | 1u << b;
            ++*decks;
            playing += mask == 0 || (all ? (mask & ~deck) == 0 : (mask & deck) != 0);
        }
    return playing;
}

/* The share that follows is asked for as a band of a thousandth of a percent around it: each card passes its own only.
 */
static void playable_shares(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        unsigned mask;
        bool all;
    } card[] = {{"one", 1, true}, {"both", 6, true}, {"either", 9, false}, {"none", 0, true}};
    char *folder = folder_new();
    folder_print(folder, "cards.csv", "name,colours,power\none,a,5\nboth,b+c,5\neither,a/d,5\nnone,,5\n");
    for (size_t i = 0; i < sizeof card / sizeof *card; i++) {
        Page page = {.data = NULL};
        int decks;
        const int playing = decks_that_play(4, card[i].mask, card[i].all, &decks);
        page_add(&page, "size: 1\ncolours: [a, b, c, d]\nrules:\n  - {name: share, where: {playable: {from: ");
        page_decimal(&page, 100000 * playing / decks, 1000, '.');
        page_add(&page, "%%, to: ");
        page_decimal(&page, (100000 * playing + decks - 1) / decks, 1000, '.');
        page_add(&page, "%%}}, exactly: 1}\n");
        page_save(&page, folder, "model.yaml");
        const char *const arguments[] = {"best", "cards.csv", "--model", "model.yaml", "--gap", "0", "--json", NULL};
        Run run;
        run_poolwright(folder, arguments, NULL, &run);
        json_t *root = run_json(&run);
        const json_t *pool = json_object_get(root, "pool");
        assert_int_equal(json_array_size(pool), 1);
        assert_string_equal(json_text(json_array_get(pool, 0), "name"), card[i].name);
        json_decref(root);
        run_forget(&run);
    }
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(published_optima), cmocka_unit_test(playable_shares)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
