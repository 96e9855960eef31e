/* day.h - days of the calendar as whole numbers: days since 1970-01-01 (proleptic Gregorian; H. Hinnant,
 * "chrono-compatible low-level date algorithms", 2013). */
#ifndef POOLWRIGHT_BASE_DAY_H
#define POOLWRIGHT_BASE_DAY_H

#include <limits.h>
#include <stdbool.h>

#include "base/memory.h"

#define DAY_UNKNOWN INT_MIN

/* "2026-03-31" or "31.03.2026". False if it is no date; then *day is as it was. */
bool date_parse(const char *text, int *day);
const char *date_text(Arena *arena, int day); /* "2026-03-31", in the arena */
int day_of_clock(void);                       /* today, in Greenwich */

#endif
