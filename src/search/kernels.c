/* kernels.c - one body for each loop, compiled for any processor and for those with AVX2. No fused multiply-add (-ffp-contract=off), so both round alike. */
#include <math.h>
#include <string.h>

#include "search/kernels.h"

#define TINY 1e-14
#define INLINED static inline __attribute__((always_inline))

typedef double Lanes __attribute__((vector_size(32)));

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

INLINED void multiply(const double *inverse, int stride, int count, const double *x, const double *column, double *result)
{
    for (int p = 0; p < count; p++)
        if (!column || column[p] != 0.0)
            result[p] = dot(inverse + (long)p * stride, x, count);
}

static void plain_pivot(double *inverse, int stride, int count, int position, const double *column)
{
    pivot_all(inverse, stride, count, position, column);
}

static void plain_products(const double *inverse, int stride, int count, const double *x, const double *column, double *result)
{
    multiply(inverse, stride, count, x, column, result);
}

static void plain_subtract(double *y, const double *x, double factor, int count) { take(y, x, factor, count); }

const Kernels *kernels_plain(void)
{
    static const Kernels plain = {plain_pivot, plain_products, plain_subtract};
    return &plain;
}

#if defined(__x86_64__)

__attribute__((target("avx2"))) static void wide_pivot(double *inverse, int stride, int count, int position, const double *column)
{
    pivot_all(inverse, stride, count, position, column);
}

__attribute__((target("avx2"))) static void wide_products(const double *inverse, int stride, int count, const double *x, const double *column, double *result)
{
    multiply(inverse, stride, count, x, column, result);
}

__attribute__((target("avx2"))) static void wide_subtract(double *y, const double *x, double factor, int count) { take(y, x, factor, count); }

const Kernels *kernels_for_this_processor(void)
{
    static const Kernels wide = {wide_pivot, wide_products, wide_subtract};
    return __builtin_cpu_supports("avx2") ? &wide : kernels_plain();
}

#else

const Kernels *kernels_for_this_processor(void) { return kernels_plain(); }

#endif
