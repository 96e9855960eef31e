/* revise_report.h - audits and revisions as text and JSON. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_LIST_REVISE_REPORT_H
#define POOLWRIGHT_REPORT_LIST_REVISE_REPORT_H

#include <jansson.h>

#include "report/layout/table.h"
#include "explain/findings.h"
#include "whatif/list/accept.h"
#include "whatif/list/audit.h"
#include "whatif/list/revise.h"

void audit_text(const Instance *instance, const Audit *audit, const char *written, bool rules, bool full,
                const Style *style, Text *out);
bool audit_json(const Instance *instance, const Audit *audit, const Diags *notices, Text *out);

/* Two pools side by side: fit, money, themes, colours, curve, cards that only one has. full: all of these. */
void against_text(const Instance *instance, const PoolFile *a, const PoolFile *b, bool full, const Style *style,
                  Text *out);
bool against_json(const Instance *instance, const PoolFile *a, const PoolFile *b, const Diags *notices, Text *out);

/* Paths of what was written; NULL: nothing. accepted: what --apply took, NULL without it. */
typedef struct {
    const char *list, *shopping, *journal;
    const Accepted *accepted;
} RevisedFiles;

/* why: the causes where there is no pool at all, or NULL. */
void revise_text(const Instance *instance, const Revision *revision, const RevisePlan *plan, const RevisedFiles *files,
                 const Explained *why, bool full, const Style *style, Text *out);
json_t *revise_json(const Instance *instance, const Revision *revision, const RevisedFiles *files, const Explained *why,
                    const Diags *notices);
/* [cards] those that some of its pools put in; freed with mem_free. */
bool *revise_proposed(const Instance *instance, const Revision *revision);

/* Cards in and out side by side with what they cost and add; at most `most` lines. */
void changes_table(const PoolChange *change, size_t changes, size_t most, const Style *style, Text *out);
/* "3 x Barrow" or "Barrow". */
const char *change_name(const PoolChange *change, Arena *arena);
/* The copies that enter (sign 1) or leave (-1) as [{name, copies}]. */
json_t *changes_as_json(const PoolChange *change, size_t changes, int sign);

#endif
