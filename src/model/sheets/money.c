/* money.c - currencies and dates. */
#include "model/sheets/money.h"

#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "model/yaml/values.h"

#define RATE_ONE INT64_C(1000000)

const char *money_mark(Arena *arena, const char *cell)
{
    size_t start = strspn(cell, "0123456789.,+- \t'");
    size_t end = start;
    while (cell[end] != '\0' && strchr("0123456789.,+- \t'", cell[end]) == NULL)
        end++;
    return start == end ? "" : arena_strndup(arena, cell + start, end - start);
}

/* Signs that stand for one currency only in common use; all others are matched as written. */
static const char *code_of(Arena *arena, const char *mark)
{
    static const char *const sign[][2] = {
        {"\xE2\x82\xAC", "eur"}, {"$", "usd"}, {"\xC2\xA3", "gbp"}, {"\xC2\xA5", "jpy"}};
    for (size_t k = 0; k < sizeof sign / sizeof *sign; k++)
        if (strcmp(sign[k][0], mark) == 0)
            return sign[k][1];
    return fold_in(arena, mark);
}

static bool same_mark(Arena *arena, const char *a, const char *b)
{
    return strcmp(a, b) == 0 || strcmp(code_of(arena, a), code_of(arena, b)) == 0;
}

static bool all_alike(Exchange *exchange, const char *mark, SourcePos at)
{
    Arena *arena = exchange->builder->instance->arena;
    if (exchange->mark == NULL) {
        exchange->mark = mark;
        exchange->at = at;
    }
    if (same_mark(arena, exchange->mark, mark))
        return true;
    if (!exchange->reported)
        diag_error(exchange->builder->diags, at,
                   "found a price in '%s', but %s:%d is in '%s'; expected one currency, or in the model a line such as "
                   "'currency: {default: %s, rates: {\"%s\": 0.92}}'",
                   mark, exchange->at.file, exchange->at.line, exchange->mark, exchange->mark, mark);
    exchange->reported = true;
    return false;
}

static const Rate *find_rate(const Model *model, Arena *arena, const char *mark)
{
    for (size_t r = 0; r < model->rates; r++)
        if (strcmp(model->rate[r].currency, mark) == 0)
            return &model->rate[r];
    for (size_t r = 0; r < model->rates; r++)
        if (same_mark(arena, model->rate[r].currency, mark))
            return &model->rate[r];
    return NULL;
}

bool money_exchange(Exchange *exchange, const char *mark, SourcePos at, int64_t *cents)
{
    const Instance *instance = exchange->builder->instance;
    const Model *model = instance->model;
    if (mark[0] == '\0')
        return true;
    if (model->currency == NULL)
        return all_alike(exchange, mark, at);
    if (same_mark(instance->arena, model->currency, mark))
        return true;
    const Rate *rate = find_rate(model, instance->arena, mark);
    if (rate != NULL) {
        *cents = (int64_t)round_div((int128)*cents * rate->rate, RATE_ONE);
        return true;
    }
    const char **known = mem_new(model->rates + 1, sizeof *known);
    known[0] = model->currency;
    for (size_t r = 0; r < model->rates; r++)
        known[r + 1] = model->rate[r].currency;
    diag_error(exchange->builder->diags, at,
               "found a price in '%s', expected %s or a currency that the model's 'currency' has a rate for%s", mark,
               model->currency, did_you_mean(text_nearest(mark, known, model->rates + 1), instance->arena));
    mem_free(known);
    return false;
}

/* ---- dates ---- */

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

static bool take_digits(const char **text, int most, int *value)
{
    int digits = 0;
    for (*value = 0; digits < most && **text >= '0' && **text <= '9'; digits++)
        *value = *value * 10 + (*(*text)++ - '0');
    return digits > 0;
}

bool date_parse(const char *text, int *day)
{
    int part[3];
    const char *at = text;
    char mark = strchr(text, '-') != NULL ? '-' : '.';
    for (int k = 0; k < 3; k++) {
        if (k > 0 && *at++ != mark)
            return false;
        if (!take_digits(&at, 4, &part[k]))
            return false;
    }
    if (*at != '\0')
        return false;
    int year = mark == '-' ? part[0] : part[2], month = part[1], d = mark == '-' ? part[2] : part[0];
    if (year < 1900 || year > 9999 || month < 1 || month > 12 || d < 1 || d > days_of_month(year, month))
        return false;
    *day = days_from_civil(year, month, d);
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
