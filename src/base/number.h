/* number.h - exact decimal numbers in 64-bit integers.
 *
 * Money is in whole cents (scale 2). Every other user number (fit, power, weight, cost, column values) is in whole
 * thousandths (scale 3). Products are taken in 128 bits and rounded once, half away from zero. */
#ifndef POOLWRIGHT_BASE_NUMBER_H
#define POOLWRIGHT_BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

__extension__ typedef __int128 int128;

/* The largest absolute value read from a file, in the smallest unit: 10^12. */
#define NUMBER_LIMIT INT64_C(1000000000000)

/* 100 %: percentages are in thousandths of a percent. */
#define PERCENT_ONE INT64_C(100000)

typedef enum {
    NUMBER_OK,
    NUMBER_NONE,      /* not a number at all */
    NUMBER_TOO_FINE,  /* more non-zero decimals than the scale holds */
    NUMBER_TOO_LARGE, /* above NUMBER_LIMIT */
    NUMBER_DOUBTFUL   /* money that may be in thousands: number_may_be_thousands */
} NumberStatus;

/* Reads [+-]digits[.digits] (at least one digit; outer blanks allowed; no exponent, no grouping, no nan or inf).
 * decimal_comma: a comma stands for the point as well. *value is value x 10^scale, untouched on failure. */
NumberStatus number_parse(const char *text, int scale, bool decimal_comma, int64_t *value);
/* The same for money: also one currency sign (any Unicode Sc character, a 3-letter capital code, or a word such as kr,
 * zł, Kč) before or after, blanks between. Where a comma may stand for the point, 1.500 and 1,500 are doubtful. */
NumberStatus number_parse_money(const char *text, bool decimal_comma, int64_t *cents);
/* Bytes of the character here if it is a blank (also one that keeps a line together) or an apostrophe, as some write
 * between groups of three digits; else 0. */
size_t number_group_mark(const char *text);
/* Does the text hold a group of three digits behind a digit and a point, comma, blank or apostrophe, such as
 * "1.500,00"? For errors: what reads a number has refused it. */
bool number_has_thousands(const char *text);
/* Is it a number as of 1 with three digits behind its only point or comma, such as 1.500 or 1,500? Money has no such
 * decimals, so they may well be thousands. */
bool number_may_be_thousands(const char *text);
/* For such a number: what to write instead, "1500 (without a separator of thousands) or at most 2 decimals". Returns
 * buffer. */
#define NUMBER_HINT 80
const char *number_thousands_hint(char buffer[NUMBER_HINT], const char *text);
/* "2%", "33.4 %": thousandths of a percent (2% = 2000). */
NumberStatus number_parse_percent(const char *text, int64_t *thousandths);
/* "0.05%" or "0.05": parts per million, from 0 to a whole. False, with *ppm unchanged, if it is none. */
bool number_parse_gap(const char *text, int64_t *ppm);

/* Formats value / 10^scale with at least min_decimals <= scale decimals, trailing zeros beyond those dropped. Returns
 * buffer. */
#define NUMBER_TEXT 48
char *number_format(char buffer[NUMBER_TEXT], int64_t value, int scale, int min_decimals);

int128 floor_div(int128 a, int128 b); /* b > 0 */
int128 ceil_div(int128 a, int128 b);  /* b > 0 */
int128 round_div(int128 a, int128 b); /* b > 0; half away from zero */
/* The smallest of 1, 2, 5, 10, 20, 50 and so on that is no less. */
int64_t round_step(int64_t least);
static inline int64_t magnitude64(int64_t v)
{
    return v < 0 ? -v : v;
} /* not of INT64_MIN */
/* Cut off at a quarter of what 64 bits hold: some of them may be added, and none is INT64_MAX or INT64_MIN. */
int64_t clamp64(int128 value);
int64_t gcd64(int64_t a, int64_t b); /* of absolute values; gcd(0, 0) = 0 */

#endif
