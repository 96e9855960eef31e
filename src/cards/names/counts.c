/* counts.c - see counts.h. */
#include "cards/names/counts.h"

#include <stdbool.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

/* Bytes of an x or a multiplication sign here, or 0. */
static size_t times_sign(const char *text, size_t length)
{
    if (length >= 1 && (text[0] == 'x' || text[0] == 'X'))
        return 1;
    return length >= 2 && memcmp(text, "\xC3\x97", 2) == 0 ? 2 : 0;
}

static size_t blanks_at(const char *text, size_t length)
{
    size_t count = 0;
    while (count < length && (text[count] == ' ' || text[count] == '\t'))
        count++;
    return count;
}

/* Digits here that are a number of copies, 1 to 1000; returns how many digits, 0: none. */
static size_t number_at(const char *text, size_t length, int *number)
{
    size_t digits = 0;
    int value = 0;
    while (digits < length && text[digits] >= '0' && text[digits] <= '9' && value <= COPIES_MAX)
        value = value * 10 + (text[digits++] - '0');
    if (digits == 0 || value < 1 || value > COPIES_MAX)
        return 0;
    *number = value;
    return digits;
}

/* "- ", "* " or a dot of a list. */
static size_t bullet(const char *text, size_t length)
{
    static const char *const mark[] = {"-", "*", "\xE2\x80\xA2", "\xE2\x80\x93"};
    for (size_t i = 0; i < sizeof mark / sizeof *mark; i++) {
        const size_t size = strlen(mark[i]);
        if (length > size && strncmp(text, mark[i], size) == 0 && blanks_at(text + size, length - size) > 0)
            return size + blanks_at(text + size, length - size);
    }
    return 0;
}

/* "3 ", "3x ", "3 x "; a number without a blank behind it is part of the name. */
static size_t leading_count(const char *text, size_t length, int *copies)
{
    int number = 0;
    size_t at = number_at(text, length, &number);
    if (at == 0)
        return 0;
    size_t blanks = blanks_at(text + at, length - at), sign = times_sign(text + at + blanks, length - at - blanks);
    if (sign > 0) {
        const size_t behind = at + blanks + sign, gap = blanks_at(text + behind, length - behind);
        if (gap > 0 && behind + gap < length) {
            *copies = number;
            return behind + gap;
        }
    }
    if (blanks == 0 || at + blanks == length)
        return 0;
    *copies = number;
    return at + blanks;
}

/* " x3", " ×3", " 3x" at the end: the length without it, or the length. */
static size_t without_trailing_count(const char *text, size_t length, int *copies)
{
    size_t start = length;
    while (start > 0 && text[start - 1] != ' ')
        start--;
    if (start < 2 || start == length)
        return length;
    const char *word = text + start;
    const size_t size = length - start, sign = times_sign(word, size);
    int number = 0;
    const size_t digits = number_at(word + sign, size - sign, &number);
    const bool before = sign > 0 && digits > 0 && sign + digits == size;
    const bool behind =
        sign == 0 && digits > 0 && digits < size && digits + times_sign(word + digits, size - digits) == size;
    if (!before && !behind)
        return length;
    *copies = number;
    while (start > 0 && text[start - 1] == ' ')
        start--;
    return start;
}

const char *listed_name(const char *text, size_t *length, int *copies)
{
    *copies = 1;
    size_t left = strlen(text);
    const char *start = text_trim(text, &left);
    size_t skip = bullet(start, left);
    skip += leading_count(start + skip, left - skip, copies);
    start += skip;
    left -= skip;
    if (*copies == 1)
        left = without_trailing_count(start, left, copies);
    *length = left;
    return start;
}

/* "(3)", "(x3)", "(3x)" at the end: the length of what stands before it, or 0. */
static size_t before_bracket(const char *text, size_t length, int *copies)
{
    size_t open = length;
    while (open > 0 && text[open - 1] != '(')
        open--;
    if (open < 2 || text[length - 1] != ')')
        return 0;
    char inner[16];
    const size_t size = length - 1 - open;
    int number = 0;
    if (size == 0 || size >= sizeof inner)
        return 0;
    memcpy(inner, text + open, size);
    inner[size] = '\0';
    const int counted = counted_copies(inner);
    if (counted < 1 && number_at(inner, size, &number) != size)
        return 0;
    *copies = counted >= 1 ? counted : number;
    for (open--; open > 0 && text[open - 1] == ' ';)
        open--;
    return open;
}

const char *name_with_count(const char *text, size_t *length, int *copies)
{
    const char *start = listed_name(text, length, copies);
    const size_t before = *copies == 1 ? before_bracket(start, *length, copies) : 0;
    *length = before > 0 ? before : *length;
    return start;
}

/* "pcs", "Stk." and the like. */
static bool means_pieces(const char *word)
{
    static const char *const pieces[] = {"pc",    "pcs", "pc.", "pcs.", "stk", "stk.",
                                         "stuck", "st.", "ks",  "szt",  "szt."};
    char *text = text_fold(word);
    bool found = false;
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces && !found; i++)
        found = strcmp(text, pieces[i]) == 0;
    mem_free(text);
    return found;
}

int counted_copies(const char *text)
{
    size_t length = strlen(text);
    const char *start = text_trim(text, &length);
    int number = -1;
    size_t at = times_sign(start, length);
    const bool before = at > 0;
    at += blanks_at(start + at, length - at);
    const size_t digits = number_at(start + at, length - at, &number);
    if (digits == 0)
        return -1;
    at += digits;
    if (before)
        return at == length ? number : -1;
    at += blanks_at(start + at, length - at);
    const size_t sign = times_sign(start + at, length - at);
    return (sign > 0 && at + sign == length) || means_pieces(start + at) ? number : -1;
}
