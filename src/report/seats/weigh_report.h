/* weigh_report.h - what decks say about cards, as text, JSON and sheets. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_SEATS_WEIGH_REPORT_H
#define POOLWRIGHT_REPORT_SEATS_WEIGH_REPORT_H

#include "report/layout/table.h"
#include "weigh/weigh.h"

/* results: powers by wins instead of tags. full: all proposals. written: where the sheet is, or NULL;
 * named: as the scenario would name it. */
void weigh_text(const Weighing *w, bool results, bool full, const char *written, const char *named, const Style *style,
                Text *out);
/* False if it could not be made. */
bool weigh_json(const Weighing *w, bool results, const Diags *notices, Text *out);
/* Proposed tags of cards that do not have them, as a sheet of tags; or points, as a sheet of notes. */
void weigh_sheet(const Weighing *w, bool results, Text *out);

#endif
