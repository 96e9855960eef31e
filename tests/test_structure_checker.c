/* test_structure_checker.c - the product's exact checker on places, engines, combinations, choices and the rest,
 * against a second one that shares no code with it (tests/support/shape_judge.c): random pools, allowed or not, are
 * judged alike and have the same fit. A mistake here would not show in answers, whose pools the search makes sound;
 * lists of users' own are judged by nothing else. The cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "programme/count/checker.h"
#include "support/shape.h"

enum { SEEDS = 40, POOLS = 120, FEATURES = 14 };

typedef struct {
    Diags diags;
    Scenario *scenario;
    Instance *instance;
    size_t card[SHAPE_CARDS];
} Read;

static void read_back(const Shape *shape, const char *folder, Read *read)
{
    char path[400];
    snprintf(path, sizeof path, "%s/scenario.yaml", folder);
    const Overrides overrides = {0};
    diags_init(&read->diags);
    read->scenario = scenario_read(path, &overrides, NULL, &read->diags);
    read->instance = read->scenario != NULL ? instance_new(read->scenario, &read->diags) : NULL;
    if (read->instance == NULL)
        fail_msg("%s could not be read:\n%s", path, diags_text(&read->diags));
    for (int c = 0; c < shape->cards; c++) {
        const long found = card_find(read->instance->cards, shape_card_name(c));
        assert_true(found >= 0);
        read->card[c] = (size_t)found;
    }
}

/* Any copies, of about the right number of cards. */
static void draw_pool(const Shape *shape, Dice *dice, int *copies)
{
    int left = dice_roll(dice, shape->size_from, shape->size_to);
    memset(copies, 0, SHAPE_CARDS * sizeof *copies);
    for (int tries = 0; tries < 60 && left > 0; tries++) {
        const int c = dice_roll(dice, 0, shape->cards - 1);
        if (copies[c] < shape->card[c].most) {
            copies[c]++;
            left--;
        }
    }
}

/* Returns whether the pool is allowed. */
static bool judged_alike(const Shape *shape, const Read *read, const int *copies, uint64_t seed, unsigned features)
{
    PoolCheck check;
    int64_t fit = 0;
    int *mapped = calloc(read->instance->cards->count, sizeof *mapped);
    assert_non_null(mapped);
    for (int c = 0; c < shape->cards; c++)
        mapped[read->card[c]] = copies[c];
    const bool allowed = shape_judge(shape, copies, &fit);
    pool_check(read->instance, mapped, &check);
    if (check.kept != allowed || (allowed && check.fit != fit))
        fail_msg("scenario %llu, features %u: the checker %s with fit %lld; expected: %s, %lld",
                 (unsigned long long)seed, features, check.kept ? "accepts" : "refuses", (long long)check.fit,
                 allowed ? "accepted" : "refused", (long long)fit);
    pool_check_release(&check);
    free(mapped);
    return allowed;
}

static void pools_are_judged_alike(void **state)
{
    (void)state;
    int refused = 0;
    for (int feature = 0; feature < FEATURES; feature++) {
        const unsigned features = 1U << feature;
        int allowed = 0;
        for (uint64_t seed = 1; seed <= SEEDS; seed++) {
            Shape shape;
            Read read;
            Dice dice;
            int copies[SHAPE_CARDS];
            shape_make(&shape, 7000 + seed + features * 100, features);
            char *folder = folder_new();
            shape_write(&shape, folder);
            read_back(&shape, folder, &read);
            dice_seed(&dice, seed + features);
            for (int k = 0; k < POOLS; k++) {
                draw_pool(&shape, &dice, copies);
                const bool good = judged_alike(&shape, &read, copies, seed, features);
                allowed += good;
                refused += !good;
            }
            instance_free(read.instance);
            scenario_free(read.scenario);
            diags_release(&read.diags);
            folder_remove(folder);
            free(folder);
        }
        if (allowed < SEEDS * POOLS / 100)
            fail_msg("features %u: only %d pools of %d are allowed", features, allowed, SEEDS * POOLS);
    }
    assert_true(refused > FEATURES * SEEDS * POOLS / 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(pools_are_judged_alike)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
