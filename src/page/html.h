/* html.h - HTML written piece by piece, so that a text of the user's can be nothing but text.
 *
 * What is written parses as XML too (elements closed, attributes quoted): that is how it is tested. */
#ifndef POOLWRIGHT_PAGE_HTML_H
#define POOLWRIGHT_PAGE_HTML_H

#include <inttypes.h>
#include <stdbool.h>

#include "base/text.h"

/* As printf, but every %s is escaped, in text and in attributes alike. Control characters, which HTML forbids, are
 * shown as their pictures (U+2400 and on). Arguments are valid UTF-8. */
void html(Text *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* A name of the user's: <bdi>, so that a direction of writing ends with it. */
void html_name(Text *out, const char *name);
/* Text as JSON within a script element: no "<". */
void html_json(Text *out, const char *json, size_t length);

/* ---- tables: what stands behind each picture ---- */

typedef struct {
    const char *title;
    bool number; /* to the right */
} HtmlColumn;

/* The first column names the row. */
void table_begin(Text *out, const char *caption, const HtmlColumn *column, size_t columns);
void table_end(Text *out);
/* A row of cells; the first is written between row_begin and row_name_end, with anything in it. */
void row_begin(Text *out);
void row_name_end(Text *out);
void row_end(Text *out);
void cell_text(Text *out, const char *text);
void cell_int(Text *out, int64_t number);
/* Up to three decimals, none that say nothing. */
void cell_number(Text *out, double number);
void cell_money(Text *out, double money);
void cell_empty(Text *out);
/* Anything, between these two. */
void cell_begin(Text *out);
void cell_end(Text *out);

#define PLAIN_TEXT 40
/* 3198.05, 7.7, 12: as the screens write fit. Returns buffer. */
const char *plain(char buffer[PLAIN_TEXT], double number);

/* ---- parts ---- */

void part_begin(Text *out, const char *id, const char *title);
void part_end(Text *out);

#endif
