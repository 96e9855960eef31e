/* matched_sheet.h - inside the model room: a sheet whose lines are matched with the candidates by name. */
#ifndef POOLWRIGHT_MODEL_SHEETS_MATCHED_SHEET_H
#define POOLWRIGHT_MODEL_SHEETS_MATCHED_SHEET_H

#include "base/text.h"
#include "cards/sheet/csv.h"
#include "model/instance/instance_cache.h"

typedef struct {
    const InstanceBuilder *builder;
    Sheet sheet;
    int name;            /* its column */
    const SheetRow *row; /* the one being read; the caller sets it */
    int copies;          /* what the name says of the card last found: 2 for "2x Name", else 1 */
    size_t unmatched;
    bool only_counted; /* unmatched names are listed by somebody else */
    Text examples;
} MatchedSheet;

typedef enum { MATCHED_PRICES, MATCHED_OWNED, MATCHED_TAGS, MATCHED_POOL } MatchedKind;
/* Reads the sheet into the instance's arena and finds its names; of a workbook the sheet whose headers fit the kind.
 * False when reported (then there is nothing to close). */
bool matched_open(const InstanceBuilder *builder, MatchedKind kind, const PathAt *path, MatchedSheet *side);
/* Says how many lines named no candidate. */
void matched_close(MatchedSheet *side);
/* The column under the model's mapped header, else under the word itself; -1: none. */
int mapped_column(const Sheet *sheet, const Model *model, const char *word);
/* The candidate that the cell names. False with an error: a blank cell, or no candidate of that name. */
bool cell_card(const Instance *instance, const Sheet *sheet, const SheetCell *cell, size_t *card, Diags *diags);
int matched_column(const MatchedSheet *side, const char *word);
/* The same, but none is an error. */
int matched_need_column(const MatchedSheet *side, const char *word);
/* There is none, and no header that may be meant for it. */
bool matched_lacks(const MatchedSheet *side, const char *word);
/* The row's cell in this column. */
const SheetCell *matched_cell(const MatchedSheet *side, int column);
/* The candidate on this row, or -1; a blank name is reported, an unknown one counted. "- Name" and "2x Name" are read.
 */
long matched_card(MatchedSheet *side);
/* "found '...', expected ..." at the cell. */
void matched_report(const MatchedSheet *side, const SheetCell *cell, const char *expected);

#endif
