/* mir_inner.h - the state that mir.c (which rows to sum) and mir_round.c (a sum of rows rounded to a cut) share. */
#ifndef POOLWRIGHT_SEARCH_CUTS_MIR_INNER_H
#define POOLWRIGHT_SEARCH_CUTS_MIR_INNER_H

#include "search/linear/kernels.h"
#include "search/cuts/mir.h"

/* Rows by row, of all columns or of some. */
typedef struct {
    const size_t *start;
    const int *column;
    const int64_t *value;
} Rows;

typedef struct {
    MirPart part[MIR_MOST_ROWS];
    int64_t scale[MIR_MOST_ROWS]; /* what the base was multiplied by before the part was added */
    int parts;
} Recipe;

typedef struct {
    const Matrix *m;
    Rows all, some;   /* some: only the columns that are not at a lower bound of 0, which is all that steering needs */
    const Rows *rows; /* the one at work */
    Recipe built;     /* of what the base is the sum; no parts: nothing that can be gone on from */
    size_t *some_start;
    int *some_column;
    int64_t *some_value;
    int *between; /* columns strictly between their bounds */
    int between_count;
    const int64_t *low, *high;
    const double *x;
    double *activity; /* [rows] */
    int *tight;       /* rows tight at x, by number of entries */
    int tight_count;
    int64_t *a; /* [columns] the base's coefficients */
    int *used;  /* columns that may be non-zero */
    int used_count;
    bool *is_used, *upper;  /* [columns] upper: measured from the upper bound */
    bool *nearer;           /* [columns] x is nearer to the upper bound */
    const Kernels *kernels; /* steering: the base in floating point, measured from the bounds that `upper` says */
    double *slope;          /* [used_count] coefficients */
    int *slope_of;          /* [columns] the place of a used column there */
    /* [between_count] the same for columns between their bounds, and how far they are from the bound. */
    double *near_slope, *near;
    int64_t b;
    MirPart part[MIR_MOST_ROWS];
    int parts;
    int tries;
    int64_t *g; /* [columns] scratch for a finished cut */
    CutPool *pool;
    Cut best; /* of the base row at work */
} Mir;

int64_t mir_side(const Mir *w, const MirPart *part); /* the side of its row that the part prices */
bool mir_is_equality(const Mir *w, int row);
double mir_slack(const Mir *w, const MirPart *part);           /* at x, of that side */
bool mir_base(Mir *w, const Rows *rows, const Recipe *recipe); /* the sum; false when it does not fit */
/* Rounds the base by several divisors and complements; the deepest cut is kept in w->best if it is deeper than what is
 * there. */
void mir_try_base(Mir *w, const Recipe *recipe);
/* The cut of a recipe by this divisor and the complements in w->upper becomes w->best. */
void mir_keep_cut(Mir *w, const Recipe *recipe, int64_t d, double depth);

#endif
