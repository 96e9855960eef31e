/* test_structure_start.c - a pool as values of all columns: the best pool of 400 random scenarios with structure, put
 * back into the programme, keeps every row and has the fit that the checker counts; so has every other allowed pool
 * that was tried. The scenarios are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "programme/answer.h"
#include "support/shape.h"

enum { SCENARIOS = 400, TRIES = 60 };

typedef struct {
    long best, others;
} Counts;

/* The pool's columns; *value: their objective. False: they break a row. */
static bool put_back(const Programme *programme, const int *copies, int64_t *value)
{
    int64_t *x = mem_new((size_t)programme->problem.columns, sizeof *x);
    bool good = programme_solution(programme, copies, x) && search_feasible(&programme->problem, x, value);
    mem_free(x);
    return good;
}

static void try_others(const Programme *programme, const Shape *shape, Dice *dice, Counts *counts)
{
    int copies[SHAPE_CARDS];
    for (int i = 0; i < TRIES; i++) {
        PoolCheck check;
        int64_t value = 0;
        for (int c = 0; c < shape->cards; c++)
            copies[c] = dice_roll(dice, 0, programme->instance->most[c]);
        pool_check(programme->instance, copies, &check);
        bool good = put_back(programme, copies, &value);
        if (check.kept != good || (good && value != check.fit))
            fail_msg("the checker says %s, %lld; the rows say %s, %lld", check.kept ? "kept" : "broken",
                     (long long)check.fit, good ? "kept" : "broken", (long long)value);
        counts->others += good;
        pool_check_release(&check);
    }
}

static void try_scenario(uint64_t seed, Counts *counts)
{
    static const unsigned features[] = {
        WITH_CHOOSE | WITH_PLACES | WITH_DEPTH, WITH_BY_PLACE, WITH_TOGETHER | WITH_NEEDS | WITH_STAY,
        WITH_EVENNESS | WITH_ENGINE | WITH_RATIO, WITH_CHOOSE | WITH_EVENNESS | WITH_ENGINE};
    Shape shape;
    Dice dice;
    char path[4096];
    Diags diags;
    Overrides overrides = {0};
    char *folder = folder_new();
    dice_seed(&dice, seed);
    diags_init(&diags);
    shape_make(&shape, seed, features[seed % (sizeof features / sizeof *features)]);
    shape.payoffs_least = -1; /* soft rules are missed by a whole number of units; they have tests of their own */
    shape_write(&shape, folder);
    snprintf(path, sizeof path, "%s/scenario.yaml", folder);
    Scenario *scenario = scenario_read(path, &overrides, NULL, &diags);
    assert_non_null(scenario);
    Instance *instance = instance_new(scenario, &diags);
    assert_non_null(instance);
    Programme *programme = programme_new(instance, &diags);
    assert_non_null(programme);
    SearchOptions options;
    Answer answer;
    search_options_default(&options);
    assert_true(answer_find(programme, &options, &answer, &diags));
    if (answer.has_pool) {
        int64_t value = 0;
        if (!put_back(programme, answer.copies, &value) || value != answer.check.fit)
            fail_msg("scenario %llu: the best pool cannot be put back, or has %lld instead of %lld",
                     (unsigned long long)seed, (long long)value, (long long)answer.check.fit);
        counts->best++;
    }
    try_others(programme, &shape, &dice, counts);
    answer_release(&answer);
    programme_free(programme);
    instance_free(instance);
    scenario_free(scenario);
    diags_release(&diags);
    folder_remove(folder);
    free(folder);
}

static void pools_can_be_put_back(void **state)
{
    (void)state;
    Counts counts = {0, 0};
    for (uint64_t seed = 1; seed <= SCENARIOS; seed++)
        try_scenario(seed, &counts);
    print_message("%ld best pools and %ld others\n", counts.best, counts.others);
    assert_true(counts.best * 3 >= SCENARIOS);
    assert_true(counts.others >= SCENARIOS);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(pools_can_be_put_back)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
