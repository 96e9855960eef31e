/* test_explain_open.c - explanations of an answer that is not proven best: a pool that is allowed, and a bound that is
 * above the best one's fit. What is said of losses, also of kept and banned cards, must hold for the best pool, which
 * is known from trying every pool (support/tried.h). */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "explain/swaps/swap.h"
#include "explain/why.h"
#include "support/tried.h"

/* In place of the answer that was found: one of the allowed pools, and a bound that is `above` the best. */
static bool pose(Scene *s, Dice *dice, int64_t above)
{
    const int64_t best = s->answer.check.fit;
    const int sides = s->explain->sides->sides;
    size_t allowed = 0;
    for (size_t k = 0; k < s->all.pools; k++)
        allowed += kept_but(&s->all.pool[k], sides, -1, 0);
    int which = dice_roll(dice, 0, (int)allowed - 1);
    for (size_t k = 0; k < s->all.pools; k++) {
        if (!kept_but(&s->all.pool[k], sides, -1, 0) || which-- > 0)
            continue;
        memcpy(s->answer.copies, s->all.pool[k].copies, (size_t)s->made.cards * sizeof *s->answer.copies);
        break;
    }
    pool_check_release(&s->answer.check);
    pool_check(s->lab.instance, s->answer.copies, &s->answer.check);
    assert_true(s->answer.check.kept);
    s->answer.status = ANSWER_WITHIN_GAP;
    s->answer.bound = best + above;
    scene_effort(s, dice_chance(dice, 30) ? 40 : 0);
    return s->answer.check.fit < best || above > 0;
}

/* Fit of the best pool with the card in or out, whatever its own keep or ban says. */
static int64_t best_with(const Scene *s, int card, bool in)
{
    const SideProblem *sides = s->explain->sides;
    int own = -1;
    for (int k = 0; k < sides->sides; k++)
        if ((sides->side[k].limit->kind == LIMIT_KEEP || sides->side[k].limit->kind == LIMIT_BAN) &&
            sides->side[k].limit->card == card)
            own = k;
    return best_of(&s->made, &s->all, sides, own, 1, card, in);
}

static void check_loss(const Scene *s, const char *what, const Range *loss, int64_t truth)
{
    if (loss->has_low && loss->low > truth)
        SAY(s, what, loss->low, truth);
    if (loss->has_high && loss->high < truth)
        SAY(s, what, loss->high, truth);
}

/* Fit of the best pool with fewer copies of the card than the answer has, its keep aside. */
static int64_t best_with_fewer(const Scene *s, int card)
{
    const SideProblem *sides = s->explain->sides;
    int64_t best = NONE_FIT;
    int own = -1;
    for (int k = 0; k < sides->sides; k++)
        if (sides->side[k].limit->kind == LIMIT_KEEP && sides->side[k].limit->card == card)
            own = k;
    for (size_t k = 0; k < s->all.pools; k++)
        if (s->all.pool[k].copies[card] < s->answer.copies[card] && kept_but(&s->all.pool[k], sides->sides, own, 1) &&
            s->all.pool[k].fit > best)
            best = s->all.pool[k].fit;
    return best;
}

static void check_swap(const Scene *s, int card, int64_t best)
{
    const int64_t other = best_with_fewer(s, card);
    Swap swap;
    swap_find(s->explain, (size_t)card, &swap);
    if (swap.impossible && other != NONE_FIT)
        SAY(s, "a swap is impossible, but", 0, other);
    if (!swap.impossible && other != NONE_FIT)
        check_loss(s, "loss of a swap", &swap.loss, best < other && !s->made.keep[card] ? 0 : best - other);
    swap_release(&swap);
}

static void losses_hold_for_the_best_pool(void **state)
{
    (void)state;
    int open = 0, forced_status = 0;
    for (uint64_t seed = 500; open < 200; seed++) {
        Scene s;
        Dice dice;
        dice_seed(&dice, seed);
        scene_open(&s, seed, false, 0);
        if (s.answer.status == ANSWER_BEST) {
            const int64_t best = s.answer.check.fit;
            open += pose(&s, &dice, dice_roll(&dice, 0, 6) * 500);
            for (int card = 0; card < s.made.cards; card++) {
                const bool status = s.made.keep[card] || s.made.ban[card];
                const int64_t other = best_with(&s, card, s.answer.copies[card] == 0);
                WhyAsk ask = {.blame = false};
                Why why;
                why_find(s.explain, (size_t)card, &ask, &why);
                if (why.impossible && other != NONE_FIT)
                    SAY(&s, "impossible, but", 0, other);
                if (!why.impossible && other != NONE_FIT)
                    check_loss(&s, status ? "loss of a keep or ban" : "loss", &why.loss,
                               !status && best < other ? 0 : best - other);
                forced_status += status && why.loss.has_high && other != NONE_FIT;
                why_release(&why);
                if (s.answer.copies[card] > 0)
                    check_swap(&s, card, best);
            }
        }
        scene_close(&s);
    }
    print_message("200 open answers, %d losses of kept and banned cards\n", forced_status);
    assert_true(forced_status > 50);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(losses_hold_for_the_best_pool)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
