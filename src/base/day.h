/* day.h - days of the calendar as whole numbers: days since 1970-01-01 (proleptic Gregorian; H. Hinnant,
 * "chrono-compatible low-level date algorithms", 2013). */
#ifndef POOLWRIGHT_BASE_DAY_H
#define POOLWRIGHT_BASE_DAY_H

#include <limits.h>
#include <stdbool.h>

#include "base/memory.h"

#define DAY_UNKNOWN INT_MIN

/* What stands first in "3/4/2026" and "03-04-2026"; EITHER_FIRST: the day, where that makes a date. */
typedef enum { DAY_FIRST, MONTH_FIRST, EITHER_FIRST } DateOrder;

/* "2026-03-31" (also with / or . between), "31.03.2026", and in this order "31/3/2026" and "31-3-2026"; a time of day
 * may stand behind. False if it is no date; then *day is as it was. */
bool date_parse_by(const char *text, DateOrder order, int *day);
/* The same of a date that is one day in either order, or a date in one of them only. */
bool date_parse(const char *text, int *day);
const char *date_text(Arena *arena, int day); /* "2026-03-31", in the arena */
int day_of_clock(void);                       /* today, in Greenwich */

#endif
