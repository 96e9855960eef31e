/* test_explain_structure.c - what explanations say of scenarios with places, engines, depth, evenness, combinations and
 * choices of themes, against trying every pool with each limit changed by hand (support/shape.h: a second reading of
 * the rules, no code of src/). The scenarios are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "explain/binding.h"
#include "explain/ranging.h"
#include "explain/swaps/swap.h"
#include "explain/why.h"
#include "support/lab.h"
#include "support/shape.h"

#define NONE_FIT INT64_MIN
#define FURTHEST 4 /* units that numbers of cards are changed by here */

/* The best of all pools, and of those with and without each card. */
typedef struct {
    int64_t best, with[SHAPE_CARDS], without[SHAPE_CARDS];
} Best;

typedef struct {
    Shape shape;
    Lab lab;
    Programme *programme;
    Answer answer;
    Explain *explain;
    Best base;
    int card[SHAPE_CARDS]; /* the shape's card for each of the instance's */
    uint64_t seed;
} Scene;

static void try_all(const Shape *shape, Best *best)
{
    int copies[SHAPE_CARDS] = {0};
    *best = (Best){.best = NONE_FIT};
    for (int c = 0; c < SHAPE_CARDS; c++)
        best->with[c] = best->without[c] = NONE_FIT;
    for (int c = 0; c < shape->cards;) {
        int64_t fit = 0;
        if (shape_judge(shape, copies, &fit)) {
            best->best = fit > best->best ? fit : best->best;
            for (int k = 0; k < shape->cards; k++) {
                int64_t *side = copies[k] > 0 ? &best->with[k] : &best->without[k];
                *side = fit > *side ? fit : *side;
            }
        }
        for (c = 0; c < shape->cards && copies[c] == shape->card[c].most; c++)
            copies[c] = 0;
        if (c < shape->cards)
            copies[c]++;
    }
}

#define SAY(scene, what, got, expected)                                                                                \
    fail_msg("scenario %llu: %s: %lld, by trying every pool %lld", (unsigned long long)(scene)->seed, what,            \
             (long long)(got), (long long)(expected))

static void check_exact(const Scene *s, const char *what, const Range *range, int64_t expected)
{
    if (!range_exact(range) || range->low != expected)
        SAY(s, what, range->has_low ? range->low : -1, expected);
}

/* --- limits changed by hand --- */

static bool is_structure(const Side *side)
{
    const LimitKind kind = side->limit->kind;
    return kind == LIMIT_PLACES || kind == LIMIT_RATIO || kind == LIMIT_NEEDS || kind == LIMIT_APART ||
           kind == LIMIT_GROUP || kind == LIMIT_CHOICE;
}

/* The nth link of its kind. */
static int link_of(const Scene *s, const Side *side)
{
    /* what adds a bonus is no limit */
    static const LimitKind kind[] = {[LINK_TOGETHER] = LIMIT_KINDS,
                                     [LINK_NEEDS] = LIMIT_NEEDS,
                                     [LINK_APART] = LIMIT_APART,
                                     [LINK_GROUP] = LIMIT_GROUP,
                                     [LINK_SETS] = LIMIT_KINDS};
    const Instance *in = s->lab.instance;
    int nth = 0;
    for (const Limit *limit = in->limit; limit < side->limit; limit++)
        nth += limit->kind == side->limit->kind;
    for (int k = 0; k < s->shape.links; k++)
        if (kind[s->shape.link[k].kind] == side->limit->kind && nth-- == 0)
            return k;
    return -1;
}

/* The shape with the side loosened by so many units; a side of many rows given up. False: this side is not tried here.
 */
static bool loosened(const Scene *s, const Side *side, int64_t units, Shape *out)
{
    *out = s->shape;
    if (side->limit->kind == LIMIT_CAP)
        out->cap += units;
    else if (side->limit->kind == LIMIT_SIZE && side->low)
        out->size_from -= (int)units;
    else if (side->limit->kind == LIMIT_SIZE)
        out->size_to += (int)units;
    else if (is_structure(side)) {
        const Limit *limit = side->limit;
        if (limit->kind == LIMIT_RATIO) {
            out->theme[limit->theme].band_from = units > 0 ? -1 : out->theme[limit->theme].band_from;
            out->theme[limit->theme].band_to = units > 0 ? -1 : out->theme[limit->theme].band_to;
            return true;
        }
        if (limit->kind != LIMIT_NEEDS && limit->kind != LIMIT_APART && limit->kind != LIMIT_GROUP)
            return false;
        int k = link_of(s, side);
        if (k < 0)
            return false;
        out->link[k].number += side->low ? -units : units;
    } else
        return false;
    return true;
}

/* Is it a number of cards, few enough to try all? */
static bool is_small(const Side *side)
{
    return side->limit->kind == LIMIT_SIZE || is_structure(side);
}

static bool in_some_best(const Scene *s, const Side *side, int64_t units, int card)
{
    Shape shape;
    Best best;
    loosened(s, side, units, &shape);
    try_all(&shape, &best);
    return best.with[card] != NONE_FIT && best.with[card] == best.best;
}

static void check_blame(const Scene *s, int card, const Blame *b, int *seen)
{
    const Side *side = &s->explain->sides->side[b->side];
    Shape shape;
    if (!loosened(s, side, 0, &shape))
        return;
    int64_t most = is_small(side) ? (side->most < FURTHEST ? side->most : FURTHEST) : 0;
    if (side->row < 0)
        most = 1;
    if (b->kind == BLAME_UNKNOWN || b->kind == BLAME_RANGE)
        SAY(s, "least loosening not solved", b->kind, card);
    if (b->kind == BLAME_SOLVED && !in_some_best(s, side, b->units.high, card))
        SAY(s, "not in at this loosening", b->units.high, card);
    for (int64_t units = 0; units <= most; units++)
        if ((b->kind == BLAME_NEVER || units < b->units.high) && in_some_best(s, side, units, card))
            SAY(s, "in with less loosening than", b->kind == BLAME_NEVER ? -1 : b->units.high, units);
    *seen += b->kind == BLAME_SOLVED && is_structure(side);
}

static void check_binding(const Scene *s, int index, int *seen)
{
    const Side *side = &s->explain->sides->side[index];
    Shape shape;
    Best best;
    if (side->row < 0 || !loosened(s, side, 0, &shape))
        return;
    Binding b;
    binding_find(s->explain, index, side->most, &b);
    int64_t most = is_small(side)           ? (side->most < FURTHEST ? side->most : FURTHEST)
                   : b.kind == BINDING_STEP ? b.step.high
                                            : 0;
    if (b.kind == BINDING_UNKNOWN)
        SAY(s, "worth not known", index, 0);
    for (int64_t units = is_small(side) || most < 1 ? 1 : most - 1; units <= most; units++) {
        loosened(s, side, units, &shape);
        try_all(&shape, &best);
        bool better = best.best > s->base.best, expected = b.kind == BINDING_STEP && units >= b.step.high;
        if (better != expected)
            SAY(s, "first useful step", b.kind == BINDING_STEP ? b.step.high : -1, units);
        if (b.kind == BINDING_STEP && units == b.step.high)
            check_exact(s, "gain", &b.gain, best.best - s->base.best);
    }
    *seen += b.kind == BINDING_STEP && is_structure(side);
    binding_release(&b);
}

/* --- cards --- */

static void check_card(Scene *s, size_t c, int *seen)
{
    int card = s->card[c];
    bool in = s->explain->copies[c] > 0;
    int64_t forced = in ? s->base.without[card] : s->base.with[card];
    WhyAsk ask = {.blame = true, .price = true};
    Why why;
    why_find(s->explain, c, &ask, &why);
    if (!why.candidate) { /* no copies */
        why_release(&why);
        return;
    }
    if (why.impossible != (forced == NONE_FIT))
        SAY(s, "impossible", why.impossible, forced);
    if (forced != NONE_FIT)
        check_exact(s, "loss", &why.loss, s->base.best - forced);
    for (size_t k = 0; k < why.blames; k++)
        check_blame(s, card, &why.blame[k], &seen[0]);
    if (why.impossible && (!why.conflict.found || !why.conflict.minimal))
        SAY(s, "no minimal conflict for the card", card, 0);
    why_release(&why);
    if (!in || s->explain->copies[c] > 1)
        return;
    Swap swap;
    swap_find(s->explain, c, &swap);
    if (swap.impossible != (forced == NONE_FIT))
        SAY(s, "swap impossible", swap.impossible, forced);
    if (forced != NONE_FIT)
        check_exact(s, "loss of a swap", &swap.loss, s->base.best - forced);
    swap_release(&swap);
}

static void check_firmness(Scene *s)
{
    Rangings f;
    firmness_find(s->explain, 0, &f);
    for (size_t k = 0; k < f.count; k++) {
        const Ranging *ranging = &f.ranging[k];
        int64_t forced = ranging->in ? s->base.without[s->card[ranging->card]] : s->base.with[s->card[ranging->card]];
        int64_t loss = forced == NONE_FIT ? INT64_MAX / 8 : s->base.best - forced;
        bool right = ranging->kind == RANGING_SURE ? loss >= f.margin
                     : ranging->kind == RANGING_INTERCHANGEABLE
                         ? loss == 0
                         : ranging->kind == RANGING_COULD_AS_WELL && loss > 0 && loss < f.margin;
        if (!right)
            SAY(s, "firmness", ranging->kind, loss);
    }
    firmness_release(&f);
}

static bool scene_open(Scene *s, uint64_t seed, unsigned features)
{
    memset(s, 0, sizeof *s);
    s->seed = seed;
    shape_make(&s->shape, seed, features);
    lab_open(&s->lab);
    shape_write(&s->shape, s->lab.folder);
    assert_true(lab_read(&s->lab, "scenario.yaml"));
    for (int c = 0; c < s->shape.cards; c++)
        s->card[lab_card(&s->lab, shape_card_name(c))] = c;
    s->programme = programme_new(s->lab.instance, &s->lab.diags);
    SearchOptions options;
    search_options_default(&options);
    assert_true(answer_find(s->programme, &options, &s->answer, &s->lab.diags));
    ExplainOptions how = {.engine = SEARCH_ENGINE_FAST, .threads = 1};
    s->explain = explain_new(s->lab.instance, &s->answer, &how, &s->lab.diags);
    assert_non_null(s->explain);
    return s->answer.status == ANSWER_BEST;
}

static void scene_close(Scene *s)
{
    explain_free(s->explain);
    answer_release(&s->answer);
    programme_free(s->programme);
    lab_close(&s->lab);
}

static void try_features(unsigned features, int wanted, int least_seen)
{
    int seen[2] = {0}, feasible = 0;
    for (uint64_t seed = 500000 + features * 1000; feasible < sanitised_share(wanted); seed++) {
        Scene s;
        if (scene_open(&s, seed, features)) {
            feasible++;
            try_all(&s.shape, &s.base);
            assert_int_equal(s.base.best, s.answer.check.fit);
            for (int k = 0; k < s.explain->sides->sides; k++)
                check_binding(&s, k, &seen[1]);
            for (size_t c = 0; c < s.lab.instance->cards->count; c++)
                check_card(&s, c, seen);
            check_firmness(&s);
        }
        scene_close(&s);
    }
    print_message("%d scenarios: %d forms whose loosening lets a card in, %d whose loosening makes the pool better\n",
                  feasible, seen[0], seen[1]);
    assert_true(seen[0] + seen[1] >= sanitised_share(least_seen) / 2);
}

static void needs(void **state)
{
    (void)state;
    try_features(WITH_NEEDS, 25, 4);
}
static void apart(void **state)
{
    (void)state;
    try_features(WITH_APART, 25, 4);
}
static void groups(void **state)
{
    (void)state;
    try_features(WITH_GROUPS, 25, 4);
}
static void bands(void **state)
{
    (void)state;
    try_features(WITH_RATIO, 20, 4);
}
static void places(void **state)
{
    (void)state;
    try_features(WITH_PLACES, 16, 0);
}
static void choose(void **state)
{
    (void)state;
    try_features(WITH_CHOOSE, 16, 0);
}
static void worth(void **state)
{
    (void)state;
    try_features(WITH_ENGINE | WITH_DEPTH | WITH_EVENNESS | WITH_TOGETHER, 16, 0);
    try_features(WITH_SETS, 16, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(needs),  cmocka_unit_test(apart),  cmocka_unit_test(groups), cmocka_unit_test(bands),
        cmocka_unit_test(places), cmocka_unit_test(choose), cmocka_unit_test(worth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
