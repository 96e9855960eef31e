/* test_explain_brute.c - what limits are worth, why, swap and firmness: every number against trying every pool
 * (support/tried.h). POOLWRIGHT_SCENARIOS and POOLWRIGHT_SEED: how many, from where. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "explain/why_inner.h"
#include "explain/binding.h"
#include "explain/ranging.h"
#include "explain/swaps/swap.h"
#include "explain/why.h"
#include "support/tried.h"

enum {
    SEEN = 6
}; /* least loosenings, prices, conflicts of forced cards, useful steps, higher prices, scores that matter */

static void check_binding(Scene *s, int side, int *useful)
{
    const SideProblem *sides = s->explain->sides;
    if (sides->side[side].limit->kind == LIMIT_KEEP || sides->side[side].limit->kind == LIMIT_BAN)
        return;
    static int64_t step[POOLS];
    size_t steps = steps_of(&s->made, &s->all, sides, side, step);
    int64_t best = s->answer.check.fit, at = 0;
    for (size_t k = 0; k < steps && at == 0; k++)
        if (best_of(&s->made, &s->all, sides, side, step[k], 0, -1) > best)
            at = step[k];
    /* a soft limit helps a little from the first unit of a card's distance that a step takes away */
    if (!sides->side[side].hard)
        for (int64_t k = 1; k < (at > 0 ? at : 3); k++)
            if (best_of(&s->made, &s->all, sides, side, k, 0, -1) > best)
                at = k;
    const int64_t most = sides->side[side].most, look = usual_look(&s->made, &sides->side[side]);
    if (steps > 0 && step[steps - 1] > most)
        SAY(s, "a limit can be loosened by more", most, step[steps - 1]);
    if (binding_within(s->explain, side) != (look < most ? look : most))
        SAY(s, "how far loosening is looked for", binding_within(s->explain, side), look);
    Binding b;
    binding_find(s->explain, side, most, &b);
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
    if (!sides->side[b->side].hard)
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

static bool is_money_side(const Made *made, const Side *side)
{
    const int kind = side->limit->kind == LIMIT_RULE ? made->rule[made_rule(side)].kind : COUNT_RULE;
    return side->limit->kind == LIMIT_CAP || kind == SPEND_RULE || kind == PRICE_RULE;
}

/* Pools with the card that keep whatever its price does not move. */
static size_t pools_with(const Scene *s, int card, const Tried **with)
{
    const SideProblem *sides = s->explain->sides;
    size_t count = 0;
    for (size_t k = 0; k < s->all.pools; k++) {
        const Tried *t = &s->all.pool[k];
        bool kept = t->copies[card] > 0;
        for (int i = 0; i < sides->sides && kept; i++)
            kept = t->over[i] == 0 || is_money_side(&s->made, &sides->side[i]);
        if (kept)
            with[count++] = t;
    }
    return count;
}

/* Is the card in a best pool at that price, with a high as far above it as now? with[pools]: those of pools_with. */
static bool is_in_at(Scene *s, const Tried *const *with, size_t pools, int card, int64_t best, int64_t price)
{
    const int64_t before = s->made.price[card], high = s->made.high[card];
    const SideProblem *sides = s->explain->sides;
    bool found = false;
    s->made.price[card] = price;
    s->made.high[card] = price + (high - before);
    for (size_t k = 0; k < pools && !found; k++) {
        found = fit_of(&s->made, with[k]->copies, NULL, 0) >= best;
        for (int i = 0; i < sides->sides && found; i++)
            found =
                !is_money_side(&s->made, &sides->side[i]) || side_over(&s->made, &sides->side[i], with[k]->copies) == 0;
    }
    s->made.price[card] = before;
    s->made.high[card] = high;
    return found;
}

#define DEAREST 6000 /* no sum of money is asked for that is more */

static void check_price(Scene *s, int card, int64_t best, const Why *why, int *seen)
{
    static const Tried *with[POOLS];
    const size_t pools = pools_with(s, card, with);
    const int64_t now = s->made.price[card];
    int64_t below = now, above = now + 1;
    while (below >= 0 && !is_in_at(s, with, pools, card, best, below))
        below--;
    while (above <= DEAREST && !is_in_at(s, with, pools, card, best, above))
        above++;
    if (why->price_never && below >= 0)
        SAY(s, "no price helps, but", 0, below);
    if (why->dearer_never && above <= DEAREST && below < now)
        SAY(s, "no higher price helps, but", s->made.price[card], above);
    if (!why->price_never && (below >= 0 || is_unlimited(s)))
        check_exact(s, "price", &why->price, below);
    if (!why->dearer_never && (above <= DEAREST || is_unlimited(s)))
        check_exact(s, "higher price", &why->dearer, above <= DEAREST ? above : -1);
    if (why->price_below)
        for (int64_t price = below; price >= 0; price--)
            if (!is_in_at(s, with, pools, card, best, price))
                SAY(s, "or less, but not at", below, price);
    seen[1] += below >= 0;
    seen[4] += above <= DEAREST;
}

/* The same limits all together, as where that is hard. */
static void check_each(Scene *s, int card, const Why *why, int *seen)
{
    const SideProblem *sides = s->explain->sides;
    if (!is_unlimited(s) || why->impossible || why->loss.low <= 0 || sides->problem.protections != NULL)
        return;
    Blame *blame = mem_new((size_t)sides->sides + 1, sizeof *blame),
          **open = mem_new((size_t)sides->sides + 1, sizeof *open);
    int count = 0;
    for (int side = 0; side < sides->sides; side++)
        if (sides->side[side].row >= 0 && sides->side[side].most > 0) {
            blame[count] = (Blame){.side = side, .kind = BLAME_UNKNOWN, .units = {.has_low = true, .low = 1}};
            open[count] = &blame[count];
            count++;
        }
    explain_force(s->explain, (size_t)card, 1, INT32_MAX);
    why_each(s->explain, (size_t)card, NULL, 0, INT64_MAX / 2, open, count);
    explain_unforce(s->explain, (size_t)card);
    for (int k = 0; k < count; k++)
        if (blame[k].kind != BLAME_UNKNOWN) /* what is left open is asked by itself */
            check_blame(s, card, &blame[k], &seen[0]);
    mem_free(open);
    mem_free(blame);
}

#define MORE 1000000 /* pivots beyond the usual, as where the best pool was hard to find */

static void check_why(Scene *s, int card, int *seen)
{
    const SideProblem *sides = s->explain->sides;
    const bool hard = card % 2 == 1;
    WhyAsk ask = {.blame = true, .price = true, .hard = hard, .more = hard ? MORE : 0};
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
            check_exact(s, "fit from which", &why.fit_from,
                        fit_with(&s->made, card, s->made.power[card]) + fit_from(s, card, best));
        if (why.price_asked)
            check_price(s, card, best, &why, seen);
        if (why.impossible)
            check_conflict(s, &why.conflict, card, &seen[2]);
        for (size_t k = 0; k < why.blames; k++)
            check_blame(s, card, &why.blame[k], &seen[0]);
        check_each(s, card, &why, seen);
    }
    why_release(&why);
}

static int64_t cost_of(const Scene *s, const int *copies)
{
    int64_t cost = 0;
    for (int c = 0; c < s->made.cards; c++)
        cost += spent_on(&s->made, c, copies[c]);
    return cost;
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
                same = t->over[i] == 0 || (s->explain->sides->side[i].limit->kind == LIMIT_KEEP &&
                                           s->explain->sides->side[i].limit->card == card);
            if (!same)
                continue;
            expected++;
            bool found = false;
            for (size_t q = 0; q < swap.singles; q++)
                found = found || (swap.single[q].card == (size_t)c &&
                                  swap.single[q].fit_change == t->fit - s->answer.check.fit &&
                                  swap.single[q].cost_change == cost_of(s, copies) - cost_of(s, s->explain->copies));
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
            good = t->over[i] == 0 || (s->explain->sides->side[i].limit->kind == LIMIT_KEEP &&
                                       s->explain->sides->side[i].limit->card == card);
        if (good && t->fit > best)
            best = t->fit;
    }
    if (is_unlimited(s) && swap.impossible != (best == NONE_FIT))
        SAY(s, "swap impossible", swap.impossible, 0);
    if (best != NONE_FIT)
        check_exact(s, "loss of a swap", &swap.loss, s->answer.check.fit - best);
    swap_release(&swap);
}

/* Is the answer's pool as good as any when the card has a point more (less)? */
static bool stays_best(const Scene *s, int card, int64_t point)
{
    const int64_t power = s->made.power[card],
                  change = fit_with(&s->made, card, power + point) - fit_with(&s->made, card, power);
    const int64_t ours = s->answer.check.fit + change * s->explain->copies[card];
    for (size_t k = 0; k < s->all.pools; k++)
        if (kept_but(&s->all.pool[k], s->explain->sides->sides, -1, 0) &&
            s->all.pool[k].fit + change * s->all.pool[k].copies[card] > ours)
            return false;
    return true;
}

static void check_score(const Scene *s, const Rangings *f, const Ranging *ranging, int *seen)
{
    const ScoreMatters said = ranging_score_matters(f, ranging);
    const bool stays = stays_best(s, (int)ranging->card, 1000) && stays_best(s, (int)ranging->card, -1000);
    if (said == SCORE_MATTERS && stays)
        SAY(s, "a score is said to matter", 0, ranging->card);
    if (said == SCORE_DOES_NOT && !stays)
        SAY(s, "a score is said not to matter", 0, ranging->card);
    if (said == SCORE_UNKNOWN && is_unlimited(s) && !ranging->several)
        SAY(s, "whether a score matters is not known", 0, ranging->card);
    seen[5] += said == SCORE_MATTERS;
}

/* Near enough is enough: within a fifth of what a point is worth. */
static void check_firm_loss(const Scene *s, const Rangings *f, const Ranging *ranging, int64_t loss)
{
    const Range *said = &ranging->loss;
    const bool near = said->has_low && said->has_high && said->high - said->low <= f->margin / 5;
    if (near ? loss < said->low || loss > said->high : is_unlimited(s))
        check_exact(s, "firmness loss", said, loss);
}

/* Where several cards change places no single swap does as well. */
static void check_one_swap(const Scene *s, const Ranging *ranging)
{
    const Explain *e = s->explain;
    const int by = ranging->in ? 1 : -1;
    if (exchange_changes(&ranging->exchange) <= 2 || (ranging->in && e->copies[ranging->card] != 1))
        return;
    int copies[64] = {0};
    memcpy(copies, e->copies, e->instance->cards->count * sizeof *copies);
    copies[ranging->card] -= by;
    for (size_t card = 0; card < e->instance->cards->count; card++) {
        PoolCheck check;
        copies[card] += card != ranging->card ? by : 0;
        pool_check(e->instance, copies, &check);
        if (check.kept && s->answer.check.fit - check.fit <= ranging->loss.high)
            SAY(s, "firmness: one swap does as well", check.fit, ranging->loss.high);
        pool_check_release(&check);
        copies[card] -= card != ranging->card ? by : 0;
    }
}

static void check_firmness(Scene *s, int *seen)
{
    Rangings f;
    firmness_find(s->explain, 2, &f);
    for (size_t k = 0; k < f.count; k++) {
        const Ranging *ranging = &f.ranging[k];
        check_score(s, &f, ranging, seen);
        if (ranging->kind == RANGING_KEPT)
            continue;
        int64_t forced = best_of(&s->made, &s->all, s->explain->sides, -1, 0, (int)ranging->card, !ranging->in);
        int64_t loss = forced == NONE_FIT ? INT64_MAX / 8 : s->answer.check.fit - forced;
        bool right = ranging->kind == RANGING_SURE              ? loss >= f.margin
                     : ranging->kind == RANGING_INTERCHANGEABLE ? loss == 0
                     : ranging->kind == RANGING_COULD_AS_WELL   ? loss > 0 && loss < f.margin
                                                                : true;
        if (!right || (ranging->kind == RANGING_UNKNOWN && is_unlimited(s)))
            SAY(s, "firmness", ranging->kind, loss);
        if ((ranging->kind == RANGING_COULD_AS_WELL || ranging->kind == RANGING_INTERCHANGEABLE) && forced != NONE_FIT)
            check_firm_loss(s, &f, ranging, loss);
        if (ranging->kind == RANGING_COULD_AS_WELL || ranging->kind == RANGING_INTERCHANGEABLE)
            check_one_swap(s, ranging);
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
    check_firmness(s, seen);
}

/* tiny: with hardly any effort. */
static void explain_scenarios(uint64_t wanted, bool tiny, int *seen)
{
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1);
    uint64_t feasible = 0;
    for (uint64_t seed = first; feasible < wanted; seed++) {
        Scene s;
        scene_open(&s, seed, false, tiny ? 1 + (int64_t)(seed % 40) * 3 : 0);
        if (s.answer.status == ANSWER_BEST) {
            feasible++;
            assert_int_equal(s.answer.check.fit, best_of(&s.made, &s.all, s.explain->sides, -1, 0, 0, -1));
            explain_everything(&s, seen);
            if (feasible % 1000 == 0)
                print_message("%llu scenarios\n", (unsigned long long)feasible);
        }
        scene_close(&s);
    }
}

static void every_number(void **state)
{
    (void)state;
    const uint64_t wanted = environment_number("POOLWRIGHT_SCENARIOS", (uint64_t)sanitised_share(200));
    int seen[SEEN] = {0};
    explain_scenarios(wanted, false, seen);
    print_message("%llu scenarios: %d least loosenings, %d prices, %d conflicts of forced cards, %d useful steps, %d "
                  "higher prices, %d scores that matter\n",
                  (unsigned long long)wanted, seen[0], seen[1], seen[2], seen[3], seen[4], seen[5]);
    static const int least[SEEN] = {200, 30, 50, 150, 1, 40};           /* of 200 */
    for (int k = 0; k < SEEN && getenv("POOLWRIGHT_SEED") == NULL; k++) /* how many there are depends on the seeds */
        assert_true((uint64_t)seen[k] * 200 >= (uint64_t)least[k] * wanted);
}

/* The same with hardly any effort: much is left open, nothing may be wrong. */
static void tiny_effort(void **state)
{
    (void)state;
    int seen[SEEN] = {0};
    explain_scenarios(environment_number("POOLWRIGHT_SCENARIOS", (uint64_t)sanitised_share(200)) * 3 / 5, true, seen);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_number), cmocka_unit_test(tiny_effort)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
