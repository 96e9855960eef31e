/* strengthen.h - a tighter matrix for the same integer points: rows of rounding cuts at its end. */
#ifndef POOLWRIGHT_SEARCH_STRENGTHEN_H
#define POOLWRIGHT_SEARCH_STRENGTHEN_H

#include "search/cut_book.h"
#include "search/simplex.h"

typedef struct {
    int first;             /* row of the first cut: those before are the whole's */
    int *entry;            /* [rows - first] the recipe of each cut; owned */
    CutBook *book;         /* grows by the recipes of new cuts */
    bool known_only;       /* only cuts that the book's recipes give are tried, instead of all that can be found */
    Basis *basis;          /* in: to start from, or NULL; out: of the last relaxation; owned */
    int64_t pivots, cuts;  /* out: work done; rows of cuts there are now */
    double before, after;  /* out: the relaxation at first and at last */
} Strengthening;

/* Solves the relaxation of *matrix over its box, adds the cuts that tighten it, a few rounds, and keeps those that stay tight. The rows before `first` keep their
 * numbers. The matrix is replaced; every integer point of its box that satisfied the old rows satisfies the new ones (proven in integers by mir.c). */
void strengthen(Matrix *matrix, const SearchOptions *options, Strengthening *s);
void strengthening_release(Strengthening *s); /* not the book */

#endif
