/* status_column.h - inside the model room: the column `status` of a tags sheet, such as a short list that was marked.
 */
#ifndef POOLWRIGHT_MODEL_HISTORY_STATUS_COLUMN_H
#define POOLWRIGHT_MODEL_HISTORY_STATUS_COLUMN_H

#include "model/sheets/matched_sheet.h"

typedef struct {
    unsigned bits; /* STATUS_ */
    SourcePos at;  /* line 0: nothing said */
} StatusMark;

/* Reads the cell into mark[card]; a blank cell says nothing, a second one must say the same. */
void status_column_read(const MatchedSheet *side, const SheetCell *cell, long card, StatusMark *mark);
/* What was said replaces what the cards sheet says: keep and ban its `trial` and `never` too, other words its `status`
 * alone; what people wish stays wished. */
void status_column_apply(const InstanceBuilder *builder, const StatusMark *mark);

#endif
