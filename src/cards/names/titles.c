/* titles.c - see titles.h. */
#include "cards/names/titles.h"

#include <stdbool.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "cards/sheet/csv.h"
#include "cards/sheet/header_words.h"

#define CELLS_LEAST 2  /* of a line that names columns */
#define FIELDS_LEAST 3 /* where none of them is a word for names */

typedef struct {
    size_t cells, filled, fields;
    bool named; /* a cell is a word for names, or of a sheet of targets the first is `rule`, or another `all` */
    bool about; /* a cell has such a word among others: "nazwa karty" */
} LineLook;

static void look_at_cell(LineLook *look, const char *cell)
{
    bool known = false;
    for (int f = 0; f < HOLDS_FIELDS && cell[0] != '\0'; f++)
        known = known || header_is(cell, (ColumnField)f);
    look->filled += cell[0] != '\0';
    look->fields += known;
    const int named = cell[0] != '\0' ? header_names(cell, HOLDS_NAME) : 0;
    look->named = look->named || named == 100 || text_folds_to(cell, look->cells++ == 0 ? "rule" : "all");
    look->about = look->about || named > 0;
}

/* A word for names with anything beside it, or such a word among others with a word for another column; or words for
 * several others ("Bird", "colours", "power", "price"). */
static bool names_columns(const LineLook *look)
{
    return look->filled >= CELLS_LEAST &&
           (look->named || (look->about && look->fields >= CELLS_LEAST) || look->fields >= FIELDS_LEAST);
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

typedef struct {
    size_t filled;
    bool gap;  /* a blank field stands before a filled one, behind another */
    bool open; /* a quote that goes on below */
} LineFields;

/* The fields that `mark` parts: of "My list, May;;" one by semicolons, of "\"My list, May\",," by commas. */
static LineFields fields_of(const char *line, size_t length, char mark)
{
    LineFields fields = {0};
    bool blank = true, gap = false;
    for (size_t i = 0; i < length; i++) {
        if (line[i] == '"')
            fields.open = !fields.open;
        if (line[i] == mark && !fields.open) {
            gap = gap || (blank && fields.filled > 0);
            blank = true;
        } else if (blank && line[i] != ' ' && line[i] != '\t') {
            blank = false;
            fields.gap = fields.gap || gap;
            fields.filled++;
        }
    }
    return fields;
}

/* One text at most; or words for several columns each, "Card;;Values;;Money", as merged cells become in text. */
static bool is_title(const char *line, size_t length, char mark)
{
    const LineFields fields = fields_of(line, length, mark);
    return !fields.open && (fields.filled <= 1 || fields.gap);
}

static bool all_are_titles(const char *bytes, size_t start, size_t end, char mark)
{
    for (size_t at = start; at < end;) {
        const size_t size = strcspn(bytes + at, "\r\n");
        if (!is_title(bytes + at, size, mark))
            return false;
        at += size + 1;
    }
    return true;
}

static size_t next_line(const char *bytes, size_t at)
{
    at += strcspn(bytes + at, "\r\n");
    return at + (bytes[at] == '\r' && bytes[at + 1] == '\n' ? 2 : bytes[at] != '\0');
}

/* Do the cells of this line and of the one below name columns, with gaps in this one? */
static bool is_above_names(const char *bytes, size_t at, size_t length)
{
    const size_t below = next_line(bytes, at);
    if (below >= length || !fields_of(bytes + at, strcspn(bytes + at, "\r\n"), csv_separator(bytes, length, below)).gap)
        return false;
    const LineLook look = look_at(bytes + below, strcspn(bytes + below, "\r\n"));
    return names_columns(&look);
}

size_t titles_end(const char *bytes, size_t length, size_t start)
{
    size_t at = start;
    for (int line = 0; line < TITLE_LINES && at < length; line++, at = next_line(bytes, at)) {
        const LineLook look = look_at(bytes + at, strcspn(bytes + at, "\r\n"));
        if (is_above_names(bytes, at, length))
            continue;
        if (names_columns(&look))
            return all_are_titles(bytes, start, at, csv_separator(bytes, length, at)) ? at : start;
        if (look.named)
            return start;
    }
    return start;
}
