/* titles.h - lines above the names of the columns: "My list", the date, a blank line. */
#ifndef POOLWRIGHT_CARDS_NAMES_TITLES_H
#define POOLWRIGHT_CARDS_NAMES_TITLES_H

#include <stddef.h>

/* The offset of the line that names the columns, where all lines before it hold one text each and it has the word for
 * names among several cells; else start. Of a text that begins at start. */
size_t titles_end(const char *bytes, size_t length, size_t start);

#endif
