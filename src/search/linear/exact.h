/* exact.h - bounds that are proofs: weak duality evaluated in integers.
 *
 * For maximise c x, L <= A x <= U, low <= x <= high and any row multipliers y (y > 0 prices U, y < 0 prices L)
 *     y b + sum over j of max(d_j low_j, d_j high_j),   d_j = c_j - y A_j,
 * is an upper bound on c x. The multipliers come from floating point, are rounded to multiples of 2^-grid, and from
 * there on all is integer: a bad multiplier makes the bound weak, never wrong. With c = 0 a negative value proves that
 * nothing is feasible (Farkas). Source: weak duality and Farkas' lemma, as in any text on linear programming; safe
 * bounds from inexact duals: A. Neumaier and O. Shcherbina, "Safe bounds in linear and mixed-integer linear
 * programming", Mathematical Programming 99, 2004. */
#ifndef POOLWRIGHT_SEARCH_LINEAR_EXACT_H
#define POOLWRIGHT_SEARCH_LINEAR_EXACT_H

#include "search/linear/matrix.h"

typedef struct {
    const Matrix *matrix;
    int grid;          /* 30 or more: rows with large coefficients need a finer grid */
    int64_t largest_y; /* in grid units: larger multipliers are left out */
    int128 largest_d;  /* larger reduced costs make an evaluation fail */
    int64_t largest_c;
    int64_t *y;    /* [rows] grid units, of the last evaluation */
    int128 *wide;  /* [columns] reduced costs in grid units, of the last evaluation, when !narrow */
    int64_t *slim; /* [columns] the same when narrow */
    bool narrow;
    /* The sum over columns of the larger |bound| of the matrix's box, or INT64_MAX when it is more. */
    int64_t largest_sum;
    int128 bound; /* of the last evaluation, grid units */
} Exact;

/* matrix must stay as it is while this lives, but for its objective and sides becoming no larger in magnitude. */
void exact_init(Exact *exact, const Matrix *matrix);
void exact_release(Exact *exact);

/* Evaluates the bound for the box low..high. with_objective false: Farkas form. False when the numbers do not fit:
 * nothing is proven. */
bool exact_evaluate(Exact *exact, const int64_t *low, const int64_t *high, const double *y, bool with_objective);
/* The last bound, rounded down to whole units (it stays a bound, values being integers). */
int64_t exact_bound(const Exact *exact);
/* Whether the last evaluation, in Farkas form, proves that the box holds no solution. */
bool exact_infeasible(const Exact *exact);
/* Reduced cost of a column, from the last evaluation (a double is for steering only). */
double exact_reduced_cost(const Exact *exact, int column);
/* Tightens low and high to what a solution of value `wanted` or more can have, by the last evaluation (whose box must
 * be low..high). Returns how many columns changed. */
int exact_tighten(const Exact *exact, int64_t *low, int64_t *high, int64_t wanted);

#endif
