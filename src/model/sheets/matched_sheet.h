/* matched_sheet.h - inside the model room: a sheet whose lines are matched with the candidates by name. */
#ifndef POOLWRIGHT_MODEL_SHEETS_MATCHED_SHEET_H
#define POOLWRIGHT_MODEL_SHEETS_MATCHED_SHEET_H

#include "base/text.h"
#include "cards/sheet/sheet_numbers.h"
#include "model/instance/instance_cache.h"

typedef enum { MATCHED_PRICES, MATCHED_OWNED, MATCHED_TAGS, MATCHED_POOL } MatchedKind;

typedef struct {
    MatchedKind kind;
    const InstanceBuilder *builder;
    Sheet sheet;
    int name;            /* its column */
    const SheetRow *row; /* the one being read; the caller sets it */
    int copies;          /* what the name says of the card last found: 2 for "2x Name", else 1 */
    size_t unmatched, passed;
    const SheetCell *first_passed;
    size_t disagree; /* lines whose name says another number of copies than their column */
    const SheetCell *first_disagree;
    CellCount commas; /* numbers with a decimal comma, though commas part the fields */
    Text examples;
} MatchedSheet;

/* Of a sheet of a workbook that nobody named for this: does the scenario read it as its cards, or name it elsewhere? */
bool is_read_elsewhere(const Instance *instance, MatchedKind kind, const char *path);
/* Is a sheet of this name one of the kind: "Prices", "Owned", "Pool", "Tags", also in other languages? */
bool is_called_as(MatchedKind kind, const char *name);

/* Reads the sheet into the instance's arena and finds its names; of a workbook the sheet whose headers fit the kind.
 * False when reported (then there is nothing to close). */
bool matched_open(const InstanceBuilder *builder, MatchedKind kind, const PathAt *path, MatchedSheet *side);
/* Says how many lines named no candidate. */
void matched_close(MatchedSheet *side);
/* The column under the model's mapped header, else under the word itself; -1: none. */
int mapped_column(const Sheet *sheet, const Model *model, const char *word);
/* The same; else the only one whose header is a word for the field, in one of the languages of headers, and of which
 * the model says nothing; one for copies holds nothing but such. Of a sheet whose rows are not known its header counts.
 */
int side_column(const Sheet *sheet, const Model *model, const char *word);
/* Tells that the column, where it is one, is read as the word though it is called otherwise and the model is silent. */
void side_tell(const Sheet *sheet, const Model *model, int column, const char *word, Diags *diags);
/* The candidate that the cell names. False with an error: a blank cell, or no candidate of that name. */
bool cell_card(const Instance *instance, const Sheet *sheet, const SheetCell *cell, size_t *card, Diags *diags);
int matched_column(const MatchedSheet *side, const char *word);
/* The same, but none is an error. */
int matched_need_column(const MatchedSheet *side, const char *word);
/* There is none, and no header that may be meant for it. */
bool matched_lacks(const MatchedSheet *side, const char *word);
/* The row's cell in this column. */
const SheetCell *matched_cell(const MatchedSheet *side, int column);
/* form_number and form_money of a cell; what is to be told of its comma is told in the end. */
NumberStatus matched_number(MatchedSheet *side, const SheetCell *cell, int scale, int64_t *value);
NumberStatus matched_money(MatchedSheet *side, const SheetCell *cell, int64_t *cents);
/* Do the lines (sheet_split_lines) hold a list of names alone, mostly candidates, with nothing but titles in the first
 * *above of them? */
bool lines_are_names(const Instance *instance, const Sheet *lines, size_t *above);
/* Is the row, with this cell of a name, no card: a total, or a heading that is called as a colour? */
bool names_no_card(const Instance *instance, const SheetRow *row, const SheetCell *name);
/* Tells that so many such lines, from the first on, which is there, were passed over; of none nothing. */
void passed_tell(const SheetCell *first, size_t count, SourcePos at, Diags *diags);
/* Is the row no card: a total, or a heading that is called as a colour? Such are counted and told in the end. */
bool matched_passes(MatchedSheet *side);
/* The candidate on this row, or -1; a blank name is reported, an unknown one counted. "- Name", "2x Name" and "Name
 * (2)" are read. */
long matched_card(MatchedSheet *side);
/* "found '...', expected ..." at the cell. */
void matched_report(const MatchedSheet *side, const SheetCell *cell, const char *expected);

#endif
