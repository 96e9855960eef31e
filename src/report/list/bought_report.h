/* bought_report.h - what was bought as text, JSON and the new sheet of owned cards. Texts are appended to `out`. */
#ifndef POOLWRIGHT_REPORT_LIST_BOUGHT_REPORT_H
#define POOLWRIGHT_REPORT_LIST_BOUGHT_REPORT_H

#include "cards/sheet/sheet.h"
#include "report/layout/table.h"
#include "whatif/list/bought.h"

/* written: where the sheet is, or NULL; named: as the scenario would name it; replaced: it is the scenario's own. */
void bought_text(const Instance *instance, const Bought *bought, const char *written, const char *named, bool replaced,
                 const Style *style, Text *out);
bool bought_json(const Instance *instance, const Bought *bought, const Diags *notices, Text *out);
/* name, copies, paid: all owned cards with what was bought; money for cards that are no candidates stays. */
void bought_sheet(const Instance *instance, const Bought *bought, Text *out);
/* The owned sheet as it stands, with lines for what was bought behind its own; a column `paid` where it had none. */
void bought_lines(const Instance *instance, const Bought *bought, const Sheet *sheet, Text *out);

#endif
