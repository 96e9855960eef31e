/* values.c - see values.h. */
#include "cards/workbook/values.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/text.h"
#include "cards/sheet/sheet_table.h"

/* ---- formats ---- */

/* Behind what stands at `c` and is no letter of the format: quoted text, an escaped character, a condition. */
static const char *skip_literal(const char *c)
{
    const char *end;
    switch (*c) {
    case '"': end = strchr(c + 1, '"'); break;
    case '[': end = strchr(c + 1, ']'); break;
    case '\\':
    case '_':
    case '*': end = c + 1; break;
    default: return c;
    }
    return end == NULL || *end == '\0' ? c + strlen(c) : end + 1;
}

/* "[h]", "[mm]": hours or minutes beyond a day. */
static bool is_elapsed(const char *c)
{
    const size_t letters = c[0] == '[' ? strspn(c + 1, "hHmMsS") : 0;
    return letters > 0 && c[1 + letters] == ']';
}

CellFormat format_of_code(const char *code)
{
    bool date = false, time = false, percent = false, month = false;
    for (const char *c = code; *c != '\0' && *c != ';';) {
        time = time || is_elapsed(c);
        const char *after = skip_literal(c);
        if (after != c) {
            c = after;
            continue;
        }
        date = date || strchr("yYdD", *c) != NULL;
        time = time || strchr("hHsS", *c) != NULL;
        month = month || *c == 'm' || *c == 'M';
        percent = percent || *c == '%';
        c++;
    }
    if (date || (month && !time))
        return FORMAT_DATE;
    return time ? FORMAT_TIME : percent ? FORMAT_PERCENT : FORMAT_NUMBER;
}

CellFormat format_built_in(long id)
{
    if (id == 9 || id == 10)
        return FORMAT_PERCENT;
    if ((id >= 14 && id <= 17) || id == 22 || (id >= 27 && id <= 36) || (id >= 50 && id <= 58))
        return FORMAT_DATE;
    return (id >= 18 && id <= 21) || (id >= 45 && id <= 47) ? FORMAT_TIME : FORMAT_NUMBER;
}

/* ---- text ---- */

const char *value_text(Arena *arena, const char *text, size_t length)
{
    const char *start = text_trim(text, &length);
    if (cell_is_guarded(start, length)) {
        start++;
        length--;
    }
    if (length == 0)
        return "";
    char *copy = arena_strndup(arena, start, length);
    for (char *c = copy; *c != '\0'; c++)
        if (((unsigned char)*c < 0x20 && (*c < '\t' || *c > '\r')) || *c == 0x7F)
            *c = ' ';
    return copy;
}

/* ---- numbers ---- */

#define DIGITS 15         /* that spreadsheet programs show; what formulas leave behind them is no part of the value */
#define PLAIN_EXPONENT 21 /* beyond it numbers are written with an exponent */

/* The value as 0.DIGITS times ten to the power of the exponent, without zeros at the end. */
static int shown_digits(double value, char digits[DIGITS + 1], int *exponent)
{
    char text[DIGITS + 16];
    snprintf(text, sizeof text, "%.*e", DIGITS - 1, value);
    int count = 0;
    const char *c = text;
    for (; *c != 'e'; c++)
        if (*c >= '0' && *c <= '9')
            digits[count++] = *c;
    *exponent = atoi(c + 1) + 1;
    while (count > 1 && digits[count - 1] == '0')
        count--;
    digits[count] = '\0';
    return count;
}

/* value times ten to the power of `shift`, without rounding once more. */
static void add_number(Text *out, double value, int shift)
{
    char digits[DIGITS + 1];
    int exponent;
    if (value == 0) {
        text_add_char(out, '0');
        return;
    }
    if (value < 0)
        text_add_char(out, '-');
    const int count = shown_digits(fabs(value), digits, &exponent);
    exponent += shift;
    if (exponent > PLAIN_EXPONENT || exponent < -PLAIN_EXPONENT) {
        text_printf(out, "%c%s%se%+d", digits[0], count > 1 ? "." : "", digits + 1, exponent - 1);
        return;
    }
    text_add_n(out, "0", exponent <= 0);
    for (int k = 0; k < exponent; k++)
        text_add_char(out, k < count ? digits[k] : '0');
    if (count <= exponent)
        return;
    text_add_char(out, '.');
    for (int k = exponent; k < count; k++)
        text_add_char(out, k < 0 ? '0' : digits[k]);
}

/* ---- dates ---- */

static void add_time(Text *out, int64_t seconds)
{
    text_printf(out, "%02lld:%02lld:%02lld", (long long)(seconds / 3600), (long long)(seconds / 60 % 60),
                (long long)(seconds % 60));
}

#define DAY_SECONDS 86400
#define LAST_SERIAL 2958465.0 /* 9999-12-31 */

/* Serial numbers of days (ECMA-376 part 1, 18.17.4.1). The calendar from 1900 has a 29th of February in 1900 (60),
 * so days before it are numbered one less. */
static bool add_date(Arena *arena, Text *out, double serial, bool from_1904, bool time_only)
{
    if (!(serial >= 0 && serial <= LAST_SERIAL))
        return false;
    const int64_t seconds = llround(serial * DAY_SECONDS), whole = seconds / DAY_SECONDS;
    if (time_only) {
        add_time(out, seconds);
        return true;
    }
    text_add(out, date_text(arena, (int)whole - (from_1904 ? 24107 : whole < 60 ? 25568 : 25569)));
    if (seconds % DAY_SECONDS != 0) {
        text_add_char(out, ' ');
        add_time(out, seconds % DAY_SECONDS);
    }
    return true;
}

const char *value_date(Arena *arena, const char *stored)
{
    char *copy = arena_strdup(arena, stored), *mark = strchr(copy, 'T');
    if (mark == NULL)
        return copy;
    *mark = ' ';
    mark[strspn(mark, " 0123456789:")] = '\0';
    if (strcmp(mark, " 00:00:00") == 0)
        *mark = '\0';
    return copy;
}

const char *value_number(Arena *arena, const char *stored, CellFormat format, bool from_1904)
{
    char *end;
    const double value = strtod(stored, &end);
    if (end == stored || *end != '\0' || !isfinite(value))
        return value_text(arena, stored, strlen(stored));
    Text out = {0};
    const bool is_date = (format == FORMAT_DATE || format == FORMAT_TIME) &&
                         add_date(arena, &out, value, from_1904, format == FORMAT_TIME);
    if (!is_date)
        add_number(&out, value, format == FORMAT_PERCENT ? 2 : 0);
    if (format == FORMAT_PERCENT)
        text_add_char(&out, '%');
    const char *copy = arena_strdup(arena, text_cstr(&out));
    text_release(&out);
    return copy;
}
