/* protection.h - protected rows as the engines see them.
 *
 * A row  a x <= b  is protected when  a x + worst(x) <= b,  where worst(x) is the greatest sum of shares u_j of d_j x_j
 * with 0 <= u <= 1 and sum u <= Gamma (Bertsimas and Sim 2004). What it takes is a x + the floor(Gamma) greatest of the
 * amounts d_j x_j, and a part of the next.
 *
 * Of 0/1 columns, worst is a function of the set X of those at 1: the sum of w_k times the k-th greatest d in X, with
 * weights 1, ..., 1, Gamma - floor(Gamma), 0, ... that never grow. Each sum of the k greatest is submodular (it is the
 * weighted rank of a uniform matroid), and worst is a sum of such with factors w_k - w_k+1 >= 0. So for any order of
 * the columns, with
 *
 *     share_j = worst({those up to j}) - worst({those before j}),
 *
 * share x <= worst(x) at every 0/1 point (J. Edmonds, "Submodular functions, matroids, and certain polyhedra", 1970),
 * and
 *
 *     a x + share x <= b      the row of this order
 *
 * follows. At a point of a relaxation the order of falling x gives the greatest share x, and that is the convex
 * envelope of worst over the unit box (L. Lovasz, "Submodular functions and convexity", 1983; for the same idea with a
 * square root, A. Atamtuerk and V. Narayanan, "Polymatroids and mean-risk minimization in discrete optimization",
 * Operations Research Letters 36, 2008): no row of worst alone says more. So no column for the threshold above which
 * prices count is needed: rows of orders, added where a relaxation's point breaks them, and the exact test of every
 * solution are all there is to it. These rows hold wherever their matrix does, and are rows as any other from then on.
 *
 * Columns that may be more than 1. An amount d_j counts for x_j >= 1, and x_j >= 1 is at least x_j / high_j: the row of
 * an order has share_j / high_j, rounded down. Where that is too little some of them, M, rise in any case:
 *
 *     sum of d_j x_j over M  +  share x of the others with Gamma - |M|  <=  worst(x).
 *
 * A fixed column of the amount w = d_j x_j > 0 stays as an entry without a column, and comes first in every order. */
#ifndef POOLWRIGHT_SEARCH_RISK_PROTECTION_H
#define POOLWRIGHT_SEARCH_RISK_PROTECTION_H

#include "search/linear/matrix.h"

typedef struct {
    int column;          /* -1: fixed, and `rise` is all it may rise by */
    int64_t price, rise; /* its coefficient; 0 where it is fixed. rise 0: it never rises */
} RisingEntry;

typedef struct {
    int row, threshold; /* of the loaded problem */
    int64_t gamma, weight;
    int64_t side; /* what the columns that are not fixed may come to, times weight */
    int entries;
    RisingEntry *entry; /* columns ascending but for the fixed ones. Before protections_prepare only what may rise; then
                           all columns of the row */
} Protection;

typedef struct {
    int row, of;     /* a row of an order; of which protection, -1: it holds no more */
    int64_t divisor; /* that it was divided by when it was made */
} OrderRow;

struct Protections {
    int count, orders;
    Protection *row;
    OrderRow *order;
    bool prepared;
};

/* Makes a loaded problem's protections ready: entries for all columns of the rows. Does nothing where that is done. */
void protections_prepare(SearchProblem *problem);
/* The same problem with other sides and bounds, which the matrix does not have yet. */
void protections_reload(Matrix *matrix, const SearchProblem *problem);
/* The protections of a part: place[column] is the part's column or -1, low and high the box that makes it. */
Protections *protections_restrict(const Protections *from, const int *place, const int64_t *low, const int64_t *high);
/* Rows have other numbers, -1 where they are gone. Only rows of orders may go. */
void protections_renumber(Protections *protections, const int *number);
/* Columns that may not be put aside as unconstrained by rows, or as equal to others. */
void protections_mark_columns(const Protections *protections, bool *column);
/* Thresholds are what suits the other columns: they are not searched. NULL is allowed. */
void protections_fix_thresholds(const Protections *protections, int64_t *low, int64_t *high);

/* Adds worst(x), rounded up, to the activities of the protected rows of a loaded problem. */
void protections_add_worst(const SearchProblem *problem, const int64_t *x, int64_t *activity);
/* What all that may rise in this row of a problem comes to, each column at its most; 0 where it is not protected. */
int128 protections_most(const SearchProblem *problem, int row);
/* Does x keep the protected rows? Whatever the thresholds in x. activity[rows] of the loaded rows; not looked at where
 * the problem is prepared. */
bool protections_hold(const SearchProblem *problem, const int64_t *x, const int128 *activity);

/* Adds to a matrix the row of the order that the point breaks most, for each protection that it breaks by more than
 * `least` of its side. Returns how many it has more. */
int protections_add_orders(Matrix *matrix, const double *x, double least);
/* The same of one protection of a problem that is prepared, no column fixed, as columns in their order [entries]:
 * taken[k] of Gamma, times weight, is what column[k] takes in any case; 0: it comes in its turn. Those that add nothing
 * are left out. *miss: by how much the point breaks the row, times weight. Returns how many columns. */
int protections_order(const Protection *protection, const int64_t *column_high, const double *x, int *column,
                      int64_t *taken, double *miss);
/* What a unit of each protected row is worth: the multipliers y[rows of the matrix] of rows that follow from it are
 * added in dual[rows of the loaded problem]. */
void protections_add_duals(const Matrix *matrix, const double *y, double *dual);

/* The problem with each threshold where the point x has it, and so without protections: what it allows the problem
 * allows, too. Freed with problem_free. */
SearchProblem *protections_plain(const SearchProblem *problem, const double *x);
/* The problem with a column and a row for each entry (the compact form of the paper) and without protections. */
SearchProblem *protections_compact(const SearchProblem *problem);
/* A point of it for a point of the problem; compact[columns of it]. */
void protections_compact_point(const SearchProblem *problem, const int64_t *x, int64_t *compact);

#endif
