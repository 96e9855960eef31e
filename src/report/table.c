/* table.c - aligned tables. */
#include "report/table.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"

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

void style_mark(Text *out, const Style *style, const char *word)
{
    text_printf(out, style->colour ? "\033[33m%s\033[0m" : "%s", word);
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

void table_add(Table *table, const char *cell)
{
    mem_reserve((void **)&table->cell, &table->capacity, table->cells + 1, sizeof *table->cell);
    table->cell[table->cells++] = arena_strdup(table->arena, cell);
}

void table_addf(Table *table, const char *format, ...)
{
    char small[256];
    va_list args;
    va_start(args, format);
    int need = vsnprintf(small, sizeof small, format, args);
    va_end(args);
    if (need >= 0 && (size_t)need < sizeof small)
        table_add(table, small);
    else if (need >= 0) {
        char *large = mem_new((size_t)need + 1, 1);
        va_start(args, format);
        vsnprintf(large, (size_t)need + 1, format, args);
        va_end(args);
        table_add(table, large);
        mem_free(large);
    }
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

static void print_row(const Table *table, size_t row, const size_t *width, Text *out)
{
    size_t pending = 0; /* blanks are written only before more text, so no line ends in blanks */
    for (size_t c = 0; c < table->columns; c++) {
        const char *cell = table->cell[row * table->columns + c];
        size_t pad = width[c] - text_width(cell);
        pending += 2;
        if (table->align[c] == 'r')
            pending += pad;
        if (cell[0] != '\0') {
            add_blanks(out, pending);
            text_add(out, cell);
            pending = 0;
        }
        if (table->align[c] != 'r')
            pending += pad;
    }
}

void table_print(const Table *table, Text *out, const Style *style)
{
    size_t rows = table->cells / table->columns;
    size_t *width = mem_new(table->columns, sizeof *width);
    for (size_t k = 0; k < rows * table->columns; k++) {
        size_t w = text_width(table->cell[k]);
        if (w > width[k % table->columns])
            width[k % table->columns] = w;
    }
    for (size_t r = 0; r < rows; r++) {
        bool bold = r == 0 && table->has_header && style->colour;
        if (bold)
            text_add(out, "\033[2m");
        print_row(table, r, width, out);
        text_add(out, bold ? "\033[0m\n" : "\n");
    }
    mem_free(width);
}
