/* cut_book.h - how cuts were made, kept so that they can be made again when sides, bounds or objective have changed.
 *
 * A cut itself holds for the sides and the box it was derived from. What is kept is the sum of rows it was rounded
 * from, in terms of the whole's rows (a core's rows may have been divided further). Deriving it anew, in integers, from
 * the rows as they are now needs no search for sums worth rounding, and no trust. */
#ifndef POOLWRIGHT_SEARCH_CUTS_CUT_BOOK_H
#define POOLWRIGHT_SEARCH_CUTS_CUT_BOOK_H

#include "search/cuts/mir.h"

typedef struct {
    int row;            /* of the whole; -1 - k: the cut of the k-th recipe, which comes before this one */
    int64_t multiplier; /* of the row as divided by ... */
    int64_t divisor;
} CutPart;

typedef struct {
    CutPart part[MIR_MOST_ROWS];
    int parts;
    int64_t last; /* the clock when a cut made so last stayed; 0: none has */
} CutRecipe;

typedef struct {
    CutRecipe *recipe;
    size_t count, capacity;
    int64_t clock; /* times that cuts have been looked for */
} CutBook;

void cut_book_release(CutBook *book);
void cut_book_copy(CutBook *to, const CutBook *from); /* `to` is overwritten */
/* Notes how a cut of the matrix was made, if that is new. entry[r]: the recipe of row first + r. Returns its number. */
int cut_book_add(CutBook *book, const Matrix *matrix, int first, const int *entry, const Aggregation *from);
/* Drops recipes none of whose cuts stayed, and where many are left, those of which none has for long; not those that
 * others are made with. Numbers change. */
void cut_book_tidy(CutBook *book);
/* The recipe in terms of the rows of a matrix whose rows from `first` on are cuts. row_of[k]: the row that recipe k has
 * there, or -1. False when a row is missing or numbers grow too large. */
bool cut_book_aggregation(const CutBook *book, size_t number, const Matrix *matrix, int first, const int *row_of,
                          Aggregation *out);

#endif
