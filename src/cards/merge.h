/* merge.h - lines of one name become one candidate. */
#ifndef POOLWRIGHT_CARDS_MERGE_H
#define POOLWRIGHT_CARDS_MERGE_H

#include "cards/sheet/reading.h"

/* Puts the lines in order of their folded names (then of files and lines) and fills set->card: of equal lines one, of
 * different ones what the habits say. column: [file][cell] index into the set's columns, or -1. False with an error for
 * each name whose lines differ where the habits do not say what then counts. */
bool cards_merge(CardSet *set, Line *line, size_t lines, int *const *column, Diags *diags);

#endif
