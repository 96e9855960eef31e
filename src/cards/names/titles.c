/* titles.c - see titles.h. */
#include "cards/names/titles.h"

#include <stdbool.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "cards/sheet/header_words.h"

#define LINES_MOST 10 /* looked at */
#define CELLS_LEAST 2 /* of a line that names columns */

typedef struct {
    size_t filled;
    bool named, counts_as_header; /* named: a cell is a word for names */
} LineLook;

/* The cells of a line, whichever mark parts them. */
static LineLook look_at(const char *line, size_t length)
{
    LineLook look = {0};
    size_t fields = 0;
    for (size_t at = 0; at <= length;) {
        size_t size = 0;
        while (at + size < length && strchr(",;\t", line[at + size]) == NULL)
            size++;
        size_t left = size;
        const char *start = text_trim(line + at, &left);
        if (left >= 2 && start[0] == '"' && start[left - 1] == '"') {
            start++;
            left -= 2;
        }
        char *cell = mem_strndup(start, left);
        bool known = false;
        for (int f = 0; f < HOLDS_FIELDS && left > 0; f++)
            known = known || header_names(cell, (ColumnField)f) == 100;
        look.filled += left > 0;
        fields += known;
        look.named = look.named || (left > 0 && header_names(cell, HOLDS_NAME) == 100);
        mem_free(cell);
        at += size + 1;
    }
    look.counts_as_header = look.filled >= CELLS_LEAST && look.named && fields >= CELLS_LEAST;
    return look;
}

size_t titles_end(const char *bytes, size_t length, size_t start)
{
    size_t at = start;
    for (int line = 0; line < LINES_MOST && at < length; line++) {
        const size_t size = strcspn(bytes + at, "\r\n");
        const LineLook look = look_at(bytes + at, size);
        if (look.counts_as_header)
            return line == 0 ? start : at;
        if (look.filled > 1 || look.named || memchr(bytes + at, '"', size) != NULL)
            return start;
        at += size;
        at += bytes[at] == '\r' && bytes[at + 1] == '\n' ? 2 : bytes[at] != '\0';
    }
    return start;
}
