/* seats_report.h - what seats see of a pool, as text and JSON. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_SEATS_REPORT_H
#define POOLWRIGHT_REPORT_SEATS_REPORT_H

#include "report/json/json.h"
#include "report/words/table.h"
#include "seats/seats.h"
#include "whatif/pool_file.h"

#define TABLES_MOST 4

/* The same cards at tables of other sizes. */
typedef struct {
    Seats table[TABLES_MOST];
    size_t tables;
} SeatsBeside;

/* full: rules, every chance of a theme and tables of other sizes too. */
void seats_text(const Seats *seats, const PoolFile *pool, const SeatsBeside *beside, bool full, const Style *style,
                Text *out);
/* False if it could not be made. */
bool seats_json(const Seats *seats, const PoolFile *pool, const SeatsBeside *beside, const Diags *notices, Text *out);

/* For parts of the pool: the sentence on the theme that is short first (what: "pool", "part"); the chance of a package
 * for one drafter at each table, the lesser of enablers and payoffs, with `first` at the left under its heading if it
 * is not NULL; what seats_json says. */
void seats_add_shortest(const Seats *seats, const char *what, Text *out);
void seats_add_beside(const Seats *first, const char *heading, const SeatsBeside *beside, const Style *style,
                      Text *out);
json_t *seats_object(const Seats *seats, const PoolFile *pool, const SeatsBeside *beside);

#endif
