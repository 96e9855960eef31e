/* json.h - small helpers over jansson: numbers in the user's units, and text out. */
#ifndef POOLWRIGHT_REPORT_JSON_JSON_H
#define POOLWRIGHT_REPORT_JSON_JSON_H

#include <jansson.h>

#include "base/text.h"
#include "programme/answer.h"

json_t *json_money(int64_t cents);
json_t *json_number_of(int64_t thousandths);
json_t *json_measure(Measure measure, int64_t value);
json_t *json_count(size_t count);
json_t *json_string_or_null(const char *text); /* NULL: null */
/* Of a candidate; null where it has none. */
json_t *json_price(const Instance *instance, size_t card);
json_t *json_cost(const Card *card);
json_t *json_kinds(const CardSet *cards, const Card *card);
/* {"at_least": ..., "at_most": ...} in the rule's units (percentages in percent). */
json_t *json_limit(Measure measure, const Bounds *bounds);
/* Sets "impossible" where it is known: proven that there is none, or one was found. Else the key is left out. */
void json_set_impossible(json_t *object, bool proven, bool found);
/* Sets "fit" where there is a pool, "bound" and "gap" where they are known. */
void json_set_fit(json_t *object, const Answer *answer);
/* Sets "bound" alone. */
void json_set_bound(json_t *object, const Answer *answer);
/* {"cost": "proven", "changes": "proven", "names": "open"}; changes only with a present pool. */
json_t *json_among_equals(const AmongEquals *among, bool has_present);
/* The names of those who wish the card. */
json_t *json_wishers(const Card *card);
json_t *json_notices(const Diags *notices);
/* Appends the value as indented text with a newline and releases it; false if jansson could not. */
bool json_finish(json_t *value, Text *out);

#endif
