/* test_claims_brute.c - what is called proven, least, fewest or impossible by check, audit, revise and what-if, against
 * trying every pool of small random scenarios; also with so little effort that most of it is left open. The scenarios
 * are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/pools.h"
#include "support/shape.h"

#define NONE INT64_MIN

/* How often each kind of statement was made, so that the tests are known to say something. */
typedef struct {
    int bounds, open, ends, dead, fewest, impossible, reached, unmeetable;
} Said;

static bool units(const json_t *object, const char *key, int scale, int64_t *value)
{
    const json_t *said = json_object_get(object, key);
    if (said == NULL || json_is_null(said))
        return false;
    *value = json_units(object, key, scale);
    return true;
}

/* An answer with status, fit and bound against the best fit there is (NONE: no pool). */
static void check_answer(const json_t *answer, int64_t truth, const char *what, const char *folder, Said *said)
{
    int64_t fit, bound;
    const char *status = json_text(answer, "status");
    const bool has_fit = units(answer, "fit", 1000, &fit), has_bound = units(answer, "bound", 1000, &bound);
    const bool bad = (has_fit && fit > truth) || (has_bound && truth > bound) ||
                     (strcmp(status, "infeasible") == 0 && truth != NONE) ||
                     (strcmp(status, "best") == 0 && (!has_fit || fit != truth));
    if (bad)
        fail_msg("%s: %s is '%s', fit %lld, bound %lld; by trying all %lld", folder, what, status,
                 has_fit ? (long long)fit : -1, has_bound ? (long long)bound : -1, (long long)truth);
    said->bounds += has_bound && truth != NONE;
    said->open += strcmp(status, "stopped") == 0;
}

/* ---- what money buys ---- */

static int64_t best_at(const Pools *all, int64_t cap)
{
    int64_t fit = 0;
    return pools_best_within(all, cap, &fit) ? fit : NONE;
}

static void check_band(const json_t *band, int64_t truth, const char *what, const char *folder, Said *said)
{
    if (json_is_null(band))
        return;
    if (json_units(band, "at_least", 100) > truth || json_units(band, "at_most", 100) < truth)
        fail_msg("%s: %s is said to be %lld to %lld; by trying all %lld", folder, what,
                 (long long)json_units(band, "at_least", 100), (long long)json_units(band, "at_most", 100),
                 (long long)truth);
    said->ends++;
}

static void check_frontier(const Pools *all, const json_t *frontier, const char *folder, Said *said)
{
    int64_t fit, bound;
    const int64_t most = best_at(all, INT64_MAX);
    check_band(json_object_get(frontier, "least_cap"), pools_least_cap(all, NONE), "the least cap", folder, said);
    if (units(frontier, "fit_without_cap", 1000, &fit) && units(frontier, "bound_without_cap", 1000, &bound)) {
        assert_true(fit <= most && most <= bound);
        check_band(json_object_get(frontier, "enough"), pools_least_cap(all, fit), "enough", folder, said);
    }
    const json_t *dead = json_object_get(frontier, "buys_nothing");
    for (size_t k = 0; k < json_array_size(dead); k++, said->dead++) {
        const int64_t from = json_units(json_array_get(dead, k), "from", 100),
                      to = json_units(json_array_get(dead, k), "to", 100);
        if (best_at(all, from) != best_at(all, to))
            fail_msg("%s: from %lld to %lld nothing is bought, it is said; by trying all %lld, %lld", folder,
                     (long long)from, (long long)to, (long long)best_at(all, from), (long long)best_at(all, to));
    }
    if (json_is_true(json_object_get(frontier, "impossible")) != (all->count == 0) &&
        json_object_get(frontier, "impossible") != NULL)
        fail_msg("%s: 'impossible' is wrong", folder);
}

static void money_buys(const Tiny *tiny, const Pools *all, const char *folder, const char *effort, Dice *dice,
                       Said *said)
{
    char caps[96], low[32], high[32], step[32];
    const int64_t from = dice_roll(dice, 0, 400), to = from + dice_roll(dice, 100, 2000);
    pools_money(low, from);
    pools_money(high, to);
    pools_money(step, (to - from) / 5);
    snprintf(caps, sizeof caps, dice_chance(dice, 50) ? "%s..%s" : "%s..%s/%s", low, high, step);
    const char *const arguments[] = {"what-if", "--caps", caps, NULL};
    Run run;
    json_t *root = pools_run(tiny, folder, arguments, effort, &run);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0),
                 *names = json_object_get(frontier, "cases");
    for (size_t k = 0; k < json_array_size(names); k++) {
        const char *name = json_string_value(json_array_get(names, k));
        const json_t *item = pools_case(root, name);
        check_answer(item, best_at(all, json_units(item, "cap", 100)), name, folder, said);
    }
    check_answer(pools_case(root, tiny->case_named ? "The One" : "base"), best_at(all, pools_cap(tiny)), "the base",
                 folder, said);
    check_frontier(all, frontier, folder, said);
    json_decref(root);
    run_forget(&run);
}

/* ---- an existing list ---- */

/* The fewest copies out and in, and the best fit with so many. */
static int least_changes(const Tiny *tiny, const Pools *all, const int *list, int changes, int64_t *fit)
{
    int least = INT32_MAX;
    *fit = NONE;
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        if (pool->spend > pools_cap(tiny))
            continue;
        const int now = pools_listed(tiny, list) + pool->size - 2 * pools_kept(tiny, pool->copies, list);
        least = now < least ? now : least;
        if (now <= changes && pool->fit > *fit)
            *fit = pool->fit;
    }
    return least;
}

static void list_is_mended(const Tiny *tiny, const Pools *all, const int *list, const char *folder, const char *effort,
                           Said *said)
{
    static const char *const arguments[] = {"audit", "list.csv", NULL};
    Run run;
    json_t *root = pools_run(tiny, folder, arguments, effort, &run);
    const json_t *mend = json_object_get(root, "mend");
    const char *status = json_text(mend, "status");
    check_answer(json_object_get(root, "best"), best_at(all, pools_cap(tiny)), "the best", folder, said);
    const int changes = (int)json_integer_value(json_object_get(mend, "changes")),
              proven = (int)json_integer_value(json_object_get(mend, "least_changes"));
    int64_t best, fit, bound;
    const int least = least_changes(tiny, all, list, changes, &best);
    if (strcmp(status, "impossible") == 0) {
        assert_int_equal(least, INT32_MAX);
        said->impossible++;
    }
    if (strcmp(status, "found") == 0) {
        const bool fewest = strcmp(json_text(mend, "fewest"), "proven") == 0;
        if (changes < least || proven > least || (fewest && changes != least) ||
            (units(mend, "fit", 1000, &fit) && fit > best) || (units(mend, "bound", 1000, &bound) && bound < best))
            fail_msg("%s: %d changes%s, proven %d, fit %lld; by trying all %d, %lld", folder, changes,
                     fewest ? ", the fewest" : "", proven, (long long)json_units(mend, "fit", 1000), least,
                     (long long)best);
        said->fewest += fewest;
    }
    json_decref(root);
    run_forget(&run);
}

/* ---- few changes ---- */

static int64_t best_within_swaps(const Tiny *tiny, const Pools *all, const int *list, int swaps, int *least)
{
    int64_t fit = NONE;
    *least = INT32_MAX;
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        const int leave = pools_listed(tiny, list) - pools_kept(tiny, pool->copies, list);
        if (pool->spend > pools_cap(tiny))
            continue;
        *least = leave < *least ? leave : *least;
        if (leave <= swaps && pool->fit > fit)
            fit = pool->fit;
    }
    return fit;
}

/* The whole curve: each point holds, and what is beyond the last one, where all is proven, gains nothing. */
static void curve_holds(const Tiny *tiny, const Pools *all, const int *list, const char *folder, const char *effort,
                        Said *said)
{
    static const char *const arguments[] = {"revise", "list.csv", NULL};
    Run run;
    json_t *root = pools_run(tiny, folder, arguments, effort, &run);
    const json_t *points = json_object_get(root, "points"), *impossible = json_object_get(root, "impossible");
    const int proven = (int)json_integer_value(json_object_get(root, "least_swaps"));
    int least;
    int64_t best = best_within_swaps(tiny, all, list, INT32_MAX, &least), fit = 0;
    assert_true(impossible == NULL || json_is_true(impossible) == (best == NONE));
    said->impossible += json_is_true(impossible);
    if (proven > least || (json_is_true(json_object_get(root, "least_swaps_exact")) && proven != least))
        fail_msg("%s: %d swaps at least; by trying all %d", folder, proven, least);
    for (size_t k = 0; k < json_array_size(points); k++) {
        const json_t *point = json_array_get(points, k);
        const int swaps = (int)json_integer_value(json_object_get(point, "swaps"));
        check_answer(point, best_within_swaps(tiny, all, list, swaps, &least), "a point", folder, said);
    }
    if (effort == NULL && best != NONE) {
        const json_t *last = json_array_get(points, json_array_size(points) - 1);
        assert_true(units(last, "fit", 1000, &fit));
        if (fit != best)
            fail_msg("%s: the curve ends at %lld; by trying all %lld", folder, (long long)fit, (long long)best);
    }
    json_decref(root);
    run_forget(&run);
}

/* ---- what each rule can come to ---- */

typedef struct {
    int64_t least, most;
    bool any, met; /* some pool of the size; one that meets the limit */
} Reach;

static int64_t scale_of(int measure)
{
    return measure == COUNT || measure == NAMES ? 1 : measure == SPEND || measure == PRICE ? 100 : 1000;
}

static void reach_of(const TinyView *view, const Tiny *tiny, int rule, int member, const Band *band, int card,
                     int *copies, Reach *reach)
{
    int64_t use, total, counted;
    if (card < tiny->cards) {
        for (copies[card] = 0; copies[card] <= tiny->card[card].copies; copies[card]++)
            reach_of(view, tiny, rule, member, band, card + 1, copies, reach);
        copies[card] = 0;
        return;
    }
    if (!tiny_view_allows(view, copies))
        return;
    tiny_view_use(view, rule, member, copies, &use, &total, &counted);
    reach->least = !reach->any || use < reach->least ? use : reach->least;
    reach->most = !reach->any || use > reach->most ? use : reach->most;
    reach->any = true;
    reach->met =
        reach->met || ((band->side == AT_MOST || use >= band->low) && (band->side == AT_LEAST || use <= band->high));
}

static int rule_named(const Tiny *tiny, const char *name)
{
    char letter = '?';
    const int read = sscanf(name, "rule %c", &letter), number = letter - 'a';
    if (read != 1 || number < 0 || number >= tiny->rules)
        fail_msg("no rule '%s'", name);
    return number;
}

static void reaches_hold(const Tiny *tiny, const Pools *all, const char *folder, Said *said)
{
    const char *arguments[] = {
        "check", "scenario.yaml", "--rules", "--json", tiny->case_named ? "--case" : NULL, "The One", NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    json_t *root = run_json(&run);
    const json_t *rules = json_object_get(root, "rules");
    TinyView *view = tiny_view(tiny);
    for (size_t k = 0; k < json_array_size(rules); k++) {
        const json_t *item = json_array_get(rules, k);
        if (strcmp(json_text(item, "kind"), "rule") != 0)
            continue;
        const int r = rule_named(tiny, json_text(item, "name"));
        const TinyRule *rule = &tiny->rule[r];
        const int m = tiny_member_of(tiny, rule, json_text(item, "of"));
        const Band band = tiny_band(tiny, rule, m);
        Reach reach = {0};
        int copies[CARDS_MOST] = {0};
        int64_t least, most;
        if (m < 0 || band.sort != ABSOLUTE || !units(item, "least", (int)scale_of(rule->measure), &least) ||
            !units(item, "most", (int)scale_of(rule->measure), &most))
            continue;
        reach_of(view, tiny, r, m, &band, 0, copies, &reach);
        const bool possible = json_is_true(json_object_get(item, "possible"));
        if (!reach.any)
            continue;
        if (least != reach.least || most != reach.most || (!possible && reach.met))
            fail_msg("%s: rule %d (%s) can come to %lld to %lld%s; by trying all %lld to %lld%s", folder, r,
                     json_text(item, "of"), (long long)least, (long long)most, possible ? "" : " and cannot be met",
                     (long long)reach.least, (long long)reach.most, reach.met ? ", it can be met" : "");
        said->reached++;
        said->unmeetable += !possible;
    }
    if (!json_is_true(json_object_get(root, "possible"))) {
        assert_int_equal(best_at(all, pools_cap(tiny)), NONE);
        said->impossible++;
    }
    tiny_view_free(view);
    json_decref(root);
    run_forget(&run);
}

/* ---- */

static bool is_sound(const char *folder)
{
    static const char *const arguments[] = {"check", "scenario.yaml", NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    const bool sound = run.code != 2;
    run_forget(&run);
    return sound;
}

static void check_one(uint64_t seed, Said *said)
{
    static const char *const efforts[] = {"1", "3", "8", "20", "60", "200"};
    Tiny tiny;
    Pools all;
    Dice dice;
    int list[CARDS_MOST];
    dice_seed(&dice, 990 + seed);
    pools_prepare(&tiny, seed, 9);
    pools_every(&tiny, &all);
    char *folder = folder_new();
    tiny_write(&tiny, folder);
    if (is_sound(folder)) {
        const char *effort = efforts[dice_roll(&dice, 0, 5)];
        pools_list(&tiny, &all, folder, &dice, list);
        money_buys(&tiny, &all, folder, effort, &dice, said);
        list_is_mended(&tiny, &all, list, folder, effort, said);
        list_is_mended(&tiny, &all, list, folder, NULL, said);
        curve_holds(&tiny, &all, list, folder, effort, said);
        curve_holds(&tiny, &all, list, folder, NULL, said);
        reaches_hold(&tiny, &all, folder, said);
    }
    folder_remove(folder);
    free(folder);
    free(all.pool);
}

static void statements_hold(void **state)
{
    (void)state;
    Said said = {0};
    const uint64_t count = scenarios_wanted(110), seed = environment_number("POOLWRIGHT_SEED", 9100);
    for (uint64_t k = seed; k < seed + count; k++)
        check_one(k, &said);
    print_message(
        "%d bounds, %d answers left open, %d ends of frontiers, %d stretches, %d lists mended by the fewest, %d "
        "times impossible, %d reaches, %d of rules that cannot be met\n",
        said.bounds, said.open, said.ends, said.dead, said.fewest, said.impossible, said.reached, said.unmeetable);
    if (count >= 110) {
        assert_true(said.bounds >= 300 && said.open >= 50 && said.ends >= 50 && said.dead >= 50);
        assert_true(said.fewest >= 20 && said.impossible >= 10 && said.reached >= 200 && said.unmeetable >= 5);
    }
}

/* What `check` says of places, groups and needs: none of what it calls impossible is kept by any pool. */
static void structure_that_cannot_be_kept(void **state)
{
    (void)state;
    static const char *const arguments[] = {"check", "scenario.yaml", "--json", NULL};
    int unkept = 0, none = 0, fine = 0;
    const uint64_t last = 700 + (uint64_t)sanitised_starts(200);
    for (uint64_t seed = 700; seed < last; seed++) {
        Shape shape;
        ShapeAnswer answer;
        Run run;
        char *folder = folder_new();
        shape_make(&shape, seed,
                   WITH_PLACES | WITH_NEEDS | WITH_GROUPS | (seed % 2 == 0 ? WITH_CHOOSE : WITH_BY_PLACE));
        if (seed % 3 == 0) /* more places than there are cards, often */
            shape.per_theme = 2;
        shape_write(&shape, folder);
        run_poolwright(folder, arguments, NULL, &run);
        json_t *root = run_json(&run);
        const json_t *list = json_object_get(root, "rules");
        bool possible = json_is_true(json_object_get(root, "possible"));
        none += !possible;
        for (size_t k = 0; k < json_array_size(list); k++) {
            const bool kept = json_is_true(json_object_get(json_array_get(list, k), "possible"));
            possible = possible && kept;
            unkept += !kept;
        }
        shape_solve(&shape, &answer);
        if (!possible && answer.feasible)
            fail_msg("%s: check says that no pool keeps all of it; by trying all %ld do", folder, answer.pools);
        fine += possible && answer.feasible;
        json_decref(root);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
    print_message("structure: %d times impossible together, %d forms that cannot be kept, %d scenarios with pools\n",
                  none, unkept, fine);
    assert_true(none >= sanitised_starts(10) && unkept >= sanitised_starts(10) && fine >= sanitised_starts(50));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(statements_hold),
                                       cmocka_unit_test(structure_that_cannot_be_kept)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
