/* table.c - aligned tables. A column with nothing but its header is left out. Where the screen is narrower than the
 * table, spare columns are left out, the rightmost first; then texts that may be cut are; then the widest columns of
 * text are narrowed, and their cells go on in further lines, broken at blanks or behind a '/' or '+'; where that is not
 * enough, the headers over numbers likewise, and at last text inside its words. Numbers are never broken: a table that
 * does not fit in spite of all that stays as it is. */
#include "report/layout/table.h"

#include <stdarg.h>
#include <stdint.h>
#include <string.h>

#include "base/memory.h"

#define NARROWEST 8  /* columns of text are not made narrower than this */
#define CUT_LEAST 22 /* nor is text cut shorter than this */
#define LEFT_OUT SIZE_MAX
#define CUT_MARK "..."

struct Table {
    Arena *arena;
    const char *align;
    size_t columns;
    const char **cell;
    size_t cells, capacity;
    bool has_header;
};

void style_heading(Text *out, const Style *style, const char *heading)
{
    text_printf(out, style->colour ? "\n\033[1m%s\033[0m\n" : "\n%s\n", heading);
}

Table *table_new(const char *align, const char *const *header)
{
    Table *table = mem_new(1, sizeof *table);
    table->arena = arena_new();
    table->align = arena_strdup(table->arena, align);
    table->columns = strlen(align);
    table->has_header = header != NULL;
    for (size_t c = 0; header != NULL && c < table->columns; c++)
        table_add(table, header[c]);
    return table;
}

void table_free(Table *table)
{
    if (table == NULL)
        return;
    mem_free(table->cell);
    arena_free(table->arena);
    mem_free(table);
}

/* The cell is in the table's arena. */
static void keep_cell(Table *table, const char *cell)
{
    mem_reserve((void **)&table->cell, &table->capacity, table->cells + 1, sizeof *table->cell);
    table->cell[table->cells++] = cell;
}

void table_add(Table *table, const char *cell)
{
    keep_cell(table, arena_strdup(table->arena, cell));
}

void table_addf(Table *table, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    keep_cell(table, arena_vprintf(table->arena, format, list));
    va_end(list);
}

size_t table_rows(const Table *table)
{
    size_t rows = table->cells / table->columns;
    return table->has_header ? rows - 1 : rows;
}

static void add_blanks(Text *out, size_t count)
{
    while (count-- > 0)
        text_add_char(out, ' ');
}

/* A line may end behind this: a blank, or a joint of paths and colours. */
static bool may_break(char c)
{
    return c == ' ' || c == '/' || c == '+';
}

static bool in_number(char c)
{
    return (c >= '0' && c <= '9') || c == '.' || c == ',';
}

/* Where a word is broken that ends behind `end` bytes: before a number, not inside it, or line 10 would read as line 1.
 */
static size_t before_number(const char *text, size_t end)
{
    size_t begin = end;
    while (begin > 0 && in_number(text[begin]) && in_number(text[begin - 1]))
        begin--;
    return begin > 0 ? begin : end;
}

/* Bytes of the text's next line of at most `width` columns, without the blanks at its end; *next: where the one after
 * it begins. */
static size_t next_line(const char *text, size_t width, const char **next)
{
    size_t end = text_prefix(text, width), joint = end;
    if (text[end] != '\0' && text[end] != ' ') {
        while (joint > 0 && !may_break(text[joint - 1]))
            joint--;
        end = joint > 0 ? joint : end > 0 ? before_number(text, end) : strlen(text);
    }
    *next = text + end + strspn(text + end, " ");
    while (end > 0 && text[end - 1] == ' ')
        end--;
    return end;
}

/* Columns of the longest piece that is not broken without need. */
static size_t longest_piece(const char *text)
{
    size_t longest = 0;
    while (*text != '\0') {
        size_t length = 0;
        while (text[length] != '\0' && !may_break(text[length]))
            length++;
        char *piece = mem_strndup(text, length + (text[length] == '/' || text[length] == '+'));
        const size_t width = text_width(piece);
        mem_free(piece);
        longest = width > longest ? width : longest;
        text += length + (text[length] != '\0');
    }
    return longest;
}

typedef enum { CUT_TEXT, TEXT_AT_JOINTS, HEADERS, TEXT_ANYWHERE, STEPS } Step;

static bool is_right(char align)
{
    return align == 'r' || align == 'R' || align == 'S';
}

static bool is_spare(char align)
{
    return align == 'R' || align == 'L' || align == 'C' || align == 'S';
}

static bool is_cut(char align)
{
    return align == 'c' || align == 'C';
}

/* The least width of the column that the step may bring about; SIZE_MAX: not one of its columns. */
static size_t least_width(const Table *table, size_t c, Step step)
{
    const size_t rows = table->cells / table->columns;
    const bool numbers = is_right(table->align[c]), cut = is_cut(table->align[c]);
    if (numbers != (step == HEADERS) || cut != (step == CUT_TEXT))
        return SIZE_MAX;
    size_t least = numbers ? 1 : cut ? CUT_LEAST : NARROWEST;
    for (size_t r = 0; r < rows && step != TEXT_ANYWHERE && !cut; r++) {
        const char *cell = table->cell[r * table->columns + c];
        const bool whole = numbers && (r > 0 || !table->has_header);
        const size_t needs = whole ? text_width(cell) : longest_piece(cell);
        least = needs > least ? needs : least;
    }
    return least;
}

/* Takes columns from the widest of the step's columns until the table has room or there is nothing left to take. */
static void narrow_step(const Table *table, Step step, size_t room, size_t *width, size_t *total)
{
    size_t *least = mem_new(table->columns, sizeof *least);
    for (size_t c = 0; c < table->columns; c++)
        least[c] = least_width(table, c, step);
    while (*total > room) {
        size_t widest = table->columns;
        for (size_t c = 0; c < table->columns; c++)
            if (width[c] != LEFT_OUT && width[c] > least[c] && (widest == table->columns || width[c] > width[widest]))
                widest = c;
        if (widest == table->columns)
            break;
        width[widest]--;
        --*total;
    }
    mem_free(least);
}

/* Leaves out spare columns until the rest has room, with cut texts as short as may be. */
static void leave_out(const Table *table, size_t room, size_t *width, size_t *total)
{
    size_t cut = 0; /* columns that cutting can spare */
    for (size_t c = 0; c < table->columns; c++)
        cut += is_cut(table->align[c]) && width[c] != LEFT_OUT && width[c] > CUT_LEAST ? width[c] - CUT_LEAST : 0;
    for (size_t c = table->columns; c-- > 0 && *total > room + cut;) {
        if (!is_spare(table->align[c]) || width[c] == LEFT_OUT)
            continue;
        if (is_cut(table->align[c]) && width[c] > CUT_LEAST)
            cut -= width[c] - CUT_LEAST;
        *total -= width[c] + 2;
        width[c] = LEFT_OUT;
        for (size_t k = 0; k < table->columns && table->align[c] == 'S'; k++) /* none of them without the others */
            if (table->align[k] == 'S' && width[k] != LEFT_OUT) {
                *total -= width[k] + 2;
                width[k] = LEFT_OUT;
            }
    }
}

static void narrow(const Table *table, size_t room, size_t *width)
{
    size_t *now = mem_new(table->columns, sizeof *now), total = 0;
    for (size_t c = 0; c < table->columns; c++) {
        now[c] = width[c];
        total += width[c] == LEFT_OUT ? 0 : width[c] + 2;
    }
    leave_out(table, room, now, &total);
    for (size_t c = 0; c < table->columns; c++)
        if (now[c] == LEFT_OUT)
            width[c] = LEFT_OUT; /* also where the rest does not fit in spite of that */
    for (int step = 0; step < STEPS; step++)
        narrow_step(table, (Step)step, room, now, &total);
    if (total <= room)
        memcpy(width, now, table->columns * sizeof *width);
    mem_free(now);
}

/* The text, or its beginning and "..." where it takes more than so many columns. */
static const char *table_cut(const char *text, size_t width, Arena *arena)
{
    if (text_width(text) <= width)
        return text;
    const size_t room = width > strlen(CUT_MARK) ? width - strlen(CUT_MARK) : 0;
    size_t length = text_prefix(text, room);
    while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == ';'))
        length--;
    return arena_printf(arena, "%.*s" CUT_MARK, (int)length, text);
}

/* One line of a row: cell[c] moves on to what follows. True when something does. */
static bool print_line(const Table *table, const char **cell, const size_t *width, Arena *arena, Text *out)
{
    size_t pending = 0; /* blanks are written only before more text, so no line ends in blanks */
    bool more = false;
    for (size_t c = 0; c < table->columns; c++) {
        if (width[c] == LEFT_OUT)
            continue;
        const char *text = cell[c], *next = text;
        if (is_cut(table->align[c]))
            text = table_cut(text, width[c], arena);
        const bool whole = text_width(text) <= width[c];
        const size_t length = whole ? strlen(text) : next_line(text, width[c], &next);
        char *piece = mem_strndup(text, length);
        const size_t taken = text_width(piece), pad = width[c] > taken ? width[c] - taken : 0;
        cell[c] = whole ? text + length : next;
        more = more || cell[c][0] != '\0';
        pending += 2;
        if (is_right(table->align[c]))
            pending += pad;
        if (piece[0] != '\0') {
            add_blanks(out, pending);
            text_add(out, piece);
            pending = 0;
        }
        if (!is_right(table->align[c]))
            pending += pad;
        mem_free(piece);
    }
    return more;
}

/* Has the column nothing but its header? */
static bool is_blank(const Table *table, size_t column)
{
    if (!table->has_header || table->cells <= table->columns)
        return false;
    for (size_t k = table->columns + column; k < table->cells; k += table->columns)
        if (table->cell[k][0] != '\0')
            return false;
    return true;
}

/* [columns] freed with mem_free. */
static size_t *widths_of(const Table *table, const Style *style)
{
    size_t *width = mem_new(table->columns, sizeof *width);
    for (size_t k = 0; k < table->cells; k++) {
        size_t w = text_width(table->cell[k]);
        if (w > width[k % table->columns])
            width[k % table->columns] = w;
    }
    for (size_t c = 0; c < table->columns; c++)
        if (is_blank(table, c))
            width[c] = LEFT_OUT;
    if (style->width > 0)
        narrow(table, (size_t)style->width, width);
    return width;
}

bool table_shows(const Table *table, size_t column, const Style *style)
{
    size_t *width = widths_of(table, style);
    const bool shown = width[column] != LEFT_OUT;
    mem_free(width);
    return shown;
}

void table_print(const Table *table, Text *out, const Style *style)
{
    size_t rows = table->cells / table->columns;
    size_t *width = widths_of(table, style);
    const char **cell = mem_new(table->columns, sizeof *cell);
    for (size_t r = 0; r < rows; r++) {
        bool bold = r == 0 && table->has_header && style->colour;
        memcpy(cell, &table->cell[r * table->columns], table->columns * sizeof *cell);
        for (bool more = true; more;) {
            if (bold)
                text_add(out, "\033[2m");
            more = print_line(table, cell, width, table->arena, out);
            text_add(out, bold ? "\033[0m\n" : "\n");
        }
    }
    mem_free(cell);
    mem_free(width);
}
