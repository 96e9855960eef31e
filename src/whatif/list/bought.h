/* bought.h - a shopping list that comes back with what was really paid, booked into the owned cards. */
#ifndef POOLWRIGHT_WHATIF_LIST_BOUGHT_H
#define POOLWRIGHT_WHATIF_LIST_BOUGHT_H

#include "model/instance/instance.h"

typedef struct {
    size_t card;
    int copies;      /* bought now */
    int64_t paid;    /* cents for all of them */
    int64_t planned; /* cents by the prices in force, handling included */
} BoughtLine;

typedef struct {
    Arena *arena;
    const char *path;
    BoughtLine *line; /* [lines] in order of names, those of one card as in the list */
    size_t lines;
    int copies;            /* sum */
    int64_t paid, planned; /* sums */
    int64_t postage;       /* cents paid on lines of postage, in no sum: plans are without it */
    size_t waiting;        /* lines to buy on which nothing is said yet */
    size_t before;         /* cards of which lines are booked already: these are left out of all above */
    size_t first_before;   /* the first of them */
} Bought;

/* A list is filled in parcel by parcel, so what it has that is booked already is not bought again. Columns: name, paid,
 * and may be copies (blank: 1) and what (lines that say something else than `buy` are no cards). A line counts where
 * paid is filled in; 0 is a gift. False with errors in diags; then there is nothing to release. */
bool bought_read(const Instance *instance, const char *path, Bought *bought, Diags *diags);
void bought_release(Bought *bought);

#endif
