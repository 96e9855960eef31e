/* matrix.h - a loaded problem made ready for searching: rows divided by their greatest common divisor, sides that no
 * point of the box can reach dropped, stored by column and by row. Rows and columns keep their numbers.
 *
 * Continuous columns: the contract of search.h says that some best value of them is integer, so restricting them to
 * integers loses nothing; all columns are integer from here on, and `kind` only says on which to branch last. */
#ifndef POOLWRIGHT_SEARCH_LINEAR_MATRIX_H
#define POOLWRIGHT_SEARCH_LINEAR_MATRIX_H

#include "base/number.h"
#include "search/search.h"

/* What the exact arithmetic holds (search_problem_trouble). */
#define MATRIX_LARGEST (INT64_C(1) << 40)     /* coefficients and the like */
#define MATRIX_LARGEST_SUM (INT64_C(1) << 61) /* sides, and what a row can come to */
#define MATRIX_MOST_ROWS (1 << 12)

typedef struct {
    SearchProblem p;   /* by column; sides rounded to what integers can reach */
    size_t *row_start; /* [rows + 1]; the same entries by row, columns ascending */
    int *column;
    int64_t *row_value;
    int64_t *divisor;     /* [rows] what the row was divided by, 1 or more */
    int64_t *row_largest; /* [rows] largest |coefficient| */
} Matrix;

/* Every attainable objective value is base + a multiple of step; step 0: it is always base. */
typedef struct {
    int64_t base, step;
} Grain;

void matrix_init(Matrix *matrix, const SearchProblem *problem); /* copies; drops zero entries */
void matrix_release(Matrix *matrix);
/* The same coefficients with other sides, bounds and objective. */
void matrix_reload(Matrix *matrix, const SearchProblem *problem);

/* Another value for an entry there is, no larger in magnitude and of the same sign. */
void matrix_lessen(Matrix *matrix, int row, int column, int64_t value);

/* The nearest whole number within the bounds. */
int64_t whole_within(double x, int64_t low, int64_t high);

/* The part of `from` on its columns that low and high leave open; the fixed ones move into the sides of the rows.
 * map[k] (from->p.columns places, filled by the call) is the column of `from` that column k stands for. *offset is the
 * objective of the fixed columns. Divisors are those beyond from's. Rows keep their numbers, those without entries stay
 * as empty rows. False when a row without entries can't hold (the part is infeasible). */
bool matrix_restrict(Matrix *part, const Matrix *from, const int64_t *low, const int64_t *high, int *map,
                     int64_t *offset);

Grain matrix_grain(const Matrix *matrix, const int64_t *low, const int64_t *high);
/* The greatest attainable value not above `bound`. */
int64_t grain_floor(Grain grain, int64_t bound);

SearchProblem *problem_copy(const SearchProblem *problem);
void problem_free(SearchProblem *problem);
int64_t problem_reach(const SearchProblem *problem, int column);                   /* the larger |bound| */
int64_t problem_activity(const SearchProblem *problem, int row, const int64_t *x); /* the row's sum in x */
int64_t problem_grain(const SearchProblem *problem); /* gcd of the coefficients of all columns that can be non-zero */

#endif
