/* targets.h - bounds from a targets sheet, as a layer over a draft. */
#ifndef POOLWRIGHT_MODEL_SHEETS_TARGETS_H
#define POOLWRIGHT_MODEL_SHEETS_TARGETS_H

#include "cards/sheet/sheet.h"
#include "model/yaml/layers.h"

/* As SheetUse wants it: a sheet whose first header is "rule" or one of whose headers is "all". */
int targets_fit(const Sheet *sheet, const void *nothing);
/* Lays the sheet's bounds over the draft; they count as written beside `size` (0: the draft's own). */
void targets_lay(Draft *draft, const Sheet *sheet, int size);

#endif
