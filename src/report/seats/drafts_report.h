/* drafts_report.h - simulated drafts as text and JSON. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_SEATS_DRAFTS_REPORT_H
#define POOLWRIGHT_REPORT_SEATS_DRAFTS_REPORT_H

#include "report/layout/table.h"
#include "seats/drafts.h"
#include "whatif/list/pool_file.h"
#include "whatif/worst_seat.h"

/* full: every card. */
void drafts_text(const Drafts *drafts, const PoolFile *pool, bool full, const Style *style, Text *out);
/* False if it could not be made. */
bool drafts_json(const Drafts *drafts, const PoolFile *pool, const Diags *notices, Text *out);

/* Which rule would help the worst seat. */
void worst_seat_text(const WorstSeat *worst, const Style *style, Text *out);
bool worst_seat_json(const WorstSeat *worst, const Diags *notices, Text *out);

#endif
