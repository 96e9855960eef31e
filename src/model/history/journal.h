/* journal.h - inside the model room and for those who append to it: what was changed in the present pool, when and why.
 * A sheet with the columns date, change (in, out, or stays: a trial that ended), card, copies, price, reason. */
#ifndef POOLWRIGHT_MODEL_HISTORY_JOURNAL_H
#define POOLWRIGHT_MODEL_HISTORY_JOURNAL_H

#include <stdint.h>

#include "cards/sheet/sheet.h"

typedef enum { JOURNAL_OUT, JOURNAL_IN, JOURNAL_STAYS } JournalChange;
const char *journal_change_name(JournalChange change); /* "out", "in", "stays" */

typedef enum {
    JOURNAL_DATE,
    JOURNAL_CHANGE,
    JOURNAL_CARD,
    JOURNAL_COPIES,
    JOURNAL_PRICE,
    JOURNAL_REASON,
    JOURNAL_COLUMNS
} JournalColumn;
extern const char *const journal_column[JOURNAL_COLUMNS]; /* the headers */

typedef struct JournalLine {
    int day; /* days since 1970-01-01 */
    JournalChange change;
    const char *card; /* its name; it may be a candidate no more */
    int copies;
    bool has_price;
    int64_t price;      /* cents, of one copy on that day */
    const char *reason; /* "": none */
} JournalLine;

typedef struct Journal {
    Sheet sheet; /* path NULL: it is not there */
    JournalLine *line;
    size_t lines; /* in the order of the sheet */
} Journal;

/* Reads the sheet; all in the arena. False with errors in diags. */
bool journal_read(Arena *arena, FileStore *files, const char *path, SourcePos from, Journal *journal, Diags *diags);

#endif
