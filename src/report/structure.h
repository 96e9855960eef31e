/* structure.h - places, engines, combinations, choices, evenness, stickiness and playability of an answer, as text and
 * JSON. */
#ifndef POOLWRIGHT_REPORT_STRUCTURE_H
#define POOLWRIGHT_REPORT_STRUCTURE_H

#include <jansson.h>

#include "programme/answer.h"
#include "report/layout/table.h"

/* Sections of the first screen, behind the themes; nothing where the model has no structure: engines, combinations,
 * which card fills which place, cards that each deck can play, outliers by power. */
void structure_text(const Instance *instance, const Answer *answer, const Style *style, Text *out);
/* Adds the keys `structure`, `places`, `chosen`, `decks` (docs/verbs.md) to root. */
void structure_json(const Instance *instance, const Answer *answer, json_t *root);

/* The list under `structure` alone. */
json_t *structure_forms_json(const Instance *instance, const PoolCheck *check);
/* Names of the themes chosen; NULL where none are to choose from. */
json_t *structure_chosen_json(const Instance *instance, const PoolCheck *check);

#endif
