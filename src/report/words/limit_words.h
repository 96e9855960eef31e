/* limit_words.h - limits and what a pool has of them, in words and as JSON: one table of kinds for all reports. Texts
 * are in the arena. */
#ifndef POOLWRIGHT_REPORT_WORDS_LIMIT_WORDS_H
#define POOLWRIGHT_REPORT_WORDS_LIMIT_WORDS_H

#include <jansson.h>

#include "base/text.h"
#include "programme/count/checker.h"

/* "exactly 58", "at least 8", "45 filled, 56 to 57 in all"; bounds: of the limit, or a side of it. */
const char *limit_asks_text(const Limit *limit, const Bounds *bounds, Arena *arena);
/* "38", "52.1%", "45 filled, 56 in all" */
const char *limit_has_text(const LimitUse *use, Arena *arena);
/* "tight", "2 left", "missed by 1, -3 fit", "theme not chosen" */
const char *limit_slack_text(const LimitUse *use, Arena *arena);
/* "every limit met", or of a pool that breaks none "every firm limit met, 2 soft ones missed at a loss of 8 fit". */
void limits_met_text(const PoolCheck *check, Arena *arena, Text *out);
/* By how much a broken limit is off. */
const char *limit_off_text(const LimitUse *use, Arena *arena);
/* "four-360.yaml:88", without its folder; "command line" */
const char *limit_place_text(const Limit *limit, Arena *arena);
/* An amount in the limit's units: "3.40", "1 card", "2 themes". */
const char *limit_amount_text(const Limit *limit, int64_t units, Arena *arena);

/* A table of limits shows so many keeps and so many bans, and says how many more there are. */
typedef struct {
    size_t keeps, bans;
} StatusRows;
/* Counts the limit; is it to be shown? */
bool status_rows_show(StatusRows *rows, const Limit *limit);
/* "  and 300 more that must stay out"; nothing where all were shown. */
void status_rows_rest(const StatusRows *rows, Text *out);

/* name, of, kind, limit, unit, asks (the limit in words), of the cap written (as the model says it, before headroom and
 * what was paid); file and line where it was said in a file: limit_json_place. */
json_t *limit_json(const Limit *limit, const Bounds *bounds);
void limit_json_place(const Limit *limit, json_t *item);
/* unit of such bounds: "percent", "money"; no key for all others. */
void limit_json_unit(Measure measure, const Bounds *bounds, json_t *item);
/* The same with what the pool has of it: use, has (in words) and, by kind, cards, filled, enablers, payoffs, in. */
json_t *limit_use_json(const LimitUse *use);

#endif
