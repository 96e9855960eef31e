/* day.c - see day.h. */
#include "base/day.h"

#include <string.h>
#include <time.h>

static int days_from_civil(int y, int m, int d)
{
    y -= m <= 2;
    int era = (y >= 0 ? y : y - 399) / 400;
    int yoe = y - era * 400, doy = (153 * (m + (m > 2 ? -3 : 9)) + 2) / 5 + d - 1;
    return era * 146097 + yoe * 365 + yoe / 4 - yoe / 100 + doy - 719468;
}

static int days_of_month(int y, int m)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (y % 4 == 0 && y % 100 != 0) || y % 400 == 0;
    return m == 2 && leap ? 29 : days[m - 1];
}

/* At most four. */
static bool take_digits(const char **text, int *value)
{
    int digits = 0;
    for (*value = 0; digits < 4 && **text >= '0' && **text <= '9'; digits++)
        *value = *value * 10 + (*(*text)++ - '0');
    return digits > 0;
}

/* Nothing, or a time of day: " 12:30", "T12:30:00.5". */
static bool is_time(const char *text)
{
    int hour, minute, second;
    if (*text == '\0')
        return true;
    if (*text != ' ' && *text != 'T')
        return false;
    text++;
    if (!take_digits(&text, &hour) || hour > 24 || *text++ != ':' || !take_digits(&text, &minute) || minute > 59)
        return false;
    if (*text == ':') {
        text++;
        if (!take_digits(&text, &second) || second > 60)
            return false;
        text += *text == '.' ? 1 + strspn(text + 1, "0123456789") : 0;
    }
    return *text == '\0';
}

bool date_parse_by(const char *text, DateOrder order, int *day)
{
    if (order == EITHER_FIRST)
        return date_parse_by(text, DAY_FIRST, day) || date_parse_by(text, MONTH_FIRST, day);
    int part[3];
    const char *at = text, mark = text[strspn(text, "0123456789")];
    if (mark != '-' && mark != '.' && mark != '/')
        return false;
    for (int k = 0; k < 3; k++) {
        if (k > 0 && *at++ != mark)
            return false;
        if (!take_digits(&at, &part[k]))
            return false;
    }
    if (!is_time(at))
        return false;
    const bool year_first = part[0] > 31, month_first = !year_first && mark != '.' && order == MONTH_FIRST;
    const int year = part[year_first ? 0 : 2], month = part[month_first ? 0 : 1],
              d = part[year_first    ? 2
                       : month_first ? 1
                                     : 0];
    if (year < 1900 || year > 9999 || month < 1 || month > 12 || d < 1 || d > days_of_month(year, month))
        return false;
    *day = days_from_civil(year, month, d);
    return true;
}

bool date_parse(const char *text, int *day)
{
    int first, second;
    const bool day_first = date_parse_by(text, DAY_FIRST, &first),
               month_first = date_parse_by(text, MONTH_FIRST, &second);
    if ((!day_first && !month_first) || (day_first && month_first && first != second))
        return false;
    *day = day_first ? first : second;
    return true;
}

const char *date_text(Arena *arena, int day)
{
    int z = day + 719468;
    int era = (z >= 0 ? z : z - 146096) / 146097;
    int doe = z - era * 146097;
    int yoe = (doe - doe / 1460 + doe / 36524 - doe / 146096) / 365;
    int doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    int mp = (5 * doy + 2) / 153;
    int m = mp + (mp < 10 ? 3 : -9);
    return arena_printf(arena, "%04d-%02d-%02d", yoe + era * 400 + (m <= 2), m, doy - (153 * mp + 2) / 5 + 1);
}

int day_of_clock(void)
{
    return (int)(time(NULL) / 86400);
}
