/* test_explain_brute.c - what limits are worth, why, swap and firmness: every number against trying every pool
 * (support/tried.h). */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "explain/binding.h"
#include "explain/firm.h"
#include "explain/swap.h"
#include "explain/why.h"
#include "support/tried.h"

static void check_binding(Scene *s, int side, int *useful)
{
    const SideProblem *sides = s->explain->sides;
    if (sides->side[side].of == SIDE_KEEP || sides->side[side].of == SIDE_BAN)
        return;
    static int64_t step[POOLS];
    size_t steps = steps_of(&s->made, &s->all, sides, side, step);
    int64_t best = s->answer.check.fit, at = 0;
    for (size_t k = 0; k < steps && at == 0; k++)
        if (best_of(&s->made, &s->all, sides, side, step[k], 0, -1) > best)
            at = step[k];
    /* a soft limit helps a little from the first unit of a card's distance that a step takes away */
    if (!sides->side[side].firm)
        for (int64_t k = 1; k < (at > 0 ? at : 3); k++)
            if (best_of(&s->made, &s->all, sides, side, k, 0, -1) > best)
                at = k;
    Binding b;
    binding_find(s->explain, side, sides->side[side].most, &b);
    if (b.kind == BINDING_NOTHING && at > 0)
        SAY(s, "a limit is said to be worth nothing", 0, at);
    if (b.kind == BINDING_STEP) {
        if (at == 0)
            SAY(s, "first useful step", b.step.high, -1);
        check_exact(s, "first useful step", &b.step, at);
        check_exact(s, "gain", &b.gain, best_of(&s->made, &s->all, sides, side, b.step.high, 0, -1) - best);
        (*useful)++;
    }
    if (b.kind == BINDING_UNKNOWN && is_unlimited(s))
        SAY(s, "binding unknown", 0, at);
    binding_release(&b);
}

static void check_blame(Scene *s, int card, const Blame *b, int *steps_seen)
{
    const SideProblem *sides = s->explain->sides;
    static int64_t step[POOLS];
    size_t steps = steps_of(&s->made, &s->all, sides, b->side, step);
    int64_t at = -1; /* never */
    for (size_t k = 0; k < steps && at < 0; k++) {
        int64_t forced = best_of(&s->made, &s->all, sides, b->side, step[k], card, 1);
        if (forced != NONE_FIT && forced >= best_of(&s->made, &s->all, sides, b->side, step[k], card, -1))
            at = step[k];
    }
    if (!sides->side[b->side].firm)
        return; /* fits of soft limits move between the steps of pools: not tried here */
    if (b->kind == BLAME_NEVER && at >= 0)
        SAY(s, "a limit is said never to help", 0, at);
    if (b->units.has_low && b->kind != BLAME_NEVER && at >= 0 && b->units.low > at)
        SAY(s, "least loosening", b->units.low, at);
    if (b->kind == BLAME_SOLVED) {
        if (b->units.high != at)
            SAY(s, "least loosening", b->units.high, at);
        (*steps_seen)++;
    }
    if (b->kind == BLAME_RANGE && (b->units.high < at || b->units.low > at))
        SAY(s, "least loosening at most", b->units.high, at);
    if (b->kind == BLAME_UNKNOWN && is_unlimited(s) && s->made.rule[0].kind != SOFT_RULE)
        SAY(s, "least loosening unknown", 0, at);
}

static int64_t fit_from(const Scene *s, int card, int64_t best)
{
    int64_t least = INT64_MAX;
    for (size_t k = 0; k < s->all.pools; k++) {
        const Tried *t = &s->all.pool[k];
        if (t->copies[card] > 0 && kept_but(t, s->explain->sides->sides, -1, 0)) {
            int64_t d = up(best - t->fit, t->copies[card]);
            if (d < least)
                least = d;
        }
    }
    return least;
}

/* Highest price at which the card is in a best pool; -1: none. */
static int64_t price_from(Scene *s, int card, int64_t best)
{
    int64_t before = s->made.price[card], found = -1;
    const SideProblem *sides = s->explain->sides;
    for (int64_t price = before; price >= 0 && found < 0; price--) {
        s->made.price[card] = price;
        for (size_t k = 0; k < s->all.pools && found < 0; k++) {
            const Tried *t = &s->all.pool[k];
            if (t->copies[card] == 0 || t->fit < best)
                continue;
            bool kept = true;
            for (int i = 0; i < sides->sides && kept; i++)
                kept = side_over(&s->made, &sides->side[i], t->copies) == 0;
            if (kept)
                found = price;
        }
    }
    s->made.price[card] = before;
    return found;
}

static void check_why(Scene *s, int card, int *seen)
{
    const SideProblem *sides = s->explain->sides;
    WhyAsk ask = {.blame = true, .price = true};
    Why why;
    why_find(s->explain, (size_t)card, &ask, &why);
    if (s->made.ban[card] || s->made.keep[card]) {
        why_release(&why);
        return;
    }
    int64_t best = s->answer.check.fit;
    int64_t forced = best_of(&s->made, &s->all, sides, -1, 0, card, !why.in);
    if (why.impossible && forced != NONE_FIT)
        SAY(s, "impossible, but", 0, forced);
    if (why.forced && forced == NONE_FIT)
        SAY(s, "possible, but", 0, 0);
    if (is_unlimited(s) && why.impossible != (forced == NONE_FIT))
        SAY(s, "impossible not seen", 0, 0);
    if (forced != NONE_FIT)
        check_exact(s, "loss", &why.loss, best - forced);
    if (!why.in) {
        if (forced != NONE_FIT && why.fit_from.has_low)
            check_exact(s, "fit from which", &why.fit_from, s->made.power[card] + fit_from(s, card, best));
        if (why.price_asked) {
            int64_t price = price_from(s, card, best);
            if (why.price_never && price >= 0)
                SAY(s, "no price helps, but", 0, price);
            if (!why.price_never && (price >= 0 || is_unlimited(s)))
                check_exact(s, "price", &why.price, price);
            seen[1] += price >= 0;
        }
        if (why.impossible)
            check_conflict(s, &why.conflict, card, &seen[2]);
        for (size_t k = 0; k < why.blames; k++)
            check_blame(s, card, &why.blame[k], &seen[0]);
    }
    why_release(&why);
}

static void check_swap(Scene *s, int card)
{
    Swap swap;
    swap_find(s->explain, (size_t)card, &swap);
    int copies[CARDS];
    size_t expected = 0;
    for (int c = 0; c < s->made.cards; c++) {
        if (c == card)
            continue;
        for (int i = 0; i < s->made.cards; i++)
            copies[i] = s->explain->copies[i] - (i == card) + (i == c);
        for (size_t k = 0; k < s->all.pools; k++) {
            const Tried *t = &s->all.pool[k];
            bool same = memcmp(t->copies, copies, (size_t)s->made.cards * sizeof *copies) == 0;
            for (int i = 0; i < s->explain->sides->sides && same; i++)
                same = t->over[i] == 0 ||
                       (s->explain->sides->side[i].of == SIDE_KEEP && s->explain->sides->side[i].card == card);
            if (!same)
                continue;
            expected++;
            bool found = false;
            for (size_t q = 0; q < swap.singles; q++)
                found = found || (swap.single[q].card == (size_t)c &&
                                  swap.single[q].fit_change == t->fit - s->answer.check.fit &&
                                  swap.single[q].cost_change == s->made.price[c] - s->made.price[card]);
            if (!found)
                SAY(s, "a single swap is missing", c, card);
        }
    }
    if (expected != swap.singles)
        SAY(s, "single swaps", swap.singles, expected);
    int64_t best = NONE_FIT;
    for (size_t k = 0; k < s->all.pools; k++) {
        const Tried *t = &s->all.pool[k];
        bool good = t->copies[card] < s->explain->copies[card];
        for (int i = 0; i < s->explain->sides->sides && good; i++)
            good = t->over[i] == 0 ||
                   (s->explain->sides->side[i].of == SIDE_KEEP && s->explain->sides->side[i].card == card);
        if (good && t->fit > best)
            best = t->fit;
    }
    if (is_unlimited(s) && swap.impossible != (best == NONE_FIT))
        SAY(s, "swap impossible", swap.impossible, 0);
    if (best != NONE_FIT)
        check_exact(s, "loss of a swap", &swap.loss, s->answer.check.fit - best);
    swap_release(&swap);
}

static void check_firmness(Scene *s)
{
    Firmness f;
    firmness_find(s->explain, 2, &f);
    for (size_t k = 0; k < f.count; k++) {
        const Firm *firm = &f.firm[k];
        if (firm->kind == FIRM_KEPT)
            continue;
        int64_t forced = best_of(&s->made, &s->all, s->explain->sides, -1, 0, (int)firm->card, !firm->in);
        int64_t loss = forced == NONE_FIT ? INT64_MAX / 8 : s->answer.check.fit - forced;
        bool right = firm->kind == FIRM_SURE              ? loss >= f.margin
                     : firm->kind == FIRM_INTERCHANGEABLE ? loss == 0
                     : firm->kind == FIRM_COULD_AS_WELL   ? loss > 0 && loss < f.margin
                                                          : true;
        if (!right || (firm->kind == FIRM_UNKNOWN && is_unlimited(s)))
            SAY(s, "firmness", firm->kind, loss);
        if ((firm->kind == FIRM_COULD_AS_WELL || firm->kind == FIRM_INTERCHANGEABLE) && forced != NONE_FIT)
            check_exact(s, "firmness loss", &firm->loss, loss);
    }
    firmness_release(&f);
}

static void explain_everything(Scene *s, int *seen)
{
    for (int side = 0; side < s->explain->sides->sides; side++)
        check_binding(s, side, &seen[3]);
    for (int card = 0; card < s->made.cards; card++) {
        check_why(s, card, seen);
        if (s->explain->copies[card] > 0)
            check_swap(s, card);
    }
    check_firmness(s);
}

static void every_number(void **state)
{
    (void)state;
    int feasible = 0, seen[4] = {0};
    for (uint64_t seed = 1; feasible < 200; seed++) {
        Scene s;
        scene_open(&s, seed, false, 0);
        if (s.answer.status == ANSWER_BEST) {
            feasible++;
            assert_int_equal(s.answer.check.fit, best_of(&s.made, &s.all, s.explain->sides, -1, 0, 0, -1));
            explain_everything(&s, seen);
        }
        scene_close(&s);
    }
    print_message("200 scenarios: %d least loosenings, %d prices, %d conflicts of forced cards, %d useful steps\n",
                  seen[0], seen[1], seen[2], seen[3]);
    assert_true(seen[0] > 200 && seen[1] > 50 && seen[2] > 50 && seen[3] > 200);
}

/* The same with hardly any effort: much is left open, nothing may be wrong. */
static void tiny_effort(void **state)
{
    (void)state;
    int feasible = 0, seen[4] = {0};
    for (uint64_t seed = 1; feasible < 120; seed++) {
        Scene s;
        scene_open(&s, seed, false, 1 + (int64_t)(seed % 40) * 3);
        if (s.answer.status == ANSWER_BEST) {
            feasible++;
            explain_everything(&s, seen);
        }
        scene_close(&s);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_number), cmocka_unit_test(tiny_effort)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
