/* number.c - exact decimal numbers: reading, writing, division with a stated rounding. */
#include "base/number.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <unictype.h>
#include <unistr.h>

#include "base/text.h"

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Takes a sign off the front: +, - or the minus sign U+2212 that word processors put in. */
static bool take_sign(const char **text, size_t *length)
{
    static const char minus[] = "\xE2\x88\x92";
    if (*length >= 3 && memcmp(*text, minus, 3) == 0) {
        *text += 3;
        *length -= 3;
        return true;
    }
    if (*length == 0 || (**text != '+' && **text != '-'))
        return false;
    bool negative = **text == '-';
    ++*text;
    --*length;
    return negative;
}

#define DIGITS_SHOWN 15 /* significant ones that spreadsheet programs show of a number */
#define DIGITS_MOST 40

/* What formulas leave behind (5.400000000000001) is none of the user's decimals: of a number with more significant
 * digits, and with decimals among them, `digit` has the first 15, rounded, with a nought before and noughts behind.
 * False where it has no more. */
static bool without_noise(const char *text, size_t whole, size_t decimals, char digit[DIGITS_MOST + 1])
{
    const size_t all = 1 + whole + decimals;
    size_t first = 0;
    if (decimals == 0 || all > DIGITS_MOST)
        return false;
    digit[0] = '0';
    memcpy(digit + 1, text, whole);
    memcpy(digit + 1 + whole, text + whole + 1, decimals);
    while (first < all && digit[first] == '0')
        first++;
    size_t end = first + DIGITS_SHOWN;
    if (end >= all || end < 1 + whole)
        return false;
    const bool up = digit[end] >= '5';
    memset(digit + end, '0', all - end);
    while (up && digit[--end] == '9')
        digit[end] = '0';
    digit[end] = (char)(digit[end] + up);
    return true;
}

static NumberStatus parse_unsigned(const char *text, size_t length, int scale, bool decimal_comma, int64_t *value)
{
    size_t whole = 0, decimals = 0, i = 0;
    while (whole < length && is_digit(text[whole]))
        whole++;
    i = whole;
    if (i < length && (text[i] == '.' || (decimal_comma && text[i] == ','))) {
        i++;
        while (i + decimals < length && is_digit(text[i + decimals]))
            decimals++;
    }
    if (i + decimals != length || whole + decimals == 0)
        return NUMBER_NONE;
    char clean[DIGITS_MOST + 1];
    const char *decimal = text + i;
    if (without_noise(text, whole, decimals, clean)) {
        text = clean;
        decimal = clean + 1 + whole++;
    }

    int64_t result = 0;
    bool too_large = false, too_fine = false;
    for (size_t k = 0; k < whole + (size_t)scale && !too_large; k++) {
        char c = k < whole ? text[k] : k - whole < decimals ? decimal[k - whole] : '0';
        result = result * 10 + (c - '0');
        too_large = result > NUMBER_LIMIT;
    }
    for (size_t k = (size_t)scale; k < decimals; k++)
        too_fine = too_fine || decimal[k] != '0';
    if (too_large)
        return NUMBER_TOO_LARGE;
    if (too_fine)
        return NUMBER_TOO_FINE;
    *value = result;
    return NUMBER_OK;
}

static NumberStatus parse_span(const char *text, size_t length, int scale, bool decimal_comma, int64_t *value)
{
    bool negative = take_sign(&text, &length);
    int64_t result;
    NumberStatus status = parse_unsigned(text, length, scale, decimal_comma, &result);
    if (status == NUMBER_OK)
        *value = negative ? -result : result;
    return status;
}

NumberStatus number_parse(const char *text, int scale, bool decimal_comma, int64_t *value)
{
    size_t length = strlen(text);
    text = text_trim(text, &length);
    return parse_span(text, length, scale, decimal_comma, value);
}

/* What stands for a currency in everyday lists and is neither a sign nor three capitals. Not words of parts of one,
 * such as ct: 50 ct are not 50.00. */
static const char *const currency_word[] = {"z\xC5\x82", "zl", "kr.", "kr",  "k\xC4\x8D", "sfr.", "sfr",
                                            "fr.",       "fr", "ft",  "rs.", "rs",        "us$",  "r$"};

/* Length in bytes of such a word at the start of the text (at its end), or 0. */
static size_t currency_word_at(const char *text, size_t length, bool at_end)
{
    for (size_t k = 0; k < sizeof currency_word / sizeof *currency_word; k++) {
        const size_t bytes = strlen(currency_word[k]);
        if (bytes <= length && strncasecmp(at_end ? text + length - bytes : text, currency_word[k], bytes) == 0)
            return bytes;
    }
    return 0;
}

/* Length in bytes of a currency mark at the start of the text, or 0. */
static size_t currency_at_start(const char *text, size_t length)
{
    const size_t word = currency_word_at(text, length, false);
    if (word > 0)
        return word;
    if (length >= 3) {
        size_t capitals = 0;
        while (capitals < 3 && text[capitals] >= 'A' && text[capitals] <= 'Z')
            capitals++;
        if (capitals == 3)
            return 3;
    }
    if (length == 0)
        return 0;
    ucs4_t sign;
    int bytes = u8_mbtouc(&sign, (const uint8_t *)text, length);
    return bytes > 0 && uc_is_general_category(sign, UC_CURRENCY_SYMBOL) ? (size_t)bytes : 0;
}

static size_t currency_at_end(const char *text, size_t length)
{
    if (length >= 3 && currency_at_start(text + length - 3, 3) == 3)
        return 3;
    const size_t word = currency_word_at(text, length, true);
    if (word > 0)
        return word;
    for (size_t bytes = 1; bytes <= 4 && bytes <= length; bytes++)
        if (currency_at_start(text + length - bytes, bytes) == bytes)
            return bytes;
    return 0;
}

/* "12,-", "12.-" and "12,--" are whole amounts: the length without that. */
static size_t without_dashes(const char *text, size_t length)
{
    static const char en_dash[] = "\xE2\x80\x93";
    size_t left = length;
    if (left > 3 && memcmp(text + left - 3, en_dash, 3) == 0)
        left -= 3;
    else
        for (int k = 0; k < 2 && left > 1 && text[left - 1] == '-'; k++)
            left--;
    if (left == length || left < 2 || (text[left - 1] != ',' && text[left - 1] != '.'))
        return length;
    left--;
    for (size_t i = 0; i < left; i++)
        if (!is_digit(text[i]))
            return length;
    return left;
}

NumberStatus number_parse_money(const char *text, bool decimal_comma, int64_t *cents)
{
    size_t length = strlen(text);
    text = text_trim(text, &length);
    bool marked = currency_at_start(text, length) > 0;
    bool negative = false, sign_seen = false;
    if (!marked) { /* the sign may stand before the currency: -$3.50 */
        const char *after = text;
        size_t rest = length;
        bool minus = take_sign(&after, &rest);
        bool moved = rest < length;
        after = text_trim(after, &rest);
        if (moved && currency_at_start(after, rest) > 0) {
            negative = minus;
            sign_seen = true;
            text = after;
            length = rest;
            marked = true;
        }
    }
    if (marked) {
        size_t bytes = currency_at_start(text, length);
        length -= bytes;
        text = text_trim(text + bytes, &length);
        if (sign_seen && length > 0 && !is_digit(text[0]) && text[0] != '.')
            return NUMBER_NONE; /* two signs */
    } else {
        length -= currency_at_end(text, length);
        text = text_trim(text, &length);
    }
    length = without_dashes(text, length);
    int64_t value;
    NumberStatus status = parse_span(text, length, 2, decimal_comma, &value);
    if (decimal_comma && (status == NUMBER_OK || status == NUMBER_TOO_FINE) && number_may_be_thousands(text))
        return NUMBER_DOUBTFUL;
    if (status == NUMBER_OK)
        *cents = negative ? -value : value;
    return status;
}

static size_t digits_at(const char *text)
{
    return strspn(text, "0123456789");
}

size_t number_group_mark(const char *text)
{
    static const char *const mark[] = {" ", "\xC2\xA0",    "\xE2\x80\x89", "\xE2\x80\xAF",
                                       "'", "\xE2\x80\x99"}; /* blanks: plain, unbroken, thin, both */
    if (strchr(" '\xC2\xE2", text[0]) == NULL)
        return 0;
    for (size_t k = 0; k < sizeof mark / sizeof *mark; k++)
        if (strncmp(text, mark[k], strlen(mark[k])) == 0)
            return strlen(mark[k]);
    return 0;
}

bool number_has_thousands(const char *text)
{
    for (size_t at = strcspn(text, "0123456789"); text[at] != '\0'; at += strcspn(text + at, "0123456789")) {
        at += digits_at(text + at);
        const size_t mark = text[at] == '.' || text[at] == ',' ? 1 : number_group_mark(text + at);
        if (mark > 0 && digits_at(text + at + mark) == 3)
            return true;
    }
    return false;
}

bool number_may_be_thousands(const char *text)
{
    text += strcspn(text, "0123456789.,");
    const size_t whole = digits_at(text);
    if (whole < 1 || whole > 3 || text[0] == '0' || (text[whole] != '.' && text[whole] != ','))
        return false;
    const char *behind = text + whole + 1;
    return digits_at(behind) == 3 && strpbrk(behind + 3, "0123456789.,") == NULL;
}

const char *number_thousands_hint(char buffer[NUMBER_HINT], const char *text)
{
    text += strcspn(text, "0123456789");
    const int whole = (int)digits_at(text);
    snprintf(buffer, NUMBER_HINT, "%.*s%.3s (without a separator of thousands) or at most 2 decimals", whole, text,
             text + whole + 1);
    return buffer;
}

NumberStatus number_parse_percent(const char *text, int64_t *thousandths)
{
    size_t length = strlen(text);
    text = text_trim(text, &length);
    if (length == 0 || text[length - 1] != '%')
        return NUMBER_NONE;
    length--;
    text = text_trim(text, &length);
    return parse_span(text, length, 3, false, thousandths);
}

bool number_parse_gap(const char *text, int64_t *ppm)
{
    size_t length = strlen(text);
    if (length > 0 && text[length - 1] == '%')
        length--;
    text = text_trim(text, &length);
    int64_t found;
    if (parse_span(text, length, 4, false, &found) != NUMBER_OK || found < 0 || found > 1000000)
        return false;
    *ppm = found;
    return true;
}

char *number_format(char buffer[NUMBER_TEXT], int64_t value, int scale, int min_decimals)
{
    char digits[24];
    uint64_t size = value < 0 ? (uint64_t)0 - (uint64_t)value : (uint64_t)value;
    int count = snprintf(digits, sizeof digits, "%0*llu", scale + 1, (unsigned long long)size);
    int decimals = scale;
    while (decimals > min_decimals && digits[count - 1 - (scale - decimals)] == '0')
        decimals--;
    char *out = buffer;
    if (value < 0)
        *out++ = '-';
    memcpy(out, digits, (size_t)(count - scale));
    out += count - scale;
    if (decimals > 0)
        *out++ = '.';
    memcpy(out, digits + count - scale, (size_t)decimals);
    out += decimals;
    *out = '\0';
    return buffer;
}

int128 floor_div(int128 a, int128 b)
{
    int128 quotient = a / b;
    return a % b < 0 ? quotient - 1 : quotient;
}

int128 ceil_div(int128 a, int128 b)
{
    int128 quotient = a / b;
    return a % b > 0 ? quotient + 1 : quotient;
}

int128 round_div(int128 a, int128 b)
{
    int128 quotient = a / b, rest = a % b;
    int128 size = rest < 0 ? -rest : rest;
    if (size >= b - size) /* rest at least half of b, without doubling */
        return a < 0 ? quotient - 1 : quotient + 1;
    return quotient;
}

int64_t round_step(int64_t least)
{
    int64_t step = 1;
    for (int k = 0; step < least; k++)
        step = k % 3 == 1 ? step / 2 * 5 : step * 2;
    return step;
}

int64_t clamp64(int128 value)
{
    const int64_t limit = INT64_MAX / 4;
    return value > limit ? limit : value < -limit ? -limit : (int64_t)value;
}

int64_t gcd64(int64_t a, int64_t b)
{
    uint64_t x = a < 0 ? (uint64_t)0 - (uint64_t)a : (uint64_t)a;
    uint64_t y = b < 0 ? (uint64_t)0 - (uint64_t)b : (uint64_t)b;
    while (y != 0) {
        uint64_t rest = x % y;
        x = y;
        y = rest;
    }
    return (int64_t)x;
}
