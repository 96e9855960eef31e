/* messy.h - a list of some 900 cards of an invented game as somebody keeps it: mixed case, blanks, n/a, currency signs,
 * decimal commas, commas in tags, a column of notes, lines twice, misspelt colours, separators at the ends of lines,
 * headings, a total, prices and owned cards in sheets of their own. Beside it the same cards in the usual form. */
#ifndef POOLWRIGHT_SUPPORT_MESSY_H
#define POOLWRIGHT_SUPPORT_MESSY_H

#include <stdint.h>

/* Of list.csv. */
typedef struct {
    int lines, cards, repeated, different, passed;
} Messy;

/* Writes list.csv, prices.csv and owned.csv, and plain/ (scenario.yaml, model.yaml, cards.csv). */
void messy_write(const char *folder, uint64_t seed, Messy *messy);

#endif
