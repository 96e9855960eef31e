/* simplex.h - a bounded dual simplex for few tight rows and many columns.
 *
 * Only rows that have been violated take part (the others are looked at when the rest is optimal), so the work per
 * pivot follows from the number of tight rows. All columns are finite, so every basis can be made dual feasible by
 * choosing sides: there is no first phase, and any change of bounds is a warm start. Results are floating point and
 * only steer: y goes to exact.h. */
#ifndef POOLWRIGHT_SEARCH_LINEAR_SIMPLEX_H
#define POOLWRIGHT_SEARCH_LINEAR_SIMPLEX_H

#include <stdatomic.h>

#include "search/linear/matrix.h"
#include "search/linear/relaxation.h"

typedef struct Simplex Simplex;

/* Which columns are basic and which rows are tight. They need not match: simplex_start_from mends that. */
typedef struct {
    int columns, rows;
    int at[]; /* the columns, then the rows */
} Basis;

Simplex *simplex_new(const Matrix *matrix); /* the matrix must stay as it is, but for its objective, bounds and sides:
                                               see simplex_reload */
void simplex_free(Simplex *simplex);
/* Columns with equal costs are told apart by name[columns], which stays the caller's, instead of by their numbers: so
 * the parts of a core end at the same basis. Before anything is solved. */
void simplex_name_columns(Simplex *simplex, const int *name);
/* Rows of the basis whose sides were dropped because no point of the box can break them get what the box says as sides,
 * so that they can stay tight: without them the multipliers of the others would be wrong. Before simplex_start_from. */
void simplex_bound_idle_rows(Simplex *simplex, const Basis *basis);

void simplex_box(Simplex *simplex, const int64_t *low, const int64_t *high);
void simplex_box_column(Simplex *simplex, int column, int64_t low, int64_t high);
/* The matrix has other sides, bounds or costs now (the same coefficients): the basis stays. */
void simplex_reload(Simplex *simplex);
/* The matrix has more rows behind those it had: they take no part yet, and all else stays. */
void simplex_grow(Simplex *simplex);
/* Maximises from the present basis. Stops early when the dual value falls below cutoff (RELAXATION_OPTIMAL is then
 * returned and y gives a bound below it, if rounding does not spoil that). limit: most pivots, 0 for none.
 * RELAXATION_INFEASIBLE: y may be a Farkas ray; where it turns out not to be one, simplex_refresh and another solve may
 * help. */
RelaxationStatus simplex_solve(Simplex *simplex, int64_t limit, double cutoff, const atomic_int *cancel);
bool simplex_refresh(Simplex *simplex); /* rebuilds the inverse; false when it was fresh, and nothing is gained */
bool simplex_was_cut_off(const Simplex *simplex); /* the last solve ended below the cutoff: x is not optimal */

const double *simplex_x(const Simplex *simplex); /* [columns] */
double simplex_value(const Simplex *simplex);    /* the dual value of the last solve, an estimate of the bound */
const double *simplex_y(Simplex *simplex);       /* [rows] multipliers, or a Farkas ray after RELAXATION_INFEASIBLE */
int64_t simplex_pivots(const Simplex *simplex);  /* of all solves */
/* After a solve to its end: how far the value falls at least when the column is held below its value there, and above:
 * by the first step of such a solve, which is not taken. INFINITY: that side is empty. */
void simplex_first_falls(Simplex *simplex, int column, double fall[2]);

Basis *simplex_basis(const Simplex *simplex);    /* freed with mem_free */
void basis_forget_rows(Basis *basis, int first); /* those from `first` on; basis may be NULL */
/* Column j becomes name[j], and leaves where that is below 0; basis may be NULL. */
void basis_rename_columns(Basis *basis, const int *name);
Basis *basis_copy(const Basis *basis); /* NULL gives NULL */
/* NULL: the empty basis. What follows depends on the basis and the box only, not on earlier solves. */
void simplex_start_from(Simplex *simplex, const Basis *basis);

/* The whole state with its box, to try something and come back, or to go on from there later. */
typedef struct SimplexState SimplexState;
void simplex_save(const Simplex *simplex, SimplexState **state); /* made where it is NULL */
/* False, and nothing has changed: the matrix has more rows by now. */
bool simplex_restore(Simplex *simplex, const SimplexState *state);
void simplex_state_free(SimplexState *state); /* NULL is allowed */

#endif
