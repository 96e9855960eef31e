/* tiny_toggle.c - see tiny_toggle.h. Every toggle leaves a scenario that is still sound. */
#include "tiny_toggle.h"

/* --- the pool, the model's own fields --- */

static bool size_band(Tiny *tiny, int what)
{
    bool changed = false;
    (void)what;
    for (int layer = 0; layer < LAYERS; layer++) {
        changed = changed || (tiny->has_size[layer] && tiny->size_from[layer] != tiny->size_to[layer]);
        tiny->size_from[layer] = tiny->size_to[layer];
    }
    return changed;
}

static bool size_of_layer(Tiny *tiny, int layer)
{
    bool changed = tiny->has_size[layer];
    tiny->has_size[layer] = false;
    return changed && tiny->has_size[LAYER_MODEL] + tiny->has_size[LAYER_BASE] > 0;
}

static bool size_by_command(Tiny *tiny, int what)
{
    bool changed = tiny->size_by_command;
    (void)what;
    tiny->size_by_command = false;
    return changed;
}

static bool case_named(Tiny *tiny, int what)
{
    bool changed = tiny->case_named;
    (void)what;
    tiny->case_named = false;
    tiny->has_size[LAYER_CASE] = false;
    for (int r = 0; r < tiny->rules; r++) {
        tiny->rule[r].band[LAYER_CASE].side = NONE;
    }
    return changed;
}

static bool pool_owned(Tiny *tiny, int what)
{
    const bool changed = tiny->has_present && (tiny->pool_owned == 2) != (what == 2);
    tiny->pool_owned = what;
    return changed;
}

static bool cap(Tiny *tiny, int what)
{
    bool *field[] = {&tiny->has_cap, &tiny->cap_by_change, &tiny->cap_by_command};
    bool changed = *field[what];
    *field[what] = false;
    return changed;
}

static bool fixing(Tiny *tiny, int what)
{
    bool changed = tiny->has_fixing;
    (void)what;
    tiny->has_fixing = false;
    return changed;
}

static bool hybrid_as_gold(Tiny *tiny, int what)
{
    bool changed = tiny->hybrid_as_gold > 0;
    (void)what;
    tiny->hybrid_as_gold = 0;
    return changed;
}

static bool deck_colours(Tiny *tiny, int what)
{
    bool changed = tiny->deck_colours > 0;
    (void)what;
    tiny->deck_colours = 0;
    return changed;
}

static bool fit_power(Tiny *tiny, int what)
{
    bool changed = tiny->power_weight >= 0 && tiny->power_weight != 1000;
    (void)what;
    tiny->power_weight = 1000;
    return changed;
}

static bool fit_unscored(Tiny *tiny, int what)
{
    bool changed = tiny->unscored != 0;
    (void)what;
    tiny->unscored = 0;
    return changed;
}

static bool unpriced(Tiny *tiny, int what)
{
    bool changed = tiny->unpriced == what;
    tiny->unpriced = what == SKIP_UNPRICED ? DEFAULT_PRICE : SKIP_UNPRICED;
    for (int c = 0; c < tiny->cards; c++) {
        bool kept = false;
        for (int way = 0; way < WAYS; way++) {
            kept = kept || (tiny->card[c].status[way] & KEEP) != 0;
        }
        changed = changed && !(kept && !tiny->card[c].has_price);
    }
    return changed;
}

static bool theme_weight(Tiny *tiny, int what)
{
    (void)what;
    tiny->theme[0].weight = tiny->theme[0].weight == 1000 ? 2000 : 1000;
    return !tiny->theme[0].changed;
}

static bool theme_colours(Tiny *tiny, int what)
{
    unsigned all = (1U << tiny->colours) - 1;
    bool changed = tiny->theme[0].colours != all;
    (void)what;
    tiny->theme[0].colours = all;
    return changed;
}

static bool theme_change(Tiny *tiny, int what)
{
    bool changed = tiny->theme[0].changed;
    (void)what;
    tiny->theme[0].changed = false;
    return changed;
}

/* --- candidates --- */

enum {
    ABOUT_COPIES,
    ABOUT_OWNED,
    ABOUT_OWNED_SHEET,
    ABOUT_PRICE,
    ABOUT_PRICE_SHEET,
    ABOUT_SYMBOLS,
    ABOUT_AS_COLOURS,
    ABOUT_AS_KIND,
    ABOUT_AS_COST,
    ABOUT_COLOURS,
    ABOUT_KIND,
    ABOUT_COST,
    ABOUT_POWER,
    ABOUT_NUMBER,
    ABOUT_WORD,
    ABOUT_TAGS,
    ABOUT_THEME_COLUMN,
    ABOUT_TAGS_SHEET
};

static bool drop_tags(TinyCard *card, int written)
{
    bool changed = false;
    for (int t = 0; t < TAGS_MOST; t++) {
        if (card->tag[t].there && card->tag[t].written == written) {
            card->tag[t].there = false;
            changed = true;
        }
    }
    return changed;
}

static bool drop(bool *flag)
{
    bool changed = *flag;
    *flag = false;
    return changed;
}

static bool drop_number(int *number, int to)
{
    bool changed = *number != to;
    *number = to;
    return changed;
}

static bool raise_price(TinyCard *card, bool by_sheet)
{
    if (!card->has_price || card->priced_by_sheet != by_sheet) {
        return false;
    }
    card->price += 400;
    return true;
}

static bool change_card(TinyCard *card, int what)
{
    switch (what) {
    case ABOUT_COPIES: return drop_number(&card->copies, 1);
    case ABOUT_OWNED: return !card->owned_by_sheet && drop_number(&card->owned, 0);
    case ABOUT_OWNED_SHEET: return card->owned_by_sheet && drop_number(&card->owned, 0);
    case ABOUT_PRICE: return raise_price(card, false);
    case ABOUT_PRICE_SHEET: return raise_price(card, true);
    case ABOUT_SYMBOLS: return drop_number(&card->symbols, -1);
    case ABOUT_AS_COLOURS: return drop(&card->has_as_colours);
    case ABOUT_AS_KIND: return drop(&card->has_as_kind);
    case ABOUT_AS_COST: return drop(&card->has_as_cost);
    case ABOUT_COLOURS: return drop_number(&card->printed.parts, 0);
    case ABOUT_KIND: card->kind ^= 1U; return true;
    case ABOUT_COST: return drop(&card->has_cost);
    case ABOUT_POWER: return drop(&card->has_power);
    case ABOUT_NUMBER: return drop(&card->has_number);
    case ABOUT_WORD: return drop_number(&card->word, -1);
    case ABOUT_TAGS: return drop_tags(card, 0);
    case ABOUT_THEME_COLUMN: return drop_tags(card, 1);
    default: return drop_tags(card, 2);
    }
}

static bool cards(Tiny *tiny, int what)
{
    bool changed = false;
    for (int c = 0; c < tiny->cards; c++) {
        changed = change_card(&tiny->card[c], what) || changed;
    }
    return changed;
}

static bool status(Tiny *tiny, int what)
{
    bool changed = false;
    unsigned bit = what < WAYS ? KEEP : BAN;
    for (int c = 0; c < tiny->cards; c++) {
        changed = changed || (tiny->card[c].status[what % WAYS] & bit) != 0;
        tiny->card[c].status[what % WAYS] &= ~bit;
    }
    return changed;
}

/* --- filters --- */

static void take_test(Where *where, int i)
{
    for (; i + 1 < where->tests; i++) {
        where->test[i] = where->test[i + 1];
    }
    where->tests--;
}

static bool drop_field(Where *where, int field)
{
    for (int i = 0; i < where->tests; i++) {
        if (where->test[i].field == field) {
            take_test(where, i);
            return true;
        }
    }
    return false;
}

static bool where_field(Tiny *tiny, int field)
{
    for (int r = 0; r < tiny->rules; r++) {
        if (tiny->rule[r].measure != WEIGHT && tiny->rule[r].off == 0 && drop_field(&tiny->rule[r].where, field)) {
            return true;
        }
    }
    return false;
}

static bool of_field(Tiny *tiny, int what)
{
    (void)what;
    for (int r = 0; r < tiny->rules; r++) {
        if (tiny->rule[r].off == 0 && tiny->rule[r].of.tests > 0) {
            tiny->rule[r].of.tests = 0;
            return true;
        }
    }
    return false;
}

static bool fixing_field(Tiny *tiny, int what)
{
    bool changed = tiny->has_fixing && tiny->fixing.tests > 1;
    (void)what;
    tiny->fixing.tests = 1;
    return changed;
}

enum { LIST_VALUE, NOT_VALUE, RANGE_FROM, RANGE_TO };

static bool change_test(Test *test, int what)
{
    switch (what) {
    case LIST_VALUE: return drop_number(&test->values, 1) && !test->is_range;
    case NOT_VALUE: return drop(&test->negated);
    case RANGE_FROM: return test->is_range && test->has_to && drop(&test->has_from);
    default: return test->is_range && test->has_from && drop(&test->has_to);
    }
}

static bool values(Tiny *tiny, int what)
{
    for (int r = 0; r < tiny->rules; r++) {
        TinyRule *rule = &tiny->rule[r];
        if (rule->off == 0 && rule->where.tests == 1 && rule->measure != WEIGHT &&
            change_test(&rule->where.test[0], what)) {
            return true;
        }
    }
    return false;
}

/* --- rules --- */

static bool each(Tiny *tiny, int what)
{
    for (int r = 0; r < tiny->rules; r++) {
        TinyRule *rule = &tiny->rule[r];
        bool bounded = rule->band[rule->in_base ? LAYER_BASE : LAYER_MODEL].side != NONE; /* not only some members */
        if (rule->each == what && bounded && rule->off == 0 && rule->measure != WEIGHT &&
            rule->owns[LAYER_TARGETS] == 0) {
            rule->each = ONCE;
            rule->scope = BY_DEFAULT;
            for (int layer = 0; layer < LAYERS; layer++) {
                rule->owns[layer] = 0;
            }
            return true;
        }
    }
    return false;
}

static bool scope(Tiny *tiny, int what)
{
    for (int r = 0; r < tiny->rules; r++) {
        TinyRule *rule = &tiny->rule[r];
        if (rule->scope == what % 8 && rule->off == 0 && (rule->each == PER_THEME) == (what >= 8)) {
            rule->scope = what % 8 == EXACT ? TOUCHING : BY_DEFAULT;
            return true;
        }
    }
    return false;
}

/* Another measure with the same unit, so that the bounds still read. */
static int other_measure(int measure)
{
    switch (measure) {
    case SPEND: return PRICE;
    case PRICE: return SPEND;
    case FIT: return COST;
    case NAMES: return COUNT;
    default: return FIT;
    }
}

static bool measure(Tiny *tiny, int what)
{
    for (int r = 0; r < tiny->rules; r++) {
        TinyRule *rule = &tiny->rule[r];
        bool averaged = false;
        bool absolute = false;
        for (int layer = 0; layer < LAYERS; layer++) {
            averaged = averaged || rule->band[layer].sort == AVERAGE;
            absolute = absolute || (rule->band[layer].side != NONE && rule->band[layer].sort == ABSOLUTE);
        }
        if (rule->measure != what || rule->off != 0 || (averaged && what == PRICE) || (absolute && what == COUNT)) {
            continue;
        }
        rule->measure = other_measure(what);
        return true;
    }
    return false;
}

static bool band(Tiny *tiny, int what)
{
    for (int r = 0; r < tiny->rules; r++) {
        TinyRule *rule = &tiny->rule[r];
        Band *own = &rule->band[rule->in_base ? LAYER_BASE : LAYER_MODEL];
        bool replaced = rule->owns[LAYER_TARGETS] > 0;
        for (int layer = LAYER_MODEL; layer < LAYERS; layer++) {
            replaced = replaced || (rule->band[layer].side != NONE && &rule->band[layer] != own);
        }
        if (replaced || rule->off != 0 || (int)own->side != what % 8 || (int)own->sort != what / 8) {
            continue;
        }
        if (own->side == LEAST_AND_MOST) {
            own->side = AT_MOST;
        } else if (own->side == EXACTLY) {
            own->side = AT_LEAST;
        } else {
            rule->off = 1;
        }
        return true;
    }
    return false;
}

static bool band_of_layer(Tiny *tiny, int layer)
{
    bool changed = false;
    for (int r = 0; r < tiny->rules; r++) {
        bool home = layer == LAYER_MODEL && !tiny->rule[r].in_base;
        if (!home && tiny->rule[r].off == 0 && tiny->rule[r].band[layer].side != NONE) {
            tiny->rule[r].band[layer].side = NONE;
            changed = true;
        }
    }
    return changed;
}

static bool owns(Tiny *tiny, int targets)
{
    bool changed = false;
    for (int r = 0; r < tiny->rules; r++) {
        for (int layer = 0; layer < LAYERS; layer++) {
            bool needed =
                layer <= LAYER_MODEL && tiny->rule[r].band[layer].side == NONE; /* a rule must have some bound */
            if (!needed && (layer == LAYER_TARGETS) == (targets == 1) && tiny->rule[r].owns[layer] > 0) {
                tiny->rule[r].owns[layer] = 0;
                changed = true;
            }
        }
    }
    return changed;
}

static bool soft(Tiny *tiny, int what)
{
    bool changed = false;
    (void)what;
    for (int r = 0; r < tiny->rules; r++) {
        changed = changed || tiny->rule[r].soft > 0;
        tiny->rule[r].soft = 0;
    }
    return changed;
}

static bool scales(Tiny *tiny, int what)
{
    bool changed = false;
    for (int r = 0; r < tiny->rules; r++) {
        if (tiny->rule[r].scales == what) {
            tiny->rule[r].scales = 0;
            changed = true;
        }
    }
    return changed;
}

static bool off(Tiny *tiny, int what)
{
    for (int r = 0; r < tiny->rules; r++) {
        bool priced = tiny->rule[r].measure == SPEND || tiny->rule[r].measure == PRICE;
        if (tiny->rule[r].off == what && !priced) {
            tiny->rule[r].off = 0;
            return true;
        }
    }
    return false;
}

static bool exempt(Tiny *tiny, int what)
{
    bool changed = tiny->exempts > 0;
    (void)what;
    tiny->exempts = 0;
    return changed;
}

enum { CHANCE_LESS = 3, SEEN_ONE_MORE };

/* The bound of the rule in force, where it is a chance and nothing is said of single members. */
static TinySeen *last_seen(Tiny *tiny, int r)
{
    TinyRule *rule = &tiny->rule[r];
    Band *last = NULL;
    for (int layer = 0; layer < LAYERS; layer++) {
        if (rule->owns[layer] > 0) {
            return NULL;
        }
        if (rule->band[layer].side != NONE && (layer != LAYER_CASE || tiny->case_named)) {
            last = &rule->band[layer];
        }
    }
    return last != NULL && rule->off == 0 && last->seen.at_least > 0 && last->side == AT_LEAST ? &last->seen : NULL;
}

static bool seen(Tiny *tiny, int what)
{
    for (int r = 0; r < tiny->rules; r++) {
        TinySeen *is = last_seen(tiny, r);
        if (is != NULL && what == CHANCE_LESS && is->chance > 50000) {
            is->chance = 30000;
            return true;
        }
        if (is != NULL && what == SEEN_ONE_MORE && is->at_least > 1) {
            is->at_least--;
            return true;
        }
        if (is != NULL && is->by == what) {
            is->by = what == SEEN_PACK ? SEEN_SEES : SEEN_PACK;
            return true;
        }
    }
    return false;
}

enum { SEATS_LESS, PACKS_LESS, PACK_SMALLER };

static bool dealt(Tiny *tiny, int what)
{
    for (int r = 0; r < tiny->rules; r++) { /* fewer cards seen may ask for more than an upper bound allows */
        for (int layer = 0; layer < LAYERS; layer++) {
            bool narrow = tiny->rule[r].band[layer].side == LEAST_AND_MOST;
            for (int i = 0; i < tiny->rule[r].owns[layer]; i++) {
                narrow = narrow || tiny->rule[r].own[layer][i].band.side == LEAST_AND_MOST;
            }
            if (narrow) {
                return false;
            }
        }
    }
    if (tiny->seats == 0) {
        return false;
    }
    switch (what) {
    case SEATS_LESS: return drop_number(&tiny->seats, 1);
    case PACKS_LESS: return drop_number(&tiny->packs, 1);
    default: break;
    }
    /* no more cards than a pack holds may be asked for */
    return tiny->pack_size > 3 && drop_number(&tiny->pack_size, 3);
}

const Toggle tiny_toggles[] = {
    {"size: {from, to}", size_band, 0},
    {"size by an extending model", size_of_layer, LAYER_MODEL},
    {"size by change", size_of_layer, LAYER_CHANGE},
    {"--size", size_by_command, 0},
    {"cases", case_named, 0},
    {"spending_cap", cap, 0},
    {"spending_cap by change", cap, 1},
    {"--cap", cap, 2},
    {"pool_owned: no", pool_owned, 2},
    {"pool_owned: yes", pool_owned, 1},
    {"pool_owned not said", pool_owned, 0},
    {"fixing", fixing, 0},
    {"hybrid_as_gold", hybrid_as_gold, 0},
    {"deck_colours", deck_colours, 0},
    {"fit: power", fit_power, 0},
    {"fit: unscored", fit_unscored, 0},
    {"unpriced: skip", unpriced, SKIP_UNPRICED},
    {"unpriced: an amount", unpriced, DEFAULT_PRICE},
    {"theme: weight", theme_weight, 0},
    {"theme: colours", theme_colours, 0},
    {"theme: weight by change", theme_change, 0},
    {"column copies", cards, ABOUT_COPIES},
    {"column owned", cards, ABOUT_OWNED},
    {"sheet of owned", cards, ABOUT_OWNED_SHEET},
    {"column price", cards, ABOUT_PRICE},
    {"sheet of prices", cards, ABOUT_PRICE_SHEET},
    {"column symbols", cards, ABOUT_SYMBOLS},
    {"column as_colours", cards, ABOUT_AS_COLOURS},
    {"column as_kind", cards, ABOUT_AS_KIND},
    {"column as_cost", cards, ABOUT_AS_COST},
    {"column colours", cards, ABOUT_COLOURS},
    {"column kind", cards, ABOUT_KIND},
    {"column cost", cards, ABOUT_COST},
    {"column power", cards, ABOUT_POWER},
    {"a column with numbers", cards, ABOUT_NUMBER},
    {"a column with text", cards, ABOUT_WORD},
    {"column tags", cards, ABOUT_TAGS},
    {"a theme's column", cards, ABOUT_THEME_COLUMN},
    {"sheet of tags", cards, ABOUT_TAGS_SHEET},
    {"keep by the sheet", status, BY_SHEET},
    {"keep by the model", status, BY_MODEL},
    {"keep by the scenario", status, BY_SCENARIO},
    {"--keep", status, BY_COMMAND},
    {"ban by the sheet", status, WAYS + BY_SHEET},
    {"ban by the model", status, WAYS + BY_MODEL},
    {"ban by the scenario", status, WAYS + BY_SCENARIO},
    {"--ban", status, WAYS + BY_COMMAND},
    {"where: class", where_field, BY_CLASS},
    {"where: colours", where_field, BY_COLOURS},
    {"where: kind", where_field, BY_KIND},
    {"where: tag", where_field, BY_TAG},
    {"where: theme", where_field, BY_THEME},
    {"where: role", where_field, BY_ROLE},
    {"where: weight", where_field, BY_WEIGHT},
    {"where: name", where_field, BY_NAME},
    {"where: cost", where_field, BY_COST},
    {"where: power", where_field, BY_POWER},
    {"where: price", where_field, BY_PRICE},
    {"where: fit", where_field, BY_FIT},
    {"where: copies", where_field, BY_COPIES},
    {"where: playable", where_field, BY_PLAYABLE},
    {"where: a column with numbers", where_field, BY_NUMBER},
    {"where: a column with text", where_field, BY_WORD},
    {"of", of_field, 0},
    {"fixing: a second field", fixing_field, 0},
    {"a list of values", values, LIST_VALUE},
    {"not", values, NOT_VALUE},
    {"from", values, RANGE_FROM},
    {"to", values, RANGE_TO},
    {"each: colour", each, PER_COLOUR},
    {"each: pair", each, PER_PAIR},
    {"each: theme", each, PER_THEME},
    {"scope: exact", scope, EXACT},
    {"scope: touching", scope, TOUCHING},
    {"scope: playable", scope, PLAYABLE},
    {"theme scope: exact", scope, 8 + EXACT},
    {"theme scope: touching", scope, 8 + TOUCHING},
    {"theme scope: tagged", scope, 8 + TAGGED},
    {"measure: count", measure, COUNT},
    {"measure: names", measure, NAMES},
    {"measure: spend", measure, SPEND},
    {"measure: price", measure, PRICE},
    {"measure: fit", measure, FIT},
    {"measure: cost", measure, COST},
    {"measure: power", measure, POWER},
    {"measure: weight", measure, WEIGHT},
    {"measure: a column", measure, COLUMN},
    {"exactly", band, EXACTLY},
    {"at_least", band, AT_LEAST},
    {"at_most", band, AT_MOST},
    {"between", band, BETWEEN},
    {"at_least with at_most", band, LEAST_AND_MOST},
    {"exactly: a percentage", band, 8 * PERCENT + EXACTLY},
    {"at_least: a percentage", band, 8 * PERCENT + AT_LEAST},
    {"at_most: a percentage", band, 8 * PERCENT + AT_MOST},
    {"between: percentages", band, 8 * PERCENT + BETWEEN},
    {"average_at_least", band, 8 * AVERAGE + AT_LEAST},
    {"average_at_most", band, 8 * AVERAGE + AT_MOST},
    {"average_at_least with average_at_most", band, 8 * AVERAGE + LEAST_AND_MOST},
    {"seen by pack", seen, SEEN_PACK},
    {"seen by opens", seen, SEEN_OPENS},
    {"seen by sees", seen, SEEN_SEES},
    {"seen: chance", seen, CHANCE_LESS},
    {"seen: at_least", seen, SEEN_ONE_MORE},
    {"seats: seats", dealt, SEATS_LESS},
    {"seats: packs", dealt, PACKS_LESS},
    {"seats: pack_size", dealt, PACK_SMALLER},
    {"bounds by an extending model", band_of_layer, LAYER_MODEL},
    {"bounds by targets", band_of_layer, LAYER_TARGETS},
    {"bounds by change", band_of_layer, LAYER_CHANGE},
    {"bounds by a case", band_of_layer, LAYER_CASE},
    {"for", owns, 0},
    {"targets of single members", owns, 1},
    {"soft", soft, 0},
    {"scales: yes", scales, 1},
    {"scales: no", scales, 2},
    {"off in a model", off, 1},
    {"off by change", off, 2},
    {"exempt", exempt, 0},
};

const size_t tiny_toggles_count = sizeof tiny_toggles / sizeof *tiny_toggles;
