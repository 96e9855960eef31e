/* part_report.h - a part of a pool for fewer players as text, JSON and a list. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_SEATS_PART_REPORT_H
#define POOLWRIGHT_REPORT_SEATS_PART_REPORT_H

#include "decks/pool_share.h"
#include "report/seats/seats_report.h"

/* The part seen from its seats, beside tables that draft from the whole pool. written: where its list is, or NULL. */
void part_text(const Part *part, const Seats *seats, const PoolFile *pool, const SeatsBeside *beside, int seed,
               const char *written, const Style *style, Text *out);
bool part_json(const Part *part, const Seats *seats, const PoolFile *pool, const SeatsBeside *beside, int seed,
               const Diags *notices, Text *out);
/* name, copies, colours: a list that every verb reads. */
void part_sheet(const Part *part, const Instance *instance, const PoolFile *pool, Text *out);

#endif
