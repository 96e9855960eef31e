/* report.h - an answer as text, JSON or a sheet. Nothing here decides anything; texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_REPORT_H
#define POOLWRIGHT_REPORT_REPORT_H

#include <jansson.h>

#include "model/desk/scales.h"
#include "programme/answer.h"
#include "programme/reach/reach.h"
#include "report/shown.h"
#include "report/layout/table.h"
#include "whatif/list/new_prices.h"

typedef struct {
    Sections sections;
    bool rules;                        /* every limit */
    bool verbose;                      /* the search's own figures */
    bool stopped;                      /* by a signal, before all reasons were found */
    const char *written;               /* the list's file, NULL: none */
    const char *shopping;              /* the shopping list's file, NULL: none */
    const char *proof;                 /* the proof's file, NULL: none */
    const NewPrices *prices;           /* NULL: the prices are not new */
    const struct Explained *explained; /* report/explain_report.h; NULL: not explained */
    SearchEngine engine;
} BestView;

/* The first screen of `best`. */
void best_text(const Instance *instance, const Answer *answer, const BestView *view, const Style *style, Text *out);
/* The same as JSON (docs/verbs.md). explained as in BestView. */
json_t *best_json(const Instance *instance, const Answer *answer, const NewPrices *prices,
                  const struct Explained *explained, const Diags *notices);

/* The exempt cards of a pool under a heading; nothing where it has none. */
void exemptions_text(const Instance *instance, const int *copies, const char *heading, const Style *style, Text *out);

/* The pool as a sheet: the user's own columns, then `chosen` and `reason`. all: also candidates that are not chosen.
 * RFC 4180 with CRLF line ends; the separator is that of the first cards file. Cells that a spreadsheet would run as a
 * formula begin with an apostrophe. */
void list_csv(const Instance *instance, const Answer *answer, bool all, Text *out);

typedef struct {
    const LimitReach *reach; /* [limits] */
    int64_t copies_most, copies_least;
    bool demand_known;
    bool demand_possible;              /* false: no pool, proven */
    int64_t demand;                    /* least copies that meet every limit when the size is free ... */
    bool demand_exact;                 /* ... and so many do: else it may take more */
    const struct Explained *explained; /* its causes where there is no pool, else NULL */
    Scales scales;                     /* of tags against power */
} CheckFacts;

void check_text(const Instance *instance, const CheckFacts *facts, bool rules, const Style *style, Text *out);
bool check_json(const Instance *instance, const CheckFacts *facts, const Diags *notices, Text *out);

#endif
