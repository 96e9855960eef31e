/* fields.c - the tables of words; see docs/files.md for what each means. */
#include "model/yaml/fields.h"

#include "model/model.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"

#define TABLE(words, where)                                                                                            \
    {                                                                                                                  \
        .place = (where), .field = (words), .count = sizeof(words) / sizeof *(words)                                   \
    }
#define RANGED(words, ranges, where)                                                                                   \
    {                                                                                                                  \
        .place = (where), .field = (words), .count = sizeof(words) / sizeof *(words), .range = (ranges)                \
    }
#define ANY_FROM(least) (least), INT64_MAX

static const FieldInfo model_info[MODEL_KEYS] = {
    [MODEL_EXTENDS] = {"extends", "a model file, or the name of a preset", "none"},
    [MODEL_SIZE] = {"size", "a number of cards such as 360, or {from: 350, to: 360}", "required"},
    [MODEL_CAP] = {"spending_cap", "an amount of money such as 420.00, or none", "none"},
    [MODEL_CAP_COUNTS] = {"cap_counts", "'to buy' or 'paid and to buy'", "to buy"},
    [MODEL_COLOURS] = {"colours", "a list of 1 to 16 names", "required"},
    [MODEL_FIXING] = {"fixing", "a filter such as {kind: port}, or none", "nothing is fixing"},
    [MODEL_HYBRID_AS_GOLD] = {"hybrid_as_gold", "a number of symbols, 1 to 100, or never", "never"},
    [MODEL_SEATS] = {"seats", "{seats: 8, packs: 3, pack_size: 15}", "none"},
    [MODEL_DECK_COLOURS] = {"deck_colours", "a number of colours", "2 (1 with one colour)"},
    [MODEL_FIT] = {"fit", "{power: 1.0, unscored: 2.0}", "1, 0"},
    [MODEL_COLUMNS] = {"columns", "a map such as {price: \"unit price\"}", "none"},
    [MODEL_READ] = {"read", "a map such as {tags_split: \",\", slash: both}", "the usual form"},
    [MODEL_GRADES] = {"grades", "a map such as {must: 9, good: 7}, or none", "none"},
    [MODEL_UNPRICED] = {"unpriced", "error, skip, or an amount of money", "error"},
    [MODEL_THEMES] = {"themes", "a list of {name, colours, weight}", "none"},
    [MODEL_RULES] = {"rules", "a list of rules", "none"},
    [MODEL_PLACES] = {"places", "a map such as {each: colour, theme: 6}, or none", "none"},
    [MODEL_EVENNESS] = {"evenness", "fit for each unit of the weakest theme, 0 or more", "0"},
    [MODEL_TOGETHER] = {"together", "a list of {name, cards, bonus}", "none"},
    [MODEL_NEEDS] = {"needs", "a list of {card, one_of, at_least}", "none"},
    [MODEL_APART] = {"apart", "a list of {cards, at_most}", "none"},
    [MODEL_GROUPS] = {"groups", "a list of {name, cards, at_least}", "none"},
    [MODEL_CHOOSE] = {"choose", "a map such as {from: [...], per: pair, exactly: 1}, or a list of such maps",
                      "all have"},
    [MODEL_DECK] = {"deck", "a map such as {size: 23, rules: [...]}, or none", "half of what a seat opens"},
    [MODEL_EXEMPT] = {"exempt", "a list of {card, from, because}", "none"},
    [MODEL_KEEP] = {"keep", "a list of card names", "none"},
    [MODEL_BAN] = {"ban", "a list of card names", "none"},
    [MODEL_WISH] = {"wish", "a list of card names", "none"},
    [MODEL_PATTERNS] = {"patterns", "a list of {tag, role, weight, where, text}", "none"},
    [MODEL_CURRENCY] = {"currency", "a currency such as EUR, or {default: EUR, rates: {USD: 0.92}}",
                        "all amounts are in one, whichever it is"},
    [MODEL_STALE] = {"stale", "a number of days such as 90, or never", "never"},
    [MODEL_HANDLING] = {"handling", "an amount of money, 0 or more", "0"},
    [MODEL_HEADROOM] = {"headroom", "a percentage below 100% such as 10%, or none", "none"},
    [MODEL_PRICE_RISK] = {"price_risk", "{protect: 5}, or none", "none"},
    [MODEL_ACCEPT] = {"accept", "a map such as {condition: [new, good], language: [English]}, or none", "all"},
    [MODEL_SHOPS] = {"shops", "a list of {name, postage, free_from, least}", "none"},
};
static const FieldRange model_range[MODEL_KEYS] = {
    [MODEL_SIZE] = {UNIT_WHOLE, 1, COUNT_LIMIT},        [MODEL_CAP] = {UNIT_CENTS, ANY_FROM(0)},
    [MODEL_HYBRID_AS_GOLD] = {UNIT_WHOLE, 1, 100},      [MODEL_UNPRICED] = {UNIT_CENTS, ANY_FROM(0)},
    [MODEL_EVENNESS] = {UNIT_THOUSANDTHS, ANY_FROM(0)}, [MODEL_STALE] = {UNIT_WHOLE, 0, COUNT_LIMIT},
    [MODEL_HANDLING] = {UNIT_CENTS, ANY_FROM(0)},       [MODEL_HEADROOM] = {UNIT_PERCENT, 0, PERCENT_ONE - 1},
};
const FieldTable model_fields = RANGED(model_info, model_range, "a model");

static const FieldInfo deck_info[DECK_KEYS] = {
    [DECK_SIZE] = {"size", "a whole number from 1 to 1000", NULL},
    [DECK_RULES] = {"rules", "a list of rules", NULL},
};
static const FieldRange deck_range[DECK_KEYS] = {
    [DECK_SIZE] = {UNIT_WHOLE, 1, 1000},
};
const FieldTable deck_fields = RANGED(deck_info, deck_range, "a deck");

static const FieldInfo seats_info[SEATS_KEYS] = {
    [SEATS_SEATS] = {"seats", "a whole number from 1 to 1000", NULL},
    [SEATS_PACKS] = {"packs", "a whole number from 1 to 1000", NULL},
    [SEATS_PACK_SIZE] = {"pack_size", "a whole number from 1 to 1000", NULL},
};
static const FieldRange seats_range[SEATS_KEYS] = {
    [SEATS_SEATS] = {UNIT_WHOLE, 1, 1000},
    [SEATS_PACKS] = {UNIT_WHOLE, 1, 1000},
    [SEATS_PACK_SIZE] = {UNIT_WHOLE, 1, 1000},
};
const FieldTable seats_fields = RANGED(seats_info, seats_range, "seats");

static const FieldInfo read_info[READ_KEYS] = {
    [READ_TAGS_SPLIT] = {"tags_split", "marks such as \",\" or [\",\", newline], or none", NULL},
    [READ_COLOURS_SPLIT] = {"colours_split", "marks such as \",\" or [\",\", blank], or none", NULL},
    [READ_SLASH] = {"slash", "either or both", NULL},
    [READ_COLOUR_WORDS] = {"colour_words", "a map such as {b: brass, grey: colourless}", NULL},
    [READ_WORDS] = {"words", "a map such as {starts: enabler, behalten: keep}", NULL},
    [READ_DECIMAL] = {"decimal", "comma or point", NULL},
    [READ_BLANKS] = {"blanks", "a list of words such as [n/a, \"?\"]", NULL},
    [READ_LISTED_NAMES] = {"listed_names", "yes or no", NULL},
    [READ_SKIP_LINES] = {"skip_lines", "a list of names such as [Total], \"\" for lines without a name", NULL},
    [READ_DUPLICATES] = {"duplicates", "error, first, last or fill", NULL},
};
const FieldTable read_fields = TABLE(read_info, "read");

static const FieldInfo slash_info[] = {{"either", NULL, NULL}, {"both", NULL, NULL}};
const FieldTable slash_words = TABLE(slash_info, "slash");
/* In the order of enum DecimalMark, behind what holds without it. */
static const FieldInfo decimal_info[] = {{"point", NULL, NULL}, {"comma", NULL, NULL}};
const FieldTable decimal_words = TABLE(decimal_info, "decimal");
/* In the order of enum Duplicates. */
static const FieldInfo duplicates_info[] = {
    {"error", NULL, NULL}, {"first", NULL, NULL}, {"last", NULL, NULL}, {"fill", NULL, NULL}};
const FieldTable duplicates_words = TABLE(duplicates_info, "duplicates");

static const FieldInfo cap_counts_info[] = {{"to buy", NULL, NULL}, {"paid and to buy", NULL, NULL}};
const FieldTable cap_counts_words = TABLE(cap_counts_info, "cap_counts");

static const FieldInfo fit_info[FIT_KEYS] = {
    [FIT_POWER] = {"power", "a number, 0 or more", NULL},
    [FIT_UNSCORED] = {"unscored", "a number", NULL},
    [FIT_PLAYABLE] = {"playable", "a share from 0% to 100%", NULL},
    [FIT_STAY] = {"stay", "fit for each copy of the present pool that stays, 0 or more", NULL},
};
static const FieldRange fit_range[FIT_KEYS] = {
    [FIT_POWER] = {UNIT_THOUSANDTHS, ANY_FROM(0)},
    [FIT_UNSCORED] = {UNIT_THOUSANDTHS, ANY_FROM(INT64_MIN)},
    [FIT_PLAYABLE] = {UNIT_PERCENT, 0, PERCENT_ONE},
    [FIT_STAY] = {UNIT_THOUSANDTHS, ANY_FROM(0)},
};
const FieldTable fit_fields = RANGED(fit_info, fit_range, "fit");

static const FieldInfo theme_info[THEME_KEYS] = {
    [THEME_NAME] = {"name", "the theme's tag", NULL},
    [THEME_COLOURS] = {"colours", "colours such as brass+linen", NULL},
    [THEME_WEIGHT] = {"weight", "a number, 0 or more", NULL},
    [THEME_ENGINE] = {"engine", "a map such as {bonus: 0.5, ratio: 1.5}, or none", NULL},
    [THEME_DEPTH] = {"depth", "a list of steps such as {to: 20, share: 100%}, or none", NULL},
    [THEME_OFF] = {"off", "yes or no", NULL},
};
static const FieldRange theme_range[THEME_KEYS] = {
    [THEME_WEIGHT] = {UNIT_THOUSANDTHS, ANY_FROM(0)},
};
const FieldTable theme_fields = RANGED(theme_info, theme_range, "a theme");

static const FieldInfo engine_info[ENGINE_KEYS] = {
    [ENGINE_BONUS] = {"bonus", "fit for each unit, 0 or more", NULL},
    [ENGINE_RATIO] = {"ratio", "a number above 0, at most 1000", NULL},
    [ENGINE_BAND] = {"enablers_per_payoff", "two numbers such as [1, 2.5], or {from: 1}", NULL},
    [ENGINE_OFF] = {"off", "yes or no", NULL},
};
static const FieldRange engine_range[ENGINE_KEYS] = {
    [ENGINE_BONUS] = {UNIT_THOUSANDTHS, ANY_FROM(0)},
    [ENGINE_RATIO] = {UNIT_THOUSANDTHS, 1, 1000000},
};
const FieldTable engine_fields = RANGED(engine_info, engine_range, "an engine");

static const FieldInfo step_info[STEP_KEYS] = {
    [STEP_TO] = {"to", "a whole number of units of weight", NULL},
    [STEP_SHARE] = {"share", "a percentage from 0% to 100%", NULL},
};
static const FieldRange step_range[STEP_KEYS] = {
    [STEP_TO] = {UNIT_WHOLE, 1, COUNT_LIMIT},
    [STEP_SHARE] = {UNIT_PERCENT, 0, PERCENT_ONE},
};
const FieldTable step_fields = RANGED(step_info, step_range, "a step of depth");

static const FieldInfo places_info[PLACES_KEYS] = {
    [PLACES_EACH] = {"each", "colour", NULL},
    [PLACES_THEME] = {"theme", "a whole number of places, 0 or more", NULL},
    [PLACES_OPEN] = {"open", "a whole number of places, 0 or more", NULL},
    [PLACES_ALSO] = {"also", "a list of themes", NULL},
    [PLACES_FOR] = {"for", "a map such as {tar: {convoys: 8, open: 26}, squalls: 0}", NULL},
    [PLACES_BY_PLACE] = {"by_place", "yes or no", NULL},
    [PLACES_OFF] = {"off", "yes or no", NULL},
};
static const FieldRange places_range[PLACES_KEYS] = {
    [PLACES_THEME] = {UNIT_WHOLE, 0, COUNT_LIMIT},
    [PLACES_OPEN] = {UNIT_WHOLE, 0, COUNT_LIMIT},
};
const FieldTable places_fields = RANGED(places_info, places_range, "places");

#define FORM_INFO [FORM_NAME_KEY] = {"name", "what reports call it", NULL}, [FORM_OFF_KEY] = {"off", "yes or no", NULL}

static const FieldInfo together_info[TOGETHER_KEYS] = {
    FORM_INFO,
    [TOGETHER_CARDS] = {"cards", "a list of card names", NULL},
    [TOGETHER_PARTS] = {"parts", "two or more lists of card names, [[A1, A2], [B1, B2]]", NULL},
    [TOGETHER_BONUS] = {"bonus", "fit, more than 0", NULL},
    [TOGETHER_AT_MOST] = {"at_most", "a whole number of sets, 1 or more", NULL},
};
static const FieldRange together_range[TOGETHER_KEYS] = {
    [TOGETHER_BONUS] = {UNIT_THOUSANDTHS, ANY_FROM(1)},
    [TOGETHER_AT_MOST] = {UNIT_WHOLE, 1, COUNT_LIMIT},
};
const FieldTable together_fields = RANGED(together_info, together_range, "a combination of cards");

static const FieldInfo needs_info[NEEDS_KEYS] = {
    FORM_INFO,
    [NEEDS_CARD] = {"card", "a card's name", NULL},
    [NEEDS_ONE_OF] = {"one_of", "a list of card names", NULL},
    [NEEDS_AT_LEAST] = {"at_least", "a whole number of cards, 1 or more", NULL},
};
static const FieldRange needs_range[NEEDS_KEYS] = {
    [NEEDS_AT_LEAST] = {UNIT_WHOLE, 1, COUNT_LIMIT},
};
const FieldTable needs_fields = RANGED(needs_info, needs_range, "a need");

static const FieldInfo apart_info[APART_KEYS] = {
    FORM_INFO,
    [APART_CARDS] = {"cards", "a list of card names", NULL},
    [APART_AT_MOST] = {"at_most", "a whole number of copies, 0 or more", NULL},
};
static const FieldRange apart_range[APART_KEYS] = {
    [APART_AT_MOST] = {UNIT_WHOLE, 0, COUNT_LIMIT},
};
const FieldTable apart_fields = RANGED(apart_info, apart_range, "cards apart");

static const FieldInfo group_info[GROUP_KEYS] = {
    FORM_INFO,
    [GROUP_CARDS] = {"cards", "a list of card names", NULL},
    [GROUP_AT_LEAST] = {"at_least", "a whole number of cards, 1 or more", NULL},
};
static const FieldRange group_range[GROUP_KEYS] = {
    [GROUP_AT_LEAST] = {UNIT_WHOLE, 1, COUNT_LIMIT},
};
const FieldTable group_fields = RANGED(group_info, group_range, "a group of cards");

static const FieldInfo choose_info[CHOOSE_KEYS] = {
    FORM_INFO,
    [CHOOSE_FROM] = {"from", "a list of themes", NULL},
    [CHOOSE_PER] = {"per", "pair or pool", NULL},
    [CHOOSE_EXACTLY] = {"exactly", "a whole number of themes", NULL},
    [CHOOSE_AT_LEAST] = {"at_least", "a whole number of themes", NULL},
    [CHOOSE_AT_MOST] = {"at_most", "a whole number of themes", NULL},
    [CHOOSE_BETWEEN] = {"between", "two whole numbers such as [1, 2]", NULL},
};
static const FieldRange choose_range[CHOOSE_KEYS] = {
    [CHOOSE_EXACTLY] = {UNIT_WHOLE, 0, COUNT_LIMIT},
    [CHOOSE_AT_LEAST] = {UNIT_WHOLE, 0, COUNT_LIMIT},
    [CHOOSE_AT_MOST] = {UNIT_WHOLE, 0, COUNT_LIMIT},
};
const FieldTable choose_fields = RANGED(choose_info, choose_range, "a choice of themes");

static const FieldInfo per_info[] = {{"pool", NULL, NULL}, {"pair", NULL, NULL}};
const FieldTable per_words = TABLE(per_info, "per");

#define BOUND_INFO                                                                                                     \
    [RULE_EXACTLY] = {"exactly", "a number such as 58, or a percentage such as 50%", NULL},                            \
    [RULE_AT_LEAST] = {"at_least", "a number such as 8, or a percentage such as 50%", NULL},                           \
    [RULE_AT_MOST] = {"at_most", "a number such as 12, or a percentage such as 50%", NULL},                            \
    [RULE_BETWEEN] = {"between", "two numbers such as [2, 4]", NULL},                                                  \
    [RULE_AVERAGE_AT_LEAST] = {"average_at_least", "a number", NULL},                                                  \
    [RULE_AVERAGE_AT_MOST] = {"average_at_most", "a number", NULL},                                                    \
    [RULE_SEEN] = {"seen", "a map such as {by: opens, at_least: 3, chance: 80%}", NULL}

static const FieldInfo bound_info[BOUND_KEYS] = {BOUND_INFO};
const FieldTable bound_fields = TABLE(bound_info, "bounds");

static const FieldInfo seen_info[SEEN_KEYS] = {
    [SEEN_BY] = {"by", "pack, opens or sees", NULL},
    [SEEN_AT_LEAST] = {"at_least", "a whole number of cards, 1 or more", NULL},
    [SEEN_CHANCE] = {"chance", "a percentage above 0 such as 80%", NULL},
};
static const FieldRange seen_range[SEEN_KEYS] = {
    [SEEN_AT_LEAST] = {UNIT_WHOLE, 1, 1000000},
    [SEEN_CHANCE] = {UNIT_PERCENT, 1, PERCENT_ONE},
};
const FieldTable seen_fields = RANGED(seen_info, seen_range, "seen");

/* In the order of enum DrawBy. */
static const FieldInfo seen_by_info[] = {{"pack", NULL, NULL}, {"opens", NULL, NULL}, {"sees", NULL, NULL}};
const FieldTable seen_by_words = TABLE(seen_by_info, "by");

static const FieldInfo rule_info[RULE_KEYS] = {
    BOUND_INFO,
    [RULE_NAME] = {"name", "what reports call the rule", "required"},
    [RULE_EACH] = {"each", "colour, pair or theme", "one rule over all"},
    [RULE_SCOPE] = {"scope", "exact, touching, playable or tagged", "`exact`; theme: `playable`"},
    [RULE_WHERE] = {"where", "a filter such as {class: mono}", "every candidate"},
    [RULE_OF] = {"of", "a filter such as {class: mono}", "the whole pool"},
    [RULE_MEASURE] = {"measure", "count, spend, price, fit, cost, power, weight, or a column of the cards sheet",
                      "`count`"},
    [RULE_FOR] = {"for", "a map such as {tar: {at_least: 9}}", "none"},
    [RULE_SOFT] = {"soft", "fit lost per unit, more than 0, or no", "the rule must hold"},
    [RULE_PRIORITY] = {"priority", "a whole number from 1 to 9", "5"},
    [RULE_SCALES] = {"scales", "yes or no", "yes for counts and names, no else"},
    [RULE_WATCH] = {"watch", "yes or no", "no"},
    [RULE_OFF] = {"off", "yes or no", "no"},
};
static const FieldRange rule_range[RULE_KEYS] = {
    [RULE_SOFT] = {UNIT_THOUSANDTHS, ANY_FROM(1)},
    [RULE_PRIORITY] = {UNIT_WHOLE, 1, 9},
};
const FieldTable rule_fields = RANGED(rule_info, rule_range, "a rule");

static const FieldInfo pattern_info[PATTERN_KEYS] = {
    [PATTERN_NAME] = {"name", "what reports call the pattern", NULL},
    [PATTERN_TAG] = {"tag", "the tag that it gives", NULL},
    [PATTERN_ROLE] = {"role", "enabler, payoff, both or none", NULL},
    [PATTERN_WEIGHT] = {"weight", "a number", NULL},
    [PATTERN_WHERE] = {"where", "a filter such as {kind: crew}", NULL},
    [PATTERN_TEXT] = {"text", "a pattern such as \"land [0-9]\"", NULL},
    [PATTERN_IN] = {"in", "text or name", NULL},
};
const FieldTable pattern_fields = TABLE(pattern_info, "a pattern");

static const FieldInfo currency_info[CURRENCY_KEYS] = {
    [CURRENCY_DEFAULT] = {"default", "a currency such as EUR", NULL},
    [CURRENCY_RATES] = {"rates", "a map such as {USD: 0.92}", NULL},
};
const FieldTable currency_fields = TABLE(currency_info, "currency");

static const FieldInfo risk_info[RISK_KEYS] = {
    [RISK_PROTECT] = {"protect", "a number of prices, 0 or more, such as 5 or 7.5", NULL},
};
static const FieldRange risk_range[RISK_KEYS] = {
    [RISK_PROTECT] = {UNIT_THOUSANDTHS, 0, 100000 * 1000},
};
const FieldTable risk_fields = RANGED(risk_info, risk_range, "price_risk");

static const FieldInfo accept_info[ACCEPT_KEYS] = {
    [ACCEPT_CONDITION] = {"condition", "a list of words as the price sheets have them", NULL},
    [ACCEPT_LANGUAGE] = {"language", "a list of words as the price sheets have them", NULL},
};
const FieldTable accept_fields = TABLE(accept_info, "accept");

static const FieldInfo shop_info[SHOP_KEYS] = {
    [SHOP_NAME] = {"name", "the shop as the price sheets call it", NULL},
    [SHOP_POSTAGE] = {"postage", "an amount of money, 0 or more", NULL},
    [SHOP_FREE_FROM] = {"free_from", "an amount of money, 0 or more", NULL},
    [SHOP_LEAST] = {"least", "an amount of money, 0 or more", NULL},
};
static const FieldRange shop_range[SHOP_KEYS] = {
    [SHOP_POSTAGE] = {UNIT_CENTS, ANY_FROM(0)},
    [SHOP_FREE_FROM] = {UNIT_CENTS, ANY_FROM(0)},
    [SHOP_LEAST] = {UNIT_CENTS, ANY_FROM(0)},
};
const FieldTable shop_fields = RANGED(shop_info, shop_range, "a shop");

static const FieldInfo exempt_info[EXEMPT_KEYS] = {
    [EXEMPT_CARD] = {"card", "a card's name", NULL},
    [EXEMPT_FROM] = {"from", "a list of rule names", NULL},
    [EXEMPT_BECAUSE] = {"because", "a text", NULL},
};
const FieldTable exempt_fields = TABLE(exempt_info, "an exemption");

static const FieldInfo band_info[BAND_KEYS] = {
    [BAND_FROM] = {"from", "a number", NULL},
    [BAND_TO] = {"to", "a number", NULL},
};
const FieldTable band_fields = TABLE(band_info, "a range");

static const FieldInfo scenario_info[SCENARIO_KEYS] = {
    [SCENARIO_MODEL] = {"model", "a model file, or the name of a preset", NULL},
    [SCENARIO_CARDS] = {"cards", "a list of sheets", NULL},
    [SCENARIO_PRICES] = {"prices", "a list of sheets", NULL},
    [SCENARIO_OWNED] = {"owned", "a list of sheets", NULL},
    [SCENARIO_TAGS] = {"tags", "a list of sheets", NULL},
    [SCENARIO_TARGETS] = {"targets", "a list of targets sheets", NULL},
    [SCENARIO_POOL] = {"pool", "a sheet: the present pool", NULL},
    [SCENARIO_POOL_OWNED] = {"pool_owned", "yes or no", NULL},
    [SCENARIO_JOURNAL] = {"journal", "a sheet: what was changed, when and why", NULL},
    [SCENARIO_KEEP] = {"keep", "a list of card names", NULL},
    [SCENARIO_BAN] = {"ban", "a list of card names", NULL},
    [SCENARIO_WISH] = {"wish", "a list of card names", NULL},
    [SCENARIO_TRIAL] = {"trial", "a map such as {Harbour Pilot: 2026-06-01}", NULL},
    [SCENARIO_NEVER] = {"never", "a map such as {Fog Packet: too slow}", NULL},
    [SCENARIO_CHANGE] = {"change", "a map with the keys of a model", NULL},
    [SCENARIO_CASES] = {"cases", "a list of {name, change}", NULL},
    [SCENARIO_PATTERNS] = {"patterns", "a list of {tag, role, weight, where, text}", NULL},
};
const FieldTable scenario_fields = TABLE(scenario_info, "a scenario");

static const FieldInfo case_info[CASE_KEYS] = {
    [CASE_NAME] = {"name", "what reports call the case", NULL},
    [CASE_CHANGE] = {"change", "a map with the keys of a model", NULL},
    [CASE_CARDS] = {"cards", "a map such as {Harbour Pilot: {price: 3.00, ban: yes}}", NULL},
    [CASE_FILES] = {"files", "a list of further cards sheets", NULL},
};
const FieldTable case_fields = TABLE(case_info, "a case");

static const FieldInfo edit_info[EDIT_KEYS] = {
    [EDIT_PRICE] = {"price", "an amount of money, 0 or more", NULL},
    [EDIT_POWER] = {"power", "a number", NULL},
    [EDIT_OWNED] = {"owned", "a whole number of copies, 0 to 1000", NULL},
    [EDIT_COPIES] = {"copies", "a whole number of copies, 1 to 1000", NULL},
    [EDIT_KEEP] = {"keep", "yes or no", NULL},
    [EDIT_BAN] = {"ban", "yes or no", NULL},
    [EDIT_WISH] = {"wish", "yes or no", NULL},
};
static const FieldRange edit_range[EDIT_KEYS] = {
    [EDIT_PRICE] = {UNIT_CENTS, ANY_FROM(0)},
    [EDIT_POWER] = {UNIT_THOUSANDTHS, ANY_FROM(INT64_MIN)},
    [EDIT_OWNED] = {UNIT_WHOLE, 0, 1000},
    [EDIT_COPIES] = {UNIT_WHOLE, 1, 1000},
};
const FieldTable edit_fields = RANGED(edit_info, edit_range, "a card of a case");

/* In the order of enum Field, without FIELD_COLUMN. */
static const FieldInfo filter_info[] = {
    {"class", "colourless, mono, gold, hybrid or fixing", NULL},
    {"colours", "colours as in the cards sheet, such as brass+tar", NULL},
    {"kind", "a kind of the cards sheet", NULL},
    {"tag", "a tag of the cards sheet", NULL},
    {"theme", "a theme of the model, or any", NULL},
    {"role", "enabler, payoff, both or none", NULL},
    {"weight", "a number or {from: 1, to: 2}", NULL},
    {"name", "a card's name", NULL},
    {"wishes", "the name of somebody who wishes the card, or any", NULL},
    {"cost", "a number or {from: 1, to: 2}", NULL},
    {"power", "a number or {from: 1, to: 2}", NULL},
    {"price", "an amount of money or {from: 1.00, to: 2.00}", NULL},
    {"fit", "a number or {from: 1, to: 2}", NULL},
    {"copies", "a whole number or {from: 1, to: 2}", NULL},
    {"playable", "a share such as 40% or {from: 40%}", NULL},
    {"themes", "a whole number of themes or {from: 2}", NULL},
};
const FieldTable filter_fields = TABLE(filter_info, "a filter");

#define MEASURE_INFO(constant, word, what, decimals, adds) [constant] = {word, what, NULL},
static const FieldInfo measure_info[] = {MEASURE_TABLE(MEASURE_INFO)};
#undef MEASURE_INFO
const FieldTable measure_words = TABLE(measure_info, "a measure");

/* In the order of enum Each, without EACH_NONE. */
static const FieldInfo each_info[] = {{"colour", NULL, NULL}, {"pair", NULL, NULL}, {"theme", NULL, NULL}};
const FieldTable each_words = TABLE(each_info, "each");

/* In the order of enum Scope. */
static const FieldInfo scope_info[] = {
    {"exact", NULL, NULL}, {"touching", NULL, NULL}, {"playable", NULL, NULL}, {"tagged", NULL, NULL}};
const FieldTable scope_words = TABLE(scope_info, "scope");

/* In the order of enum CardClass. */
static const FieldInfo class_info[] = {{"colourless", NULL, NULL},
                                       {"mono", NULL, NULL},
                                       {"gold", NULL, NULL},
                                       {"hybrid", NULL, NULL},
                                       {"fixing", NULL, NULL}};
const FieldTable class_words = TABLE(class_info, "class");

/* In the order of enum Role. */
static const FieldInfo role_info[] = {
    {"none", NULL, NULL}, {"enabler", NULL, NULL}, {"payoff", NULL, NULL}, {"both", NULL, NULL}};
const FieldTable role_words = TABLE(role_info, "role");

/* What a word of the user's own may stand for: roles, statuses, verdicts. */
static const FieldInfo own_info[] = {{"none", NULL, NULL},  {"enabler", NULL, NULL}, {"payoff", NULL, NULL},
                                     {"both", NULL, NULL},  {"keep", NULL, NULL},    {"ban", NULL, NULL},
                                     {"wish", NULL, NULL},  {"in", NULL, NULL},      {"better", NULL, NULL},
                                     {"worse", NULL, NULL}, {"fine", NULL, NULL},    {"unused", NULL, NULL}};
const FieldTable own_words = TABLE(own_info, "words");

int field_index(const FieldTable *table, const char *word)
{
    for (size_t i = 0; i < table->count; i++)
        if (strcmp(table->field[i].name, word) == 0)
            return (int)i;
    return -1;
}

const char *field_nearest(const FieldTable *table, const char *word)
{
    const char *words[MODEL_KEYS + RULE_KEYS];
    for (size_t i = 0; i < table->count; i++)
        words[i] = table->field[i].name;
    return text_nearest(word, words, table->count);
}

const char *field_list(const FieldTable *table, Arena *arena)
{
    Text text = {0};
    for (size_t i = 0; i < table->count; i++)
        text_printf(&text, "%s%s", i == 0 ? "" : i + 1 == table->count ? " or " : ", ", table->field[i].name);
    char *list = arena_strdup(arena, text_cstr(&text));
    text_release(&text);
    return list;
}

/* Everyday words for the keys of a rule; NULL if the key is none. */
static const char *rule_key_meant(const char *key)
{
    static const char *const word[][2] = {{"max", "at_most"},
                                          {"maximum", "at_most"},
                                          {"most", "at_most"},
                                          {"upto", "at_most"},
                                          {"up to", "at_most"},
                                          {"min", "at_least"},
                                          {"minimum", "at_least"},
                                          {"least", "at_least"},
                                          {"exact", "exactly"},
                                          {"equals", "exactly"},
                                          {"count", "exactly"},
                                          {"range", "between"},
                                          {"average", "average_at_most"},
                                          {"per", "each"},
                                          {"filter", "where"}};
    for (size_t k = 0; k < sizeof word / sizeof *word; k++)
        if (text_folds_to(key, word[k][0]))
            return word[k][1];
    return NULL;
}

static bool has_bound(const YamlNode *value)
{
    for (size_t i = 0; value->kind == NODE_MAP && i < value->count; i++)
        if (field_index(&bound_fields, value->pair[i].key->text) >= 0)
            return true;
    return false;
}

/* What an unknown key that is almost none of the table's may have come from: another kind of file, a comma inside
 * {...}, another word, a filter's field. "" if nothing is known. */
static const char *misplaced(const FieldTable *table, const YamlPair *pair, Arena *arena)
{
    const char *meant = table == &rule_fields ? rule_key_meant(pair->key->text) : NULL;
    if (meant != NULL)
        return did_you_mean(meant, arena);
    if (table == &rule_fields && field_index(&filter_fields, pair->key->text) >= 0)
        return arena_printf(arena, "; which cards are counted stands under where, such as 'where: {%s: ...}'",
                            pair->key->text);
    if (table == &scenario_fields && field_index(&model_fields, pair->key->text) >= 0)
        return arena_printf(arena, "; '%s' is a key of models, in a scenario it goes below 'change:'", pair->key->text);
    if (table == &model_fields && has_bound(pair->value))
        return arena_printf(arena, "; the bounds of a rule stand below rules, as in 'rules: {%s: {at_least: 3}}'",
                            pair->key->text);
    if (table == &model_fields && field_index(&scenario_fields, pair->key->text) >= 0)
        return arena_printf(arena, "; '%s' is a key of scenarios", pair->key->text);
    if (yaml_is_empty(pair->value) && strspn(pair->key->text, "0123456789%") == strlen(pair->key->text))
        return "; a comma begins a new entry here: numbers are written with a decimal point";
    if (yaml_is_empty(pair->value))
        return "; nothing stands behind it: a comma begins a new entry, and text that holds one stands in quotes";
    return "";
}

#define KEYS_SHOWN 3

/* Behind the error that a map of names was expected. */
static const char *new_ones(const FieldTable *table)
{
    if (table == &rule_fields)
        return ", such as {at_least: 3}; new rules are a list, each with its own '-' and name";
    if (table == &theme_fields || table == &together_fields || table == &needs_fields || table == &apart_fields ||
        table == &group_fields)
        return "; new ones are a list, each with its own '-'";
    return "";
}

FieldsStatus fields_read(const FieldTable *table, const YamlNode *map, Slot *slot, Arena *arena, Diags *diags)
{
    if (map->kind != NODE_MAP) {
        const bool few = table->count <= KEYS_SHOWN;
        diag_error(diags, map->at, "found %s, expected the keys of %s%s%s%s%s", yaml_found(map, arena), table->place,
                   few ? " (" : "", few ? field_list(table, arena) : "", few ? ")" : "", new_ones(table));
        return FIELDS_BROKEN;
    }
    FieldsStatus status = FIELDS_READ;
    for (size_t i = 0; i < map->count; i++) {
        const YamlNode *key = map->pair[i].key;
        int index = field_index(table, key->text);
        if (index >= 0) {
            slot[index] = (Slot){.key = key, .value = map->pair[i].value};
            continue;
        }
        status = FIELDS_PARTLY;
        const char *nearest = field_nearest(table, key->text);
        const char *hint = nearest != NULL ? did_you_mean(nearest, arena) : misplaced(table, &map->pair[i], arena);
        if (hint[0] == '\0')
            hint = arena_printf(arena, "; known are %s", field_list(table, arena));
        diag_error(diags, key->at, "unknown key %s in %s%s", yaml_found(key, arena), table->place, hint);
    }
    return status;
}
