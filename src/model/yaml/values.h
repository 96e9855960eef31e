/* values.h - one value of a YAML file read as a number, money, a word, yes or no. Each reports what it found and what
 * it expected, at the value. */
#ifndef POOLWRIGHT_MODEL_YAML_VALUES_H
#define POOLWRIGHT_MODEL_YAML_VALUES_H

#include <stdint.h>

#include "base/currency_met.h"
#include "model/yaml/fields.h"

typedef struct {
    Arena *arena;
    Diags *diags;
    const char *currency; /* that amounts of money are in; NULL: none is stated */
    CurrencyMet *met;     /* then all must be alike; NULL: marks are not looked at */
} ReadContext;

/* All: false when reported; the output is then untouched. `expected` completes "expected ...". */
bool read_text(const ReadContext *context, const YamlNode *node, const char *expected, const char **text);
bool read_whole(const ReadContext *context, const YamlNode *node, int64_t least, int64_t most, const char *expected,
                int64_t *value);
/* In 10^-scale. */
bool read_number(const ReadContext *context, const YamlNode *node, int scale, const char *expected, int64_t *value);
bool read_money(const ReadContext *context, const YamlNode *node, const char *expected, int64_t *cents);
bool read_percent(const ReadContext *context, const YamlNode *node, const char *expected, int64_t *thousandths);
/* The number that the table's key holds, in the unit and within the range of its row. */
bool read_ranged(const ReadContext *context, const FieldTable *table, int key, const YamlNode *node, int64_t *value);
/* The same of the map's keys in slot[table->count]; false also where the key is not given. */
bool read_slot(const ReadContext *context, const FieldTable *table, int key, const Slot *slot, int64_t *value);
/* yes, no, true, false, on, off. */
bool read_yes_no(const ReadContext *context, const YamlNode *node, bool *value);
/* Is the key there, with yes? False where it is not, or says no; what is neither is reported. */
bool slot_is_yes(const ReadContext *context, const Slot *slot);
/* Index into the table. */
bool read_word(const ReadContext *context, const YamlNode *node, const FieldTable *table, int *index);
/* Is the node text that is one of the words, whatever the case? Reports nothing. */
bool value_is(const YamlNode *node, const char *word);
/* Does the text end in %? */
bool value_is_percent(const YamlNode *node);

/* Errors of one wording: "found 'x', expected EXPECTED". */
void report_unexpected(const ReadContext *context, const YamlNode *node, const char *expected);

/* The node as a list: itself if it is one, nothing if empty, else itself as the only item. item points into the node or
 * to *self. */
typedef struct {
    const YamlNode *single;
    const YamlNode *list;
    size_t count;
} NodeItems;
NodeItems node_items(const YamlNode *node);
const YamlNode *node_item(const NodeItems *items, size_t index);

#endif
