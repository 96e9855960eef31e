/* test_explain_counted.c - every statement of explanations against counting every pool by the checker
 * (support/counted.h): scenarios of which something false was once said (tests/data/explained), each with what is true
 * of it, and random ones with money at risk, sums of money with two sides, least sums, shares, and fit that counts in
 * so far as a card can be played. POOLWRIGHT_SCENARIOS and POOLWRIGHT_SEED: how many, from where. This test is not
 * repeated under sanitizers: test_explain_brute is. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "explain/binding.h"
#include "explain/ranging.h"
#include "explain/why.h"
#include "support/counted.h"
#include "support/run.h"

static void open_case(Counted *s, const char *name, const char *case_name)
{
    char path[1024];
    counted_begin(s, name);
    snprintf(path, sizeof path, "%s/tests/data/explained/%s/scenario.yaml", s->lab.before, name);
    assert_true(counted_read(s, path, case_name, 20000, 0));
}

static int side_of(const Counted *s, const char *rule, const char *of, bool low)
{
    const RuleMember *member = lab_member(&s->lab, rule, of);
    for (int i = 0; i < s->explain->sides->sides; i++) {
        const Side *side = &s->explain->sides->side[i];
        if (side->limit->member == member && side->low == low)
            return i;
    }
    fail_msg("%s: no such side of '%s'", s->what, rule);
    return -1;
}

static const char *const names[] = {"exact-share-of-count",
                                    "price-least-sum-1.00",
                                    "price-least-sum-never",
                                    "risk-between",
                                    "risk-between-equal-binding",
                                    "risk-between-equal-repair",
                                    "risk-between-why-never-random",
                                    "risk-repair-keep",
                                    "risk-repair-keep-small",
                                    "risk-repair-min",
                                    "score-matters-playable",
                                    "share-of-sum",
                                    "different-cards",
                                    "apart-as-a-rule",
                                    "share-of-a-rise",
                                    "price-at-the-average"};

/* All that is said of them. */
static void nothing_false(void **state)
{
    (void)state;
    long statements = 0;
    for (size_t k = 0; k < sizeof names / sizeof *names; k++) {
        Counted s;
        open_case(&s, names[k], NULL);
        counted_judge(&s, &statements);
        counted_judge_pools(&s, &statements);
        counted_end(&s);
    }
    print_message("%ld statements about %zu scenarios\n", statements, sizeof names / sizeof *names);
    assert_true(statements > 200);
}

/* First steps that were overlooked: of rules on money whose two sides were loosened together, and beyond a look that
 * was too short. */
static void first_steps(void **state)
{
    (void)state;
    static const struct {
        const char *name, *rule, *of;
        int64_t step, gain;
    } expected[] = {{"risk-between", "dear", "", 175, 1000},
                    {"risk-between-equal-binding", "rule 0", "tar", 50, 5000},
                    {"share-of-sum", "share", "", 500, 6000}};
    for (size_t k = 0; k < sizeof expected / sizeof *expected; k++) {
        Counted s;
        Binding b;
        open_case(&s, expected[k].name, NULL);
        const int side = side_of(&s, expected[k].rule, expected[k].of, false);
        binding_find(s.explain, side, binding_within(s.explain, side), &b);
        assert_int_equal(b.kind, BINDING_STEP);
        assert_true(range_exact(&b.step) && range_exact(&b.gain));
        assert_int_equal(b.step.low, expected[k].step);
        assert_int_equal(b.gain.low, expected[k].gain);
        binding_release(&b);
        counted_end(&s);
    }
}

/* One side by so many cents, and nothing else. */
static void least_repairs(void **state)
{
    (void)state;
    static const struct {
        const char *name, *rule, *of;
        int64_t units;
    } expected[] = {{"risk-between-equal-repair", "rule 0", "", 50},
                    {"risk-repair-keep", "rule 3", "brass", 175},
                    {"risk-repair-keep-small", "rule 3", "", 175},
                    {"risk-repair-min", "dear", "", 175}};
    for (size_t k = 0; k < sizeof expected / sizeof *expected; k++) {
        Counted s;
        Repair repair;
        open_case(&s, expected[k].name, NULL);
        const int side = side_of(&s, expected[k].rule, expected[k].of, false);
        repair_find(s.explain->oracle, &repair);
        assert_true(repair.found && repair.least);
        for (int i = 0; i < s.explain->sides->sides; i++)
            assert_int_equal(repair.units[i], i == side ? expected[k].units : 0);
        repair_release(&repair);
        counted_end(&s);
    }
}

/* Where a limit asks for a least sum of money, a higher price can bring a card in. The case says the same. */
static void higher_prices(void **state)
{
    (void)state;
    static const struct {
        const char *name, *card;
        int64_t price, dearer; /* -1: none */
    } expected[] = {{"price-least-sum-1.00", "Candle", 100, 450}, {"price-least-sum-never", "Easel", -1, 400}};
    for (size_t k = 0; k < sizeof expected / sizeof *expected; k++) {
        Counted s;
        Why why;
        const WhyAsk ask = {.price = true};
        open_case(&s, expected[k].name, NULL);
        why_find(s.explain, lab_card(&s.lab, expected[k].card), &ask, &why);
        assert_true(why.price_asked && !why.price_below && !why.dearer_never && range_exact(&why.dearer));
        assert_int_equal(why.dearer.low, expected[k].dearer);
        assert_int_equal(why.price_never, expected[k].price < 0);
        assert_true(why.price_never || (range_exact(&why.price) && why.price.low == expected[k].price));
        why_release(&why);
        counted_end(&s);
        open_case(&s, expected[k].name, "dearer");
        const size_t card = lab_card(&s.lab, expected[k].card);
        assert_true(counted_best(&s, -1, 0, card, WITH) == counted_best(&s, -1, 0, card, ANY));
        counted_end(&s);
    }
}

/* A point of a card that half of the decks play is worth half: one more or less leaves the pool as good as any. */
static void a_point_in_half_of_the_decks(void **state)
{
    (void)state;
    Counted s;
    Rangings f;
    open_case(&s, "score-matters-playable", NULL);
    const size_t cards = s.lab.instance->cards->count, card = lab_card(&s.lab, "Easel");
    int *copies = calloc(cards, sizeof *copies);
    memcpy(copies, s.answer.copies, cards * sizeof *copies);
    firmness_find(s.explain, 0, &f);
    size_t k = 0;
    while (k < f.count && f.ranging[k].card != card)
        k++;
    assert_true(k < f.count);
    assert_int_equal(ranging_score_matters(&f, &f.ranging[k]), SCORE_DOES_NOT);
    firmness_release(&f);
    counted_end(&s);
    for (int more = 0; more < 2; more++) {
        open_case(&s, "score-matters-playable", more ? "more" : "less");
        int64_t fit = NO_POOL;
        for (size_t p = 0; p < s.pools; p++)
            if (memcmp(s.pool[p].copies, copies, cards * sizeof *copies) == 0)
                fit = s.pool[p].fit;
        assert_true(fit == counted_best(&s, -1, 0, 0, ANY));
        counted_end(&s);
    }
    free(copies);
}

/* Scenarios in which the best pool found first is not the one with the fewest changes. */
static void fewest_changes(void **state)
{
    (void)state;
    static const uint64_t seeds[] = {1055, 2101, 3194, 4102, 5081};
    long statements = 0;
    for (size_t k = 0; k < sizeof seeds / sizeof *seeds; k++) {
        Counted s;
        char what[64];
        snprintf(what, sizeof what, "scenario %llu", (unsigned long long)seeds[k]);
        counted_begin(&s, what);
        assert_true(counted_read(&s, "scenario.yaml", risky_write(seeds[k], s.lab.folder), 3000, 0));
        counted_judge(&s, &statements);
        counted_judge_pools(&s, &statements);
        counted_end(&s);
    }
    assert_true(statements > 0);
}

static void random_scenarios(void **state)
{
    (void)state;
    const uint64_t wanted = scenarios_wanted(150), first = environment_number("POOLWRIGHT_SEED", 1);
    long statements = 0;
    uint64_t judged = 0, infeasible = 0, at_risk = 0;
    for (uint64_t seed = first; judged < wanted; seed++) {
        Counted s;
        char what[64];
        snprintf(what, sizeof what, "scenario %llu", (unsigned long long)seed);
        counted_begin(&s, what);
        if (counted_read(&s, "scenario.yaml", risky_write(seed, s.lab.folder), 3000, 0)) {
            counted_judge(&s, &statements);
            counted_judge_pools(&s, &statements);
            judged++;
            infeasible += s.answer.status == ANSWER_INFEASIBLE;
            at_risk += programme_at_risk(s.explain->programme);
        }
        counted_end(&s);
        if (judged % 1000 == 0 && wanted > 1000)
            print_message("%llu scenarios, %ld statements\n", (unsigned long long)judged, statements);
    }
    print_message("%llu scenarios (%llu at risk, %llu without a pool), %ld statements\n", (unsigned long long)judged,
                  (unsigned long long)at_risk, (unsigned long long)infeasible, statements);
    assert_true(statements > (long)wanted * 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_false),
        cmocka_unit_test(first_steps),
        cmocka_unit_test(least_repairs),
        cmocka_unit_test(higher_prices),
        cmocka_unit_test(a_point_in_half_of_the_decks),
        cmocka_unit_test(fewest_changes),
        cmocka_unit_test(random_scenarios),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
