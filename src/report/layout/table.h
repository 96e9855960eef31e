/* table.h - aligned tables by display width, for any script, and the few styles of a terminal. */
#ifndef POOLWRIGHT_REPORT_LAYOUT_TABLE_H
#define POOLWRIGHT_REPORT_LAYOUT_TABLE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/memory.h"
#include "base/text.h"

typedef struct {
    bool colour; /* escape sequences are welcome */
    int width;   /* of a line in columns; 0: lines may be as long as they like */
} Style;

/* "\nThemes\n", bold on terminals. */
void style_heading(Text *out, const Style *style, const char *heading);

typedef struct Table Table;
/* align: one character a column, 'l' or 'r'; 'L' and 'R' for spare columns, which a narrow screen leaves out, the
 * rightmost first, those of 'S' (numbers) all together; 'c' for text that is cut with "..." where there is no room for
 * it, 'C' for such a column that is spare. header may be NULL. Texts are copied. Freed with table_free. */
Table *table_new(const char *align, const char *const *header);
void table_free(Table *table);
/* Next cell, row by row; a row is full after as many cells as align has. */
void table_add(Table *table, const char *cell);
void table_addf(Table *table, const char *format, ...) __attribute__((format(printf, 2, 3)));
size_t table_rows(const Table *table);
/* Is the column shown, with all cells added? Left out are spare ones without room, and those that are blank. */
bool table_shows(const Table *table, size_t column, const Style *style);
/* Lines with two blanks between columns and before the first; a header line in bold. The last column is not padded. On
 * a terminal too narrow for it, cells of text go on in further lines. */
void table_print(const Table *table, Text *out, const Style *style);

#endif
