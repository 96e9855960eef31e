/* tried.c - see tried.h. */
#include "support/tried.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

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
        m->rye[c] = dice_chance(d, 50);
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
        rule->rye_only = dice_chance(d, 70);
        int way = dice_roll(d, 0, 2);
        rule->has_low = way != 1;
        rule->has_high = way != 0;
        int64_t unit = rule->kind == COLUMN_RULE    ? 1000
                       : rule->kind == SPEND_RULE   ? 100
                       : rule->kind == AVERAGE_RULE ? 1000
                                                    : 1;
        if (rule->kind == PERCENT_RULE) {
            rule->low = dice_roll(d, 1, 12) * 5000;
            rule->high = rule->low + dice_roll(d, 0, 6) * 5000;
            rule->has_high = rule->has_high && rule->high <= 100000;
            rule->has_low = rule->has_low || !rule->has_high;
        } else {
            int64_t top = rule->kind == COLUMN_RULE    ? 20
                          : rule->kind == AVERAGE_RULE ? 6
                          : rule->kind == SPEND_RULE   ? 12
                                                       : m->to;
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
    return scale == 1     ? arena_printf(arena, "%lld", (long long)value)
           : scale == 100 ? arena_printf(arena, "%lld.%02lld", (long long)(value / 100), (long long)(value % 100))
                          : arena_printf(arena, "%lld.%03lld", (long long)(value / 1000), (long long)(value % 1000));
}

static void write_rule(const MadeRule *rule, int r, Text *out, Arena *arena)
{
    int64_t scale = rule->kind == COLUMN_RULE || rule->kind == AVERAGE_RULE || rule->kind == PERCENT_RULE ? 1000
                    : rule->kind == SPEND_RULE                                                            ? 100
                                                                                                          : 1;
    const char *end = rule->kind == PERCENT_RULE ? "%" : "", *average = rule->kind == AVERAGE_RULE ? "average_" : "";
    text_printf(out, "  - {name: rule %d, priority: %d", r + 1, rule->priority);
    if (rule->rye_only)
        text_add(out, ", where: {colours: rye}");
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
        text_printf(&cards, "card %c,%s,%s,%s,%s,%d,%s\n", 'a' + c, m->rye[c] ? "rye" : "",
                    number_text(arena, m->power[c], 1000), number_text(arena, m->price[c], 100),
                    number_text(arena, m->number[c], 1000), m->copies[c],
                    m->keep[c]  ? "keep"
                    : m->ban[c] ? "ban"
                                : "");
    text_printf(&model, "size: {from: %d, to: %d}\ncolours: [rye]\n", m->from, m->to);
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

int64_t up(int64_t a, int64_t b)
{
    return a <= 0 ? 0 : (a + b - 1) / b;
}

int64_t rule_over(const Made *m, const MadeRule *rule, const int *copies, bool low)
{
    int64_t count = 0, total = 0, size = 0;
    for (int c = 0; c < m->cards; c++) {
        size += copies[c];
        if (rule->rye_only && !m->rye[c])
            continue;
        count += copies[c];
        total += copies[c] * (rule->kind == COLUMN_RULE || rule->kind == AVERAGE_RULE ? m->number[c]
                              : rule->kind == SPEND_RULE                              ? m->price[c]
                                                                                      : 1);
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

int64_t side_over(const Made *m, const Side *side, const int *copies)
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

bool kept_but(const Tried *t, int sides, int but, int64_t allowed)
{
    for (int s = 0; s < sides; s++)
        if (t->over[s] > (s == but ? allowed : 0))
            return false;
    return true;
}

/* Best fit with side `but` loosened by s, among pools that hold (want 1), lack (want 0) the card, or any (want -1). */
int64_t best_of(const Made *m, const All *all, const SideProblem *sides, int but, int64_t s, int card, int want)
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
size_t steps_of(const Made *m, const All *all, const SideProblem *sides, int side, int64_t *step)
{
    size_t count = 0;
    for (size_t k = 0; k < all->pools; k++) {
        const Side *s = &sides->side[side];
        int64_t over = s->of == SIDE_RULE && !s->firm ? rule_over(m, &m->rule[s->member], all->pool[k].copies, s->low)
                                                      : all->pool[k].over[side];
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

/* --- scenes --- */

void scene_effort(Scene *s, int64_t effort)
{
    const ExplainOptions how = {.engine = SEARCH_ENGINE_FAST, .threads = 1, .effort = effort};
    explain_free(s->explain);
    s->explain = explain_new(s->lab.instance, &s->answer, &how, &s->lab.diags);
    assert_non_null(s->explain);
}

void scene_open(Scene *s, uint64_t seed, bool hard, int64_t effort)
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
    scene_effort(s, effort);
    try_all(&s->made, s->explain->sides, &s->all);
}

void scene_close(Scene *s)
{
    free(s->all.pool);
    explain_free(s->explain);
    answer_release(&s->answer);
    programme_free(s->programme);
    lab_close(&s->lab);
}

void check_exact(const Scene *s, const char *what, const Range *range, int64_t expected)
{
    if (range->has_low && range->low > expected)
        SAY(s, what, range->low, expected);
    if (range->has_high && range->high < expected)
        SAY(s, what, range->high, expected);
    if (s->explain != NULL && prober_left(s->explain->prober) == INT64_MAX && !range_exact(range))
        SAY(s, what, -1, expected);
}

bool is_unlimited(const Scene *s)
{
    return prober_left(s->explain->prober) == INT64_MAX;
}

void check_conflict(const Scene *s, const Conflict *conflict, int card, int *minimal)
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
