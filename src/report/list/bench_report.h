/* bench_report.h - a section of a pool as text, JSON and a sheet (docs/verbs.md). Nothing here decides anything; texts
 * are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_LIST_BENCH_REPORT_H
#define POOLWRIGHT_REPORT_LIST_BENCH_REPORT_H

#include "explain/swaps/bench.h"
#include "report/layout/table.h"
#include "whatif/settle.h"

typedef struct {
    const Instance *instance;
    const Answer *answer; /* with a pool */
    const Section *section;
    const Bench *bench;
    const Settle *settle; /* NULL: not asked for */
} BenchView;

/* What is left under the cap, after the rises of prices that it is protected from; 0 without a cap. */
int64_t bench_left(const BenchView *view);
/* Of what is left under the cap: in proportion to the section's copies, in whole cents, rounded down. */
int64_t bench_share_of_left(const BenchView *view);
/* full: every card by name. written: the sheet's file, or NULL. */
void bench_text(const BenchView *view, bool full, const char *written, const Style *style, Text *out);
/* False when it could not be made. */
bool bench_json(const BenchView *view, const Diags *notices, Text *out);
/* A line for each card of the section: what is in, then who is next in line. With a settled section only what is in,
 * with `keep` as its status: a sheet for the scenario's `tags`. */
void bench_sheet(const BenchView *view, Text *out);

#endif
