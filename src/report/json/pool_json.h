/* pool_json.h - what any pool is told by, as JSON: made of which themes, colours and classes, how it uses its limits,
 * which of its cards are excepted (docs/verbs.md). */
#ifndef POOLWRIGHT_REPORT_JSON_POOL_JSON_H
#define POOLWRIGHT_REPORT_JSON_POOL_JSON_H

#include <jansson.h>

#include "programme/count/pool_summary.h"

/* Adds `themes`, `weakest` (where there are themes), `colours`, `classes` to root. */
void make_up_json(const Instance *instance, const PoolSummary *summary, json_t *root);
/* All limits in their order, each with its use and slack; soft ones with what they miss. */
json_t *limit_uses_json(const PoolCheck *check);
/* The exempt cards of the pool, each with the rules that do not count it. */
json_t *exceptions_json(const Instance *instance, const int *copies);

#endif
