/* tiny_rules.c - random filters, rules and bounds: see tiny_make.c. */
#include "tiny_rules.h"

#include <string.h>

static int64_t any_number(const Tiny *tiny, Dice *dice, int field)
{
    const TinyCard *card = &tiny->card[dice_roll(dice, 0, tiny->cards - 1)];
    Seen seen[CARDS_MOST];
    switch (field) {
    case BY_WEIGHT: return card->tag[0].weight;
    case BY_COST: return card->cost;
    case BY_POWER: return card->power;
    case BY_PRICE: return card->price;
    case BY_FIT: tiny_see(tiny, seen); return seen[dice_roll(dice, 0, tiny->cards - 1)].fit;
    case BY_COPIES: return card->copies;
    case BY_PLAYABLE: return dice_roll(dice, 1, 20) * 5000;
    default: return card->number;
    }
}

static int64_t any_choice(const Tiny *tiny, Dice *dice, int field)
{
    switch (field) {
    case BY_CLASS: return dice_roll(dice, OF_COLOURLESS, tiny->has_fixing ? OF_FIXING : OF_HYBRID);
    case BY_KIND: return dice_roll(dice, 0, tiny->kinds - 1);
    case BY_TAG: return dice_roll(dice, 0, tiny->tags - 1);
    case BY_THEME: return dice_roll(dice, 0, tiny->themes - 1);
    case BY_ROLE: return dice_roll(dice, NO_ROLE, BOTH);
    case BY_NAME: return dice_roll(dice, 0, tiny->cards - 1);
    default: return dice_roll(dice, 0, WORDS_MOST - 1);
    }
}

static bool is_number_field(int field)
{
    return field == BY_WEIGHT || (field >= BY_COST && field <= BY_NUMBER);
}

static void make_range(const Tiny *tiny, Dice *dice, Test *test)
{
    int64_t a = any_number(tiny, dice, test->field);
    int64_t b = any_number(tiny, dice, test->field);
    test->is_range = true;
    test->has_from = dice_chance(dice, 65);
    test->has_to = !test->has_from || dice_chance(dice, 40);
    test->from = a < b ? a : b;
    test->to = a < b ? b : a;
}

static Test make_test(const Tiny *tiny, Dice *dice, int field)
{
    Test test = {.field = field, .negated = dice_chance(dice, 22)};
    if (is_number_field(field) && dice_chance(dice, 65)) {
        make_range(tiny, dice, &test);
        return test;
    }
    test.values = dice_chance(dice, 35) ? VALUES_MOST : 1;
    for (int i = 0; i < test.values; i++) {
        if (field == BY_COLOURS) {
            const TinyCard *card = &tiny->card[dice_roll(dice, 0, tiny->cards - 1)];
            test.need[i] = card->has_as_colours ? card->as : card->printed;
        } else {
            test.value[i] = is_number_field(field) ? any_number(tiny, dice, field) : any_choice(tiny, dice, field);
        }
    }
    if (test.values == 2 && field != BY_COLOURS && test.value[0] == test.value[1]) {
        test.values = 1;
    }
    if (field == BY_THEME && dice_chance(dice, 40)) {
        test.values = 1;
        test.value[0] = -1;
    }
    return test;
}

void tiny_make_where(const Tiny *tiny, Dice *dice, Where *where, bool fixing)
{
    bool used[FIELDS] = {false};
    memset(where, 0, sizeof *where);
    int wanted = dice_chance(dice, 40) ? dice_roll(dice, 2, TESTS_MOST) : 1;
    while (where->tests < wanted) {
        int field = dice_chance(dice, 45) ? dice_roll(dice, BY_CLASS, BY_ROLE) : dice_roll(dice, BY_CLASS, FIELDS - 1);
        if (!used[field] && !(fixing && field == BY_CLASS)) {
            used[field] = true;
            where->test[where->tests++] = make_test(tiny, dice, field);
        }
    }
}

static int64_t floor_by(Wide a, Wide b)
{
    return (int64_t)(a >= 0 ? a / b : -((-a + b - 1) / b));
}

static int64_t ceil_by(Wide a, Wide b)
{
    return -floor_by(-a, b);
}

/* What a pool uses of one member, as bounds that it meets narrowly, in the unit of the sort. False if there is nothing
 * to measure. */
static bool narrow(const Tiny *tiny, int r, int member, Sort sort, const int *copies, int64_t *low, int64_t *high)
{
    int64_t use = 0;
    int64_t total = 0;
    int64_t counted = 0;
    tiny_use(tiny, r, member, copies, &use, &total, &counted);
    *low = use;
    *high = use;
    if (sort == PERCENT) {
        if (total <= 0) {
            return false;
        }
        *low = floor_by((Wide)use * 100, total) * 1000;
        *high = ceil_by((Wide)use * 100, total) * 1000;
    } else if (sort == AVERAGE) {
        if (counted <= 0) {
            return false;
        }
        *low = floor_by(use, counted);
        *high = ceil_by(use, counted);
    }
    return true;
}

static bool is_whole(const TinyRule *rule)
{
    return rule->measure == COUNT || rule->measure == NAMES;
}

static bool rule_scales(const TinyRule *rule)
{
    return rule->scales == 1 || (rule->scales == 0 && (rule->measure == COUNT || rule->measure == NAMES));
}

static Band make_band(const Tiny *tiny, Dice *dice, int r, Sort sort, int layer, int64_t low, int64_t high)
{
    const TinyRule *rule = &tiny->rule[r];
    Band band = {.sort = sort};
    int side = dice_roll(dice, 0, 9);
    if (low == high && side < 4 && sort != AVERAGE) {
        band.side = EXACTLY;
    } else if (side < 6) {
        band.side = sort == AVERAGE ? LEAST_AND_MOST : BETWEEN;
    } else if (side == 6) {
        band.side = LEAST_AND_MOST;
    } else {
        band.side = side < 8 ? AT_LEAST : AT_MOST;
    }
    if (dice_chance(dice, 6)) { /* draw it tighter */
        int64_t unit = sort == PERCENT ? 7000 : sort == AVERAGE || !is_whole(rule) ? 200 : 1;
        low += band.side == AT_MOST ? 0 : unit;
        high = band.side == AT_MOST ? high - unit : high + unit;
    }
    if (tiny->cards > TINY_CARDS_MOST && !is_whole(rule) &&
        sort == ABSOLUTE) { /* hitting a sum exactly is hopeless for any solver */
        band.side = band.side == EXACTLY ? BETWEEN : band.side;
        low -= low / 10;
        high += high / 10;
    }
    if (sort == ABSOLUTE && rule_scales(rule)) {
        int then = tiny_size_in_force(tiny, layer);
        int now = tiny_size_in_force(tiny, LAYERS);
        low = now > 0 ? floor_by((Wide)low * then, now) : low;
        high = now > 0 ? ceil_by((Wide)high * then, now) : high;
    }
    bool percent_or_count = sort == PERCENT || is_whole(rule);
    band.low = percent_or_count && low < 0 ? 0 : low;
    if (sort == PERCENT && !rule->has_of && band.low > 100000) { /* more than the whole pool is refused */
        band.low = 100000;
    }
    band.high = high < band.low ? band.low : high;
    if (band.side == EXACTLY) {
        band.high = band.low;
    }
    return band;
}

/* Bounds over all members of a rule at a layer. */
static bool rule_band(const Tiny *tiny, Dice *dice, int r, Sort sort, int layer, const int *copies, Band *band)
{
    int64_t low = 0;
    int64_t high = 0;
    for (int m = 0; m < tiny_members(tiny, tiny->rule[r].each); m++) {
        int64_t a = 0;
        int64_t b = 0;
        if (!narrow(tiny, r, m, sort, copies, &a, &b)) {
            return false;
        }
        low = m == 0 || a < low ? a : low;
        high = m == 0 || b > high ? b : high;
    }
    *band = make_band(tiny, dice, r, sort, layer, low, high);
    return true;
}

static void make_own(const Tiny *tiny, Dice *dice, int r, Sort sort, int layer, const int *copies, TinyRule *rule)
{
    int64_t low = 0;
    int64_t high = 0;
    int member = dice_roll(dice, 0, tiny_members(tiny, rule->each) - 1);
    if (narrow(tiny, r, member, sort, copies, &low, &high)) {
        rule->own[layer][rule->owns[layer]++] =
            (Own){.member = member, .band = make_band(tiny, dice, r, sort, layer, low, high)};
    }
}

/* Bounds that are replaced later: something else, so that it shows when they are not. */
static Band astray(Dice *dice, Band band)
{
    int64_t by = dice_roll(dice, 1, 3) * (band.sort == ABSOLUTE ? 1 : 10000);
    if (band.sort == PERCENT && band.low + by > 100000) { /* more than the whole pool is refused */
        by = -by;
    }
    band.low += by;
    band.high += by;
    return band;
}

static bool make_bounds(Tiny *tiny, Dice *dice, int r, Sort sort, const int *copies)
{
    TinyRule *rule = &tiny->rule[r];
    int home = rule->in_base ? LAYER_BASE : LAYER_MODEL;
    int last = home;
    int way = dice_roll(dice, 0, 99);
    if (way < 12 && rule->in_base) {
        last = LAYER_MODEL;
    } else if (way >= 12 && way < 24 && sort != AVERAGE) {
        last = LAYER_TARGETS;
    } else if (way >= 24 && way < 36) {
        last = LAYER_CHANGE;
    } else if (way >= 36 && way < 40 && tiny->case_named) {
        last = LAYER_CASE;
    }
    if (!rule_band(tiny, dice, r, sort, last, copies, &rule->band[last])) {
        return false;
    }
    if (last != home) {
        rule->band[home] = astray(dice, rule->band[last]);
    }
    bool members = rule->each != ONCE;
    if (members && dice_chance(dice, 30)) {
        make_own(tiny, dice, r, sort, home, copies, rule);
        if (last == home && rule->owns[home] > 0 && dice_chance(dice, 20)) { /* only that member is bounded */
            rule->band[home].side = NONE;
        }
    }
    if (members && last == LAYER_TARGETS && dice_chance(dice, 50)) {
        rule->band[LAYER_TARGETS] = (Band){.side = NONE};
        rule->band[home] = astray(dice, rule->band[home]);
        for (int m = 0; m < tiny_members(tiny, rule->each) && rule->owns[LAYER_TARGETS] < OWNS_MOST; m++) {
            int64_t low = 0;
            int64_t high = 0;
            if (narrow(tiny, r, m, sort, copies, &low, &high)) {
                rule->own[LAYER_TARGETS][rule->owns[LAYER_TARGETS]++] =
                    (Own){.member = m, .band = make_band(tiny, dice, r, sort, LAYER_TARGETS, low, high)};
            }
        }
    }
    return true;
}

static void make_rule(Tiny *tiny, Dice *dice, int r, const int *copies)
{
    TinyRule *rule = &tiny->rule[r];
    for (;;) {
        memset(rule, 0, sizeof *rule);
        rule->in_base = tiny->has_base && dice_chance(dice, 50);
        rule->each = dice_roll(dice, ONCE, PER_THEME);
        rule->scope = rule->each == ONCE || dice_chance(dice, 35)
                          ? BY_DEFAULT
                          : dice_roll(dice, EXACT, rule->each == PER_THEME ? TAGGED : PLAYABLE);
        rule->measure = dice_chance(dice, 45) ? COUNT : dice_roll(dice, SPEND, COLUMN);
        Sort sort = dice_chance(dice, 60) ? ABSOLUTE : dice_chance(dice, 50) ? PERCENT : AVERAGE;
        if (tiny->money && dice_chance(dice, 40)) {
            rule->measure = dice_chance(dice, 65) ? SPEND : PRICE;
            sort = dice_chance(dice, 80) ? ABSOLUTE : PERCENT;
        }
        if (rule->measure == COUNT && sort != AVERAGE && (tiny->cards + r) % 3 == 0) {
            rule->measure = NAMES;
        }
        if (dice_chance(dice, 75)) {
            tiny_make_where(tiny, dice, &rule->where, false);
        }
        if (sort == PERCENT && (rule->each != ONCE || dice_chance(dice, 60))) {
            rule->has_of = true;
            if (dice_chance(dice, 60)) {
                tiny_make_where(tiny, dice, &rule->of, false);
            }
        }
        if (sort == ABSOLUTE && dice_chance(dice, 25)) {
            rule->soft = dice_roll(dice, 1, 12) * 250;
        }
        rule->scales = dice_chance(dice, 75) || sort != ABSOLUTE ? 0 : dice_roll(dice, 1, 2);
        rule->off = dice_chance(dice, 8) ? dice_roll(dice, 1, 2) : 0;
        bool odd = (sort == AVERAGE && rule->measure == COUNT) ||
                   (rule->measure == WEIGHT && sort == PERCENT && rule->each != PER_THEME);
        if (!odd && make_bounds(tiny, dice, r, sort, copies)) {
            return;
        }
    }
}

void tiny_make_rules(Tiny *tiny, Dice *dice, const int *copies)
{
    int wanted = dice_roll(dice, 2, 5);
    if (dice_chance(dice, 20)) {
        tiny->exempts = dice_roll(dice, 1, EXEMPTS_MOST);
        for (int i = 0; i < tiny->exempts; i++) { /* of the first rule, two cards that differ */
            tiny->exempt_card[i] = (dice_roll(dice, 0, tiny->cards / 2 - 1)) * 2 + i % 2;
            tiny->exempt_rule[i] = i % wanted;
        }
    }
    for (int r = 0; r < wanted; r++) {
        make_rule(tiny, dice, r, copies);
        tiny->rules = r + 1;
    }
}
