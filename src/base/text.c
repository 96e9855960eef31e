/* text.c - UTF-8 text.
 *
 * Folding (the form by which names are matched) is: full case folding and compatibility decomposition (Unicode
 * Standard, sections 3.13 and 3.11, by libunistring); then accents are dropped, letters that Unicode does not decompose
 * are replaced by a table, invisible characters are dropped, and runs of blanks become one space. Accents are the marks
 * of combining class 1 (overlays) and 200 and above (attached, below, above). Marks of other classes are part of the
 * letter in their scripts (vowel signs, voiced kana) and stay. */
#include "base/text.h"

#include <errno.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <ctype.h>
#include <string.h>
#include <unicase.h>
#include <unictype.h>
#include <uninorm.h>
#include <unistr.h>
#include <uniwidth.h>

void text_release(Text *text)
{
    mem_free(text->data);
    *text = (Text){0};
}

const char *text_cstr(const Text *text)
{
    return text->data == NULL ? "" : text->data;
}

void text_add_n(Text *text, const char *piece, size_t length)
{
    mem_reserve((void **)&text->data, &text->capacity, text->length + length + 1, 1);
    if (length > 0)
        memcpy(text->data + text->length, piece, length);
    text->length += length;
    text->data[text->length] = '\0';
}

bool text_is_merge_mark(const char *line)
{
    return strncmp(line, "<<<<<<< ", strlen("<<<<<<< ")) == 0;
}

void text_clear(Text *text)
{
    text->length = 0;
    if (text->data != NULL)
        text->data[0] = '\0';
}

void text_add(Text *text, const char *piece)
{
    text_add_n(text, piece, strlen(piece));
}

void text_add_char(Text *text, char c)
{
    text_add_n(text, &c, 1);
}

void text_add_base64(Text *text, const void *bytes, size_t length)
{
    static const char sign[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const unsigned char *at = bytes;
    for (size_t k = 0; k < length; k += 3) {
        const unsigned second = k + 1 < length ? at[k + 1] : 0, third = k + 2 < length ? at[k + 2] : 0;
        const unsigned all = (unsigned)at[k] << 16 | second << 8 | third;
        const char four[4] = {sign[all >> 18], sign[all >> 12 & 63], k + 1 < length ? sign[all >> 6 & 63] : '=',
                              k + 2 < length ? sign[all & 63] : '='};
        text_add_n(text, four, 4);
    }
}

void text_printf(Text *text, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    text_vprintf(text, format, list);
    va_end(list);
}

void text_vprintf(Text *text, const char *format, va_list list)
{
    va_list again;
    va_copy(again, list);
    int length = vsnprintf(NULL, 0, format, list);
    if (length < 0)
        mem_exhausted();
    mem_reserve((void **)&text->data, &text->capacity, text->length + (size_t)length + 1, 1);
    vsnprintf(text->data + text->length, (size_t)length + 1, format, again);
    va_end(again);
    text->length += (size_t)length;
}

static bool is_ascii_blank(char c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

/* Length in bytes of the blank at the start of s, or 0. */
static size_t blank_at(const char *s, size_t length)
{
    if (length == 0)
        return 0;
    if ((unsigned char)s[0] < 0x80)
        return is_ascii_blank(s[0]) ? 1 : 0;
    ucs4_t c;
    int bytes = u8_mbtoucr(&c, (const uint8_t *)s, length);
    if (bytes <= 0)
        return 0;
    return uc_is_property_white_space(c) || c == 0xFEFF ? (size_t)bytes : 0;
}

const char *text_trim(const char *s, size_t *length)
{
    size_t blank;
    while ((blank = blank_at(s, *length)) > 0) {
        s += blank;
        *length -= blank;
    }
    while (*length > 0) {
        size_t start = *length - 1; /* of the last character */
        while (start > 0 && *length - start < 4 && ((unsigned char)s[start] & 0xC0) == 0x80)
            start--;
        if (blank_at(s + start, *length - start) != *length - start)
            break;
        *length = start;
    }
    return s;
}

const char *text_part(const char **rest, const char *marks, size_t *length)
{
    if (**rest == '\0')
        return NULL;
    const char *start = *rest;
    *length = strcspn(start, marks);
    *rest += *length + (start[*length] != '\0');
    return text_trim(start, length);
}

typedef struct {
    uint16_t letter;
    const char *plain;
} PlainLetter;

/* Letters (after case folding) that Unicode does not decompose, ascending; and the quotes and hyphens that spreadsheets
 * put in for the plain ones. */
static const PlainLetter plain_letter[] = {
    {0x00E6, "ae"}, {0x00F0, "d"}, {0x00F8, "o"}, {0x00FE, "th"}, {0x0111, "d"},  {0x0127, "h"}, {0x0131, "i"},
    {0x0138, "k"},  {0x0142, "l"}, {0x014B, "n"}, {0x0153, "oe"}, {0x0167, "t"},  {0x0180, "b"}, {0x0188, "c"},
    {0x0192, "f"},  {0x0199, "k"}, {0x019A, "l"}, {0x01A5, "p"},  {0x01AD, "t"},  {0x01B4, "y"}, {0x01B6, "z"},
    {0x01E5, "g"},  {0x0221, "d"}, {0x0234, "l"}, {0x0235, "n"},  {0x0236, "t"},  {0x023C, "c"}, {0x0247, "e"},
    {0x0249, "j"},  {0x024D, "r"}, {0x024F, "y"}, {0x0253, "b"},  {0x0256, "d"},  {0x0257, "d"}, {0x0260, "g"},
    {0x0268, "i"},  {0x026B, "l"}, {0x0275, "o"}, {0x0289, "u"},  {0x02BC, "'"},  {0x1D7D, "p"}, {0x2010, "-"},
    {0x2018, "'"},  {0x2019, "'"}, {0x201B, "'"}, {0x201C, "\""}, {0x201D, "\""}, {0x2C65, "a"}, {0x2C66, "t"},
};

static int compare_letter(const void *key, const void *item)
{
    ucs4_t c = *(const ucs4_t *)key;
    uint16_t letter = ((const PlainLetter *)item)->letter;
    return c < letter ? -1 : c > letter;
}

static const char *plain_form(ucs4_t c)
{
    const PlainLetter *found =
        bsearch(&c, plain_letter, sizeof plain_letter / sizeof *plain_letter, sizeof *plain_letter, compare_letter);
    return found == NULL ? NULL : found->plain;
}

static bool is_accent(ucs4_t c)
{
    int class = uc_combining_class(c);
    return class == 1 || class >= 200;
}

static bool is_invisible(ucs4_t c)
{
    return c == 0x00AD || (c >= 0x200B && c <= 0x200D) || c == 0x2060 || c == 0xFEFF;
}

/* Appends one folded character; blanks wait in *gap so that outer ones vanish and inner runs become one space. */
static size_t fold_put(char *out, size_t at, bool *gap, const char *piece, size_t length)
{
    if (*gap && at > 0)
        out[at++] = ' ';
    *gap = false;
    memcpy(out + at, piece, length);
    return at + length;
}

static char *fold_unicode(const char *text, size_t length)
{
    /* Decomposed before and after: case folding does not reach the letters inside a compatibility character. */
    size_t plain_length = 0, folded_length = 0;
    uint8_t *decomposed = u8_normalize(UNINORM_NFKD, (const uint8_t *)text, length, NULL, &plain_length);
    uint8_t *folded =
        decomposed == NULL ? NULL : u8_casefold(decomposed, plain_length, NULL, UNINORM_NFKD, NULL, &folded_length);
    free(decomposed); /* libunistring's own allocation */
    if (folded == NULL) {
        if (errno == ENOMEM)
            mem_exhausted();
        return mem_strndup(text, length);
    }
    /* No replacement is longer than the letter it replaces; a waiting gap takes the place of its blank. */
    char *out = mem_new(folded_length + 1, 1);
    size_t at = 0;
    bool gap = false;
    for (size_t i = 0; i < folded_length;) {
        ucs4_t c;
        int bytes = u8_mbtouc(&c, folded + i, folded_length - i);
        const char *piece = (const char *)folded + i;
        i += (size_t)bytes;
        if (is_accent(c) || is_invisible(c))
            continue;
        if (uc_is_property_white_space(c)) {
            gap = true;
            continue;
        }
        const char *plain = c < 0x80 ? NULL : plain_form(c);
        at = fold_put(out, at, &gap, plain == NULL ? piece : plain, plain == NULL ? (size_t)bytes : strlen(plain));
    }
    free(folded); /* libunistring's own allocation */
    out[at] = '\0';
    return out;
}

char *text_fold(const char *text)
{
    size_t length = strlen(text);
    bool ascii = true;
    for (size_t i = 0; i < length && ascii; i++)
        ascii = (unsigned char)text[i] < 0x80;
    if (!ascii)
        return fold_unicode(text, length);
    char *out = mem_new(length + 1, 1);
    size_t at = 0;
    bool gap = false;
    for (size_t i = 0; i < length; i++) {
        char c = text[i];
        if (is_ascii_blank(c)) {
            gap = true;
            continue;
        }
        if (c >= 'A' && c <= 'Z')
            c = (char)(c - 'A' + 'a');
        at = fold_put(out, at, &gap, &c, 1);
    }
    out[at] = '\0';
    return out;
}

const char *text_fold_in(Arena *arena, const char *text)
{
    char *folded = text_fold(text);
    const char *copy = arena_strdup(arena, folded);
    mem_free(folded);
    return copy;
}

bool text_folds_to(const char *text, const char *folded)
{
    char *mine = text_fold(text);
    const bool same = strcmp(mine, folded) == 0;
    mem_free(mine);
    return same;
}

bool text_ends_with(const char *text, const char *ending)
{
    const size_t length = strlen(text), tail = strlen(ending);
    return length >= tail && strcmp(text + length - tail, ending) == 0;
}

long text_find(const char *word, const char *const *words, size_t count)
{
    long found = -1;
    char *folded = text_fold(word);
    for (size_t i = 0; i < count && found < 0; i++)
        if (text_folds_to(words[i], folded))
            found = (long)i;
    mem_free(folded);
    return found;
}

const char *text_list(Arena *arena, const char *const *words, size_t count)
{
    Text list = {0};
    for (size_t i = 0; i < count; i++)
        text_printf(&list, "%s%s", i > 0 ? ", " : "", words[i]);
    const char *copy = arena_strdup(arena, text_cstr(&list));
    text_release(&list);
    return copy;
}

const char *text_shell_word(Arena *arena, const char *word)
{
    bool plain = word[0] != '\0', doubles = true;
    for (const char *at = word; *at != '\0'; at++) {
        plain =
            plain && ((unsigned char)*at >= 0x80 || isalnum((unsigned char)*at) || strchr("_-./,+:@%", *at) != NULL);
        doubles = doubles && strchr("\"$`\\!", *at) == NULL;
    }
    if (plain)
        return arena_strdup(arena, word);
    if (doubles)
        return arena_printf(arena, "\"%s\"", word);
    Text quoted = {0};
    text_add_char(&quoted, '\'');
    for (const char *at = word; *at != '\0'; at++)
        if (*at == '\'')
            text_add(&quoted, "'\\''");
        else
            text_add_char(&quoted, *at);
    text_add_char(&quoted, '\'');
    const char *copy = arena_strdup(arena, text_cstr(&quoted));
    text_release(&quoted);
    return copy;
}

/* Width of one character; control characters take none. */
static size_t character_width(ucs4_t c)
{
    int width = uc_width(c, "UTF-8");
    return width < 0 ? 0 : (size_t)width;
}

static size_t measure(const char *text, size_t limit, size_t *width)
{
    size_t length = strlen(text), at = 0;
    *width = 0;
    while (at < length) {
        ucs4_t c;
        int bytes = u8_mbtouc(&c, (const uint8_t *)text + at, length - at);
        size_t more = c >= 0x20 && c < 0x7F ? 1 : character_width(c);
        if (more > limit - *width)
            break;
        *width += more;
        at += (size_t)bytes;
    }
    return at;
}

size_t text_width(const char *text)
{
    size_t width;
    measure(text, SIZE_MAX, &width);
    return width;
}

size_t text_prefix(const char *text, size_t width)
{
    size_t taken;
    return measure(text, width, &taken);
}

size_t text_utf8_error(const char *bytes, size_t length)
{
    const char *nul = length == 0 ? NULL : memchr(bytes, '\0', length);
    size_t end = nul == NULL ? length : (size_t)(nul - bytes);
    const uint8_t *bad = u8_check((const uint8_t *)bytes, end);
    return bad == NULL ? end : (size_t)((const char *)bad - bytes);
}

/* Bytes 0x80 to 0x9F of Windows-1252 (the Unicode Consortium's mapping table CP1252.TXT); 0: no meaning. The others are
 * the characters of the same number. */
static const uint16_t windows_1252[32] = {
    0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017D, 0,      0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178,
};

char *text_from_windows_1252(const char *bytes, size_t length, size_t *bad)
{
    Text text = {0};
    text_add_n(&text, "", 0);
    for (size_t i = 0; i < length; i++) {
        unsigned char byte = (unsigned char)bytes[i];
        ucs4_t c = byte >= 0x80 && byte < 0xA0 ? windows_1252[byte - 0x80] : byte;
        if (c == 0) {
            *bad = i;
            text_release(&text);
            return NULL;
        }
        uint8_t encoded[6];
        int count = u8_uctomb(encoded, c, sizeof encoded);
        text_add_n(&text, (const char *)encoded, (size_t)count);
    }
    return text.data;
}

/* The Unicode Standard, 3.9, D91: a character beyond 0xFFFF is two units, 0xD800 to 0xDBFF, then 0xDC00 to 0xDFFF. */
bool text_from_utf16(const char *bytes, size_t length, bool big_endian, Text *text)
{
    uint32_t high = 0;
    for (size_t i = 0; i + 1 < length; i += 2) {
        const unsigned char first = (unsigned char)bytes[i], second = (unsigned char)bytes[i + 1];
        const uint32_t unit = big_endian ? first * 256u + second : second * 256u + first;
        if ((high != 0) != (unit >= 0xDC00 && unit < 0xE000))
            return false;
        if (unit >= 0xD800 && unit < 0xDC00) {
            high = unit;
            continue;
        }
        uint8_t encoded[6];
        const ucs4_t c = high == 0 ? unit : 0x10000 + ((high - 0xD800) << 10) + (unit - 0xDC00);
        text_add_n(text, (const char *)encoded, (size_t)u8_uctomb(encoded, c, sizeof encoded));
        high = 0;
    }
    return high == 0 && length % 2 == 0;
}

size_t text_character(const char *text)
{
    size_t size = 1;
    while (((unsigned char)text[size] & 0xC0) == 0x80)
        size++;
    return size;
}

size_t text_characters(const char *text, size_t bytes)
{
    size_t characters = 0;
    for (size_t i = 0; i < bytes; i++)
        if (((unsigned char)text[i] & 0xC0) != 0x80)
            characters++;
    return characters;
}

const char *text_excerpt(char buffer[TEXT_EXCERPT], const char *text)
{
    const size_t columns = 40, room = TEXT_EXCERPT - sizeof "...";
    size_t length = text_prefix(text, columns);
    bool cut = text[length] != '\0';
    if (cut)
        length = text_prefix(text, columns - 3);
    if (length > room) { /* many combining marks: cut before a character */
        cut = true;
        for (length = room; length > 0 && ((unsigned char)text[length] & 0xC0) == 0x80;)
            length--;
    }
    for (size_t i = 0; i < length; i++)
        buffer[i] = (unsigned char)text[i] < 0x20 || text[i] == 0x7F ? ' ' : text[i];
    strcpy(buffer + length, cut ? "..." : "");
    return buffer;
}
