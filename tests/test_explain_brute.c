/* test_explain_brute.c - every number that explanations give, against trying every pool: random scenarios of at most nine invented cards.
 * The rules are read here a second time, from the numbers they were made of; nothing of src/ is used for the expected values. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "explain/binding.h"
#include "explain/firm.h"
#include "explain/swap.h"
#include "explain/why.h"
#include "support/lab.h"
#include "support/run.h"

enum { CARDS = 9, RULES = 5, POOLS = 20000, SIDES = 24 };
enum { COUNT_RULE, COLUMN_RULE, SPEND_RULE, PERCENT_RULE, AVERAGE_RULE, SOFT_RULE, KINDS };

typedef struct {
    int kind, priority;
    bool red_only, has_low, has_high;
    int64_t low, high; /* cards, thousandths, cents, thousandths of a percent */
    int64_t soft;
} MadeRule;

typedef struct {
    int cards, rules, from, to;
    int64_t power[CARDS], price[CARDS], number[CARDS], cap;
    bool red[CARDS], keep[CARDS], ban[CARDS];
    int copies[CARDS];
    bool has_cap;
    MadeRule rule[RULES];
} Made;

typedef struct {
    int copies[CARDS];
    int64_t fit;
    int64_t over[SIDES]; /* by how many units each side is missed */
} Tried;

typedef struct {
    Tried *pool;
    size_t pools;
} All;

/* --- making --- */

static void make(Made *m, Dice *d, bool hard)
{
    memset(m, 0, sizeof *m);
    m->cards = dice_roll(d, 5, CARDS);
    int places = 0;
    for (int c = 0; c < m->cards; c++) {
        m->power[c] = dice_roll(d, 1, 24) * 500;
        m->price[c] = dice_roll(d, 1, 30) * 25 + (dice_chance(d, 30) ? dice_roll(d, 0, 9) : 0);
        m->number[c] = dice_roll(d, 0, 9) * (dice_chance(d, 30) ? 250 : 1000);
        m->red[c] = dice_chance(d, 50);
        m->copies[c] = dice_chance(d, 15) ? 2 : 1;
        places += m->copies[c];
        if (dice_chance(d, 8))
            m->keep[c] = true;
        else if (dice_chance(d, 10))
            m->ban[c] = true;
    }
    m->to = dice_roll(d, 2, places - 1);
    m->from = dice_chance(d, 40) ? dice_roll(d, 1, m->to) : m->to;
    m->has_cap = dice_chance(d, 70);
    m->cap = dice_roll(d, 2, 14) * 50 * (hard ? 1 : 2) * (m->to > 3 ? 2 : 1);
    m->rules = dice_roll(d, 1, RULES);
    for (int r = 0; r < m->rules; r++) {
        MadeRule *rule = &m->rule[r];
        rule->kind = dice_roll(d, 0, hard ? AVERAGE_RULE : SOFT_RULE);
        rule->priority = dice_roll(d, 1, 9);
        rule->red_only = dice_chance(d, 70);
        int way = dice_roll(d, 0, 2);
        rule->has_low = way != 1;
        rule->has_high = way != 0;
        int64_t unit = rule->kind == COLUMN_RULE ? 1000 : rule->kind == SPEND_RULE ? 100 : rule->kind == AVERAGE_RULE ? 1000 : 1;
        if (rule->kind == PERCENT_RULE) {
            rule->low = dice_roll(d, 1, 12) * 5000;
            rule->high = rule->low + dice_roll(d, 0, 6) * 5000;
            rule->has_high = rule->has_high && rule->high <= 100000;
            rule->has_low = rule->has_low || !rule->has_high;
        } else {
            int64_t top = rule->kind == COLUMN_RULE ? 20 : rule->kind == AVERAGE_RULE ? 6 : rule->kind == SPEND_RULE ? 12 : m->to;
            rule->low = dice_roll(d, 1, (int)top) * unit * (hard ? 2 : 1) / (hard ? 1 : 2);
            if (rule->low < 1)
                rule->low = 1;
            rule->high = rule->low + dice_roll(d, 0, 3) * unit;
            if (rule->has_low && rule->has_high && rule->low == rule->high && rule->kind == AVERAGE_RULE)
                rule->has_high = false;
        }
        rule->soft = rule->kind == SOFT_RULE ? dice_roll(d, 1, 4) * 500 : 0;
    }
}

static const char *number_text(Arena *arena, int64_t value, int64_t scale)
{
    return scale == 1 ? arena_printf(arena, "%lld", (long long)value)
           : scale == 100 ? arena_printf(arena, "%lld.%02lld", (long long)(value / 100), (long long)(value % 100))
                          : arena_printf(arena, "%lld.%03lld", (long long)(value / 1000), (long long)(value % 1000));
}

static void write_rule(const MadeRule *rule, int r, Text *out, Arena *arena)
{
    int64_t scale = rule->kind == COLUMN_RULE || rule->kind == AVERAGE_RULE || rule->kind == PERCENT_RULE ? 1000 : rule->kind == SPEND_RULE ? 100 : 1;
    const char *end = rule->kind == PERCENT_RULE ? "%" : "", *average = rule->kind == AVERAGE_RULE ? "average_" : "";
    text_printf(out, "  - {name: rule %d, priority: %d", r + 1, rule->priority);
    if (rule->red_only)
        text_add(out, ", where: {colours: red}");
    if (rule->kind == COLUMN_RULE || rule->kind == AVERAGE_RULE)
        text_add(out, ", measure: number");
    if (rule->kind == SPEND_RULE)
        text_add(out, ", measure: spend");
    if (rule->has_low)
        text_printf(out, ", %sat_least: %s%s", average, number_text(arena, rule->low, scale), end);
    if (rule->has_high)
        text_printf(out, ", %sat_most: %s%s", average, number_text(arena, rule->high, scale), end);
    if (rule->soft > 0)
        text_printf(out, ", soft: %s", number_text(arena, rule->soft, 1000));
    text_add(out, "}\n");
}

static void write_made(const Made *m, Lab *lab)
{
    Arena *arena = arena_new();
    Text cards = {0}, model = {0};
    text_add(&cards, "name,colours,power,price,number,copies,status\n");
    for (int c = 0; c < m->cards; c++)
        text_printf(&cards, "card %c,%s,%s,%s,%s,%d,%s\n", 'a' + c, m->red[c] ? "red" : "", number_text(arena, m->power[c], 1000),
                    number_text(arena, m->price[c], 100), number_text(arena, m->number[c], 1000), m->copies[c], m->keep[c] ? "keep" : m->ban[c] ? "ban" : "");
    text_printf(&model, "size: {from: %d, to: %d}\ncolours: [red]\n", m->from, m->to);
    if (m->has_cap)
        text_printf(&model, "spending_cap: %s\n", number_text(arena, m->cap, 100));
    text_add(&model, "rules:\n");
    for (int r = 0; r < m->rules; r++)
        write_rule(&m->rule[r], r, &model, arena);
    lab_file(lab, "c.csv", text_cstr(&cards));
    lab_file(lab, "m.yaml", text_cstr(&model));
    text_release(&cards);
    text_release(&model);
    arena_free(arena);
}

/* --- trying --- */

static int64_t up(int64_t a, int64_t b) { return a <= 0 ? 0 : (a + b - 1) / b; }

static int64_t rule_over(const Made *m, const MadeRule *rule, const int *copies, bool low)
{
    int64_t count = 0, total = 0, size = 0;
    for (int c = 0; c < m->cards; c++) {
        size += copies[c];
        if (rule->red_only && !m->red[c])
            continue;
        count += copies[c];
        total += copies[c] * (rule->kind == COLUMN_RULE || rule->kind == AVERAGE_RULE ? m->number[c] : rule->kind == SPEND_RULE ? m->price[c] : 1);
    }
    int64_t limit = low ? rule->low : rule->high, use = total, unit = 1;
    if (rule->kind == AVERAGE_RULE)
        limit *= count;
    if (rule->kind == PERCENT_RULE) {
        use = count * 100000;
        limit *= size;
        unit = 100000;
    }
    return up(low ? limit - use : use - limit, unit);
}

static int64_t side_over(const Made *m, const Side *side, const int *copies)
{
    int64_t size = 0, spent = 0;
    for (int c = 0; c < m->cards; c++) {
        size += copies[c];
        spent += copies[c] * m->price[c];
    }
    switch (side->of) {
    case SIDE_RULE: return m->rule[side->member].soft > 0 ? 0 : rule_over(m, &m->rule[side->member], copies, side->low);
    case SIDE_CAP: return up(spent - m->cap, 1);
    case SIDE_SIZE: return up(side->low ? m->from - size : size - m->to, 1);
    case SIDE_KEEP: return copies[side->card] > 0 ? 0 : 1;
    case SIDE_BAN: return copies[side->card] > 0 ? 1 : 0;
    default: fail(); return 0;
    }
}

/* fit with the soft side `loose` (a member, or -1) loosened by s */
static int64_t fit_of(const Made *m, const int *copies, const Side *loose, int64_t s)
{
    int64_t fit = 0;
    for (int c = 0; c < m->cards; c++)
        fit += copies[c] * m->power[c];
    for (int r = 0; r < m->rules; r++)
        for (int high = 0; high < 2; high++) {
            const MadeRule *rule = &m->rule[r];
            if (rule->soft == 0 || !(high ? rule->has_high : rule->has_low))
                continue;
            int64_t over = rule_over(m, rule, copies, !high);
            if (loose != NULL && loose->of == SIDE_RULE && loose->member == r && loose->low == !high)
                over = over > s ? over - s : 0;
            fit -= over * rule->soft;
        }
    return fit;
}

static void try_all(const Made *m, const SideProblem *sides, All *all)
{
    assert_true(sides->sides <= SIDES);
    all->pool = calloc(POOLS, sizeof *all->pool);
    all->pools = 0;
    int copies[CARDS] = {0};
    for (;;) {
        Tried *t = &all->pool[all->pools++];
        assert_true(all->pools < POOLS);
        memcpy(t->copies, copies, sizeof copies);
        t->fit = fit_of(m, copies, NULL, 0);
        for (int s = 0; s < sides->sides; s++)
            t->over[s] = side_over(m, &sides->side[s], copies);
        int c = 0;
        while (c < m->cards && copies[c] == m->copies[c])
            copies[c++] = 0;
        if (c == m->cards)
            return;
        copies[c]++;
    }
}

static bool kept_but(const Tried *t, int sides, int but, int64_t allowed)
{
    for (int s = 0; s < sides; s++)
        if (t->over[s] > (s == but ? allowed : 0))
            return false;
    return true;
}

#define NONE_FIT INT64_MIN

/* Best fit with side `but` loosened by s, among pools that hold (want 1), lack (want 0) the card, or any (want -1). */
static int64_t best_of(const Made *m, const All *all, const SideProblem *sides, int but, int64_t s, int card, int want)
{
    int64_t best = NONE_FIT;
    const Side *loose = but >= 0 ? &sides->side[but] : NULL;
    for (size_t k = 0; k < all->pools; k++) {
        const Tried *t = &all->pool[k];
        if (!kept_but(t, sides->sides, but, s) || (want >= 0 && (t->copies[card] > 0) != want))
            continue;
        int64_t fit = loose != NULL && loose->of == SIDE_RULE && !loose->firm ? fit_of(m, t->copies, loose, s) : t->fit;
        if (fit > best)
            best = fit;
    }
    return best;
}

/* Loosenings at which something can change, ascending. */
static size_t steps_of(const Made *m, const All *all, const SideProblem *sides, int side, int64_t *step)
{
    size_t count = 0;
    for (size_t k = 0; k < all->pools; k++) {
        const Side *s = &sides->side[side];
        int64_t over = s->of == SIDE_RULE && !s->firm ? rule_over(m, &m->rule[s->member], all->pool[k].copies, s->low) : all->pool[k].over[side];
        bool known = over == 0;
        for (size_t i = 0; i < count && !known; i++)
            known = step[i] == over;
        if (!known)
            step[count++] = over;
    }
    for (size_t i = 0; i < count; i++)
        for (size_t j = i + 1; j < count; j++)
            if (step[j] < step[i]) {
                int64_t t = step[i];
                step[i] = step[j];
                step[j] = t;
            }
    return count;
}

/* --- comparing --- */

typedef struct {
    Made made;
    Lab lab;
    Programme *programme;
    Answer answer;
    Explain *explain;
    All all;
    uint64_t seed;
} Scene;

static void scene_open(Scene *s, uint64_t seed, bool hard, int64_t effort)
{
    Dice dice;
    dice_seed(&dice, seed);
    memset(s, 0, sizeof *s);
    s->seed = seed;
    make(&s->made, &dice, hard);
    lab_open(&s->lab);
    write_made(&s->made, &s->lab);
    s->lab.overrides.model = "m.yaml";
    lab_need(&s->lab, "c.csv");
    s->programme = programme_new(s->lab.instance, &s->lab.diags);
    SearchOptions options;
    search_options_default(&options);
    assert_true(answer_find(s->programme, &options, &s->answer, &s->lab.diags));
    ExplainOptions how = {.engine = SEARCH_ENGINE_FAST, .threads = 1, .effort = effort};
    s->explain = explain_new(s->lab.instance, &s->answer, &how, &s->lab.diags);
    assert_non_null(s->explain);
    try_all(&s->made, s->explain->sides, &s->all);
}

static void scene_close(Scene *s)
{
    free(s->all.pool);
    explain_free(s->explain);
    answer_release(&s->answer);
    programme_free(s->programme);
    lab_close(&s->lab);
}

#define SAY(scene, what, got, expected) \
    fail_msg("scenario %llu: %s: %lld, by trying every pool %lld", (unsigned long long)(scene)->seed, what, (long long)(got), (long long)(expected))

static void check_exact(const Scene *s, const char *what, const Range *range, int64_t expected)
{
    if (range->has_low && range->low > expected)
        SAY(s, what, range->low, expected);
    if (range->has_high && range->high < expected)
        SAY(s, what, range->high, expected);
    if (s->explain != NULL && prober_left(s->explain->prober) == INT64_MAX && !range_exact(range))
        SAY(s, what, -1, expected);
}

static bool is_unlimited(const Scene *s) { return prober_left(s->explain->prober) == INT64_MAX; }

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

static void check_conflict(const Scene *s, const Conflict *conflict, int card, int *minimal)
{
    if (!conflict->found)
        return;
    for (int drop = -1; drop < conflict->sides; drop++) {
        if (drop >= 0 && !conflict->minimal)
            continue;
        bool possible = false;
        for (size_t k = 0; k < s->all.pools && !possible; k++) {
            possible = card < 0 || s->all.pool[k].copies[card] > 0;
            for (int i = 0; i < conflict->sides && possible; i++)
                possible = i == drop || s->all.pool[k].over[conflict->side[i]] == 0;
        }
        if (possible != (drop >= 0))
            SAY(s, drop < 0 ? "a conflict is none" : "a conflict is not minimal", conflict->sides, drop);
    }
    *minimal += conflict->minimal;
    if (!conflict->minimal && is_unlimited(s))
        SAY(s, "a conflict is not proven minimal", 0, 0);
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
                same = t->over[i] == 0 || (s->explain->sides->side[i].of == SIDE_KEEP && s->explain->sides->side[i].card == card);
            if (!same)
                continue;
            expected++;
            bool found = false;
            for (size_t q = 0; q < swap.singles; q++)
                found = found || (swap.single[q].card == (size_t)c && swap.single[q].fit_change == t->fit - s->answer.check.fit &&
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
            good = t->over[i] == 0 || (s->explain->sides->side[i].of == SIDE_KEEP && s->explain->sides->side[i].card == card);
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
        bool right = firm->kind == FIRM_SURE ? loss >= f.margin : firm->kind == FIRM_INTERCHANGEABLE ? loss == 0 : firm->kind == FIRM_COULD_AS_WELL ? loss > 0 && loss < f.margin : true;
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
    print_message("200 scenarios: %d least loosenings, %d prices, %d conflicts of forced cards, %d useful steps\n", seen[0], seen[1], seen[2], seen[3]);
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

/* --- nothing fits --- */

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

static void check_repair(const Scene *s, const Repair *repair)
{
    int64_t least = INT64_MAX, best = 0;
    for (size_t k = 0; k < s->all.pools; k++) {
        int64_t weight = 0;
        for (int i = 0; i < s->explain->sides->sides; i++)
            weight += s->all.pool[k].over[i] * s->explain->sides->side[i].weight;
        if (weight < least || (weight == least && s->all.pool[k].fit > best)) {
            least = weight;
            best = s->all.pool[k].fit;
        }
    }
    assert_true(repair->found && repair->least);
    if (repair->weight != least)
        SAY(s, "least total loosening", repair->weight, least);
    if (repair->best.low != best || repair->best.high != best)
        SAY(s, "fit under the least loosening", repair->best.low, best);
}

static void nothing_fits(void **state)
{
    (void)state;
    int infeasible = 0, lists = 0, minimal = 0;
    for (uint64_t seed = 100000; infeasible < 300; seed++) {
        Scene s;
        scene_open(&s, seed, true, 0);
        if (s.answer.status == ANSWER_INFEASIBLE) {
            infeasible++;
            Conflict conflict;
            conflict_find(s.explain->prober, &conflict, NULL);
            assert_true(conflict.found);
            check_conflict(&s, &conflict, -1, &minimal);
            conflict_release(&conflict);
            Repair repair;
            repair_find(s.explain->prober, &repair);
            check_repair(&s, &repair);
            repair_release(&repair);
            if (s.explain->sides->sides <= 11) {
                ConflictList list;
                conflict_list(s.explain->prober, 1000, &list);
                assert_true(list.complete);
                check_list(&s, &list);
                conflict_list_release(&list);
                lists++;
            }
        }
        scene_close(&s);
    }
    print_message("300 scenarios where nothing fits, %d of them with all conflicts and repairs\n", lists);
    assert_true(lists >= 100);
    assert_int_equal(minimal, 300);
}

static void nothing_fits_with_tiny_effort(void **state)
{
    (void)state;
    int infeasible = 0, minimal = 0;
    for (uint64_t seed = 100000; infeasible < 150; seed++) {
        Scene s;
        scene_open(&s, seed, true, 1 + (int64_t)(seed % 30));
        if (s.answer.status == ANSWER_INFEASIBLE) {
            infeasible++;
            Conflict conflict;
            conflict_find(s.explain->prober, &conflict, NULL);
            check_conflict(&s, &conflict, -1, &minimal);
            conflict_release(&conflict);
        }
        scene_close(&s);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_number),
        cmocka_unit_test(tiny_effort),
        cmocka_unit_test(nothing_fits),
        cmocka_unit_test(nothing_fits_with_tiny_effort),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
