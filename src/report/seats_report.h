/* seats_report.h - what seats see of a pool, as text and JSON. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_SEATS_REPORT_H
#define POOLWRIGHT_REPORT_SEATS_REPORT_H

#include "report/words/table.h"
#include "seats/seats.h"
#include "whatif/pool_file.h"

/* full: rules and every chance of a theme too. */
void seats_text(const Seats *seats, const PoolFile *pool, bool full, const Style *style, Text *out);
/* False if it could not be made. */
bool seats_json(const Seats *seats, const PoolFile *pool, const Diags *notices, Text *out);

#endif
