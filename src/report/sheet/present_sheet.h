/* present_sheet.h - the sheets that `revise --apply` writes anew: the present pool's and the journal's, each with its
 * own columns, lines and separator as far as they still hold. */
#ifndef POOLWRIGHT_REPORT_SHEET_PRESENT_SHEET_H
#define POOLWRIGHT_REPORT_SHEET_PRESENT_SHEET_H

#include "base/text.h"
#include "cards/sheet/sheet.h"
#include "whatif/list/accept.h"

/* The sheet of a present pool with these copies [cards]. Lines of cards that leave go; they stay with 0 copies where
 * money was paid, or where the sheet has such lines anyway. Cards that enter come last, with what the cards sheets say
 * under the same headers. */
void present_sheet(const Instance *instance, const Sheet *sheet, const int *copies, Text *out);
/* The journal, with new lines behind the old. */
void journal_sheet(const Instance *instance, const Accepted *accepted, Text *out);

#endif
