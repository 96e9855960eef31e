/* sheet_dates.h - days as they stand in sheets. Whether "3/4/2026" has the day or the month first is a matter of the
 * whole column: a date that can be read in one order only says it of all. */
#ifndef POOLWRIGHT_CARDS_SHEET_SHEET_DATES_H
#define POOLWRIGHT_CARDS_SHEET_SHEET_DATES_H

#include "base/day.h"
#include "cards/sheet/sheet.h"

#define DATE_EXPECTED "a date such as 2026-03-31 or 31.03.2026"

/* The order by which all dates of the column (-1: none) are read (date_parse_by). False with errors: some may be read
 * in both, as different days, and none in one only; or some say the one order and some the other. *order is set then
 * too, so that lines can be read without more errors of that. Where a date is read as others say, that is told with the
 * first. */
bool sheet_date_order(const Sheet *sheet, int column, DateOrder *order, Diags *diags);

#endif
