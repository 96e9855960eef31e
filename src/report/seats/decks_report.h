/* decks_report.h - the best decks of a pool as text, JSON and a sheet. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_SEATS_DECKS_REPORT_H
#define POOLWRIGHT_REPORT_SEATS_DECKS_REPORT_H

#include "decks/decks.h"
#include "report/layout/table.h"
#include "whatif/list/pool_file.h"

/* full: every card of every deck too. written: where the sheet is, or NULL. */
void decks_text(const Decks *decks, const PoolFile *pool, const char *written, bool full, const Style *style,
                Text *out);
/* False if it could not be made. */
bool decks_json(const Decks *decks, const PoolFile *pool, const Diags *notices, Text *out);
/* deck, name, copies: a line for each card of each first deck, as a sheet of decks is read. */
void decks_sheet(const Decks *decks, Text *out);

#endif
