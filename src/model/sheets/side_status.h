/* side_status.h - inside the model room: the column `status` of a tags sheet, such as a short list that was marked. */
#ifndef POOLWRIGHT_MODEL_SIDE_STATUS_H
#define POOLWRIGHT_MODEL_SIDE_STATUS_H

#include "model/sheets/side_sheet.h"

typedef struct {
    unsigned bits; /* STATUS_ */
    SourcePos at;  /* line 0: nothing said */
} StatusMark;

/* Reads the cell into mark[card]; a blank cell says nothing, a second one must say the same. */
void side_status_read(const SideSheet *side, const SheetCell *cell, long card, StatusMark *mark);
/* What was said replaces what the cards sheet says. */
void side_status_apply(const InstanceBuilder *builder, const StatusMark *mark);

#endif
