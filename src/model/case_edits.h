/* case_edits.h - inside the model room: what a case changes about single candidates: {"Harbour Pilot": {price: 3.00,
 * ban: yes}}. */
#ifndef POOLWRIGHT_MODEL_CASE_EDITS_H
#define POOLWRIGHT_MODEL_CASE_EDITS_H

#include "model/instance/instance_cache.h"
#include "model/yaml/values.h"

struct CardEdit {
    const char *name;
    SourcePos at;
    bool has_price, has_power, has_owned, has_copies;
    int64_t price; /* cents */
    int64_t power; /* thousandths */
    int owned, copies;
    unsigned set, clear; /* STATUS_ bits */
};

/* All edits of the node, in the arena; errors are reported. */
CardEdit *case_edits_read(const ReadContext *context, const YamlNode *node, size_t *count);
/* Prices, powers and copies: before anything is computed from them. Unknown cards are errors. */
void case_edits_apply(const InstanceBuilder *builder);
/* Keep, ban, wish: after what sheets and models say, before copies are limited. */
void case_edits_status(const InstanceBuilder *builder);

#endif
