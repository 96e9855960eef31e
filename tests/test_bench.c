/* test_bench.c - the verb `bench` on small random scenarios (tiny.h) against all their pools: what is in a section,
 * whom each candidate could replace and what that costs or brings, and with --settle the least money that completes
 * what is settled. POOLWRIGHT_SEED moves the first seed, POOLWRIGHT_SCENARIOS sets how many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/pools.h"

enum { CARDS = 11, SCENARIOS = 45 };

typedef struct {
    Tiny tiny;
    Seen seen[CARDS_MOST];
    Pools all;
    const char *folder;
    int copies[CARDS_MOST]; /* of the best pool */
    int64_t fit, spend;
    int theme, colour;          /* the section: one of them, the other -1 */
    int swaps, barred, settled; /* counted, so that the test is one */
} Trial;

static int card_of(const Tiny *tiny, const char *name)
{
    for (int c = 0; c < tiny->cards; c++)
        if (strcmp(tiny_card_name(c), name) == 0)
            return c;
    fail_msg("no card is called '%s'", name);
    return -1;
}

static bool in_section(const Trial *t, int card)
{
    const Seen *seen = &t->seen[card];
    if (t->theme >= 0)
        return t->tiny.card[card].tag[t->theme].there && tiny_payable(&seen->need, t->tiny.theme[t->theme].colours);
    return seen->class == OF_MONO && seen->shown == 1u << t->colour;
}

static const Pool *pool_of(const Trial *t, const int *copies)
{
    for (size_t k = 0; k < t->all.count; k++)
        if (memcmp(t->all.pool[k].copies, copies, (size_t)t->tiny.cards * sizeof *copies) == 0)
            return t->all.pool[k].spend <= pools_cap(&t->tiny) ? &t->all.pool[k] : NULL;
    return NULL;
}

/* The pool with one copy of `in` for one of `out` (the same: for nothing), or NULL. */
static const Pool *exchanged(const Trial *t, int in, int out)
{
    int copies[CARDS_MOST];
    memcpy(copies, t->copies, sizeof copies);
    copies[in]++;
    copies[out] -= in != out;
    return copies[out] < 0 ? NULL : pool_of(t, copies);
}

/* The best exchange that brings the card in: most fit, then cheapest. */
static const Pool *best_exchange(const Trial *t, int in)
{
    const Pool *best = NULL;
    for (int out = 0; out < t->tiny.cards; out++) {
        const Pool *pool = exchanged(t, in, out);
        if (pool != NULL &&
            (best == NULL || pool->fit > best->fit || (pool->fit == best->fit && pool->spend < best->spend)))
            best = pool;
    }
    return best;
}

static void judge_next(Trial *t, const json_t *root)
{
    bool told[CARDS_MOST] = {false};
    const json_t *next = json_object_get(root, "next");
    int64_t before = INT64_MAX;
    for (size_t k = 0; k < json_array_size(next); k++) {
        const json_t *item = json_array_get(next, k), *swap = json_object_get(item, "one_swap");
        const int card = card_of(&t->tiny, json_text(item, "name"));
        assert_true(in_section(t, card) && !told[card]);
        told[card] = true;
        const Pool *best = best_exchange(t, card);
        assert_true((best != NULL) == (swap != NULL));
        if (swap == NULL) {
            t->barred++;
            continue;
        }
        const json_t *leaves = json_object_get(swap, "leaves");
        const int out = json_is_null(leaves) ? card : card_of(&t->tiny, json_string_value(leaves));
        const Pool *shown = exchanged(t, card, out);
        assert_non_null(shown);
        assert_int_equal(shown->fit, best->fit);
        assert_int_equal(shown->spend, best->spend);
        assert_int_equal(json_units(swap, "fit_change", 1000), best->fit - t->fit);
        assert_int_equal(json_units(swap, "cost_change", 100), best->spend - t->spend);
        assert_true(best->fit - t->fit <= before);
        before = best->fit - t->fit;
        t->swaps++;
    }
    for (int c = 0; c < t->tiny.cards; c++)
        if (in_section(t, c) && !told[c])
            assert_null(best_exchange(t, c));
}

static int64_t judge_in(const Trial *t, const json_t *root, int *copies)
{
    const json_t *in = json_object_get(root, "in");
    int sum = 0, expected = 0;
    memset(copies, 0, CARDS_MOST * sizeof *copies);
    for (size_t k = 0; k < json_array_size(in); k++) {
        const json_t *item = json_array_get(in, k);
        const int card = card_of(&t->tiny, json_text(item, "name"));
        copies[card] = (int)json_integer_value(json_object_get(item, "copies"));
        assert_true(in_section(t, card));
        assert_int_equal(copies[card], t->copies[card]);
        sum += copies[card];
    }
    for (int c = 0; c < t->tiny.cards; c++)
        expected += in_section(t, c) ? t->copies[c] : 0;
    assert_int_equal(sum, expected);
    assert_int_equal(json_integer_value(json_object_get(root, "copies")), expected);
    const int64_t money = tiny_spend(&t->tiny, copies);
    assert_int_equal(json_units(root, "money", 100), money);
    return money;
}

static void judge_settled(Trial *t, const json_t *root, const int *settled, int64_t money)
{
    const json_t *item = json_object_get(root, "settled"), *rest = json_object_get(item, "rest");
    int64_t least = INT64_MAX;
    for (size_t k = 0; k < t->all.count; k++) {
        const Pool *pool = &t->all.pool[k];
        bool holds = pool->spend <= pools_cap(&t->tiny);
        for (int c = 0; c < t->tiny.cards; c++)
            holds = holds && pool->copies[c] >= settled[c];
        if (holds && pool->spend - tiny_paid(&t->tiny) < least)
            least = pool->spend - tiny_paid(&t->tiny);
    }
    assert_int_equal(json_units(item, "money", 100), money);
    assert_int_equal(json_units(rest, "at_least", 100), least - money);
    assert_int_equal(json_units(rest, "at_most", 100), least - money);
    if (pools_cap(&t->tiny) != INT64_MAX)
        assert_int_equal(json_units(item, "left", 100), pools_cap(&t->tiny) - tiny_paid(&t->tiny) - money);
    t->settled += least > money;
}

static void judge_section(Trial *t, const char *name)
{
    Run run;
    int settled[CARDS_MOST];
    const char *const ask[] = {"bench", name, "--settle", NULL};
    json_t *root = pools_run(&t->tiny, t->folder, ask, NULL, &run);
    assert_int_equal(run.code, 0);
    const int64_t money = judge_in(t, root, settled);
    judge_next(t, root);
    judge_settled(t, root, settled, money);
    json_decref(root);
    run_forget(&run);
}

/* False without a pool. */
static bool take_best(Trial *t)
{
    Run run;
    const char *const ask[] = {"best", NULL};
    json_t *root = pools_run(&t->tiny, t->folder, ask, NULL, &run);
    const json_t *pool = json_object_get(root, "pool");
    memset(t->copies, 0, sizeof t->copies);
    for (size_t k = 0; k < json_array_size(pool); k++) {
        const json_t *item = json_array_get(pool, k);
        t->copies[card_of(&t->tiny, json_text(item, "name"))] =
            (int)json_integer_value(json_object_get(item, "copies"));
    }
    const bool has = run.code == 0;
    json_decref(root);
    run_forget(&run);
    const Pool *best = has ? pool_of(t, t->copies) : NULL;
    assert_true(has == (best != NULL));
    t->fit = has ? best->fit : 0;
    t->spend = has ? best->spend : 0;
    return has;
}

static void judge(Trial *t, uint64_t seed)
{
    pools_prepare(&t->tiny, seed, CARDS);
    tiny_see(&t->tiny, t->seen);
    pools_every(&t->tiny, &t->all);
    char *folder = folder_new();
    t->folder = folder;
    tiny_write(&t->tiny, folder);
    if (take_best(t)) {
        t->theme = t->tiny.themes > 0 ? (int)(seed % (uint64_t)t->tiny.themes) : -1;
        t->colour = -1;
        if (t->theme >= 0)
            judge_section(t, tiny_theme_name(t->theme));
        t->theme = -1;
        t->colour = (int)(seed % (uint64_t)t->tiny.colours);
        judge_section(t, tiny_colour_name(t->colour));
    }
    folder_remove(folder);
    free(folder);
    free(t->all.pool);
}

static void against_every_pool(void **state)
{
    (void)state;
    Trial t = {0};
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 81000);
    const uint64_t count = scenarios_wanted(SCENARIOS);
    for (uint64_t k = 0; k < count; k++) {
        int before[] = {t.swaps, t.barred, t.settled};
        t = (Trial){.swaps = before[0], .barred = before[1], .settled = before[2]};
        judge(&t, first + k);
    }
    print_message("%d exchanges, %d barred, %d to be completed\n", t.swaps, t.barred, t.settled);
    assert_true(t.swaps > 0 && t.barred > 0 && t.settled > 0);
}

/* A settled section, written and named among the scenario's tags, is kept. */
static void settled_sheet_keeps(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(
        folder, "cards.csv",
        "name,colours,power,price,status,lures\nCork Float,rye,5,1.00,wish,enabler\nTin Whistle,rye,4,2.00,,payoff\n"
        "Grey Net,teal,9,3.00,,\nOld Rope,teal,8,0.50,,\nWet Sack,teal,1,0.10,,\n");
    folder_print(folder, "model.yaml", "size: 3\ncolours: [rye, teal]\nspending_cap: 6.00\nthemes: [{name: lures}]\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    run_poolwright(folder, (const char *const[]){"bench", "scenario.yaml", "lures", "--settle", "-o", "kept.csv", NULL},
                   NULL, &run);
    assert_int_equal(run.code, 0);
    /* the best pool: Grey Net, Old Rope, Cork Float; completing Cork Float costs at least 0.50 + 0.10 */
    assert_non_null(strstr(run.out, "The other 2 places of the pool cost at least 0.60: proven"));
    assert_non_null(strstr(run.out, "5.00 for them, 2.50 a place; 4.40 more than the least, 2.20 a place"));
    run_forget(&run);
    char *sheet = folder_read(folder, "kept.csv", NULL);
    assert_string_equal(sheet, "name,status\r\nCork Float,keep;wish\r\n");
    free(sheet);
    folder_print(folder, "owned.csv", "name\nOld Rope\nWet Sack\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nowned: [owned.csv]\n");
    run_poolwright(folder, (const char *const[]){"bench", "scenario.yaml", "lures", "--settle", NULL}, NULL, &run);
    if (strstr(run.out, "cost at least 0.00: proven, within every limit.\nThe cap leaves 5.00 for them, 2.50 a "
                        "place.\n") == NULL)
        fail_msg("%s", run.out);
    run_forget(&run);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\ntags: [kept.csv]\n");
    json_t *root = run_answer(folder, 0, (const char *const[]){"why", "scenario.yaml", "Cork Float", "--json", NULL});
    assert_true(json_is_true(json_object_get(json_array_get(json_object_get(root, "cards"), 0), "kept")));
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* By hand: of the two places Ash Oar has one; a second oar leaves for the float, and for the net that is free. */
static void the_sheet_is_of_the_section(void **state)
{
    (void)state;
    char *folder = folder_new();
    Run run;
    folder_print(folder, "cards.csv",
                 "name,colours,cost,power,price,status,lures\nAsh Oar,rye,2,8,2.00,,\nBeam Oar,rye,3,7,1.00,,\n"
                 "Cork Float,rye,1,3,0.50,wish,enabler\nDip Net,teal,,2,,,payoff\nEel Trap,rye,4,9,3.00,,both\n");
    folder_print(folder, "model.yaml",
                 "size: 2\ncolours: [rye, teal]\nunpriced: 0.25\nthemes: [{name: lures, weight: 0}]\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    run_poolwright(folder, (const char *const[]){"bench", "scenario.yaml", "lures", "-o", "bench.csv", NULL}, NULL,
                   &run);
    assert_int_equal(run.code, 0);
    run_forget(&run);
    char *sheet = folder_read(folder, "bench.csv", NULL);
    assert_string_equal(sheet, "name,copies,role,cost,fit,price,fit change,money change,instead of,status\r\n"
                               "Eel Trap,1,both,4,9,3.00,,,,\r\n"
                               "Cork Float,0,enabler,1,3,0.50,-5,-1.50,Ash Oar,wish\r\n"
                               "Dip Net,0,payoff,,2,0.25,-6,-1.75,Ash Oar,\r\n");
    free(sheet);
    folder_remove(folder);
    free(folder);
}

/* Of two that could leave at the same loss of fit the dearer one does. */
static void cheapest_of_equals(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(
        folder, "cards.csv",
        "name,colours,power,price,lures\nAsh Oar,rye,8,2.00,\nBeam Oar,rye,8,1.00,\nCork Float,rye,3,0.50,enabler\n");
    folder_print(folder, "model.yaml", "size: 2\ncolours: [rye, teal]\nthemes: [{name: lures}]\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    json_t *root = run_answer(folder, 0, (const char *const[]){"bench", "scenario.yaml", "LURES", "--json", NULL});
    const json_t *swap = json_object_get(json_array_get(json_object_get(root, "next"), 0), "one_swap");
    assert_string_equal(json_text(swap, "leaves"), "Ash Oar");
    assert_int_equal(json_units(swap, "cost_change", 100), -150);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

static void unknown_section(void **state)
{
    (void)state;
    Run run;
    run_poolwright(".", (const char *const[]){"bench", "scenarios/demo", "bels", NULL}, NULL, &run);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.err, "no part of the pool is called 'bels'"));
    assert_non_null(strstr(run.err, "did you mean 'bells'"));
    run_forget(&run);
    run_poolwright(".", (const char *const[]){"bench", "scenarios/demo", NULL}, NULL, &run);
    assert_int_equal(run.code, 2);
    assert_non_null(strstr(run.err, "found no section, expected a theme or a colour"));
    run_forget(&run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(against_every_pool),
        cmocka_unit_test(settled_sheet_keeps),
        cmocka_unit_test(the_sheet_is_of_the_section),
        cmocka_unit_test(cheapest_of_equals),
        cmocka_unit_test(unknown_section),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
