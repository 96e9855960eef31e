/* currency.c - marks of currencies. */
#include "base/currency.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"

/* Bytes at the start that belong to the number: digits, signs, separators, the dash of "12,-", blanks. */
static size_t number_part(const char *text)
{
    static const char *const dash[] = {"\xE2\x80\x93", "\xE2\x88\x92"}; /* en dash, minus sign */
    for (size_t k = 0; k < sizeof dash / sizeof *dash; k++)
        if (strncmp(text, dash[k], 3) == 0)
            return 3;
    if (text[0] != '\0' && strchr("0123456789.,+-\t", text[0]) != NULL)
        return 1;
    return number_group_mark(text);
}

/* The mark's place and length. */
static const char *find_mark(const char *amount, size_t *length)
{
    while (number_part(amount) > 0)
        amount += number_part(amount);
    *length = 0;
    while (amount[*length] != '\0' && number_part(amount + *length) == 0)
        ++*length;
    return text_trim(amount, length);
}

const char *currency_mark(Arena *arena, const char *amount)
{
    size_t length;
    const char *mark = find_mark(amount, &length);
    return length == 0 ? "" : arena_strndup(arena, mark, length);
}

/* What signs and words stand for where nothing else is known. */
static const char *const signs[][2] = {{"\xE2\x82\xAC", "eur"}, {"$", "usd"},  {"us$", "usd"}, {"\xC2\xA3", "gbp"},
                                       {"\xC2\xA5", "jpy"},     {"zl", "pln"}, {"kc", "czk"},  {"ft", "huf"},
                                       {"r$", "brl"},           {"fr", "chf"}, {"sfr", "chf"}};
/* Signs of several currencies. */
static const char *const shared[][2] = {
    {"$", "usd aud cad nzd sgd hkd mxn"}, {"\xC2\xA3", "gbp egp"}, {"\xC2\xA5", "jpy cny"}, {"kr", "sek nok dkk isk"}};

/* All others are matched as written. */
static const char *code_of(const char *folded)
{
    for (size_t k = 0; k < sizeof signs / sizeof *signs; k++)
        if (strcmp(signs[k][0], folded) == 0)
            return signs[k][1];
    return folded;
}

static bool is_shared(size_t sign, const char *folded)
{
    return strlen(folded) == 3 && strstr(shared[sign][1], folded) != NULL;
}

bool currency_known(const char *mark)
{
    char *folded = text_fold(mark);
    bool found = false;
    for (size_t k = 0; k < sizeof signs / sizeof *signs; k++)
        found = found || strcmp(signs[k][0], folded) == 0 || strcmp(signs[k][1], folded) == 0;
    for (size_t k = 0; k < sizeof shared / sizeof *shared; k++)
        found = found || strcmp(shared[k][0], folded) == 0 || is_shared(k, folded);
    mem_free(folded);
    return found;
}

bool currency_same(const char *a, const char *b)
{
    if (strcmp(a, b) == 0)
        return true;
    char *folded_a = text_fold(a), *folded_b = text_fold(b);
    const bool same = strcmp(code_of(folded_a), code_of(folded_b)) == 0;
    mem_free(folded_a);
    mem_free(folded_b);
    return same;
}

bool currency_shares(const char *currency, const char *mark)
{
    char *folded_mark = text_fold(mark), *folded = text_fold(currency);
    bool found = false;
    for (size_t k = 0; k < sizeof shared / sizeof *shared; k++)
        found = found || (strcmp(shared[k][0], folded_mark) == 0 && is_shared(k, folded));
    mem_free(folded_mark);
    mem_free(folded);
    return found;
}

bool currency_fits(const char *currency, const char *what, const char *amount, SourcePos at, Diags *diags)
{
    size_t length;
    const char *start = find_mark(amount, &length);
    if (currency == NULL || length == 0)
        return true;
    char *mark = mem_strndup(start, length);
    const bool fits = currency_same(currency, mark) || currency_shares(currency, mark);
    if (!fits)
        diag_error(diags, at, "%sfound '%s', expected an amount in %s, the model's currency", what, amount, currency);
    mem_free(mark);
    return fits;
}
