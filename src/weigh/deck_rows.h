/* deck_rows.h - sheets of decks, line by line: a text file of any length in bounded memory (RFC 4180 over libcsv), a
 * sheet of a workbook, or either from a pipe, then as a whole. */
#ifndef POOLWRIGHT_WEIGH_DECK_ROWS_H
#define POOLWRIGHT_WEIGH_DECK_ROWS_H

#include <stdbool.h>

#include "base/files/file_store.h"

typedef enum { DECK_DECK, DECK_NAME, DECK_COPIES, DECK_THEME, DECK_WINS, DECK_LOSSES, DECK_FIELDS } DeckField;

typedef struct {
    const struct DeckReader *reader; /* for deck_row_place */
    const char *deck, *name;         /* never blank */
    int copies;                      /* 1 where nothing is said */
    const char *theme;               /* "" where nothing is said */
    int wins, losses;                /* -1 where nothing is said */
} DeckRow;

typedef struct {
    bool theme, results; /* the sheet has these columns */
} DeckColumns;

/* Calls take for every line with copies, in the sheet's order; texts and places live as long as the call. Columns by
 * header: deck, name (or card), and may be copies, theme, wins, losses; *columns is set before the first line is given.
 * False with errors in diags. */
bool deck_rows_read(const char *path, FileStore *files, void (*take)(void *context, const DeckRow *row), void *context,
                    DeckColumns *columns, Diags *diags);

/* Where the field stands; without such a column the line. */
SourcePos deck_row_place(const DeckRow *row, DeckField field);

#endif
