/* card_columns.h - which columns of a programme stand for a card's copies, and how many of a given pool's copies stay:
 * min(given, chosen), card by card. */
#ifndef POOLWRIGHT_PROGRAMME_ROWS_CARD_COLUMNS_H
#define POOLWRIGHT_PROGRAMME_ROWS_CARD_COLUMNS_H

#include "programme/extend.h"
#include "programme/programme.h"

typedef struct {
    int first, second; /* of a card's copies (second: those bought beyond the owned ones); -1: none */
} CardColumns;

/* [cards], freed with mem_free. */
CardColumns *card_columns_new(const Programme *programme);
int64_t card_copies(const CardColumns *card, const int64_t *x);
/* Cents that a unit of the programme's column costs to buy, handling included; 0 where it is no bought copy. */
int64_t column_price(const Programme *programme, int column);
/* A column of ours from 0 to `most`, tied to the card's copies: ours <= copies (sign 1), or copies <= ours + room (sign
 * -1). */
int card_tied_column(Extension *extension, const CardColumns *card, int most, int sign, int room);
/* A column of ours for copies that stay of `given`, tied so that it may not exceed the copies: as long as more of it is
 * only ever better, it takes its true value. most: copies that the card can have. -1: none is needed, since the card's
 * own column says it, or none stays. */
int card_kept_column(Extension *extension, const CardColumns *card, int most, int given);
/* Adds to the change row: copies that stay, twice, less all copies. The copies given less this are the copies out and
 * in. kept: what card_kept_column returned for `given`. */
void card_change_entries(Extension *extension, int row, const CardColumns *card, int given, int kept);

#endif
