/* exchange.h - from one pool to another: what comes in and what goes out. */
#ifndef POOLWRIGHT_PROGRAMME_EXCHANGE_H
#define POOLWRIGHT_PROGRAMME_EXCHANGE_H

#include <stddef.h>

/* A card of which one pool has so many copies more than another. */
typedef struct {
    size_t card;
    int copies;
} Moved;

int moved_copies(const Moved *moved, size_t count); /* their sum */

typedef enum {
    FEWEST_NOT_ASKED,
    FEWEST_OPEN,  /* another pool that is as good may change less */
    FEWEST_PROVEN /* none does */
} Fewest;

/* Cards in order of names. */
typedef struct {
    Moved *enters, *leaves;
    size_t enter_count, leave_count;
    Fewest fewest;
} Exchange;

void exchange_between(size_t cards, const int *from, const int *to, Exchange *exchange);
void exchange_release(Exchange *exchange);
int exchange_changes(const Exchange *exchange); /* copies in and copies out */

#endif
