/* titles.h - lines above the names of the columns: "My list", the date, a blank line, words for several columns. */
#ifndef POOLWRIGHT_CARDS_NAMES_TITLES_H
#define POOLWRIGHT_CARDS_NAMES_TITLES_H

#include <stdbool.h>
#include <stddef.h>

/* The offset of the line that names the columns, where all lines before it hold one text each, or have blank fields
 * among their texts, and it has the word for names among several cells, or words for three other columns; else start.
 * Of a text that begins at start. */
size_t titles_end(const char *bytes, size_t length, size_t start);

#define TITLE_LINES 10 /* the names of the columns are looked for in so many lines */

/* Do these cells name columns: the word for names and one for another column, or words for three others? cell[cells] of
 * a line or row. */
bool titles_names_columns(const char *const *cell, size_t cells);

#endif
