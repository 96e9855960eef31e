/* kernels.c - one body for each loop, compiled for any processor and for those with AVX2. No fused multiply-add
 * (-ffp-contract=off), so both round alike. */
#include <math.h>
#include <string.h>

#include "search/linear/kernels.h"

#define TINY 1e-14
#define INLINED static inline __attribute__((always_inline))

typedef double Lanes __attribute__((vector_size(32)));
typedef long long Bits __attribute__((vector_size(32)));

INLINED double dot(const double *a, const double *b, int count)
{
    Lanes first = {0.0}, second = {0.0}, u, v;
    int k = 0;
    for (; k + 8 <= count; k += 8) {
        memcpy(&u, a + k, sizeof u);
        memcpy(&v, b + k, sizeof v);
        first += u * v;
        memcpy(&u, a + k + 4, sizeof u);
        memcpy(&v, b + k + 4, sizeof v);
        second += u * v;
    }
    first += second;
    double sum = (first[0] + first[1]) + (first[2] + first[3]);
    for (; k < count; k++)
        sum += a[k] * b[k];
    return sum;
}

INLINED void take(double *y, const double *x, double factor, int count)
{
    const Lanes f = {factor, factor, factor, factor};
    Lanes u, v;
    int k = 0;
    for (; k + 4 <= count; k += 4) {
        memcpy(&u, y + k, sizeof u);
        memcpy(&v, x + k, sizeof v);
        u -= f * v;
        memcpy(y + k, &u, sizeof u);
    }
    for (; k < count; k++)
        y[k] -= factor * x[k];
}

INLINED void pivot_all(double *inverse, int stride, int count, int position, const double *column)
{
    double *pivot_row = inverse + (long)position * stride;
    const double over = 1.0 / column[position];
    for (int r = 0; r < count; r++)
        pivot_row[r] *= over;
    for (int p = 0; p < count; p++)
        if (p != position && fabs(column[p]) >= TINY)
            take(inverse + (long)p * stride, pivot_row, column[p], count);
}

INLINED void multiply(const double *inverse, int stride, int count, const double *x, const double *column,
                      double *result)
{
    for (int p = 0; p < count; p++)
        if (!column || column[p] != 0.0)
            result[p] = dot(inverse + (long)p * stride, x, count);
}

/* What G needs of d and r, in lanes. */
typedef struct {
    Lanes d, over, r, gap;
} Rounding;

/* *g = G(*a). Rounds to the nearest integer by adding 1.5 * 2^52 and taking it away again, then down where that was up.
 * A quotient just below an integer may come out as that integer: the function is continuous there. */
INLINED void round_lanes(const Lanes *a, const Rounding *by, Lanes *g)
{
    const Lanes large = {6755399441055744.0, 6755399441055744.0, 6755399441055744.0, 6755399441055744.0},
                one = {1.0, 1.0, 1.0, 1.0}, zero = {0.0};
    const Lanes share = *a * by->over, near = (share + large) - large;
    const Lanes q = near - (Lanes)((near > share) & (Bits)one), rest = *a - q * by->d - by->r;
    *g = q * by->gap + (Lanes)((rest > zero) & (Bits)rest);
}

/* x NULL: the squares. */
INLINED double rounded_total(const double *a, const double *x, int count, double d, double r)
{
    const double over = 1.0 / d, gap = d - r;
    const Rounding by = {{d, d, d, d}, {over, over, over, over}, {r, r, r, r}, {gap, gap, gap, gap}};
    Lanes sum = {0.0}, u, v, g;
    int k = 0;
    for (; k + 4 <= count; k += 4) {
        memcpy(&u, a + k, sizeof u);
        round_lanes(&u, &by, &g);
        if (x)
            memcpy(&v, x + k, sizeof v);
        sum += g * (x ? v : g);
    }
    double total = (sum[0] + sum[1]) + (sum[2] + sum[3]);
    for (; k < count; k++) {
        const double share = a[k] / d, q = floor(share), rest = a[k] - q * d - r,
                     value = q * gap + (rest > 0 ? rest : 0.0);
        total += value * (x ? x[k] : value);
    }
    return total;
}

static void plain_pivot(double *inverse, int stride, int count, int position, const double *column)
{
    pivot_all(inverse, stride, count, position, column);
}

static void plain_products(const double *inverse, int stride, int count, const double *x, const double *column,
                           double *result)
{
    multiply(inverse, stride, count, x, column, result);
}

static void plain_subtract(double *y, const double *x, double factor, int count)
{
    take(y, x, factor, count);
}

static double plain_sum(const double *a, const double *x, int count, double d, double r)
{
    return rounded_total(a, x, count, d, r);
}
static double plain_squares(const double *a, int count, double d, double r)
{
    return rounded_total(a, NULL, count, d, r);
}

const Kernels *kernels_plain(void)
{
    static const Kernels plain = {plain_pivot, plain_products, plain_subtract, plain_sum, plain_squares};
    return &plain;
}

#if defined(__x86_64__)

__attribute__((target("avx2"))) static void wide_pivot(double *inverse, int stride, int count, int position,
                                                       const double *column)
{
    pivot_all(inverse, stride, count, position, column);
}

__attribute__((target("avx2"))) static void wide_products(const double *inverse, int stride, int count, const double *x,
                                                          const double *column, double *result)
{
    multiply(inverse, stride, count, x, column, result);
}

__attribute__((target("avx2"))) static void wide_subtract(double *y, const double *x, double factor, int count)
{
    take(y, x, factor, count);
}

__attribute__((target("avx2"))) static double wide_sum(const double *a, const double *x, int count, double d, double r)
{
    return rounded_total(a, x, count, d, r);
}

__attribute__((target("avx2"))) static double wide_squares(const double *a, int count, double d, double r)
{
    return rounded_total(a, NULL, count, d, r);
}

const Kernels *kernels_for_this_processor(void)
{
    static const Kernels wide = {wide_pivot, wide_products, wide_subtract, wide_sum, wide_squares};
    return __builtin_cpu_supports("avx2") ? &wide : kernels_plain();
}

#else

const Kernels *kernels_for_this_processor(void)
{
    return kernels_plain();
}

#endif
