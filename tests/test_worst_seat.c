/* test_worst_seat.c - which rule of the demo, asking for more, helps the worst seat of simulated drafts: chosen by
 * drafts 1 to 2,000, told by 2,001 to 4,000 (and by seeds 1 to 100, 101 to 200), where it must be better by 4.5
 * standard errors. What is said follows from the numbers beside it. Takes several searches, so it is not repeated under
 * sanitizers. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "ask/ask.h"
#include "support/run.h"
#include "whatif/loaded.h"
#include "whatif/worst_seat.h"

static double number(const json_t *root, const char *key, const char *inner)
{
    const json_t *value = json_object_get(json_object_get(root, key), inner);
    assert_true(json_is_number(value));
    return json_number_value(value);
}

static void one_rule_helps(void **state)
{
    (void)state;
    json_t *root = run_answer(".", 0, (const char *const[]){"seats", "scenarios/demo", "--tighten", "--json", NULL});
    const double before = number(root, "now_again", "mean"), after = number(root, "again", "mean"),
                 left = number(root, "now_again", "deviation"), right = number(root, "again", "deviation"),
                 errors = json_number_value(json_object_get(root, "standard_errors"));
    assert_true(number(root, "now_again", "drafts") == 2000 && number(root, "again", "drafts") == 2000);
    assert_true(fabs(errors - (before - after) / sqrt((left * left + right * right) / 2000)) < 1e-9);
    assert_true(errors >= 4.5);
    /* Other drafts, and not the same once more. */
    assert_true(number(root, "now", "mean") < before || number(root, "now", "mean") > before);
    const json_t *rules = json_object_get(root, "rules"), *rule;
    double last = 0;
    size_t k, pools = 0;
    json_array_foreach (rules, k, rule) {
        if (json_object_get(rule, "worst_seat") == NULL)
            continue;
        const double mean = number(rule, "worst_seat", "mean");
        assert_true(pools == k && mean >= last);
        last = mean;
        pools++;
    }
    assert_true(pools >= 5);
    json_decref(root);
}

/* ---- by seeds ---- */

#define DRAFTS_A_SEED 20

/* What the worst seat misses, over the drafts of so many seeds. */
static Spread misses_of(const Instance *in, const int *copies, uint64_t first, uint64_t last)
{
    const Model *model = in->model;
    const Drafting drafting = {model->seats, model->packs, model->pack_size};
    Spread all = {0};
    for (uint64_t seed = first; seed <= last; seed++) {
        Drafts drafts;
        drafts_run(in, copies, 0, &drafting, &(Package){6, 3},
                   &(DraftOptions){.drafts = DRAFTS_A_SEED, .seed = seed, .threads = 1}, &drafts);
        all.times += drafts.worst.times;
        all.sum += drafts.worst.sum;
        all.squares += drafts.worst.squares;
        drafts_release(&drafts);
    }
    return all;
}

/* The best pool with the rules changed, as copies of the instance's candidates. */
static int *pool_of(Ask *ask, const Instance *in, const char *rules)
{
    char question[300];
    Text answer = {0};
    snprintf(question, sizeof question, "{\"ask\":\"best\",\"change\":{\"rules\":{%s}}}", rules);
    ask_question(ask, question, strlen(question), &answer);
    json_t *best = json_loads(text_cstr(&answer), 0, NULL), *card;
    size_t at;
    int *copies = mem_new(in->cards->count, sizeof *copies);
    assert_int_equal(json_array_size(json_object_get(best, "pool")), 360);
    json_array_foreach (json_object_get(best, "pool"), at, card)
        copies[card_find(in->cards, json_text(card, "name"))] = (int)json_units(card, "copies", 1);
    json_decref(best);
    text_release(&answer);
    return copies;
}

/* Which of three rules of the demo is chosen by the drafts of seeds 1 to 100; those of seeds 101 to 200 tell what it
 * brings. */
static void one_rule_chosen_by_some_seeds_helps_in_others(void **state)
{
    (void)state;
    static const char *const rules[] = {"", "\"enablers\":{\"at_least\":18}", "\"payoffs\":{\"at_least\":10}",
                                        "\"removal\":{\"at_least\":10}"};
    enum { RULES = sizeof rules / sizeof *rules };
    Text problems = {0};
    Diags diags;
    Loaded demo;
    FileStore *files = file_store_new();
    diags_init(&diags);
    assert_true(loaded_read(&demo, "scenarios/demo",
                            &(Overrides){.model_folders = (const char *const[]){"models"}, .model_folder_count = 1},
                            files, "", &diags));
    Ask *ask = ask_open("scenarios/demo", NULL, &problems);
    int *pool[RULES];
    size_t chosen = 0;
    double least = 0;
    for (size_t k = 0; k < RULES; k++) {
        pool[k] = pool_of(ask, demo.instance, rules[k]);
        const Spread misses = misses_of(demo.instance, pool[k], 1, 100);
        if (k > 0 && (chosen == 0 || spread_mean(&misses) < least)) {
            chosen = k;
            least = spread_mean(&misses);
        }
    }
    const Spread now = misses_of(demo.instance, pool[0], 101, 200),
                 then = misses_of(demo.instance, pool[chosen], 101, 200);
    print_message("%s: the worst seat misses %.2f, without it %.2f; %.1f standard errors\n", rules[chosen],
                  spread_mean(&then), spread_mean(&now), spread_apart(&now, &then));
    assert_true(spread_apart(&now, &then) >= 4.5);
    for (size_t k = 0; k < RULES; k++)
        mem_free(pool[k]);
    ask_close(ask);
    text_release(&problems);
    loaded_release(&demo);
    file_store_free(files);
    diags_release(&diags);
}

/* ---- where little can be had ---- */

/* A list of all candidates that there are, so that every pool is this one: 12 cards for one seat, of which its deck of
 * six wants three of removal and finds one. More of removal is not there, so no rule helps and no pool is found. */
static void where_nothing_helps_it_says_so(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml",
                 "size: 12\ncolours: [ash]\ndeck_colours: 1\nseats: {seats: 1, packs: 1, pack_size: 12}\n"
                 "deck: {size: 6, rules: [{name: removal, where: {tag: removal}, at_least: 3}]}\n"
                 "rules: [{name: some removal, where: {tag: removal}, at_least: 1}]\n");
    folder_print(folder, "cards.csv", "name,colours,tags,copies\nA,ash,removal,1\nB,ash,,11\n");
    json_t *root = run_answer(folder, 0,
                              (const char *const[]){"seats", "cards.csv", "--model", "model.yaml", "--tighten",
                                                    "--drafts", "10", "--json", NULL});
    assert_true(number(root, "now", "mean") == 2);
    const json_t *rule = json_array_get(json_object_get(root, "rules"), 0);
    assert_string_equal(json_text(rule, "name"), "some removal");
    assert_int_equal(json_integer_value(json_object_get(rule, "more")), 1);
    assert_null(json_object_get(rule, "worst_seat"));
    assert_null(json_object_get(root, "standard_errors"));
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* The same with one more card of removal to be had: the rule asks for two, and the worst seat misses one less. */
static void what_helps_is_found(void **state)
{
    (void)state;
    char *folder = folder_new();
    folder_print(folder, "model.yaml",
                 "size: 12\ncolours: [ash]\ndeck_colours: 1\nseats: {seats: 1, packs: 1, pack_size: 12}\n"
                 "deck: {size: 6, rules: [{name: removal, where: {tag: removal}, at_least: 3}]}\n"
                 "rules: [{name: bodies, where: {tag: body}, at_least: 1},\n"
                 "        {name: some removal, where: {tag: removal}, at_least: 1}]\n");
    folder_print(folder, "cards.csv",
                 "name,colours,power,tags,copies\nA,ash,1,removal,2\nB,ash,5,,11\nC,ash,5,body,2\n");
    json_t *root = run_answer(folder, 0,
                              (const char *const[]){"seats", "cards.csv", "--model", "model.yaml", "--tighten",
                                                    "--drafts", "10", "--json", NULL});
    const json_t *rules = json_object_get(root, "rules");
    assert_string_equal(json_text(json_array_get(rules, 0), "name"), "some removal");
    assert_true(number(root, "now", "mean") == 2 && number(json_array_get(rules, 0), "worst_seat", "mean") == 1);
    assert_true(number(json_array_get(rules, 1), "worst_seat", "mean") == 2);
    assert_true(number(root, "again", "mean") == 1);
    /* The card of removal has 4 less than the one that leaves. */
    assert_true(json_number_value(json_object_get(root, "fit")) -
                    json_number_value(json_object_get(json_array_get(rules, 0), "fit")) ==
                4);
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* ---- what is not known ---- */

/* A pool of 12 for one seat, two rules that can ask for more; removal decides what the worst seat misses, and each
 * draft sees all cards. */
static char *small_folder(const char *soft)
{
    char *folder = folder_new(), rules[400];
    snprintf(rules, sizeof rules,
             "size: 12\ncolours: [ash]\ndeck_colours: 1\nseats: {seats: 1, packs: 1, pack_size: 12}\n"
             "deck: {size: 6, rules: [{name: removal, where: {tag: removal}, at_least: 3}]}\n"
             "rules: [{name: bodies, where: {tag: body}, at_least: 1%s},\n"
             "        {name: some removal, where: {tag: removal}, at_least: 1}]\n",
             soft);
    folder_print(folder, "model.yaml", rules);
    folder_print(folder, "cards.csv",
                 "name,colours,power,tags,copies\nA,ash,1,removal,2\nB,ash,5,,11\nC,ash,5,body,1\n");
    return folder;
}

static void run_tighten(const char *folder, const char *drafts, const char *more, const char *value, Run *run)
{
    run_poolwright(folder,
                   (const char *const[]){"seats", "cards.csv", "--model", "model.yaml", "--tighten", "--drafts", drafts,
                                         more, value, NULL},
                   NULL, run);
}

/* No draft differs: that one rule helps in all of a hundred is no luck, in ten it is not called so. */
static void what_helps_in_every_draft_is_clear(void **state)
{
    (void)state;
    char *folder = small_folder("");
    for (int few = 0; few < 2; few++) {
        Run run;
        run_tighten(folder, few ? "10" : "100", NULL, NULL, &run);
        assert_int_equal(run.code, 0);
        if (strstr(run.out, few ? "No rule clearly helps it: more of 'some removal' did best"
                                : "What would help it most: more of 'some removal'") == NULL)
            fail_msg("%s%s", run.out, run.err);
        run_forget(&run);
    }
    folder_remove(folder);
    free(folder);
}

/* A second body is not to be had: the rule that asks for it is missed, which costs the same pool nothing. */
static void fit_is_counted_by_the_rules_as_they_stand(void **state)
{
    (void)state;
    char *folder = small_folder(", soft: 2");
    json_t *root = run_answer(folder, 0,
                              (const char *const[]){"seats", "cards.csv", "--model", "model.yaml", "--tighten",
                                                    "--drafts", "10", "--json", NULL});
    const json_t *rule = json_array_get(json_object_get(root, "rules"), 1);
    assert_string_equal(json_text(rule, "name"), "bodies");
    assert_true(json_units(rule, "fit", 1000) == json_units(root, "fit", 1000));
    assert_true(json_is_true(json_object_get(root, "near")));
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

/* Too little effort for a pool is no proof that there is none. */
static void effort_is_no_proof(void **state)
{
    (void)state;
    static const char *const efforts[] = {"1", "50", "3000"};
    for (size_t k = 0; k < sizeof efforts / sizeof *efforts; k++) {
        Run run;
        run_poolwright(".",
                       (const char *const[]){"seats", "scenarios/demo", "--tighten", "--drafts", "10", "--effort",
                                             efforts[k], NULL},
                       NULL, &run);
        assert_int_equal(run.code, 3);
        if (strstr(run.out, "No pool meets the limits") != NULL || strstr(run.out, "Pools are within 0.5%") != NULL ||
            (strstr(run.out, "No pool was found with this effort") == NULL &&
             strstr(run.out, "Not all pools are proven to be within 0.5% of the best") == NULL))
            fail_msg("effort %s: %s%s", efforts[k], run.out, run.err);
        run_forget(&run);
    }
}

/* Stopped when the k-th pool is found: what is told was drafted to the end. */
static void what_is_told_when_stopped_was_drafted(void **state)
{
    (void)state;
    char *folder = small_folder(""), stop[200] = "2@pool";
    bool answered = false;
    int before = 0, some = 0;
    for (int k = 0; k < 20 && !answered; k++) {
        Run run;
        setenv("POOLWRIGHT_TEST_SIGNAL", stop, 1);
        run_tighten(folder, "10", "--json", NULL, &run);
        unsetenv("POOLWRIGHT_TEST_SIGNAL");
        memmove(stop + 7, stop, strlen(stop) + 1);
        memcpy(stop, "0@pool,", 7);
        json_t *root = run_json(&run);
        const json_t *rules = json_object_get(root, "rules"), *rule;
        answered = run.code == 0;
        assert_true(answered || json_is_true(json_object_get(root, "stopped")));
        assert_false(json_is_true(json_object_get(root, "impossible")));
        if (!json_is_true(json_object_get(root, "has_pool"))) {
            assert_int_equal(run.code, 130);
            before++;
        } else if (!answered) {
            assert_int_equal(run.code, 3);
            some++;
        }
        size_t r;
        json_array_foreach (rules, r, rule)
            assert_true(json_is_true(json_object_get(rule, "impossible")) ||
                        number(rule, "worst_seat", "drafts") == 10);
        assert_true(json_object_get(root, "again") == NULL || number(root, "again", "drafts") == 10);
        json_decref(root);
        run_forget(&run);
    }
    assert_true(answered && before > 0 && some > 0);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    signals_as_usual();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_rule_helps),
        cmocka_unit_test(one_rule_chosen_by_some_seeds_helps_in_others),
        cmocka_unit_test(where_nothing_helps_it_says_so),
        cmocka_unit_test(what_helps_is_found),
        cmocka_unit_test(what_helps_in_every_draft_is_clear),
        cmocka_unit_test(fit_is_counted_by_the_rules_as_they_stand),
        cmocka_unit_test(effort_is_no_proof),
        cmocka_unit_test(what_is_told_when_stopped_was_drafted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
