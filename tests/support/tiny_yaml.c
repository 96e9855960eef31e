/* tiny_yaml.c - writes the model, the file it extends, the targets sheet and the scenario of a tiny scenario: see
 * tiny.h. */
#include "tiny.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void add_quoted(Page *page, const char *text)
{
    page_add(page, "\"");
    for (const char *c = text; *c != '\0'; c++) {
        page_add(page, *c == '"' ? "\\\"" : "%c", *c);
    }
    page_add(page, "\"");
}

static void add_need(Page *page, const Tiny *tiny, const Need *need)
{
    if (need->parts == 0) {
        page_add(page, "colourless");
    }
    for (int i = need->parts - 1; i >= 0; i--) { /* the order does not matter */
        const char *before = "";
        for (int k = tiny->colours - 1; k >= 0; k--) {
            if ((need->part[i] >> k & 1U) != 0) {
                page_add(page, "%s%s", before, tiny_colour_name(k));
                before = "/";
            }
        }
        page_add(page, i > 0 ? "+" : "");
    }
}

static void add_set(Page *page, const Tiny *tiny, unsigned colours)
{
    const char *before = "";
    for (int k = 0; k < tiny->colours; k++) {
        if ((colours >> k & 1U) != 0) {
            page_add(page, "%s%s", before, tiny_colour_name(k));
            before = "+";
        }
    }
}

static const char *role_word(int64_t role)
{
    static const char *const words[] = {"none", "enabler", "payoff", "both"};
    return words[role];
}

static void add_number_value(Page *page, int field, int64_t value)
{
    if (field == BY_PLAYABLE) {
        page_decimal(page, value, 1000, '.');
        page_add(page, "%%");
    } else if (field == BY_COPIES) {
        page_add(page, "%lld", (long long)value);
    } else {
        page_decimal(page, value, field == BY_PRICE ? 100 : 1000, '.');
    }
}

static void add_value(Page *page, const Tiny *tiny, const Test *test, int i)
{
    static const char *const classes[] = {"colourless", "mono", "gold", "hybrid", "fixing"};
    int64_t value = test->value[i];
    switch (test->field) {
    case BY_CLASS: page_add(page, "%s", classes[value]); break;
    case BY_COLOURS: add_need(page, tiny, &test->need[i]); break;
    case BY_KIND: page_add(page, "%s", tiny_kind_name((int)value)); break;
    case BY_TAG:
    case BY_THEME: page_add(page, "%s", value < 0 ? "any" : tiny_theme_name((int)value)); break;
    case BY_ROLE: page_add(page, "%s", role_word(value)); break;
    case BY_NAME: add_quoted(page, tiny_card_spelling((int)value)); break;
    case BY_WORD: page_add(page, "%s", value == 2 ? "MID SEA" : tiny_word((int)value)); break;
    default: add_number_value(page, test->field, value); break;
    }
}

static void add_test(Page *page, const Tiny *tiny, const Test *test)
{
    static const char *const fields[] = {"class",  "colours",  "kind",       "tag",   "theme", "role",
                                         "weight", "name",     "cost",       "power", "price", "fit",
                                         "copies", "playable", "sturdiness", "Region"};
    page_add(page, "%s: %s", fields[test->field], test->negated ? "{not: " : "");
    if (test->is_range) {
        page_add(page, "{");
        if (test->has_from) {
            page_add(page, "from: ");
            add_number_value(page, test->field, test->from);
        }
        page_add(page, test->has_from && test->has_to ? ", " : "");
        if (test->has_to) {
            page_add(page, "to: ");
            add_number_value(page, test->field, test->to);
        }
        page_add(page, "}");
    } else if (test->values == 1) {
        add_value(page, tiny, test, 0);
    } else {
        for (int i = 0; i < test->values; i++) {
            page_add(page, i == 0 ? "[" : ", ");
            add_value(page, tiny, test, i);
        }
        page_add(page, "]");
    }
    page_add(page, test->negated ? "}" : "");
}

static void add_where(Page *page, const Tiny *tiny, const Where *where)
{
    page_add(page, "{");
    for (int i = 0; i < where->tests; i++) {
        page_add(page, i > 0 ? ", " : "");
        add_test(page, tiny, &where->test[i]);
    }
    page_add(page, "}");
}

static void add_bound(Page *page, const TinyRule *rule, Sort sort, int64_t value)
{
    if (sort == PERCENT) {
        page_decimal(page, value, 1000, '.');
        page_add(page, "%%");
    } else if (sort == ABSOLUTE && (rule->measure == COUNT || rule->measure == NAMES)) {
        page_add(page, "%lld", (long long)value);
    } else {
        page_decimal(page, value, rule->measure == SPEND || rule->measure == PRICE ? 100 : 1000, '.');
    }
}

static void add_band(Page *page, const TinyRule *rule, const Band *band, const char *between)
{
    const char *average = band->sort == AVERAGE ? "average_" : "";
    static const char *const by[] = {"pack", "opens", "sees"};
    bool both = band->side == LEAST_AND_MOST;
    bool seen = band->seen.at_least > 0 && (both || band->side == AT_LEAST);
    if (band->side == EXACTLY) {
        page_add(page, "exactly: ");
        add_bound(page, rule, band->sort, band->low);
    }
    if (seen) {
        page_add(page, "seen: {by: %s, at_least: %d, chance: ", by[band->seen.by], band->seen.at_least);
        page_decimal(page, band->seen.chance, 1000, '.');
        page_add(page, "%%}");
    } else if (band->side == AT_LEAST || both) {
        page_add(page, "%sat_least: ", average);
        add_bound(page, rule, band->sort, band->low);
    }
    page_add(page, "%s", both ? between : "");
    if (band->side == AT_MOST || both) {
        page_add(page, "%sat_most: ", average);
        add_bound(page, rule, band->sort, band->high);
    }
    if (band->side == BETWEEN) {
        page_add(page, "between: [");
        add_bound(page, rule, band->sort, band->low);
        page_add(page, ", ");
        add_bound(page, rule, band->sort, band->high);
        page_add(page, "]");
    }
}

static void add_member(Page *page, const Tiny *tiny, int each, int member)
{
    int a = 0;
    int b = 0;
    if (each == PER_COLOUR) {
        page_add(page, "%s", tiny_colour_name(member));
    } else if (each == PER_PAIR) {
        tiny_pair(tiny, member, &a, &b);
        bool turned = member % 2 == 1; /* the order does not matter */
        page_add(page, "%s+%s", tiny_colour_name(turned ? b : a), tiny_colour_name(turned ? a : b));
    } else {
        page_add(page, "%s", tiny_theme_name(member));
    }
}

static void add_owns(Page *page, const Tiny *tiny, const TinyRule *rule, int layer)
{
    page_add(page, "for: {");
    for (int i = 0; i < rule->owns[layer]; i++) {
        page_add(page, i > 0 ? ", " : "");
        add_member(page, tiny, rule->each, rule->own[layer][i].member);
        page_add(page, ": {");
        add_band(page, rule, &rule->own[layer][i].band, ", ");
        page_add(page, "}");
    }
    page_add(page, "}");
}

/* Fields of a rule with what stands between them: ", " in flow style, a new indented line in block style. */
static void add_rule(Page *page, const Tiny *tiny, int r, int layer, bool off)
{
    static const char *const each[] = {"", "colour", "pair", "theme"};
    static const char *const scope[] = {"", "exact", "touching", "playable", "tagged"};
    static const char *const measure[] = {"count", "spend",  "price",      "fit",  "cost",
                                          "power", "weight", "Sturdiness", "names"};
    const TinyRule *rule = &tiny->rule[r];
    bool home = layer == (rule->in_base ? LAYER_BASE : LAYER_MODEL);
    const char *between = tiny->block_style ? "\n    " : ", ";
    page_add(page, "  - %sname: rule %c", tiny->block_style ? "" : "{", 'a' + r);
    if (home) {
        if (rule->each != ONCE) {
            page_add(page, "%seach: %s", between, each[rule->each]);
        }
        if (rule->scope != BY_DEFAULT) {
            page_add(page, "%sscope: %s", between, scope[rule->scope]);
        }
        if (rule->where.tests > 0) {
            page_add(page, "%swhere: ", between);
            add_where(page, tiny, &rule->where);
        }
        if (rule->has_of) {
            page_add(page, "%sof: ", between);
            add_where(page, tiny, &rule->of);
        }
        if (rule->measure != COUNT || r % 2 == 1) {
            page_add(page, "%smeasure: %s", between, measure[rule->measure]);
        }
        if (rule->soft > 0) {
            page_add(page, "%ssoft: ", between);
            page_decimal(page, rule->soft, 1000, '.');
        }
        if (rule->scales > 0) {
            page_add(page, "%sscales: %s", between, rule->scales == 1 ? "yes" : "no");
        }
    }
    if (rule->band[layer].side != NONE) {
        page_add(page, "%s", between);
        add_band(page, rule, &rule->band[layer], between);
    }
    if (rule->owns[layer] > 0) {
        page_add(page, "%s", between);
        add_owns(page, tiny, rule, layer);
    }
    if (off) {
        page_add(page, "%soff: yes", between);
    }
    page_add(page, tiny->block_style ? "\n" : "}\n");
}

static void add_size(Page *page, bool there, int from, int to, const char *before, const char *after)
{
    if (!there) {
        return;
    }
    page_add(page, "%ssize: ", before);
    if (from == to) {
        page_add(page, "%d", to);
    } else {
        page_add(page, "{from: %d, to: %d}", from, to);
    }
    page_add(page, "%s", after);
}

static void add_rules(Page *page, const Tiny *tiny, int layer)
{
    bool begun = false;
    for (int r = 0; r < tiny->rules; r++) {
        const TinyRule *rule = &tiny->rule[r];
        bool home = layer == (rule->in_base ? LAYER_BASE : LAYER_MODEL);
        bool off = layer == LAYER_MODEL && rule->off == 1;
        if (home || off || rule->band[layer].side != NONE || rule->owns[layer] > 0) {
            page_add(page, begun ? "" : "rules:\n");
            begun = true;
            add_rule(page, tiny, r, layer, off);
        }
    }
}

static void add_grades(Page *page, const Tiny *tiny)
{
    int64_t power;
    if (!tiny->grades)
        return;
    page_add(page, "grades:\n");
    for (int which = 0; which < 2; which++) {
        if (tiny_power_grade(tiny, which, &power)) {
            page_add(page, which == 0 ? "  must: " : "  good: ");
            page_decimal(page, power, 1000, '.');
            page_add(page, "\n");
        }
    }
    page_add(page, "  for:\n    all: {half: 0.5, twice: 2, thrice: 7}\n");
    if (tiny->themes > 0)
        page_add(page, "    %s: {thrice: 3}\n", tiny_theme_name(0));
}

static void add_vocabulary(Page *page, const Tiny *tiny)
{
    page_add(page, "colours: [");
    for (int k = 0; k < tiny->colours; k++) {
        page_add(page, "%s%s", k > 0 ? ", " : "", tiny_colour_name(k));
    }
    page_add(page, "]\nthemes:\n");
    for (int t = 0; t < tiny->themes; t++) {
        const TinyTheme *theme = &tiny->theme[t];
        page_add(page, "  - {name: %s", tiny_theme_name(t));
        if (theme->colours != (1U << tiny->colours) - 1) {
            page_add(page, ", colours: ");
            add_set(page, tiny, theme->colours);
        }
        if (theme->weight != 1000) {
            page_add(page, ", weight: ");
            page_decimal(page, theme->weight, 1000, '.');
        }
        page_add(page, "}\n");
    }
    add_grades(page, tiny);
}

static void add_cards(Page *page, const Tiny *tiny, int way, unsigned status, const char *key)
{
    const char *before = "";
    for (int c = 0; c < tiny->cards; c++) {
        if ((tiny->card[c].status[way] & status) != 0) {
            page_add(page, "%s", before[0] == '\0' ? key : before);
            page_add(page, before[0] == '\0' ? ": [" : "");
            add_quoted(page, c % 2 == 0 ? tiny_card_name(c) : tiny_card_spelling(c));
            before = ", ";
        }
    }
    page_add(page, before[0] == '\0' ? "" : "]\n");
}

static void add_statuses(Page *page, const Tiny *tiny, int way)
{
    add_cards(page, tiny, way, KEEP, "keep");
    add_cards(page, tiny, way, BAN, "ban");
    add_cards(page, tiny, way, WISH, "wish");
}

static void write_base(const Tiny *tiny, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "# what several pools share\n");
    add_vocabulary(&page, tiny);
    add_size(&page, tiny->has_size[LAYER_BASE], tiny->size_from[LAYER_BASE], tiny->size_to[LAYER_BASE], "", "\n");
    add_rules(&page, tiny, LAYER_BASE);
    page_save(&page, folder, "base.yaml");
}

static void add_exempts(Page *page, const Tiny *tiny)
{
    page_add(page, tiny->exempts > 0 ? "exempt:\n" : "");
    for (int i = 0; i < tiny->exempts; i++) {
        page_add(page, "  - {card: ");
        add_quoted(page, tiny_card_name(tiny->exempt_card[i]));
        page_add(page, ", from: [rule %c], because: \"it is dear to us\"}\n", 'a' + tiny->exempt_rule[i]);
    }
}

static void write_model(const Tiny *tiny, const char *folder)
{
    Page page = {.data = NULL};
    if (tiny->has_base) {
        page_add(&page, "extends: base.yaml\n");
    } else {
        add_vocabulary(&page, tiny);
    }
    add_size(&page, tiny->has_size[LAYER_MODEL], tiny->size_from[LAYER_MODEL], tiny->size_to[LAYER_MODEL], "", "\n");
    if (tiny->has_cap) {
        page_add(&page, "spending_cap: ");
        page_decimal(&page, tiny->cap, 100, '.');
        page_add(&page, "\n");
    }
    if (tiny->counts_paid)
        page_add(&page, "cap_counts: paid and to buy\n");
    if (tiny->has_fixing) {
        page_add(&page, "fixing: ");
        add_where(&page, tiny, &tiny->fixing);
        page_add(&page, "\n");
    }
    if (tiny->seats > 0) {
        page_add(&page, "seats: {seats: %d, packs: %d, pack_size: %d}\n", tiny->seats, tiny->packs, tiny->pack_size);
    }
    if (tiny->hybrid_as_gold > 0) {
        page_add(&page, "hybrid_as_gold: %d\n", tiny->hybrid_as_gold);
    }
    if (tiny->deck_colours > 0) {
        page_add(&page, "deck_colours: %d\n", tiny->deck_colours);
    }
    if (tiny->power_weight >= 0) {
        page_add(&page, "fit: {power: ");
        page_decimal(&page, tiny->power_weight, 1000, '.');
        page_add(&page, ", unscored: ");
        page_decimal(&page, tiny->unscored, 1000, '.');
        if (tiny->playable > 0) {
            page_add(&page, ", playable: ");
            page_decimal(&page, tiny->playable, 1000, '.');
            page_add(&page, "%%");
        }
        page_add(&page, "}\n");
    }
    if (tiny->protect > 0) {
        page_add(&page, "price_risk: {protect: ");
        page_decimal(&page, tiny->protect, 1000, '.');
        page_add(&page, "}\n");
    }
    if (tiny->unpriced == SKIP_UNPRICED) {
        page_add(&page, "unpriced: skip\n");
    } else if (tiny->unpriced == DEFAULT_PRICE) {
        page_add(&page, "unpriced: ");
        page_decimal(&page, tiny->default_price, 100, '.');
        page_add(&page, "\n");
    }
    page_add(&page, tiny->map_price ? "columns: {price: \"unit price\"}\n" : "");
    add_rules(&page, tiny, LAYER_MODEL);
    add_exempts(&page, tiny);
    add_statuses(&page, tiny, BY_MODEL);
    page_save(&page, folder, "model.yaml");
}

static void add_target(Page *page, const TinyRule *rule, const Band *band)
{
    switch (band->side) {
    case EXACTLY: add_bound(page, rule, band->sort, band->low); break;
    case AT_LEAST:
        add_bound(page, rule, band->sort, band->low);
        page_add(page, "+");
        break;
    case AT_MOST:
        page_add(page, "-");
        add_bound(page, rule, band->sort, band->high);
        break;
    case NONE: break;
    default:
        add_bound(page, rule, band->sort, band->low);
        page_add(page, "-");
        add_bound(page, rule, band->sort, band->high);
        break;
    }
}

static const Band *target_of(const TinyRule *rule, int each, int member)
{
    static const Band none = {.side = NONE};
    for (int i = 0; i < rule->owns[LAYER_TARGETS] && rule->each == each; i++) {
        if (rule->own[LAYER_TARGETS][i].member == member) {
            return &rule->own[LAYER_TARGETS][i].band;
        }
    }
    return &none;
}

/* All members of all kinds as columns; most cells stay blank. */
static void write_targets(const Tiny *tiny, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "rule,all");
    for (int each = PER_COLOUR; each <= PER_THEME; each++) {
        for (int m = 0; m < tiny_members(tiny, each); m++) {
            page_add(&page, ",");
            add_member(&page, tiny, each, m);
        }
    }
    page_add(&page, "\n");
    for (int r = 0; r < tiny->rules; r++) {
        const TinyRule *rule = &tiny->rule[r];
        if (rule->off == 1 || (rule->band[LAYER_TARGETS].side == NONE && rule->owns[LAYER_TARGETS] == 0)) {
            continue;
        }
        page_add(&page, "Rule %c,", 'A' + r);
        add_target(&page, rule, &rule->band[LAYER_TARGETS]);
        for (int each = PER_COLOUR; each <= PER_THEME; each++) {
            for (int m = 0; m < tiny_members(tiny, each); m++) {
                page_add(&page, ",");
                add_target(&page, rule, target_of(rule, each, m));
            }
        }
        page_add(&page, "\n");
    }
    page_save(&page, folder, "targets.csv");
}

static bool has_targets(const Tiny *tiny)
{
    for (int r = 0; r < tiny->rules; r++) {
        if (tiny->rule[r].off != 1 &&
            (tiny->rule[r].band[LAYER_TARGETS].side != NONE || tiny->rule[r].owns[LAYER_TARGETS] > 0)) {
            return true;
        }
    }
    return false;
}

static void change_rules(Page *page, const Tiny *tiny, int layer, const char *indent)
{
    bool begun = false;
    for (int r = 0; r < tiny->rules; r++) {
        const TinyRule *rule = &tiny->rule[r];
        bool off = layer == LAYER_CHANGE && rule->off == 2;
        if (!off && (rule->off == 1 || rule->band[layer].side == NONE)) {
            continue;
        }
        if (!begun) {
            page_add(page, "%srules:\n", indent);
            begun = true;
        }
        page_add(page, "%s  rule %c: {", indent, 'a' + r);
        if (rule->band[layer].side != NONE) {
            add_band(page, rule, &rule->band[layer], ", ");
            page_add(page, off ? ", " : "");
        }
        page_add(page, off ? "off: yes}\n" : "}\n");
    }
}

static void add_change(Page *page, const Tiny *tiny)
{
    Page change = {.data = NULL};
    add_size(&change, tiny->has_size[LAYER_CHANGE], tiny->size_from[LAYER_CHANGE], tiny->size_to[LAYER_CHANGE], "  ",
             "\n");
    if (tiny->cap_by_change) {
        page_add(&change, "  spending_cap: ");
        page_decimal(&change, tiny->changed_cap, 100, '.');
        page_add(&change, "\n");
    }
    bool begun = false;
    for (int t = 0; t < tiny->themes; t++) {
        if (tiny->theme[t].changed) {
            page_add(&change, begun ? "" : "  themes:\n");
            begun = true;
            page_add(&change, "    %s: {weight: ", tiny_theme_name(t));
            page_decimal(&change, tiny->theme[t].changed_weight, 1000, '.');
            page_add(&change, "}\n");
        }
    }
    change_rules(&change, tiny, LAYER_CHANGE, "  ");
    if (change.data != NULL) {
        page_add(page, "change:\n%s", change.data);
        free(change.data);
    }
}

static void write_present(const Tiny *tiny, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "name;copies\n");
    for (int c = 0; c < tiny->cards; c++) {
        if (tiny->present[c] > 0) {
            const char *name = tiny_card_spelling(c);
            page_add(&page, "\"");
            for (; *name != '\0'; name++) {
                page_add(&page, *name == '"' ? "\"\"" : "%c", *name);
            }
            page_add(&page, "\";%d\n", tiny->present[c]);
        }
    }
    page_save(&page, folder, "pool.csv");
}

static void write_scenario(const Tiny *tiny, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "model: model.yaml\ncards: [cards.csv, more.csv]\nprices: [prices.csv]\nowned: [owned.csv]\ntags: "
                    "[tags.csv]\n");
    page_add(&page, has_targets(tiny) ? "targets: [targets.csv]\n" : "");
    page_add(&page, tiny->has_present ? "pool: pool.csv\n" : "");
    page_add(&page, tiny->pool_owned == 1 ? "pool_owned: yes\n" : tiny->pool_owned == 2 ? "pool_owned: no\n" : "");
    add_statuses(&page, tiny, BY_SCENARIO);
    add_change(&page, tiny);
    if (tiny->case_named) {
        page_add(&page, "cases:\n  - {name: a quiet one, change: {}}\n  - name: the one\n    change:\n");
        add_size(&page, tiny->has_size[LAYER_CASE], tiny->size_from[LAYER_CASE], tiny->size_to[LAYER_CASE], "      ",
                 "\n");
        change_rules(&page, tiny, LAYER_CASE, "      ");
    }
    page_save(&page, folder, "scenario.yaml");
    if (tiny->has_present) {
        write_present(tiny, folder);
    }
}

static void write_yaml(const Tiny *tiny, const char *folder)
{
    if (tiny->has_base) {
        write_base(tiny, folder);
    }
    if (has_targets(tiny)) {
        write_targets(tiny, folder);
    }
    write_model(tiny, folder);
    write_scenario(tiny, folder);
}

void tiny_write(const Tiny *tiny, const char *folder)
{
    tiny_write_cards(tiny, folder);
    write_yaml(tiny, folder);
}
