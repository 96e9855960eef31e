/* titles.c - see titles.h. */
#include "cards/names/titles.h"

#include <stdbool.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "cards/sheet/csv.h"
#include "cards/sheet/header_words.h"

#define CELLS_LEAST 2 /* of a line that names columns */

typedef struct {
    size_t filled, fields;
    bool named; /* a cell is a word for names */
    bool about; /* a cell has such a word among others: "nazwa karty" */
} LineLook;

static void look_at_cell(LineLook *look, const char *cell)
{
    bool known = false;
    for (int f = 0; f < HOLDS_FIELDS && cell[0] != '\0'; f++)
        known = known || header_names(cell, (ColumnField)f) == 100;
    look->filled += cell[0] != '\0';
    look->fields += known;
    const int named = cell[0] != '\0' ? header_names(cell, HOLDS_NAME) : 0;
    look->named = look->named || named == 100;
    look->about = look->about || named > 0;
}

static bool names_columns(const LineLook *look)
{
    return look->filled >= CELLS_LEAST && look->about && look->fields >= CELLS_LEAST;
}

bool titles_names_columns(const char *const *cell, size_t cells)
{
    LineLook look = {0};
    for (size_t k = 0; k < cells; k++)
        look_at_cell(&look, cell[k]);
    return names_columns(&look);
}

/* The cells of a line, whichever mark parts them. */
static LineLook look_at(const char *line, size_t length)
{
    LineLook look = {0};
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
        look_at_cell(&look, cell);
        mem_free(cell);
        at += size + 1;
    }
    return look;
}

/* One text at most, where `mark` parts the fields: of "My list, May;;" one by semicolons, of "\"My list, May\",," by
 * commas. A quote that the line leaves open goes on below, so the line is no title. */
static bool holds_one_text(const char *line, size_t length, char mark)
{
    size_t filled = 0;
    bool quoted = false, blank = true;
    for (size_t i = 0; i < length; i++) {
        if (line[i] == '"')
            quoted = !quoted;
        if (line[i] == mark && !quoted) {
            blank = true;
        } else if (blank && line[i] != ' ' && line[i] != '\t') {
            blank = false;
            filled++;
        }
    }
    return filled <= 1 && !quoted;
}

static bool all_are_titles(const char *bytes, size_t start, size_t end, char mark)
{
    for (size_t at = start; at < end;) {
        const size_t size = strcspn(bytes + at, "\r\n");
        if (!holds_one_text(bytes + at, size, mark))
            return false;
        at += size + 1;
    }
    return true;
}

size_t titles_end(const char *bytes, size_t length, size_t start)
{
    size_t at = start;
    for (int line = 0; line < TITLE_LINES && at < length; line++) {
        const size_t size = strcspn(bytes + at, "\r\n");
        const LineLook look = look_at(bytes + at, size);
        if (names_columns(&look))
            return all_are_titles(bytes, start, at, csv_separator(bytes, length, at)) ? at : start;
        if (look.named)
            return start;
        at += size;
        at += bytes[at] == '\r' && bytes[at + 1] == '\n' ? 2 : bytes[at] != '\0';
    }
    return start;
}
