/* seats_report.h - what seats see of a pool, as text and JSON. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_SEATS_SEATS_REPORT_H
#define POOLWRIGHT_REPORT_SEATS_SEATS_REPORT_H

#include "report/json/json.h"
#include "report/layout/table.h"
#include "seats/seats.h"
#include "whatif/list/pool_file.h"

/* full: rules, every chance of a theme and tables of other sizes too. */
void seats_text(const Seats *seats, const PoolFile *pool, const SeatsBeside *beside, bool full, const Style *style,
                Text *out);
/* unknowns: names of the list that are no candidates. */
json_t *seats_json(const Seats *seats, size_t unknowns, const SeatsBeside *beside, const Diags *notices);

/* For parts of the pool, too (what: "pool", "part"). The lines on the theme that is short first; false where nothing is
 * short since nothing is tagged. */
bool seats_add_shortest(const Seats *seats, const char *what, Text *out);
/* The chance of a package for one drafter at each table, the lesser of enablers and payoffs; first: stands at the left
 * under the heading, NULL: none. */
void seats_add_beside(const Seats *first, const char *heading, const SeatsBeside *beside, const Style *style,
                      Text *out);
/* What seats_json says, without notices. */
json_t *seats_object(const Seats *seats, const char *what, size_t unknowns, const SeatsBeside *beside);

#endif
