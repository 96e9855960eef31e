/* tried.c - see tried.h. */
#include "support/tried.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* --- making --- */

static bool is_share(int kind)
{
    return kind == PERCENT_RULE || kind == COLUMN_SHARE || kind == SPEND_SHARE;
}

static bool is_money(int kind)
{
    return kind == SPEND_RULE || kind == PRICE_RULE || kind == SOFT_SPEND;
}

static bool is_column(int kind)
{
    return kind == COLUMN_RULE || kind == COLUMN_SHARE || kind == AVERAGE_RULE;
}

static void make_cards(Made *m, Dice *d)
{
    m->cards = dice_roll(d, 5, CARDS);
    for (int c = 0; c < m->cards; c++) {
        m->power[c] = dice_roll(d, 1, 24) * 500;
        m->price[c] = dice_roll(d, 1, 30) * 25 + (dice_chance(d, 30) ? dice_roll(d, 0, 9) : 0);
        if (dice_chance(d, 10))
            m->price[c] = 0;
        m->high[c] = m->price[c] + (dice_chance(d, 60) ? dice_roll(d, 1, 20) * 25 : 0);
        m->number[c] = dice_roll(d, 0, 9) * (dice_chance(d, 30) ? 250 : 1000);
        m->rye[c] = dice_chance(d, 50);
        m->copies[c] = dice_chance(d, 15) ? 2 : 1;
        m->owned[c] = dice_chance(d, 12) ? dice_roll(d, 1, m->copies[c]) : 0;
        if (dice_chance(d, 8))
            m->keep[c] = true;
        else if (dice_chance(d, 10))
            m->ban[c] = true;
    }
}

static void make_rule(MadeRule *rule, Dice *d, int size, bool hard, bool at_risk)
{
    rule->kind = dice_roll(d, 0, hard ? AVERAGE_RULE : SOFT_SPEND);
    if (dice_chance(d, at_risk ? 50 : 20))
        rule->kind = at_risk || dice_chance(d, 50) ? SPEND_RULE : PRICE_RULE;
    rule->priority = dice_roll(d, 1, 9);
    rule->rye_only = dice_chance(d, 70);
    const int way = is_money(rule->kind) && dice_chance(d, 50) ? (at_risk ? 2 : 0) : dice_roll(d, 0, 2);
    rule->has_low = way != 1;
    rule->has_high = way != 0;
    if (is_share(rule->kind)) {
        rule->low = dice_chance(d, 20) ? 0 : dice_roll(d, 1, 12) * 5000;
        rule->high = rule->low + dice_roll(d, 0, 6) * 5000;
        rule->has_high = rule->has_high && rule->high <= 100000;
        rule->has_low = rule->has_low || !rule->has_high;
    } else {
        const int64_t unit = is_column(rule->kind) ? 1000 : is_money(rule->kind) ? 100 : 1;
        const int top = rule->kind == COLUMN_RULE    ? 20
                        : rule->kind == AVERAGE_RULE ? 6
                        : is_money(rule->kind)       ? (way == 0 ? 4 + 6 * size : 12)
                                                     : size;
        rule->low = dice_roll(d, 1, top) * unit * (hard ? 2 : 1) / (hard ? 1 : 2);
        if (rule->low < 1)
            rule->low = 1;
        if (is_money(rule->kind) && dice_chance(d, 20))
            rule->low = 0;
        rule->high = rule->low + dice_roll(d, 0, 3) * unit;
        if (rule->has_low && rule->has_high && rule->low == rule->high && rule->kind == AVERAGE_RULE)
            rule->has_high = false;
    }
    if (rule->has_low && rule->has_high && rule->kind != AVERAGE_RULE && dice_chance(d, 25)) {
        rule->exactly = true;
        rule->high = rule->low;
    }
    rule->soft = rule->kind == SOFT_RULE || rule->kind == SOFT_SPEND ? dice_roll(d, 1, 4) * 500 : 0;
}

static void make(Made *m, Dice *d, bool hard)
{
    memset(m, 0, sizeof *m);
    make_cards(m, d);
    int places = 0;
    for (int c = 0; c < m->cards; c++)
        places += m->copies[c];
    m->weight = dice_chance(d, 70) ? 1000 : dice_roll(d, 1, 6) * 250;
    m->playable = dice_chance(d, 50) ? 0 : dice_roll(d, 1, 20) * 5000;
    m->at_risk = dice_chance(d, 40);
    m->gamma = dice_chance(d, 60) ? dice_roll(d, 1, 4) * 1000 : dice_roll(d, 1, 4000);
    m->to = dice_roll(d, 2, places - 1);
    m->from = dice_chance(d, 40) ? dice_roll(d, 1, m->to) : m->to;
    m->has_cap = dice_chance(d, 70);
    m->cap = dice_roll(d, 2, 14) * 50 * (hard ? 1 : 2) * (m->to > 3 ? 2 : 1);
    m->rules = dice_roll(d, 1, RULES);
    for (int r = 0; r < m->rules; r++)
        make_rule(&m->rule[r], d, m->to, hard, m->at_risk);
}

static const char *number_text(Arena *arena, int64_t value, int64_t scale)
{
    return scale == 1     ? arena_printf(arena, "%lld", (long long)value)
           : scale == 100 ? arena_printf(arena, "%lld.%02lld", (long long)(value / 100), (long long)(value % 100))
                          : arena_printf(arena, "%lld.%03lld", (long long)(value / 1000), (long long)(value % 1000));
}

static void write_rule(const MadeRule *rule, int r, Text *out, Arena *arena)
{
    const int64_t scale = is_share(rule->kind) || is_column(rule->kind) ? 1000 : is_money(rule->kind) ? 100 : 1;
    const char *end = is_share(rule->kind) ? "%" : "", *average = rule->kind == AVERAGE_RULE ? "average_" : "";
    text_printf(out, "  - {name: rule %d, priority: %d", r + 1, rule->priority);
    if (rule->rye_only)
        text_add(out, ", where: {colours: rye}");
    if (is_column(rule->kind))
        text_add(out, ", measure: number");
    if (rule->kind == PRICE_RULE)
        text_add(out, ", measure: price");
    else if (is_money(rule->kind) || rule->kind == SPEND_SHARE)
        text_add(out, ", measure: spend");
    if (rule->exactly)
        text_printf(out, ", exactly: %s%s", number_text(arena, rule->low, scale), end);
    if (rule->has_low && !rule->exactly)
        text_printf(out, ", %sat_least: %s%s", average, number_text(arena, rule->low, scale), end);
    if (rule->has_high && !rule->exactly)
        text_printf(out, ", %sat_most: %s%s", average, number_text(arena, rule->high, scale), end);
    if (rule->soft > 0)
        text_printf(out, ", soft: %s", number_text(arena, rule->soft, 1000));
    text_add(out, "}\n");
}

static void write_cards(const Made *m, Lab *lab)
{
    Arena *arena = arena_new();
    Text cards = {0}, prices = {0};
    text_add(&cards, "name,colours,power,price,number,copies,owned,status\n");
    text_add(&prices, "name,price,high\n");
    for (int c = 0; c < m->cards; c++) {
        text_printf(&cards, "card %c,%s,%s,%s,%s,%d,%d,%s\n", 'a' + c, m->rye[c] ? "rye" : "",
                    number_text(arena, m->power[c], 1000), number_text(arena, m->price[c], 100),
                    number_text(arena, m->number[c], 1000), m->copies[c], m->owned[c],
                    m->keep[c]  ? "keep"
                    : m->ban[c] ? "ban"
                                : "");
        text_printf(&prices, "card %c,%s,%s\n", 'a' + c, number_text(arena, m->price[c], 100),
                    number_text(arena, m->high[c], 100));
    }
    lab_file(lab, "c.csv", text_cstr(&cards));
    lab_file(lab, "p.csv", text_cstr(&prices));
    text_release(&cards);
    text_release(&prices);
    arena_free(arena);
}

static void write_made(const Made *m, Lab *lab)
{
    Arena *arena = arena_new();
    Text model = {0};
    text_printf(&model, "size: {from: %d, to: %d}\ncolours: [rye, oat]\ndeck_colours: 1\n", m->from, m->to);
    text_printf(&model, "fit: {power: %s, playable: %s%%}\n", number_text(arena, m->weight, 1000),
                number_text(arena, m->playable, 1000));
    if (m->has_cap)
        text_printf(&model, "spending_cap: %s\n", number_text(arena, m->cap, 100));
    if (m->at_risk)
        text_printf(&model, "price_risk: {protect: %s}\n", number_text(arena, m->gamma, 1000));
    text_add(&model, "rules:\n");
    for (int r = 0; r < m->rules; r++)
        write_rule(&m->rule[r], r, &model, arena);
    lab_file(lab, "m.yaml", text_cstr(&model));
    lab_file(lab, "s.yaml", "model: m.yaml\ncards: [c.csv]\nprices: [p.csv]\n");
    text_release(&model);
    arena_free(arena);
    write_cards(m, lab);
}

/* --- trying --- */

int64_t up(int64_t a, int64_t b)
{
    return a <= 0 ? 0 : (a + b - 1) / b;
}

/* Rounded half away from zero. */
static int64_t rounded(int64_t a, int64_t b)
{
    return a >= 0 ? (2 * a + b) / (2 * b) : -((-2 * a + b) / (2 * b));
}

int64_t fit_with(const Made *m, int c, int64_t power)
{
    return rounded(power * m->weight * (200000 - (m->rye[c] ? m->playable : 0)), INT64_C(1000) * 200000);
}

static int bought(const Made *m, int c, int copies)
{
    return copies > m->owned[c] ? copies - m->owned[c] : 0;
}

int64_t spent_on(const Made *m, int c, int copies)
{
    return bought(m, c, copies) * m->price[c];
}

static int64_t measured(const Made *m, int kind, int c, int copies)
{
    return is_column(kind)                                                   ? copies * m->number[c]
           : kind == PRICE_RULE                                              ? copies * m->price[c]
           : kind == SPEND_RULE || kind == SPEND_SHARE || kind == SOFT_SPEND ? spent_on(m, c, copies)
                                                                             : copies;
}

/* By how much the worst gamma prices raise what is spent, rounded up to cents: an upper limit has to hold that. */
static int64_t risen(const Made *m, const int *copies, bool rye_only)
{
    bool taken[CARDS] = {false};
    int64_t sum = 0, left = m->at_risk ? m->gamma : 0;
    while (left > 0) {
        int worst = -1;
        int64_t most = 0;
        for (int c = 0; c < m->cards; c++) {
            const int64_t rise = bought(m, c, copies[c]) * (m->high[c] - m->price[c]);
            if (!taken[c] && (m->rye[c] || !rye_only) && rise > most) {
                most = rise;
                worst = c;
            }
        }
        if (worst < 0)
            break;
        taken[worst] = true;
        sum += most * (left < 1000 ? left : 1000);
        left -= 1000;
    }
    return up(sum, 1000);
}

/* By how many units a rule is missed on that side. */
static int64_t rule_over(const Made *m, const MadeRule *rule, const int *copies, bool low)
{
    int64_t count = 0, total = 0, whole = 0;
    for (int c = 0; c < m->cards; c++) {
        const int64_t value = measured(m, rule->kind, c, copies[c]);
        whole += value;
        if (rule->rye_only && !m->rye[c])
            continue;
        count += copies[c];
        total += value;
    }
    int64_t limit = low ? rule->low : rule->high, off = 0;
    if (is_share(rule->kind)) { /* in the unit of what is measured; exactly: less than one card off */
        off = rule->exactly && rule->kind == PERCENT_RULE ? 99999 : 0;
        return up((low ? limit * whole - total * 100000 : total * 100000 - limit * whole) - off, 100000);
    }
    if (rule->kind == AVERAGE_RULE)
        limit *= count;
    if (rule->kind == SPEND_RULE && !low && !rule->exactly)
        total += risen(m, copies, rule->rye_only);
    return up(low ? limit - total : total - limit, 1);
}

int made_rule(const Side *side)
{
    return atoi(side->limit->name + strlen("rule ")) - 1;
}

int64_t side_over(const Made *m, const Side *side, const int *copies)
{
    int64_t size = 0, spent = risen(m, copies, false);
    for (int c = 0; c < m->cards; c++) {
        size += copies[c];
        spent += spent_on(m, c, copies[c]);
    }
    switch (side->limit->kind) {
    case LIMIT_RULE:
        return m->rule[made_rule(side)].soft > 0 ? 0 : rule_over(m, &m->rule[made_rule(side)], copies, side->low);
    case LIMIT_CAP: return up(spent - m->cap, 1);
    case LIMIT_SIZE: return up(side->low ? m->from - size : size - m->to, 1);
    case LIMIT_KEEP: return copies[side->limit->card] > 0 ? 0 : 1;
    case LIMIT_BAN: return copies[side->limit->card] > 0 ? 1 : 0;
    default: fail(); return 0;
    }
}

int64_t usual_look(const Made *m, const Side *side)
{
    if (side->limit->kind == LIMIT_KEEP || side->limit->kind == LIMIT_BAN)
        return 1;
    int64_t unit = 1, limit = side->low ? m->from : m->to;
    if (side->limit->kind == LIMIT_CAP) {
        unit = 100;
        limit = m->cap;
    } else if (side->limit->kind == LIMIT_RULE) {
        const MadeRule *rule = &m->rule[made_rule(side)];
        unit = is_column(rule->kind) ? 1000 : is_money(rule->kind) || rule->kind == SPEND_SHARE ? 100 : 1;
        limit = is_share(rule->kind) || rule->kind == AVERAGE_RULE ? 0 : side->low ? rule->low : rule->high;
    }
    return limit / 10 > 3 * unit ? limit / 10 : 3 * unit;
}

int64_t weight_of(const Made *m, const Side *side)
{
    switch (side->limit->kind) {
    case LIMIT_KEEP:
    case LIMIT_BAN: return 1000 * 256;
    case LIMIT_SIZE: return 1000 * 512;
    case LIMIT_CAP: return 10 * 16;
    case LIMIT_RULE: {
        const MadeRule *rule = &m->rule[made_rule(side)];
        const int64_t unit = is_column(rule->kind) ? 1 : is_money(rule->kind) || rule->kind == SPEND_SHARE ? 10 : 1000;
        return unit << (9 - rule->priority);
    }
    default: fail(); return 0;
    }
}

/* with the soft side `loose` (a member, or -1) loosened by s */
int64_t fit_of(const Made *m, const int *copies, const Side *loose, int64_t s)
{
    int64_t fit = 0;
    for (int c = 0; c < m->cards; c++)
        fit += copies[c] * fit_with(m, c, m->power[c]);
    for (int r = 0; r < m->rules; r++)
        for (int high = 0; high < 2; high++) {
            const MadeRule *rule = &m->rule[r];
            if (rule->soft == 0 || !(high ? rule->has_high : rule->has_low))
                continue;
            int64_t over = rule_over(m, rule, copies, !high);
            if (loose != NULL && loose->limit->kind == LIMIT_RULE && made_rule(loose) == r && loose->low == !high)
                over = over > s ? over - s : 0;
            fit -= up(over, rule->kind == SOFT_SPEND ? 100 : 1) * rule->soft;
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
        int64_t fit =
            loose != NULL && loose->limit->kind == LIMIT_RULE && !loose->hard ? fit_of(m, t->copies, loose, s) : t->fit;
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
        int64_t over = s->limit->kind == LIMIT_RULE && !s->hard
                           ? rule_over(m, &m->rule[made_rule(s)], all->pool[k].copies, s->low)
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
    assert_true(lab_read(&s->lab, "s.yaml"));
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
    if (s->explain != NULL && oracle_left(s->explain->oracle) == INT64_MAX && !range_exact(range))
        SAY(s, what, -1, expected);
}

bool is_unlimited(const Scene *s)
{
    return oracle_left(s->explain->oracle) == INT64_MAX;
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
