/* wrap.c - see wrap.h. */
#include "report/layout/wrap.h"

#include <string.h>

#include "base/memory.h"

/* Columns of so many bytes; escape sequences (ESC [ ... m) take none. */
static size_t columns_of(const char *line, size_t length)
{
    char *plain = mem_strndup(line, length);
    size_t to = 0;
    for (size_t at = 0; at < length; at++) {
        if (plain[at] == '\033') {
            while (at < length && plain[at] != 'm')
                at++;
            continue;
        }
        plain[to++] = plain[at];
    }
    plain[to] = '\0';
    const size_t columns = text_width(plain);
    mem_free(plain);
    return columns;
}

/* Where the text of a list begins: behind the first gap of two blanks or more, in the line's first half; else where the
 * line's own text begins. */
static size_t hang_of(const char *line, size_t length, size_t width)
{
    const size_t indent = strspn(line, " ");
    for (size_t at = indent; at + 2 < length; at++) {
        if (line[at] != ' ' || line[at + 1] != ' ')
            continue;
        const size_t text = at + strspn(line + at, " ");
        const size_t column = text < length ? columns_of(line, text) : width;
        return column <= width / 2 ? column : indent;
    }
    return indent;
}

/* Bytes of the line's first piece that has at most `width` columns and ends before a blank; at least one word. */
static size_t piece_of(const char *line, size_t length, size_t width)
{
    size_t end = 0;
    for (size_t at = 0; at <= length; at++) {
        if (at < length && (line[at] != ' ' || at == 0))
            continue;
        if (end > 0 && columns_of(line, at) > width)
            break;
        end = at;
        while (at < length && line[at] == ' ')
            at++;
    }
    return end;
}

static void wrap_line(Text *out, const char *line, size_t length, size_t width)
{
    const size_t hang = hang_of(line, length, width);
    size_t blanks = strspn(line, " ");
    line += blanks;
    length -= blanks;
    while (length > 0) {
        const size_t room = width > blanks ? width - blanks : 1;
        const size_t piece = columns_of(line, length) <= room ? length : piece_of(line, length, room);
        text_printf(out, "%*s", (int)blanks, "");
        text_add_n(out, line, piece);
        text_add_char(out, '\n');
        const size_t next = piece + strspn(line + piece, " ");
        length = next < length ? length - next : 0;
        line += next;
        blanks = hang;
    }
}

void wrap_lines(Text *text, int width)
{
    if (width <= 0 || text->length == 0)
        return;
    Text out = {0};
    const char *at = text_cstr(text), *end = at + text->length;
    while (at < end) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        const size_t length = stop != NULL ? (size_t)(stop - at) : (size_t)(end - at);
        if (columns_of(at, length) > (size_t)width)
            wrap_line(&out, at, length, (size_t)width);
        else {
            text_add_n(&out, at, length);
            if (stop != NULL)
                text_add_char(&out, '\n');
        }
        at += length + (stop != NULL);
    }
    text_release(text);
    *text = out;
}
