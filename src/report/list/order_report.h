/* order_report.h - an order as text, JSON and a sheet by shop. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_LIST_ORDER_REPORT_H
#define POOLWRIGHT_REPORT_LIST_ORDER_REPORT_H

#include "order/order.h"
#include "programme/exchange.h"
#include "report/layout/table.h"

/* What `order --give` found besides. */
typedef struct {
    const Order *listed;       /* of the list as it is */
    Exchange change;           /* from the list */
    int64_t asked, fit, floor; /* thousandths: what may be given; of the list; the least of a pool that counts */
    bool changed;              /* a pool that costs less was found, and its order is the one shown */
    bool proven;               /* no such pool costs less to order than the one shown */
} OrderGiven;

/* list: [cards->count] copies of what is to be had. given: NULL where nothing may be. full: every card of every shop.
 * written: where the sheet is, or NULL. */
void order_text(const Instance *instance, const int *list, const Order *order, const OrderGiven *given, bool full,
                const char *written, const Style *style, Text *out);
bool order_json(const Instance *instance, const int *list, const Order *order, const OrderGiven *given,
                const Diags *notices, Text *out);
void order_sheet(const Instance *instance, const Order *order, const OrderGiven *given, Text *out);

#endif
