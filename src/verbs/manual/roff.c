/* roff.c - see roff.h. A backslash begins an escape; a point or an apostrophe at the start of a line a request;
 * hyphens, quotes, carets and tildes become others unless they are named. mandoc_char(7) and groff_char(7) have the
 * names. */
#include "verbs/manual/roff.h"

#include <ctype.h>
#include <stdint.h>
#include <string.h>

#define LINE_MOST 76

static uint32_t character(const char *text, size_t length)
{
    const unsigned char *byte = (const unsigned char *)text;
    if (length == 1)
        return byte[0];
    uint32_t code = byte[0] & (0x7Fu >> length);
    for (size_t k = 1; k < length; k++)
        code = code << 6 | (byte[k] & 0x3Fu);
    return code;
}

/* One character; returns its bytes. */
static size_t add_character(Text *out, const char *text, bool typed)
{
    const size_t length = text_character(text);
    switch (*text) {
    case '\\': text_add(out, "\\(rs"); return 1;
    case '\'': text_add(out, "\\(aq"); return 1;
    case '`': text_add(out, "\\(ga"); return 1;
    case '"': text_add(out, "\\(dq"); return 1;
    case '^': text_add(out, "\\(ha"); return 1;
    case '~': text_add(out, "\\(ti"); return 1;
    case '-': text_add(out, typed ? "\\-" : "-"); return 1;
    default: break;
    }
    if (length == 1)
        text_add_char(out, *text);
    else
        text_printf(out, "\\[u%04X]", (unsigned)character(text, length));
    return length;
}

static void add(Text *out, const char *text, size_t length, bool typed)
{
    if (length > 0 && *text == '.')
        text_add(out, "\\&");
    for (const char *end = text + length; text < end;)
        text += add_character(out, text, typed);
}

void roff_typed(Text *out, const char *text, size_t length)
{
    add(out, text, length, true);
}

static void add_bold(Text *out, const char *text, size_t length)
{
    text_add(out, "\\fB");
    add(out, text, length, true);
    text_add(out, "\\fR");
}

/* "--cap", "-o": how much of the word it is; 0: it is none. */
static size_t option_length(const char *word, size_t length)
{
    const size_t dashes = strspn(word, "-");
    size_t end = dashes;
    while (end < length && (isalnum((unsigned char)word[end]) || (word[end] == '-' && end > 0)))
        end++;
    return dashes >= 1 && dashes <= 2 && end > dashes ? end : 0;
}

static void add_word(Text *out, const char *word, size_t length)
{
    const size_t before = strspn(word, "(\"'");
    if (before < length && word[before] == '-') {
        const size_t option = option_length(word + before, length - before);
        add(out, word, option > 0 ? before : 0, false);
        if (option > 0)
            add_bold(out, word + before, option);
        word += option > 0 ? before + option : 0;
        length -= option > 0 ? before + option : 0;
    }
    add(out, word, length, false);
}

/* Where the next piece ends that no line's end may part: a blank outside of `quotes`. */
static size_t piece_length(const char *at)
{
    size_t length = 0;
    for (bool quoted = false; at[length] != '\0' && (quoted || (at[length] != ' ' && at[length] != '\n')); length++)
        quoted = quoted != (at[length] == '`');
    return length;
}

static void add_piece(Text *out, const char *at, size_t length)
{
    for (const char *end = at + length; at < end;) {
        const char *open = memchr(at, '`', (size_t)(end - at));
        const char *close = open == NULL ? NULL : memchr(open + 1, '`', (size_t)(end - open - 1));
        add_word(out, at, (size_t)((close == NULL ? end : open) - at));
        if (close != NULL)
            add_bold(out, open + 1, (size_t)(close - open - 1));
        at = close == NULL ? end : close + 1;
    }
}

static bool ends_sentence(const char *at, size_t length)
{
    return length > 1 && strchr(".?!", at[length - 1]) != NULL && at[length - 2] != '.';
}

/* Pieces with blanks between, in lines of a length that is easy to read; *column: how much of the line is there. */
static void add_to_line(Text *out, size_t *column, const Text *piece)
{
    const bool begins = *column > 0 && *column + 1 + piece->length > LINE_MOST;
    if (*column > 0)
        text_add_char(out, begins ? '\n' : ' ');
    text_add(out, text_cstr(piece));
    *column = (begins || *column == 0 ? 0 : *column + 1) + piece->length;
}

void roff_paragraph(Text *out, const char *text)
{
    size_t column = 0;
    for (size_t length; text += strspn(text, " \n"), (length = piece_length(text)) > 0; text += length) {
        Text piece = {0};
        add_piece(&piece, text, length);
        add_to_line(out, &column, &piece);
        if (ends_sentence(text, length)) {
            text_add_char(out, '\n');
            column = 0;
        }
        text_release(&piece);
    }
    if (column > 0)
        text_add_char(out, '\n');
}

void roff_command(Text *out, const char *text, size_t length)
{
    size_t column = 0;
    for (const char *end = text + length; text < end;) {
        const char *blank = memchr(text, ' ', (size_t)(end - text));
        const char *word_end = blank == NULL ? end : blank;
        Text piece = {0};
        roff_typed(&piece, text, (size_t)(word_end - text));
        add_to_line(out, &column, &piece);
        text_release(&piece);
        text = blank == NULL ? end : blank + 1;
    }
    text_add_char(out, '\n');
}

/* A word of a usage line: letters, digits, and hyphens and points within it. */
static size_t usage_word(const char *at)
{
    size_t length = strspn(at, "-");
    while (isalnum((unsigned char)at[length]) ||
           (length > 0 && (at[length] == '-' || at[length] == '.') && isalnum((unsigned char)at[length + 1])))
        length++;
    return length;
}

void roff_usage(Text *out, const char *text)
{
    while (*text != '\0') {
        const size_t length = usage_word(text);
        const bool stands_for = isupper((unsigned char)*text) || strncmp(text, "options", length) == 0;
        if (length == 0) {
            const size_t one = text_character(text);
            add(out, text, one, true);
            text += one;
        } else if (stands_for) {
            text_add(out, "\\fI");
            add(out, text, length, true);
            text_add(out, "\\fR");
        } else
            add_bold(out, text, length);
        text += length;
    }
}
