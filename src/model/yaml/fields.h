/* fields.h - the words of the model and scenario language: one table for each kind of map. The tables drive reading
 * and unknown-key errors; a test holds docs/files.md against them. The order of each enumeration is the order of its
 * table. */
#ifndef POOLWRIGHT_MODEL_YAML_FIELDS_H
#define POOLWRIGHT_MODEL_YAML_FIELDS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/diag.h"
#include "base/memory.h"
#include "model/yaml/yaml_tree.h"

typedef struct {
    const char *name;
    const char *value;    /* what may stand there, for messages ("expected ...") and the reference */
    const char *fallback; /* keys of a model and of a rule: what holds without it, as docs/files.md has it */
} FieldInfo;

/* How a number is written there, and what it is read as. */
typedef enum {
    UNIT_NONE, /* no single number, or one whose range depends on others */
    UNIT_WHOLE,
    UNIT_THOUSANDTHS, /* a number with decimals: 1.5 is 1500 */
    UNIT_CENTS,
    UNIT_PERCENT /* 100% is PERCENT_ONE */
} FieldUnit;

typedef struct {
    FieldUnit unit;
    int64_t least, most; /* both allowed */
} FieldRange;

#define COUNT_LIMIT 100000 /* of cards, places, themes, days */

typedef struct {
    const char *place; /* for messages: "a rule" */
    const FieldInfo *field;
    size_t count;
    const FieldRange *range; /* [count]; NULL: no key holds a single number. read_ranged reads by it */
} FieldTable;

/* Whoever has to know all of them switches over them without a default: one that is forgotten does not compile. */
typedef enum {
    MODEL_EXTENDS,
    MODEL_SIZE,
    MODEL_CAP,
    MODEL_CAP_COUNTS,
    MODEL_COLOURS,
    MODEL_FIXING,
    MODEL_HYBRID_AS_GOLD,
    MODEL_SEATS,
    MODEL_DECK_COLOURS,
    MODEL_FIT,
    MODEL_COLUMNS,
    MODEL_READ,
    MODEL_GRADES,
    MODEL_UNPRICED,
    MODEL_THEMES,
    MODEL_RULES,
    MODEL_EXEMPT,
    MODEL_KEEP,
    MODEL_BAN,
    MODEL_WISH,
    MODEL_PATTERNS,
    MODEL_CURRENCY,
    MODEL_STALE,
    MODEL_HANDLING,
    MODEL_HEADROOM,
    MODEL_PRICE_RISK,
    MODEL_ACCEPT,
    MODEL_SHOPS,
    MODEL_PLACES,
    MODEL_EVENNESS,
    MODEL_TOGETHER,
    MODEL_NEEDS,
    MODEL_APART,
    MODEL_GROUPS,
    MODEL_CHOOSE,
    MODEL_DECK
} ModelKey;
#define MODEL_KEYS (MODEL_DECK + 1)
enum { DECK_SIZE, DECK_RULES, DECK_KEYS };
enum { SEEN_BY, SEEN_AT_LEAST, SEEN_CHANCE, SEEN_KEYS };
enum { SEATS_SEATS, SEATS_PACKS, SEATS_PACK_SIZE, SEATS_KEYS };
enum {
    READ_TAGS_SPLIT,
    READ_COLOURS_SPLIT,
    READ_SLASH,
    READ_COLOUR_WORDS,
    READ_WORDS,
    READ_DECIMAL,
    READ_BLANKS,
    READ_LISTED_NAMES,
    READ_SKIP_LINES,
    READ_DUPLICATES,
    READ_KEYS
};
enum { FIT_POWER, FIT_UNSCORED, FIT_PLAYABLE, FIT_STAY, FIT_KEYS };
enum { THEME_NAME, THEME_COLOURS, THEME_WEIGHT, THEME_ENGINE, THEME_DEPTH, THEME_OFF, THEME_KEYS };
enum { ENGINE_BONUS, ENGINE_RATIO, ENGINE_BAND, ENGINE_OFF, ENGINE_KEYS };
enum { STEP_TO, STEP_SHARE, STEP_KEYS };
enum { PLACES_EACH, PLACES_THEME, PLACES_OPEN, PLACES_ALSO, PLACES_FOR, PLACES_BY_PLACE, PLACES_OFF, PLACES_KEYS };
/* In each of these the name comes first, as in themes, and `off` second. */
enum { FORM_NAME_KEY, FORM_OFF_KEY };
enum { TOGETHER_CARDS = FORM_OFF_KEY + 1, TOGETHER_PARTS, TOGETHER_BONUS, TOGETHER_AT_MOST, TOGETHER_KEYS };
enum { NEEDS_CARD = FORM_OFF_KEY + 1, NEEDS_ONE_OF, NEEDS_AT_LEAST, NEEDS_KEYS };
enum { APART_CARDS = FORM_OFF_KEY + 1, APART_AT_MOST, APART_KEYS };
enum { GROUP_CARDS = FORM_OFF_KEY + 1, GROUP_AT_LEAST, GROUP_KEYS };
enum {
    CHOOSE_FROM = FORM_OFF_KEY + 1,
    CHOOSE_PER,
    CHOOSE_EXACTLY,
    CHOOSE_AT_LEAST,
    CHOOSE_AT_MOST,
    CHOOSE_BETWEEN,
    CHOOSE_KEYS
};
#define ENTRY_KEYS_MOST 8 /* of all these, and of themes */
/* The bounds come first: a member's own bounds take exactly these. */
enum {
    RULE_EXACTLY,
    RULE_AT_LEAST,
    RULE_AT_MOST,
    RULE_BETWEEN,
    RULE_AVERAGE_AT_LEAST,
    RULE_AVERAGE_AT_MOST,
    RULE_SEEN,
    BOUND_KEYS,
    RULE_NAME = BOUND_KEYS,
    RULE_EACH,
    RULE_SCOPE,
    RULE_WHERE,
    RULE_OF,
    RULE_MEASURE,
    RULE_FOR,
    RULE_SOFT,
    RULE_PRIORITY,
    RULE_SCALES,
    RULE_WATCH,
    RULE_OFF,
    RULE_KEYS
};
enum { PATTERN_NAME, PATTERN_TAG, PATTERN_ROLE, PATTERN_WEIGHT, PATTERN_WHERE, PATTERN_TEXT, PATTERN_IN, PATTERN_KEYS };
enum { CURRENCY_DEFAULT, CURRENCY_RATES, CURRENCY_KEYS };
enum { RISK_PROTECT, RISK_KEYS };
enum { ACCEPT_CONDITION, ACCEPT_LANGUAGE, ACCEPT_KEYS };
enum { SHOP_NAME, SHOP_POSTAGE, SHOP_FREE_FROM, SHOP_LEAST, SHOP_KEYS };
enum { EXEMPT_CARD, EXEMPT_FROM, EXEMPT_BECAUSE, EXEMPT_KEYS };
enum { BAND_FROM, BAND_TO, BAND_KEYS };
enum {
    SCENARIO_MODEL,
    SCENARIO_CARDS,
    SCENARIO_PRICES,
    SCENARIO_OWNED,
    SCENARIO_TAGS,
    SCENARIO_TARGETS,
    SCENARIO_POOL,
    SCENARIO_POOL_OWNED,
    SCENARIO_JOURNAL,
    SCENARIO_KEEP,
    SCENARIO_BAN,
    SCENARIO_WISH,
    SCENARIO_TRIAL,
    SCENARIO_NEVER,
    SCENARIO_CHANGE,
    SCENARIO_CASES,
    SCENARIO_PATTERNS,
    SCENARIO_KEYS
};
enum { CASE_NAME, CASE_CHANGE, CASE_CARDS, CASE_FILES, CASE_KEYS };
enum { EDIT_PRICE, EDIT_POWER, EDIT_OWNED, EDIT_COPIES, EDIT_KEEP, EDIT_BAN, EDIT_WISH, EDIT_KEYS };

extern const FieldTable model_fields, deck_fields, seats_fields, fit_fields, read_fields, slash_words, decimal_words,
    duplicates_words, cap_counts_words, theme_fields, rule_fields, bound_fields, exempt_fields, band_fields,
    scenario_fields, case_fields, edit_fields, engine_fields, step_fields, places_fields, together_fields, needs_fields,
    apart_fields, group_fields, choose_fields, per_words, pattern_fields, currency_fields, risk_fields, accept_fields,
    shop_fields, filter_fields, measure_words, seen_fields, seen_by_words, each_words, scope_words, class_words,
    role_words, own_words;

/* The index of the word, or -1. */
int field_index(const FieldTable *table, const char *word);
/* The nearest word of the table, or NULL. */
const char *field_nearest(const FieldTable *table, const char *word);
/* "one of a, b, c", in the arena. */
const char *field_list(const FieldTable *table, Arena *arena);

/* One key of a map and what stands there; key NULL: not given. */
typedef struct {
    const YamlNode *key;
    const YamlNode *value;
} Slot;

/* FIELDS_BROKEN: the node is no map. FIELDS_PARTLY: some keys are unknown, so that what seems to be missing may only be
 * misspelt. Both were reported. */
typedef enum { FIELDS_BROKEN, FIELDS_PARTLY, FIELDS_READ } FieldsStatus;

/* Puts the map's pairs into slot[table->count] (others stay as they are). */
FieldsStatus fields_read(const FieldTable *table, const YamlNode *map, Slot *slot, Arena *arena, Diags *diags);

#endif
