/* sheet_numbers.h - numbers as they stand in sheets: which mark parts the decimals depends on what parts the fields,
 * and on what the model says of them (`read: {decimal: ...}`). */
#ifndef POOLWRIGHT_CARDS_SHEET_SHEET_NUMBERS_H
#define POOLWRIGHT_CARDS_SHEET_SHEET_NUMBERS_H

#include "base/number.h"
#include "cards/sheet/sheet.h"

NumberForm sheet_number_form(const Sheet *sheet);

/* Cells of a sheet of which something is to be told once: how many there are, and the first. */
typedef struct {
    size_t count;
    const SheetCell *first;
} CellCount;

/* As number_parse and number_parse_money, and: where commas part the fields, one comma with one or two digits behind it
 * is a decimal comma; blanks or apostrophes may part groups of three digits, and so may points or commas where the
 * number itself says that they do (1,234.50; 1.234.567), or the model says which mark is the decimal one.
 * *by_comma: the number was read by the first of these; may be NULL. */
NumberStatus form_number(NumberForm form, const char *text, int scale, int64_t *value, bool *by_comma);
NumberStatus form_money(NumberForm form, const char *text, int64_t *cents, bool *by_comma);

/* Where in a score such as "7/10", "7 / 10" or "70%" the number ends; of any other text its length. */
size_t score_end(const char *text);
/* Do both say the same, or nothing, behind their numbers, but for blanks? */
bool scores_alike(const char *a, const char *b);

/* A whole number of copies from 0 to COPIES_MAX, also as "2x", yes, x or no. False: something else, or nothing. */
bool sheet_copies(const Sheet *sheet, const char *text, int *copies);

/* "X", "2X", "X + 1": a cost that nobody knows beforehand. */
bool cost_is_variable(const char *text);

void cell_count_add(CellCount *count, const SheetCell *cell);
/* One notice of numbers that were read although their comma parts the fields of the sheet ("2,35" in quotes), if there
 * are any. */
void commas_tell(const CellCount *count, const Sheet *sheet, Diags *diags);

#endif
