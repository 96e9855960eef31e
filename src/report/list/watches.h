/* watches.h - rules that are only watched and signals of a pool (programme/count/signals.h), as text and JSON. */
#ifndef POOLWRIGHT_REPORT_LIST_WATCHES_H
#define POOLWRIGHT_REPORT_LIST_WATCHES_H

#include <jansson.h>

#include "programme/count/checker.h"
#include "report/layout/table.h"

/* A line where something is outside its band, or a signal; else nothing. how: " (--show watches)", where to read more.
 */
void watches_line(const Instance *instance, const int *copies, const PoolCheck *check, const char *how, Text *out);
/* Every watch against its band, and all signals. */
void watches_text(const Instance *instance, const int *copies, const PoolCheck *check, const Style *style, Text *out);
/* What rules that are only watched count among candidates; nothing where there are none. */
void watches_check_text(const Instance *instance, const Style *style, Text *out);
json_t *watches_check_json(const Instance *instance);
/* {"rules": [..], "tags": [..], "few_enablers": [..], "two_speeds": [..]} */
json_t *watches_json(const Instance *instance, const int *copies, const PoolCheck *check);

#endif
