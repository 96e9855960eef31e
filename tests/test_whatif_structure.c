/* test_whatif_structure.c - caps, frontier steps, audits and revisions where the model has places, needs, apart,
 * groups, choices of themes, engines and combinations, against trying every pool of small random scenarios
 * (tests/support/shape.h says what a pool is worth). The scenarios are invented. POOLWRIGHT_SEED moves the first seed,
 * POOLWRIGHT_SCENARIOS sets how many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/shape.h"

typedef struct {
    int copies[SHAPE_CARDS], size;
    int64_t fit, spend;
} Pool;

typedef struct {
    const Shape *shape;
    Pool *pool; /* all that meet every limit but the cap */
    size_t count, capacity;
    int list[SHAPE_CARDS], listed;
} Pools;

static void keep_pool(Pools *all, const int *copies, int64_t fit)
{
    if (all->count == all->capacity) {
        all->capacity = 2 * all->capacity + 64;
        all->pool = realloc(all->pool, all->capacity * sizeof *all->pool);
        assert_non_null(all->pool);
    }
    Pool *pool = &all->pool[all->count++];
    *pool = (Pool){.fit = fit};
    for (int c = 0; c < all->shape->cards; c++) {
        const ShapeCard *card = &all->shape->card[c];
        pool->copies[c] = copies[c];
        pool->size += copies[c];
        const int owned = shape_owned(card);
        pool->spend += copies[c] > owned ? (copies[c] - owned) * card->price : 0;
    }
}

static void try_all(const Shape *free_of_cap, Pools *all, int card, int *copies)
{
    int64_t fit = 0;
    if (card == free_of_cap->cards) {
        if (shape_judge(free_of_cap, copies, &fit))
            keep_pool(all, copies, fit);
        return;
    }
    for (copies[card] = 0; copies[card] <= free_of_cap->card[card].most; copies[card]++)
        try_all(free_of_cap, all, card + 1, copies);
    copies[card] = 0;
}

static void every_pool(const Shape *shape, Pools *all)
{
    Shape free_of_cap = *shape;
    int copies[SHAPE_CARDS] = {0};
    free_of_cap.cap = -1;
    *all = (Pools){.shape = shape};
    try_all(&free_of_cap, all, 0, copies);
}

static bool best_within(const Pools *all, int64_t cap, int64_t *fit)
{
    bool any = false;
    for (size_t k = 0; k < all->count; k++)
        if (all->pool[k].spend <= cap && (!any || all->pool[k].fit > *fit)) {
            any = true;
            *fit = all->pool[k].fit;
        }
    return any;
}

static int64_t least_spend(const Pools *all, int64_t fit)
{
    int64_t least = INT64_MAX;
    for (size_t k = 0; k < all->count; k++)
        if (all->pool[k].fit >= fit && all->pool[k].spend < least)
            least = all->pool[k].spend;
    return least;
}

static int kept(const Pools *all, const int *copies)
{
    int sum = 0;
    for (int c = 0; c < all->shape->cards; c++)
        sum += copies[c] < all->list[c] ? copies[c] : all->list[c];
    return sum;
}

/* ---- the program ---- */

static json_t *ask(const char *folder, const char *const *more, Run *run)
{
    const char *argument[16] = {more[0], "scenario.yaml"};
    int n = 2;
    for (int k = 1; more[k] != NULL; k++)
        argument[n++] = more[k];
    argument[n++] = "--json";
    argument[n++] = "--gap";
    argument[n++] = "0";
    argument[n] = NULL;
    run_poolwright(folder, argument, NULL, run);
    if (run->code != 0 && run->code != 1)
        fail_msg("%s in %s: exit code %d\n%.1500s", more[0], folder, run->code, run->err);
    return run_json(run);
}

static const json_t *named(const json_t *list, const char *name)
{
    for (size_t k = 0; k < json_array_size(list); k++)
        if (strcmp(json_text(json_array_get(list, k), "name"), name) == 0)
            return json_array_get(list, k);
    fail_msg("no case '%s'", name);
    return NULL;
}

static void money(char text[32], int64_t cents)
{
    snprintf(text, 32, "%lld.%02lld", (long long)(cents / 100), (long long)(cents % 100));
}

static void expect(const json_t *item, bool any, int64_t fit, const char *folder)
{
    const char *status = json_text(item, "status");
    if (strcmp(status, any ? "best" : "infeasible") != 0 ||
        (any && (json_units(item, "fit", 1000) != fit || json_units(item, "bound", 1000) != fit)))
        fail_msg("%s: '%s' %lld; by trying all: %s %lld", folder, status,
                 (long long)(any ? json_units(item, "fit", 1000) : 0), any ? "best" : "infeasible",
                 (long long)(any ? fit : 0));
}

static int caps(const Pools *all, const char *folder, Dice *dice)
{
    char amount[3][32], list[128], name[64];
    int64_t cap[3] = {dice_roll(dice, 0, 500)};
    int found = 0;
    for (int k = 0; k < 3; k++) {
        cap[k] = k > 0 ? cap[k - 1] + dice_roll(dice, 1, 500) : cap[k];
        money(amount[k], cap[k]);
    }
    snprintf(list, sizeof list, "%s,%s,%s,none", amount[0], amount[1], amount[2]);
    const char *const arguments[] = {"what-if", "--caps", list, NULL};
    Run run;
    json_t *root = ask(folder, arguments, &run);
    for (int k = 0; k < 4; k++) {
        int64_t fit = 0;
        const bool any = best_within(all, k < 3 ? cap[k] : INT64_MAX, &fit);
        snprintf(name, sizeof name, k < 3 ? "cap %s" : "no cap", amount[k % 3]);
        expect(named(json_object_get(root, "cases"), name), any, fit, folder);
        found += any;
    }
    json_decref(root);
    run_forget(&run);
    return found;
}

/* From the top, as the definition goes: the best at a cap, the least money that buys it. */
static int steps(const Pools *all, const char *folder, Dice *dice)
{
    char range[80], low[32], high[32];
    const int64_t from = dice_roll(dice, 0, 200), to = from + dice_roll(dice, 100, 1500);
    money(low, from);
    money(high, to);
    snprintf(range, sizeof range, "%s..%s", low, high);
    const char *const arguments[] = {"what-if", "--caps", range, NULL};
    Run run;
    json_t *root = ask(folder, arguments, &run);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0),
                 *names = json_object_get(frontier, "cases");
    size_t step = json_array_size(names);
    int64_t fit = 0;
    int found = 0;
    if (all->count == 0)
        assert_true(json_is_true(json_object_get(frontier, "impossible")));
    else
        assert_true(json_is_true(json_object_get(frontier, "steps")));
    for (int64_t cap = to; all->count > 0 && cap >= 0 && best_within(all, cap, &fit);) {
        const int64_t begins = least_spend(all, fit);
        if (step == 0)
            fail_msg("%s: a step at %lld with fit %lld is missing", folder, (long long)begins, (long long)fit);
        const json_t *item = named(json_object_get(root, "cases"), json_string_value(json_array_get(names, --step)));
        expect(item, true, fit, folder);
        if (json_units(item, "cap", 100) != begins || json_units(item, "cost", 100) != begins)
            fail_msg("%s: fit %lld begins at %lld, said %lld", folder, (long long)fit, (long long)begins,
                     (long long)json_units(item, "cap", 100));
        found++;
        cap = begins <= from ? -1 : begins - 1;
    }
    assert_true(all->count == 0 || step == 0);
    json_decref(root);
    run_forget(&run);
    return found;
}

/* ---- lists ---- */

static void make_list(Pools *all, const char *folder, Dice *dice)
{
    const Shape *shape = all->shape;
    char text[1024] = "name,copies\n";
    if (all->count > 0 && dice_chance(dice, 80))
        memcpy(all->list, all->pool[dice_roll(dice, 0, (int)all->count - 1)].copies, sizeof all->list);
    for (int k = dice_roll(dice, 0, 4); k > 0; k--)
        all->list[dice_roll(dice, 0, shape->cards - 1)] = dice_roll(dice, 0, 2);
    for (int c = 0; c < shape->cards; c++)
        all->listed += all->list[c];
    if (all->listed == 0)
        all->listed = all->list[0] = 1;
    for (int c = 0; c < shape->cards; c++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "\"%s\",%d\n", shape_card_name(c), all->list[c]);
    folder_print(folder, "list.csv", text);
}

static int64_t cap_of(const Shape *shape)
{
    return shape->cap >= 0 ? shape->cap : INT64_MAX;
}

static bool audits(const Pools *all, const char *folder)
{
    static const char *const arguments[] = {"audit", "list.csv", NULL};
    Run run;
    json_t *root = ask(folder, arguments, &run);
    const json_t *mend = json_object_get(root, "mend");
    int64_t fit = 0, own = 0, least = INT64_MAX;
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        const int64_t changes = all->listed + pool->size - 2 * kept(all, pool->copies);
        if (pool->spend > cap_of(all->shape) || changes > least || (changes == least && pool->fit <= fit))
            continue;
        fit = pool->fit;
        least = changes;
    }
    bool sound = shape_judge(all->shape, all->list, &own);
    for (int c = 0; c < all->shape->cards; c++)
        sound = sound && all->list[c] <= all->shape->card[c].most;
    assert_int_equal(run.code, sound ? 0 : 1);
    const char *expected = sound ? "not needed" : least == INT64_MAX ? "impossible" : "found";
    if (strcmp(json_text(mend, "status"), expected) != 0)
        fail_msg("%s: mending is '%s', expected '%s'", folder, json_text(mend, "status"), expected);
    const bool mended = !sound && least < INT64_MAX;
    if (mended &&
        (json_integer_value(json_object_get(mend, "changes")) != least || json_units(mend, "fit", 1000) != fit))
        fail_msg("%s: mended by %lld changes to fit %lld; by trying all: %lld, %lld", folder,
                 (long long)json_integer_value(json_object_get(mend, "changes")),
                 (long long)json_units(mend, "fit", 1000), (long long)least, (long long)fit);
    assert_true(sound ||
                json_array_size(json_object_get(root, "broken")) + json_array_size(json_object_get(root, "cards")) > 0);
    json_decref(root);
    run_forget(&run);
    return mended;
}

static bool revisions(const Pools *all, const char *folder, Dice *dice)
{
    char swaps[16];
    const int most = dice_roll(dice, 0, 4);
    const char *const arguments[] = {"revise", "list.csv", "--swaps", swaps, NULL};
    Run run;
    snprintf(swaps, sizeof swaps, "%d", most);
    json_t *root = ask(folder, arguments, &run);
    bool any = false;
    int64_t fit = 0;
    int least = INT32_MAX;
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        const int leave = all->listed - kept(all, pool->copies);
        if (pool->spend > cap_of(all->shape))
            continue;
        least = leave < least ? leave : least;
        if (leave > most || (any && pool->fit <= fit))
            continue;
        any = true;
        fit = pool->fit;
    }
    assert_int_equal(json_is_true(json_object_get(root, "impossible")), least == INT32_MAX);
    if (least < INT32_MAX) {
        assert_int_equal(json_integer_value(json_object_get(root, "least_swaps")), least);
        expect(json_array_get(json_object_get(root, "points"), 0), any, fit, folder);
    }
    json_decref(root);
    run_forget(&run);
    return any;
}

static void agrees_with_trying_every_pool(void **state)
{
    (void)state;
    static const unsigned features[] = {WITH_PLACES,
                                        WITH_NEEDS,
                                        WITH_APART,
                                        WITH_GROUPS,
                                        WITH_CHOOSE,
                                        WITH_ENGINE | WITH_TOGETHER,
                                        WITH_CHOOSE | WITH_PLACES | WITH_ENGINE,
                                        WITH_NEEDS | WITH_APART | WITH_GROUPS};
    const uint64_t count = scenarios_wanted(120), seed = environment_number("POOLWRIGHT_SEED", 9000);
    int found = 0, stepped = 0, mended = 0, revised = 0;
    for (uint64_t k = seed; k < seed + count; k++) {
        Shape shape;
        Pools all;
        Dice dice;
        char *folder = folder_new();
        dice_seed(&dice, 500 + k);
        shape_make(&shape, k, features[k % (sizeof features / sizeof *features)]);
        shape_write(&shape, folder);
        every_pool(&shape, &all);
        found += caps(&all, folder, &dice);
        stepped += steps(&all, folder, &dice);
        make_list(&all, folder, &dice);
        mended += audits(&all, folder);
        revised += revisions(&all, folder, &dice);
        folder_remove(folder);
        free(folder);
        free(all.pool);
    }
    print_message("%d pools of caps, %d frontier steps, %d lists mended, %d revised\n", found, stepped, mended,
                  revised);
    if (count >= 120) {
        assert_true(found >= 120);
        assert_true(stepped >= 120);
        assert_true(mended >= 30);
        assert_true(revised >= 36);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_trying_every_pool)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
