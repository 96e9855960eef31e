/* kernels.h - the dense loops of the simplex method and of the search for cuts.
 *
 * Every sum is taken in the same eight lanes whatever the processor has, so results are the same everywhere; processors
 * with wider registers (AVX2, looked for when the program runs) only get there sooner. */
#ifndef POOLWRIGHT_SEARCH_LINEAR_KERNELS_H
#define POOLWRIGHT_SEARCH_LINEAR_KERNELS_H

#include <stdbool.h>

#define NEXT_TO_NOTHING 1e-14 /* a pivot's column has no effect on a row where it is less */

typedef struct {
    /* The pivot's change of an inverse of `count` rows, `stride` apart: row `position` is divided by column[position],
     * and column[p] times that is taken from each other row p where column[p] is not less than next to nothing. x not
     * NULL: products[p] = row p, as it was, times x, for the same rows; the others keep what they have. */
    void (*pivot)(double *inverse, int stride, int count, int position, const double *column, const double *x,
                  double *products);
    /* result[p] = row p times x */
    void (*products)(const double *inverse, int stride, int count, const double *x, double *result);
    /* y -= factor * x */
    void (*subtract)(double *y, const double *x, double factor, int count);
    /* y += factor[0] row[0], then factor[1] row[1], and so on */
    void (*add_rows)(double *y, const double *const *row, const double *factor, int rows, int count);
    /* The k, ascending, with factor * a[k] * sign[k] > least go to list[count]; returns how many. */
    int (*greater)(const double *a, const double *sign, double factor, double least, int count, int *list);
    /* The k, ascending, with d[k] * sign[k] < 0 once d -= factor * x go to list[count]; returns how many. */
    int (*subtract_and_list)(double *d, const double *x, double factor, const double *sign, int count, int *list);
    /* With G(a) = floor(a / d) (d - r) + max(0, a mod d - r), 0 < r < d, |a / d| < 2^51: the sum of G(a) x, and of the
     * squares of G(a). */
    double (*rounded_sum)(const double *a, const double *x, int count, double d, double r);
    double (*rounded_squares)(const double *a, int count, double d, double r);
} Kernels;

const Kernels *kernels_for_this_processor(void);
const Kernels *kernels_plain(void); /* for any processor: the same results */

#endif
