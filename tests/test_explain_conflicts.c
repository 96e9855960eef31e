/* test_explain_conflicts.c - where nothing fits: minimal conflicts, repairs and the smallest change, against looking at
 * set of limits and every pool (support/tried.h). POOLWRIGHT_SCENARIOS and POOLWRIGHT_SEED: how many, from where. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "explain/conflict/conflict.h"
#include "explain/conflict/repair.h"
#include "support/tried.h"

static bool subset_possible(const Scene *s, unsigned subset)
{
    for (size_t k = 0; k < s->all.pools; k++) {
        bool good = true;
        for (int i = 0; i < s->explain->sides->sides && good; i++)
            good = (subset >> i & 1) == 0 || s->all.pool[k].over[i] == 0;
        if (good)
            return true;
    }
    return false;
}

static unsigned mask_of(const Conflict *conflict)
{
    unsigned mask = 0;
    for (int k = 0; k < conflict->sides; k++)
        mask |= 1u << conflict->side[k];
    return mask;
}

static bool listed(const Conflict *list, size_t count, unsigned mask)
{
    for (size_t k = 0; k < count; k++)
        if (mask_of(&list[k]) == mask)
            return true;
    return false;
}

/* All minimal conflicts and repairs by looking at every set of sides. */
static void check_list(const Scene *s, const ConflictList *list)
{
    int n = s->explain->sides->sides;
    assert_true(n <= 14);
    bool *possible = malloc((size_t)1 << n);
    for (unsigned set = 0; set < 1u << n; set++)
        possible[set] = subset_possible(s, set);
    size_t conflicts = 0, repairs = 0;
    for (unsigned set = 0; set < 1u << n; set++) {
        bool minimal = !possible[set], maximal = possible[set];
        for (int i = 0; i < n; i++) {
            if (set >> i & 1)
                minimal = minimal && possible[set & ~(1u << i)];
            else
                maximal = maximal && !possible[set | 1u << i];
        }
        conflicts += minimal;
        repairs += maximal;
        if (minimal && !listed(list->conflict, list->conflicts, set))
            SAY(s, "a minimal conflict is not listed", set, list->conflicts);
        if (maximal && !listed(list->repair, list->repairs, ~set & ((1u << n) - 1)))
            SAY(s, "a minimal repair is not listed", set, list->repairs);
    }
    assert_int_equal(conflicts, list->conflicts);
    assert_int_equal(repairs, list->repairs);
    free(possible);
}

/* The least total loosening with which some pool is possible, and the best fit under it. */
static int64_t least_loosening(const Scene *s, int64_t *fit)
{
    int64_t least = INT64_MAX, best = 0;
    for (size_t k = 0; k < s->all.pools; k++) {
        int64_t weight = 0;
        for (int i = 0; i < s->explain->sides->sides; i++)
            weight += s->all.pool[k].over[i] * weight_of(&s->made, &s->explain->sides->side[i]);
        if (weight < least || (weight == least && s->all.pool[k].fit > best)) {
            least = weight;
            best = s->all.pool[k].fit;
        }
    }
    *fit = best;
    return least;
}

static void check_repair(const Scene *s, const Repair *repair)
{
    int64_t best, least = least_loosening(s, &best);
    assert_true(repair->found && repair->least);
    if (repair->weight != least)
        SAY(s, "least total loosening", repair->weight, least);
    if (repair->best.low != best || repair->best.high != best)
        SAY(s, "fit under the least loosening", repair->best.low, best);
}

/* Is the loosening enough for a pool, and for one of this fit? */
static bool mends(const Scene *s, const int64_t *units, int64_t fit)
{
    for (size_t k = 0; k < s->all.pools; k++) {
        bool good = s->all.pool[k].fit >= fit;
        for (int i = 0; i < s->explain->sides->sides && good; i++)
            good = s->all.pool[k].over[i] <= units[i];
        if (good)
            return true;
    }
    return false;
}

/* What is said of a repair that was looked for with little effort holds; *open counts those not called least. */
static void check_open_repair(const Scene *s, const Repair *repair, int *open)
{
    int64_t best, least = least_loosening(s, &best);
    if (repair->at_least != SEARCH_MINUS_INFINITY && repair->at_least > least)
        SAY(s, "proven least total loosening", repair->at_least, least);
    if (repair->impossible)
        SAY(s, "that nothing mends it is called proven", 1, 0);
    if (!repair->found)
        return;
    if (repair->weight < least || (repair->least && repair->weight > least))
        SAY(s, repair->least ? "a repair is called least" : "a repair is too light", repair->weight, least);
    if (!mends(s, repair->units, repair->best.low))
        SAY(s, "a repair does not mend", repair->best.low, best);
    if (repair->least && repair->best.high < best)
        SAY(s, "fit under the least loosening is at most", repair->best.high, best);
    *open += !repair->least;
}

static void nothing_fits(void **state)
{
    (void)state;
    const int wanted = (int)environment_number("POOLWRIGHT_SCENARIOS", (uint64_t)sanitised_share(300));
    int infeasible = 0, lists = 0, minimal = 0;
    for (uint64_t seed = 100000 + environment_number("POOLWRIGHT_SEED", 0); infeasible < wanted; seed++) {
        Scene s;
        scene_open(&s, seed, true, 0);
        if (s.answer.status == ANSWER_INFEASIBLE) {
            infeasible++;
            Conflict conflict;
            conflict_find(s.explain->oracle, &conflict);
            assert_true(conflict.found);
            check_conflict(&s, &conflict, -1, &minimal);
            conflict_release(&conflict);
            Repair repair;
            repair_find(s.explain->oracle, &repair);
            check_repair(&s, &repair);
            repair_release(&repair);
            if (s.explain->sides->sides <= 11) {
                ConflictList list;
                conflict_list(s.explain->oracle, 1000, &list);
                assert_true(list.complete);
                check_list(&s, &list);
                conflict_list_release(&list);
                lists++;
            }
        }
        scene_close(&s);
    }
    print_message("%d scenarios where nothing fits, %d of them with all conflicts and repairs\n", wanted, lists);
    assert_true(lists >= wanted / 3);
    assert_int_equal(minimal, wanted);
}

static void nothing_fits_with_tiny_effort(void **state)
{
    (void)state;
    int infeasible = 0, minimal = 0, open = 0;
    int64_t most = 0;
    for (uint64_t seed = 100000; infeasible < 300; seed++) {
        Scene s;
        scene_open(&s, seed, true, 1 + (int64_t)(seed % 30));
        if (s.answer.status == ANSWER_INFEASIBLE) {
            infeasible++;
            Conflict conflict;
            conflict_find(s.explain->oracle, &conflict);
            check_conflict(&s, &conflict, -1, &minimal);
            conflict_release(&conflict);
            scene_effort(&s, 1 + (int64_t)(seed % 25)); /* all of it for the repair */
            Repair repair;
            repair_find(s.explain->oracle, &repair);
            most = oracle_used(s.explain->oracle) > most ? oracle_used(s.explain->oracle) : most;
            check_open_repair(&s, &repair, &open);
            repair_release(&repair);
        }
        scene_close(&s);
    }
    print_message("%d repairs not proven least; at most %d pivots\n", open, (int)most);
    assert_true(open >= 10);
    assert_true(most <= 25 + 25); /* what is asked is stopped soon after the effort is spent */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(nothing_fits), cmocka_unit_test(nothing_fits_with_tiny_effort)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
