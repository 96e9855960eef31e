/* test_risk_caps.c - caps under price risk against trying every pool of small random scenarios: the best at a cap,
 * every step of a range, the least cap with any pool, the cap from which more money buys nothing. What a pool needs is
 * what it costs at most (support/at_risk.h). Scenarios are invented. */
#include <limits.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/at_risk.h"

enum { POOLS_MOST = 8192 };

typedef struct {
    const Small *small;
    int count, power[POOLS_MOST], needs[POOLS_MOST]; /* tenths; cents, rounded up */
} Tried;

static void try_all(Tried *t, int *pool, int card, int left, int power)
{
    const Small *s = t->small;
    if (card < s->cards) {
        for (int k = 0; k <= s->copies[card] && k <= left; k++) {
            pool[card] = k;
            try_all(t, pool, card + 1, left - k, power + k * s->power[card]);
        }
        pool[card] = 0;
        return;
    }
    if (left > 0 || (s->theme_cap > 0 && !small_keeps(s, pool, true, s->theme_cap)))
        return;
    assert_true(t->count < POOLS_MOST);
    t->power[t->count] = power;
    t->needs[t->count++] = (int)((small_at_worst(s, pool, false) + 999) / 1000);
}

/* Most power for the money; -1: no pool. */
static int best_within(const Tried *t, int cap)
{
    int best = -1;
    for (int k = 0; k < t->count; k++)
        best = t->needs[k] <= cap && t->power[k] > best ? t->power[k] : best;
    return best;
}

static int least_for(const Tried *t, int power)
{
    int least = INT_MAX;
    for (int k = 0; k < t->count; k++)
        least = t->power[k] >= power && t->needs[k] < least ? t->needs[k] : least;
    return least;
}

static json_t *run_caps(const char *folder, const char *caps)
{
    Run run;
    const char *const arguments[] = {"what-if", "scenario.yaml", "--caps", caps, "--gap", "0", "--json", NULL};
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code > 1)
        fail_msg("exit code %d in %s\n%s", run.code, folder, run.err);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

static void expect_money(const json_t *frontier, const char *key, int cents, const char *folder)
{
    const json_t *band = json_object_get(frontier, key);
    if (json_units(band, "at_least", 100) != cents || json_units(band, "at_most", 100) != cents)
        fail_msg("%s: %s is from %lld to %lld, by trying all %d", folder, key,
                 (long long)json_units(band, "at_least", 100), (long long)json_units(band, "at_most", 100), cents);
}

/* From the top, as the definition goes: the best at a cap, the least cap that buys it. Returns how many. */
static int expect_steps(const Tried *t, const char *folder, int from, int to)
{
    char range[64];
    snprintf(range, sizeof range, "%d.%02d..%d.%02d", from / 100, from % 100, to / 100, to % 100);
    json_t *root = run_caps(folder, range);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    const json_t *names = json_object_get(frontier, "cases");
    int steps = 0;
    if (t->count == 0) {
        assert_true(json_is_true(json_object_get(frontier, "impossible")));
        json_decref(root);
        return 0;
    }
    assert_true(json_is_true(json_object_get(frontier, "steps")));
    size_t step = json_array_size(names);
    for (int cap = to, power; (power = best_within(t, cap)) >= 0; steps++) {
        const int begins = least_for(t, power);
        if (step == 0)
            fail_msg("%s: a step at %d is missing", folder, begins);
        const json_t *item =
            json_named(json_object_get(root, "cases"), json_string_value(json_array_get(names, --step)));
        if (json_units(item, "fit", 1000) != 100 * power || json_units(item, "cap", 100) != begins)
            fail_msg("%s: a step of fit %lld at %lld, by trying all %d at %d", folder,
                     (long long)json_units(item, "fit", 1000), (long long)json_units(item, "cap", 100), 100 * power,
                     begins);
        cap = begins - 1;
        if (begins <= from) {
            steps++;
            break;
        }
    }
    if (step != 0)
        fail_msg("%s: %zu steps too many", folder, step);
    const int most = best_within(t, INT_MAX);
    expect_money(frontier, "least_cap", least_for(t, 0), folder);
    expect_money(frontier, "enough", least_for(t, most), folder);
    assert_int_equal(json_units(frontier, "fit_without_cap", 1000), 100 * most);
    json_decref(root);
    return steps;
}

static void expect_caps(const Tried *t, const char *folder, int from, int to)
{
    char caps[64], name[32];
    snprintf(caps, sizeof caps, "%d.%02d,%d.%02d,none", from / 100, from % 100, to / 100, to % 100);
    json_t *root = run_caps(folder, caps);
    for (int k = 0; k < 3; k++) {
        const int cap = k == 0 ? from : to, power = best_within(t, k == 2 ? INT_MAX : cap);
        snprintf(name, sizeof name, k == 2 ? "no cap" : "cap %d.%02d", cap / 100, cap % 100);
        const json_t *item = json_named(json_object_get(root, "cases"), name);
        if (strcmp(json_text(item, "status"), power >= 0 ? "best" : "infeasible") != 0 ||
            (power >= 0 && json_units(item, "fit", 1000) != 100 * power))
            fail_msg("%s: %s is '%s'; by trying all %d", folder, name, json_text(item, "status"), power);
    }
    json_decref(root);
}

/* Prices in whole units of ten cents, caps in cents: what a row is divided by must not round the cap. */
static void round_prices(Small *s)
{
    s->handling = 0;
    for (int c = 0; c < s->cards; c++) {
        s->price[c] -= s->price[c] % 10;
        s->high[c] -= s->high[c] % 10;
    }
}

static void caps_and_steps(void **state)
{
    (void)state;
    Dice dice;
    int steps = 0, none = 0, dearer = 0;
    const uint64_t seed = environment_number("POOLWRIGHT_SEED", 41), count = scenarios_wanted(150);
    dice_seed(&dice, seed);
    for (uint64_t k = 0; k < count; k++) {
        Small small;
        int pool[CARDS_MOST] = {0};
        small_make(&small, &dice);
        if (k % 2 == 0)
            round_prices(&small);
        const int from = dice_roll(&dice, 0, small.cap), to = from + dice_roll(&dice, 1, small.cap + 300);
        Tried *tried = malloc(sizeof *tried);
        assert_non_null(tried);
        tried->small = &small;
        tried->count = 0;
        try_all(tried, pool, 0, small.size, 0);
        char *folder = folder_new();
        small_write(&small, folder);
        steps += expect_steps(tried, folder, from, to);
        expect_caps(tried, folder, from, to);
        none += tried->count == 0;
        if (tried->count > 0) { /* the plain cheapest is not the one that needs least */
            Small plain = small;
            plain.gamma = 0;
            tried->small = &plain;
            const int least = least_for(tried, 0);
            tried->count = 0;
            try_all(tried, pool, 0, plain.size, 0);
            dearer += least > least_for(tried, 0);
        }
        folder_remove(folder);
        free(folder);
        free(tried);
    }
    print_message("%d steps; %d scenarios without a pool, %d where risk raises the least cap\n", steps, none, dearer);
    if (count >= 150)
        assert_true(steps >= 300 && dearer >= 60);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(caps_and_steps)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
