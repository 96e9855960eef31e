/* side_sheet.h - inside the model room: a sheet whose lines are matched with the candidates by name. */
#ifndef POOLWRIGHT_MODEL_SIDE_SHEET_H
#define POOLWRIGHT_MODEL_SIDE_SHEET_H

#include "base/text.h"
#include "cards/csv.h"
#include "model/instance/instance_cache.h"

typedef struct {
    const InstanceBuilder *builder;
    Sheet sheet;
    int name;            /* its column */
    const SheetRow *row; /* the one being read; the caller sets it */
    size_t unmatched;
    Text examples;
} SideSheet;

/* Reads the sheet into the instance's arena and finds its names. False when reported (then there is nothing to close).
 */
bool side_open(const InstanceBuilder *builder, const PathAt *path, SideSheet *side);
/* Says how many lines named no candidate. */
void side_close(SideSheet *side);
/* The column under the model's mapped header, else under the word itself; -1: none. */
int side_column(const SideSheet *side, const char *word);
/* The same, but none is an error. */
int side_need_column(const SideSheet *side, const char *word);
/* The row's cell in this column. */
const SheetCell *side_cell(const SideSheet *side, int column);
/* The candidate on this row, or -1; a blank name is reported, an unknown one counted. */
long side_card(SideSheet *side);
/* "found '...', expected ..." at the cell. */
void side_report(const SideSheet *side, const SheetCell *cell, const char *expected);

#endif
