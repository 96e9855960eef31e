/* protection.h - protected rows as the engines see them.
 *
 * A row  a x <= b  is protected when  a x + worst(x) <= b,  where worst(x) is the greatest sum of shares u_j of d_j x_j
 * with 0 <= u <= 1 and sum u <= Gamma. By duality worst(x) is the least over thresholds z >= 0 of
 *
 *     Gamma z + sum over j of max(0, d_j x_j - z),
 *
 * which is convex in z with its corners at 0 and the d_j x_j, all whole (Bertsimas and Sim 2004, theorem 1). So z is an
 * integer column, and there are no columns for the single terms: a matrix states rows that follow. For z in [lo, hi]
 *
 *     the base row    sum of (a_j + max(0, d_j - hi)) x_j + Gamma z <= b
 *     the row of a set S of columns
 *         sum of (a_j + d_j - l_j) x_j over S  +  sum of (a_j + max(0, d_j - hi)) x_j over the others
 *         + (Gamma - |S|) z <= b - sum of l_j over S,
 *
 * with l_j = lo where x_j is 0/1 (members have d_j > lo), and 0 where x_j may be more. Proof: what x_j adds is
 * max(0, d_j x_j - z). It is at least max(0, d_j - hi) x_j for whole x_j >= 0: nothing to show at 0, and for x_j >= 1
 * d_j x_j - z >= (d_j - hi) x_j since hi x_j >= z. And it is at least (d_j - l) x_j - (z - l): with l = lo, at x_j = 0
 * the right side is lo - z <= 0, at x_j = 1 it is d_j - z; with l = 0 it is d_j x_j - z. The narrower [lo, hi], the
 * stronger the rows, so they are made anew for each smaller box (matrix_restrict); with z fixed and all columns 0/1 the
 * base row is the protected row. (Bounds on z that strengthen both: C. Buesing, T. Gersing and A. Koster, "A branch and
 * bound algorithm for robust binary optimization with budget uncertainty", Mathematical Programming Computation 15,
 * 2023.) At a whole x some set's row is broken for every z where the protected row is: S of all j with d_j x_j > z. So
 * rows of sets, added where a relaxation's point breaks them, and the exact test of every solution are all there is to
 * it.
 *
 * A fixed column of the amount w = d_j x_j > 0 stays as an entry without a column: it adds max(0, w - hi), or w - z as
 * a member. */
#ifndef POOLWRIGHT_SEARCH_PROTECTION_H
#define POOLWRIGHT_SEARCH_PROTECTION_H

#include "search/linear/matrix.h"

typedef struct {
    int column;          /* -1: fixed, and `rise` is all it may rise by */
    int64_t price, rise; /* its coefficient; 0 where it is fixed. rise 0: it never rises */
} RisingEntry;

typedef struct {
    int row, threshold; /* threshold -1: it is fixed */
    int64_t low, high;  /* the threshold's box */
    int64_t gamma, weight;
    int64_t side; /* what the columns that are not fixed may come to, times weight */
    int entries;
    RisingEntry *entry; /* columns ascending but for the fixed ones. Before protections_prepare only what may rise; then
                           all columns of the row */
} Protection;

typedef struct {
    int row, of;  /* which protection */
    bool *member; /* [entries of it] */
} ProtectedSet;

struct Protections {
    int count, sets;
    Protection *row;
    ProtectedSet *set;
    bool prepared;
};

/* Makes a loaded problem's protections ready: entries for all columns of the rows, and base rows in place of the rows.
 * Does nothing where that is done. */
void protections_prepare(SearchProblem *problem);
/* Writes base rows and sets' rows of the problem anew, sides too; ordinary rows stay. */
void protections_write(SearchProblem *problem);
/* Other sides of the same problem, in loaded terms: of base rows and of sets' rows. */
void protections_reload(SearchProblem *problem, const int64_t *row_high);
/* The protections of a part: place[column] is the part's column or -1, low and high the box that makes it. */
Protections *protections_restrict(const Protections *from, const int *place, const int64_t *low, const int64_t *high);
/* special[rows] is set for base rows and sets' rows. */
void protections_mark_rows(const Protections *protections, bool *special);
/* Rows have other numbers, -1 where they are gone. Only rows of sets may go. */
void protections_renumber(Protections *protections, const int *number);
/* Columns that may not be put aside as unconstrained by rows, or as equal to others. */
void protections_mark_columns(const Protections *protections, bool *column);

/* Adds worst(x), rounded up, to the activities of the protected rows of a loaded problem. */
void protections_add_worst(const SearchProblem *problem, const int64_t *x, int64_t *activity);
/* Does x keep the protected rows? Whatever the thresholds in x. activity[rows] of the loaded rows; not looked at where
 * the problem is prepared. */
bool protections_hold(const SearchProblem *problem, const int64_t *x, const int128 *activity);

/* Adds to a matrix whose p is prepared the row of the set that the point breaks most, for each protection that it
 * breaks by more than `least` of its side; its rows are remade. Returns how many it has more. */
int protections_add_sets(Matrix *matrix, const double *x, double least);
/* By how much the point breaks the protected row, in units of `side`, where the threshold is fixed there. */
double protection_miss(const Protection *protection, const double *x, int64_t threshold);
/* What a unit of each protected row is worth: the multipliers of all rows that follow from it, y[rows] of a prepared
 * problem, are put in its place in dual[rows of the loaded problem]. */
void protections_add_duals(const SearchProblem *problem, const double *y, double *dual);
/* Narrows a box to where the point has the thresholds, rounded. place[columns of the loaded problem]: where they are,
 * or -1; NULL: all are where they were. */
void protections_fix(const Protections *protections, const int *place, const double *point, int64_t *low,
                     int64_t *high);

/* The problem with a column and a row for each entry (the compact form of the paper) and without protections. */
SearchProblem *protections_compact(const SearchProblem *problem);
/* A point of it for a point of the problem; compact[columns of it]. */
void protections_compact_point(const SearchProblem *problem, const int64_t *x, int64_t *compact);

#endif
