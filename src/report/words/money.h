/* money.h - what a pool costs: typical, protected and at worst; which cards carry the risk; what to buy; what new
 * prices change. */
#ifndef POOLWRIGHT_REPORT_WORDS_MONEY_H
#define POOLWRIGHT_REPORT_WORDS_MONEY_H

#include <jansson.h>

#include "report/layout/table.h"
#include "whatif/list/new_prices.h"

/* Copies of the pool that need not be bought only because they are in the present pool; a sentence of it, or nothing.
 */
int pool_owned_copies(const Instance *instance, const int *copies);
void pool_owned_text(const Instance *instance, const int *copies, Text *out);
/* The price of a copy, "-" where it is not known. */
const char *price_text(const Instance *instance, size_t card, Arena *arena);
/* A section of the first screen; nothing where there is nothing to say beyond the cost, unless the whole is asked for.
 */
void money_text(const Instance *instance, const Answer *answer, bool whole, const Style *style, Text *out);
/* ", with 2.00 paid", where the cap counts that; else "". */
const char *money_with_paid(const Instance *instance, Arena *arena);
/* Paid, to buy (cents), left: a line, where something was paid or the cap counts it. */
void money_paid_text(const Instance *instance, int64_t to_buy, const char *indent, Text *out);
/* {"value", "handling", "cap_stated", "headroom", "protect", "limits": [...], "carriers": [...]} */
json_t *money_json(const Instance *instance, const Answer *answer);

/* The section of `check` about prices, and the same as JSON. */
void check_prices_text(const Instance *instance, const Style *style, Text *out);
json_t *check_prices_json(const Instance *instance);

/* The shopping list as a sheet: a line for each card to buy, dearest first; then subtotals by colour and class, the
 * total, and what leaves the present pool. The dearest cards that together take half of the money are marked. */
void shopping_csv(const Instance *instance, const Answer *answer, Text *out);
/* The same for the changes of a given pool: only copies beyond those in it and owned are bought. */
void shopping_changes_csv(const Instance *instance, const Answer *answer, const int *from, Text *out);

/* What new prices change. */
void new_prices_text(const NewPrices *prices, const Style *style, Text *out);
json_t *new_prices_json(const NewPrices *prices);

#endif
