/* strengthen.h - a tighter matrix for the same integer points: rows of rounding cuts at its end. */
#ifndef POOLWRIGHT_SEARCH_CUTS_STRENGTHEN_H
#define POOLWRIGHT_SEARCH_CUTS_STRENGTHEN_H

#include "search/cuts/cut_form.h"
#include "search/linear/simplex.h"

typedef struct {
    int first;            /* row of the first cut: those before are the whole's */
    int *entry;           /* [rows - first] the recipe of each cut; owned */
    CutLabel *label;      /* [rows - first] and how it was made; owned */
    const Core *core;     /* whose columns the matrix has */
    CutForms *forms;      /* grow by the new cuts; NULL: how they are made is not noted (then no core is needed) */
    CutBook *book;        /* grows by the recipes of new cuts */
    bool known_only;      /* only cuts that the book's recipes give are tried, instead of all that can be found */
    Basis *basis;         /* in: to start from, or NULL; out: of the last relaxation; owned */
    int64_t pivots, cuts; /* out: work done; rows of cuts there are now */
    double before;        /* out: the relaxation at first */
} Strengthening;

/* Solves the relaxation of *matrix over its box, adds the cuts that tighten it, a few rounds, and keeps those that stay
 * tight. The rows before `first` keep their numbers. The matrix is replaced; every integer point of its box that
 * satisfied the old rows satisfies the new ones (proven in integers by mir.c). */
void strengthen(Matrix *matrix, const SearchOptions *options, Strengthening *s);
/* Adds the cuts of these forms that can be made now, without a relaxation; s->forms is not looked at. */
void strengthen_again(Matrix *matrix, const CutForms *forms, Strengthening *s);
void strengthening_release(Strengthening *s); /* not the book */

/* A book's recipes for the part of a core: rows first .. first + cuts - 1 of the matrix are cuts that were made by
 * recipe entry[row - first], other rows behind them are something else. */
typedef struct {
    const CutBook *book;
    int first, cuts;
    const int *entry;  /* [cuts] */
    bool present_only; /* recipes of these cuts alone */
} LocalCuts;

/* How the cuts of a part are made. */
typedef struct {
    const Core *core; /* whose columns the matrix has */
    int first;        /* row: those from here on are cuts of the part */
    CutLabel *label;  /* [rows - first]; owned */
    CutForms *forms;
} PartForms;

/* Rounds the recipes again for points of the box alone, and puts the cuts that x[columns] violates behind the matrix's
 * rows. Returns how many. noted: how they are made goes there; may be NULL. */
int strengthen_part(Matrix *matrix, const LocalCuts *cuts, const int64_t *low, const int64_t *high, const double *x,
                    PartForms *noted);

#endif
