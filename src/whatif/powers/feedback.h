/* feedback.h - notes on cards after play, as proposals for their powers. */
#ifndef POOLWRIGHT_WHATIF_POWERS_FEEDBACK_H
#define POOLWRIGHT_WHATIF_POWERS_FEEDBACK_H

#include "cards/sheet/sheet.h"
#include "whatif/loaded.h"

typedef struct {
    size_t card;
    const char *verdict, *date, *note; /* as written, "" where blank */
    int day, line;                     /* day: DAY_UNKNOWN without a date */
    int64_t by;                        /* thousandths of power */
} FeedbackNote;

typedef struct {
    size_t card;
    const FeedbackNote *note; /* [notes] the newest first, those without a date last */
    size_t notes;
    int64_t before, after, sum; /* thousandths; after is before + sum, kept within the powers of the sheet */
} FeedbackCard;

typedef struct {
    Arena *arena;
    const char *path;
    FeedbackCard *card; /* [cards] in order of names */
    size_t cards, changed;
    int64_t low, high; /* thousandths: the powers of the sheets; far apart where no card has one */
} Feedback;

/* Where a sheet of notes has card, verdict, date and note, by the words of its headers; -1: nowhere. False: it is none.
 */
#define NOTES_COLUMNS 4
bool notes_columns(const Sheet *sheet, int column[NOTES_COLUMNS]);

/* Reads the sheet of notes. False with errors in diags; then there is nothing to release. */
bool feedback_read(const Instance *instance, const char *path, Feedback *feedback, Diags *diags);
void feedback_release(Feedback *feedback);

/* The candidates with the new powers, matched with the loaded scenario, which must outlive them. NULL with errors in
 * diags. */
Instance *feedback_instance(Loaded *loaded, const Feedback *feedback, Diags *diags);

/* The best pool by new powers, begun from the best by others, `old`, of the same candidates: where that is as good as
 * any, it stays. False with errors in diags; then nothing is to be released. */
bool feedback_solve(const Programme *programme, const Answer *old, SearchOptions options, Answer *now, Diags *diags);

#endif
