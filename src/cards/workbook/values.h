/* values.h - what workbooks store, as the text that a sheet would hold. */
#ifndef POOLWRIGHT_CARDS_WORKBOOK_VALUES_H
#define POOLWRIGHT_CARDS_WORKBOOK_VALUES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/memory.h"

/* What a cell's format makes of its number. */
typedef enum { FORMAT_NUMBER, FORMAT_PERCENT, FORMAT_DATE, FORMAT_TIME } CellFormat;

/* By the code of a number format (ECMA-376 part 1, 18.8.31): "yyyy\-mm\-dd" is a date, "0.0%" a percentage. */
CellFormat format_of_code(const char *code);
/* By the number of a format that every workbook knows (18.8.30). */
CellFormat format_built_in(long id);

/* Text of a cell in the arena: blanks around it trimmed, control characters blanks, the apostrophe of our own sheets
 * before = + - @ dropped. */
const char *value_text(Arena *arena, const char *text, size_t length);
/* A number as a workbook stores it, to 15 significant digits as spreadsheet programs show it, in percent ("2%"), or as
 * a date ("2026-03-31", with the time of day behind it if it has one). Other text than a number stays as it is. */
const char *value_number(Arena *arena, const char *stored, CellFormat format, bool from_1904);
/* A date as documents store it, "2026-03-31T12:30:00.5", in the same form: without parts of a second, and without a
 * time where it is midnight. */
const char *value_date(Arena *arena, const char *stored);

#endif
