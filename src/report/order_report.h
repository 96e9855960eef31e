/* order_report.h - an order as text, JSON and a sheet by shop. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_ORDER_REPORT_H
#define POOLWRIGHT_REPORT_ORDER_REPORT_H

#include "order/order.h"
#include "report/words/table.h"

/* full: every card of every shop. written: where the sheet is, or NULL. */
void order_text(const Instance *instance, const Order *order, bool full, const char *written, const Style *style,
                Text *out);
bool order_json(const Instance *instance, const Order *order, const Diags *notices, Text *out);
void order_sheet(const Instance *instance, const Order *order, Text *out);

#endif
