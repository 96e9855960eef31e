/* simplex_inner.h - the state that simplex.c (pivoting) and factor.c (the inverse) share. */
#ifndef POOLWRIGHT_SEARCH_LINEAR_SIMPLEX_INNER_H
#define POOLWRIGHT_SEARCH_LINEAR_SIMPLEX_INNER_H

#include "search/linear/kernels.h"
#include "search/linear/simplex.h"

/* Variables: 0 .. columns - 1 are the columns, columns + i is the slack s_i of row i: A x + s = 0, -U <= s <= -L. */
enum { AT_LOW = -1, BASIC = 0, AT_HIGH = 1, FREE = 2 };

struct SimplexState {
    int rows, k, *head, *row_at, since_refactor;
    double *inverse, *weight, *low, *high, *x, *d, *c;
    signed char *side;
    double value;
};

struct Simplex {
    const Matrix *matrix;
    const int *name; /* [columns] as in simplex_name_columns, or NULL */
    int columns, rows;
    double *row_scale;          /* [rows] a power of two; entries below are scaled by it */
    double *by_column, *by_row; /* entries as doubles, placed as in the matrix */
    double cost_scale;          /* a power of two */
    double *cost;               /* [columns] scaled objective */
    double *c;                  /* [columns + rows] the same, perturbed and shifted */
    double *low, *high;         /* [columns + rows] */
    double *x, *d;              /* [columns + rows] */
    const Kernels *kernels;
    double *dense;            /* [dense_rows * columns] rows with many entries, with their noughts */
    int *dense_at;            /* [rows] the row's place there, or -1 */
    const double **dense_row; /* [rows] scratch: those of a row of the tableau ... */
    double *dense_factor;     /* [rows] ... and their factors */
    int *entry_at;            /* [rows] scratch: a column's entries in rows that take part ... */
    double *entry;            /* [rows] */
    int *dirty, dirty_count;  /* columns whose bounds changed since x was computed */
    bool *is_dirty;           /* [columns] */
    double *sign; /* [columns + rows] 1 at high, -1 at low, 0 for basic, free and fixed ones: follows side and bounds */
    signed char *side;                  /* [columns + rows]; slacks of rows that take no part count as basic */
    int k, room;                        /* rows that take part; stride of the inverse */
    int *head;                          /* [room] basic variable at each position */
    int *row_at, *place;                /* [room] matrix row; [rows] where it takes part, or -1 */
    double *inverse;                    /* [room * room] by position, then taking-part row */
    double *weight;                     /* [room] steepest edge */
    double *rho, *column, *tau, *moved; /* [room] */
    double *alpha;                      /* [columns + rows] */
    double *y;                          /* [rows] */
    int *heap;                          /* [columns + rows] */
    double *ratio;                      /* [columns + rows] */
    int *passed;                        /* [columns + rows] */
    int since_refactor;
    int64_t pivots;
    double value; /* dual value, scaled, kept up to date by steps */
    bool cut_off, have_ray;
};

static inline double simplex_sign(const Simplex *s, int variable)
{
    return s->low[variable] == s->high[variable] ? 0.0
           : s->side[variable] == AT_HIGH        ? 1.0
           : s->side[variable] == AT_LOW         ? -1.0
                                                 : 0.0;
}

/* Rebuilds the inverse for the variables that `side` calls basic among columns, and the rows that are tight (slack not
 * basic); rows whose slack is basic leave. Columns that do not fit are put to a side. Then x, d, value. */
void simplex_refactor(Simplex *s);
void simplex_add_row(Simplex *s, int row); /* its slack becomes basic */
void simplex_make_room(Simplex *s, int rows);
/* x of the basic variables after `moved` (by taking-part row) came to the rows' activities. */
void simplex_shift_basic(Simplex *s);
void simplex_take_in_bounds(Simplex *s); /* x, sides and dual value after bounds have changed */
void simplex_clear_dirty(Simplex *s);
/* The change of the inverse by a pivot with s->column. x not NULL: as Kernels.pivot has it. */
void simplex_product(Simplex *s, int position, const double *x, double *products);
void simplex_ftran(const Simplex *s, int variable, double *result);
double simplex_perturbed(const Simplex *s, int column); /* its cost, so that few are equal */
void simplex_load_costs(Simplex *s);
void simplex_load_sides(Simplex *s, int first); /* of rows from `first` on */

#endif
