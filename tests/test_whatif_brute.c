/* test_whatif_brute.c - sizes, caps, frontier steps, audits and revisions against trying every pool of small random
 * scenarios. The meaning is that of tests/support/tiny.h; distances between pools are counted here. The scenarios are
 * invented. */
#include <limits.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/pools.h"

static void expect_case(const json_t *item, bool any, int64_t fit, const char *folder)
{
    const char *status = json_text(item, "status");
    if (strcmp(status, any ? "best" : "infeasible") != 0 ||
        (any && (json_units(item, "fit", 1000) != fit || json_units(item, "bound", 1000) != fit)))
        fail_msg("%s: case '%s' is '%s'%s%lld; by trying all: %s%lld", folder, json_text(item, "name"), status,
                 any ? ", fit " : " ",
                 (long long)(json_object_get(item, "fit") != NULL ? json_units(item, "fit", 1000) : 0),
                 any ? "fit " : "no pool ", (long long)(any ? fit : 0));
}

/* ---- what changes ---- */

/* The pool that an answer tells by what enters and leaves. */
static void pool_of(const Tiny *tiny, const json_t *told, const int *list, int *copies)
{
    static const char *const key[] = {"enters", "leaves"};
    memcpy(copies, list, CARDS_MOST * sizeof *copies);
    for (int k = 0; k < 2; k++) {
        size_t i;
        json_t *entry;
        json_array_foreach (json_object_get(told, key[k]), i, entry) {
            const int by = (int)json_integer_value(json_object_get(entry, "copies"));
            for (int c = 0; c < tiny->cards; c++)
                if (strcmp(tiny_card_name(c), json_text(entry, "name")) == 0)
                    copies[c] += k == 0 ? by : -by;
        }
    }
}

static int distance(const Tiny *tiny, const int *a, const int *b)
{
    int changes = 0;
    for (int c = 0; c < tiny->cards; c++)
        changes += abs(a[c] - b[c]);
    return changes;
}

/* The case's pools of this fit within the cap: `nearest` is one of them, and none changes less against the base. Where
 * it is not told, the case's own pool is as near as any. Returns whether it is told. */
static bool expect_nearest(const Pools *all, const json_t *base, const json_t *item, int64_t fit, int64_t cap,
                           const char *folder)
{
    const Tiny *tiny = all->tiny;
    const json_t *nearest = json_object_get(item, "nearest");
    int from[CARDS_MOST] = {0}, to[CARDS_MOST], least = INT_MAX;
    bool is_pool = false;
    size_t i;
    json_t *entry;
    json_array_foreach (json_object_get(base, "pool"), i, entry) {
        for (int c = 0; c < tiny->cards; c++)
            if (strcmp(tiny_card_name(c), json_text(entry, "name")) == 0)
                from[c] = (int)json_integer_value(json_object_get(entry, "copies"));
    }
    pool_of(tiny, nearest != NULL ? nearest : item, from, to);
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        if (pool->fit != fit || pool->spend > cap)
            continue;
        const int changes = distance(tiny, from, pool->copies);
        least = changes < least ? changes : least;
        is_pool = is_pool || distance(tiny, to, pool->copies) == 0;
    }
    if (!is_pool || distance(tiny, from, to) != least)
        fail_msg("%s: case '%s', %s: %d changes%s; by trying all: %d", folder, json_text(item, "name"),
                 nearest != NULL ? "nearest" : "its pool", distance(tiny, from, to),
                 is_pool ? "" : ", which is no such pool", least);
    if (nearest != NULL) {
        assert_string_equal(json_text(nearest, "fewest"), "proven");
        assert_int_equal(json_integer_value(json_object_get(nearest, "changes")), least);
    }
    return nearest != NULL;
}

/* ---- sizes and caps ---- */

/* *nearer: how many have a nearer pool than the one shown. */
static int sizes_and_caps(const Tiny *tiny, const char *folder, Dice *dice, int *nearer)
{
    char sizes[64], caps[128], name[128], amount[3][32];
    int64_t cap[3];
    const int size[2] = {dice_roll(dice, 2, 5), dice_roll(dice, 6, 9)};
    int found = 0;
    cap[0] = dice_roll(dice, 0, 800);
    for (int k = 1; k < 3; k++)
        cap[k] = cap[k - 1] + dice_roll(dice, 1, 800);
    for (int k = 0; k < 3; k++)
        pools_money(amount[k], cap[k]);
    snprintf(sizes, sizeof sizes, "%d,%d", size[0], size[1]);
    snprintf(caps, sizeof caps, "%s,%s,%s,none", amount[0], amount[1], amount[2]);
    const char *const arguments[] = {"what-if", "--sizes", sizes, "--caps", caps, NULL};
    Run run;
    json_t *root = pools_run(tiny, folder, arguments, NULL, &run);
    for (int s = 0; s < 2; s++) {
        Tiny sized = *tiny;
        Pools all;
        sized.size_by_command = true;
        sized.command_from = sized.command_to = size[s];
        pools_every(&sized, &all);
        int64_t before = INT64_MIN;
        for (int k = 0; k < 4; k++) {
            int64_t fit = 0;
            bool any = pools_best_within(&all, k < 3 ? cap[k] : INT64_MAX, &fit);
            snprintf(name, sizeof name, k < 3 ? "%d cards, cap %s" : "%d cards, no cap", size[s],
                     amount[k < 3 ? k : 0]);
            const json_t *item = pools_case(root, name), *base = json_array_get(json_object_get(root, "cases"), 0);
            expect_case(item, any, fit, folder);
            if (any && json_object_get(base, "pool") != NULL)
                *nearer += expect_nearest(&all, base, item, fit, k < 3 ? cap[k] : INT64_MAX, folder);
            assert_true(!any || fit >= before);
            before = any ? fit : before;
            found += any;
        }
        free(all.pool);
    }
    json_decref(root);
    run_forget(&run);
    return found;
}

/* ---- every step of the frontier ---- */

static int frontier_steps(const Tiny *tiny, const Pools *all, const char *folder, Dice *dice)
{
    char range[80], low[32], high[32];
    const int64_t from = dice_roll(dice, 0, 300), to = from + dice_roll(dice, 100, 2500);
    pools_money(low, from);
    pools_money(high, to);
    snprintf(range, sizeof range, "%s..%s", low, high);
    const char *const arguments[] = {"what-if", "--caps", range, NULL};
    Run run;
    json_t *root = pools_run(tiny, folder, arguments, NULL, &run);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    const json_t *names = json_object_get(frontier, "cases");
    if (all->count == 0) {
        assert_true(json_is_true(json_object_get(frontier, "impossible")));
        json_decref(root);
        run_forget(&run);
        return 0;
    }
    assert_true(json_is_true(json_object_get(frontier, "steps")));
    /* from the top, as the definition goes: the best at a cap, the least money that buys it */
    size_t step = json_array_size(names);
    int64_t fit = 0;
    int steps = 0;
    for (int64_t cap = to; cap >= 0 && pools_best_within(all, cap, &fit); steps++) {
        const int64_t least = pools_least_spend(all, fit), begins = pools_least_cap(all, fit);
        if (step == 0)
            fail_msg("%s: a step at %lld with fit %lld is missing", folder, (long long)begins, (long long)fit);
        const json_t *item = pools_case(root, json_string_value(json_array_get(names, --step)));
        expect_case(item, true, fit, folder);
        if (json_units(item, "cap", 100) != begins || json_units(item, "cost", 100) != least - tiny_paid(tiny))
            fail_msg("%s: fit %lld begins at %lld, said %lld", folder, (long long)fit, (long long)begins,
                     (long long)json_units(item, "cap", 100));
        if (begins <= from) {
            steps++;
            break;
        }
        cap = begins - 1;
    }
    if (step != 0)
        fail_msg("%s: %zu steps too many", folder, step);
    const json_t *least = json_object_get(frontier, "least_cap"), *enough = json_object_get(frontier, "enough");
    assert_int_equal(json_units(least, "at_least", 100), pools_least_cap(all, INT64_MIN));
    assert_int_equal(json_units(least, "at_most", 100), pools_least_cap(all, INT64_MIN));
    assert_true(pools_best_within(all, INT64_MAX, &fit));
    assert_int_equal(json_units(enough, "at_most", 100), pools_least_cap(all, fit));
    assert_int_equal(json_units(enough, "at_least", 100), pools_least_cap(all, fit));
    assert_int_equal(json_units(frontier, "fit_without_cap", 1000), fit);
    json_decref(root);
    run_forget(&run);
    return steps;
}

/* With a wide gap much stays open; what is said of caps holds all the same. Returns how many sums are said to buy
 * nothing. */
static int wide_gap(const Tiny *tiny, const Pools *all, const char *folder, Dice *dice)
{
    char range[96], low[32], high[32], gap[16];
    const int64_t from = dice_roll(dice, 100, 900), to = from + dice_roll(dice, 500, 2500);
    pools_money(low, from);
    pools_money(high, to);
    snprintf(range, sizeof range, "%s..%s/%d", low, high, dice_roll(dice, 1, 3));
    snprintf(gap, sizeof gap, "%d%%", dice_roll(dice, 2, 25));
    const char *const arguments[] = {"what-if", "--caps", range, "--gap", gap, NULL};
    Run run;
    json_t *root = pools_run(tiny, folder, arguments, NULL, &run), *item, *zone;
    size_t k;
    int64_t fit = 0;
    json_array_foreach (json_object_get(root, "cases"), k, item) {
        if (k == 0) /* the scenario as it stands */
            continue;
        const bool any = pools_best_within(all, json_units(item, "cap", 100), &fit);
        const bool has_pool = json_object_get(item, "fit") != NULL, has_bound = json_object_get(item, "bound") != NULL;
        if ((has_pool && (!any || json_units(item, "fit", 1000) > fit)) ||
            (has_bound && any && json_units(item, "bound", 1000) < fit) ||
            (any && strcmp(json_text(item, "status"), "infeasible") == 0))
            fail_msg("%s: case '%s' with a gap of %s is '%s'; by trying all: %s %lld", folder, json_text(item, "name"),
                     gap, json_text(item, "status"), any ? "fit" : "no pool", (long long)fit);
    }
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    const json_t *zones = json_object_get(frontier, "buys_nothing");
    json_array_foreach (zones, k, zone) {
        int64_t less = 0, more = 0;
        const bool any = pools_best_within(all, json_units(zone, "from", 100), &less);
        if (!any || !pools_best_within(all, json_units(zone, "to", 100), &more) || less != more)
            fail_msg("%s: with a gap of %s, money from %lld to %lld is said to buy nothing; it buys %lld", folder, gap,
                     (long long)json_units(zone, "from", 100), (long long)json_units(zone, "to", 100),
                     (long long)(more - less));
    }
    const int zones_said = (int)json_array_size(zones);
    json_decref(root);
    run_forget(&run);
    return zones_said;
}

/* ---- an existing list ---- */

static bool audits(const Tiny *tiny, const Pools *all, const int *list, const char *folder)
{
    static const char *const arguments[] = {"audit", "list.csv", NULL};
    Run run;
    json_t *root = pools_run(tiny, folder, arguments, NULL, &run);
    const json_t *mend = json_object_get(root, "mend");
    int64_t fit = 0, least = INT64_MAX, own = 0;
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        if (pool->spend > pools_cap(tiny))
            continue;
        const int64_t changes = pools_listed(tiny, list) + pool->size - 2 * pools_kept(tiny, pool->copies, list);
        if (changes < least || (changes == least && pool->fit > fit))
            fit = pool->fit;
        if (changes < least)
            least = changes;
    }
    TinyView *view = tiny_view(tiny);
    const bool sound = tiny_judge(view, list, &own);
    tiny_view_free(view);
    assert_int_equal(run.code, sound ? 0 : 1);
    assert_string_equal(json_text(root, "status"), sound ? "sound" : "broken");
    const char *expected = sound ? "not needed" : least == INT64_MAX ? "impossible" : "found";
    if (strcmp(json_text(mend, "status"), expected) != 0)
        fail_msg("%s: mending is '%s', expected '%s'", folder, json_text(mend, "status"), expected);
    if (!sound && least < INT64_MAX &&
        (json_integer_value(json_object_get(mend, "changes")) != least || json_units(mend, "fit", 1000) != fit))
        fail_msg("%s: mended by %lld changes to fit %lld; by trying all: %lld, %lld", folder,
                 (long long)json_integer_value(json_object_get(mend, "changes")),
                 (long long)json_units(mend, "fit", 1000), (long long)least, (long long)fit);
    int64_t best = 0;
    const json_t *said = json_object_get(root, "best");
    const bool any = pools_best_within(all, pools_cap(tiny), &best);
    assert_string_equal(json_text(said, "status"), any ? "best" : "infeasible");
    assert_true(!any || json_units(said, "fit", 1000) == best);
    json_decref(root);
    run_forget(&run);
    return !sound && least < INT64_MAX;
}

/* ---- few changes ---- */

/* Copies that left stay out, those that came in stay in. */
static bool follows(const Tiny *tiny, const int *list, const int *now, const int *copies)
{
    for (int c = 0; c < tiny->cards; c++)
        if ((now[c] > list[c] && copies[c] < now[c]) || (now[c] < list[c] && copies[c] > now[c]))
            return false;
    return true;
}

/* The best pool that follows from this one, with one copy more out, for no more than this money; INT64_MIN: none. */
static int64_t best_further(const Tiny *tiny, const Pools *all, const int *list, const int *now, int64_t limit)
{
    Seen seen[CARDS_MOST];
    int64_t fit = INT64_MIN;
    const int out = pools_listed(tiny, list) - pools_kept(tiny, now, list) + 1;
    tiny_see(tiny, seen);
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        if (pool->spend <= pools_cap(tiny) && pool->fit > fit && follows(tiny, list, now, pool->copies) &&
            pools_listed(tiny, list) - pools_kept(tiny, pool->copies, list) <= out &&
            pools_for_entering(tiny, seen, list, pool->copies) <= limit)
            fit = pool->fit;
    }
    return fit;
}

static void move(const Tiny *tiny, const json_t *moved, int sign, int *now)
{
    for (size_t k = 0; k < json_array_size(moved); k++)
        for (int c = 0; c < tiny->cards; c++)
            if (strcmp(json_text(json_array_get(moved, k), "name"), tiny_card_name(c)) == 0)
                now[c] += sign * (int)json_integer_value(json_object_get(json_array_get(moved, k), "copies"));
}

/* One after the other, from a list that keeps the rules: each the best single one behind those before it. Returns how
 * many there are. */
static int ranks_are_best(const Tiny *tiny, const Pools *all, const int *list, int64_t limit, const json_t *root,
                          const char *folder)
{
    const json_t *ranks = json_object_get(root, "one_by_one");
    int now[CARDS_MOST];
    int64_t fit = INT64_MIN;
    memcpy(now, list, sizeof now);
    for (size_t k = 0; k < all->count; k++)
        if (all->pool[k].spend <= pools_cap(tiny) &&
            memcmp(all->pool[k].copies, list, (size_t)tiny->cards * sizeof *list) == 0)
            fit = all->pool[k].fit;
    if (fit == INT64_MIN)
        return 0;
    for (size_t k = 0; k < json_array_size(ranks); k++) {
        const json_t *rank = json_array_get(ranks, k);
        const int64_t best = best_further(tiny, all, list, now, limit);
        fit += json_units(rank, "gain", 1000);
        if (fit != best)
            fail_msg("%s: swap %zu leads to fit %lld, by trying all %lld", folder, k + 1, (long long)fit,
                     (long long)best);
        move(tiny, json_object_get(rank, "enters"), 1, now);
        move(tiny, json_object_get(rank, "leaves"), -1, now);
    }
    if (strcmp(json_text(root, "one_by_one_ends"), "proven") == 0 && best_further(tiny, all, list, now, limit) > fit)
        fail_msg("%s: that no single swap adds fit is said behind %zu of them, by trying all one does", folder,
                 json_array_size(ranks));
    return (int)json_array_size(ranks);
}

static bool revisions(const Tiny *tiny, const Pools *all, const int *list, const char *folder, Dice *dice)
{
    char swaps[16], spend[32];
    const int most = dice_roll(dice, 0, 5);
    const int64_t limit = dice_chance(dice, 50) ? dice_roll(dice, 0, 900) : INT64_MAX;
    const char *arguments[] = {"revise", "list.csv", "--swaps", swaps, limit < INT64_MAX ? "--spend" : NULL,
                               spend,    NULL};
    Seen seen[CARDS_MOST];
    Run run;
    snprintf(swaps, sizeof swaps, "%d", most);
    pools_money(spend, limit < INT64_MAX ? limit : 0);
    tiny_see(tiny, seen);
    json_t *root = pools_run(tiny, folder, arguments, NULL, &run);
    bool any = false;
    int64_t fit = 0;
    int least = INT32_MAX;
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        if (pool->spend > pools_cap(tiny) || pools_for_entering(tiny, seen, list, pool->copies) > limit)
            continue;
        const int leave = pools_listed(tiny, list) - pools_kept(tiny, pool->copies, list);
        least = leave < least ? leave : least;
        if (leave > most || (any && pool->fit <= fit))
            continue;
        any = true;
        fit = pool->fit;
    }
    assert_int_equal(run.code, any ? 0 : 1);
    if (json_is_true(json_object_get(root, "impossible")) != (least == INT32_MAX))
        fail_msg("%s: revise says impossible: %d", folder, json_is_true(json_object_get(root, "impossible")));
    if (least < INT32_MAX) {
        const json_t *point = json_array_get(json_object_get(root, "points"), 0);
        assert_int_equal(json_integer_value(json_object_get(root, "least_swaps")), least);
        if (strcmp(json_text(point, "status"), any ? "best" : "infeasible") != 0 ||
            (any && json_units(point, "fit", 1000) != fit))
            fail_msg("%s: revise with %d swaps: '%s'; by trying all: %s fit %lld", folder, most,
                     json_text(point, "status"), any ? "best" : "infeasible", (long long)fit);
        /* one after the other: no more in all than the best with as many swaps, and each for the better */
        const json_t *ranks = json_object_get(root, "one_by_one");
        for (size_t k = 0; k < json_array_size(ranks); k++)
            assert_true(json_units(json_array_get(ranks, k), "gain", 1000) > 0);
        ranks_are_best(tiny, all, list, limit, root, folder);
    }
    json_decref(root);
    run_forget(&run);
    return any;
}

/* The curve: each point is the best pool with no more swaps, and what it spends is for what was not there before. */
static int curves(const Tiny *tiny, const Pools *all, const int *list, const char *folder)
{
    static const char *const arguments[] = {"revise", "list.csv", NULL};
    Seen seen[CARDS_MOST];
    Run run;
    tiny_see(tiny, seen);
    json_t *root = pools_run(tiny, folder, arguments, NULL, &run);
    const json_t *points = json_object_get(root, "points"), *point;
    size_t k;
    int any = 0;
    int64_t reached = 0;
    json_array_foreach (points, k, point) {
        int copies[CARDS_MOST];
        int64_t fit = INT64_MIN;
        for (size_t i = 0; i < all->count; i++) {
            const Pool *pool = &all->pool[i];
            const int leave = pools_listed(tiny, list) - pools_kept(tiny, pool->copies, list);
            if (pool->spend <= pools_cap(tiny) && leave <= json_integer_value(json_object_get(point, "swaps")) &&
                pool->fit > fit)
                fit = pool->fit;
        }
        if (fit == INT64_MIN) {
            assert_string_equal(json_text(point, "status"), "infeasible");
            continue;
        }
        if (strcmp(json_text(point, "status"), "best") != 0 || json_units(point, "fit", 1000) != fit ||
            json_units(point, "bound", 1000) != fit)
            fail_msg("%s: point %zu of the curve is '%s' with fit %lld; by trying all: %lld", folder, k,
                     json_text(point, "status"), (long long)json_units(point, "fit", 1000), (long long)fit);
        pool_of(tiny, point, list, copies);
        assert_int_equal(json_units(point, "spent", 100), pools_for_entering(tiny, seen, list, copies));
        reached = fit;
        any++;
    }
    int64_t best = 0;
    if (pools_best_within(all, pools_cap(tiny), &best))
        assert_int_equal(reached, best); /* the curve ends at the best pool of all */
    json_decref(root);
    run_forget(&run);
    return any;
}

static bool is_sound(const char *folder)
{
    static const char *const arguments[] = {"check", "scenario.yaml", NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    const bool sound = run.code != 2;
    run_forget(&run);
    return sound;
}

/* The scenario with few different powers and weights, so that many pools have the same fit. Returns how many cases have
 * a nearer pool than the one shown. */
static int nearest_of_alike(const Tiny *tiny, uint64_t seed)
{
    Tiny alike = *tiny;
    Dice dice;
    int nearer = 0;
    dice_seed(&dice, seed * 7 + 5);
    for (int c = 0; c < alike.cards; c++) {
        alike.card[c].has_power = true;
        alike.card[c].power = dice_roll(&dice, 1, 5) * 1000;
        alike.card[c].price = dice_roll(&dice, 0, 12) * 50;
        for (int t = 0; t < TAGS_MOST; t++)
            alike.card[c].tag[t].weight = 1000;
    }
    char *folder = folder_new();
    tiny_write(&alike, folder);
    if (is_sound(folder))
        sizes_and_caps(&alike, folder, &dice, &nearer);
    folder_remove(folder);
    free(folder);
    return nearer;
}

static void agrees_with_trying_every_pool(void **state)
{
    (void)state;
    int found = 0, steps = 0, mended = 0, revised = 0, points = 0, zones = 0, nearer = 0, skipped = 0;
    const uint64_t count = scenarios_wanted(100), seed = environment_number("POOLWRIGHT_SEED", 5000);
    for (uint64_t k = seed; k < seed + count; k++) {
        Tiny tiny;
        Pools all;
        Dice dice;
        int list[CARDS_MOST];
        dice_seed(&dice, 77 + k);
        pools_prepare(&tiny, k, 10);
        pools_every(&tiny, &all);
        char *folder = folder_new();
        tiny_write(&tiny, folder);
        if (!is_sound(
                folder)) { /* with the size of the command line taken away, a share may ask for more than the whole */
            skipped++;
            folder_remove(folder);
            free(folder);
            free(all.pool);
            continue;
        }
        found += sizes_and_caps(&tiny, folder, &dice, &nearer);
        steps += frontier_steps(&tiny, &all, folder, &dice);
        if (k % 2 == 0)
            nearer += nearest_of_alike(&tiny, k);
        Dice other;
        dice_seed(&other, 990077 + k);
        zones += wide_gap(&tiny, &all, folder, &other);
        pools_list(&tiny, &all, folder, &dice, list);
        mended += audits(&tiny, &all, list, folder);
        revised += revisions(&tiny, &all, list, folder, &dice);
        points += curves(&tiny, &all, list, folder);
        folder_remove(folder);
        free(folder);
        free(all.pool);
    }
    print_message("%d pools of sizes and caps (%d with a nearer one), %d frontier steps, %d lists mended, %d revised, "
                  "%d points of curves, %d sums "
                  "that buy nothing; %d scenarios skipped\n",
                  found, nearer, steps, mended, revised, points, zones, skipped);
    assert_true(skipped <= (int)(count / 50));
    if (count >= 100) {
        assert_true(found >= 150);
        assert_true(steps >= 200);
        assert_true(mended >= 30);
        assert_true(revised >= 40);
        assert_true(points >= 150);
        assert_true(zones >= 25);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_trying_every_pool)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
