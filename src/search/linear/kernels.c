/* kernels.c - one body for each loop, compiled for any processor and for those with AVX2. No fused multiply-add
 * (-ffp-contract=off), so both round alike. */
#include <math.h>
#include <string.h>

#include "search/linear/kernels.h"

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

/* dot(y, x), and then take(y, row), in one pass. */
INLINED double dot_and_take(double *y, const double *x, const double *row, double factor, int count)
{
    const Lanes f = {factor, factor, factor, factor};
    Lanes first = {0.0}, second = {0.0}, u, v, w;
    int k = 0;
    for (; k + 8 <= count; k += 8) {
        memcpy(&u, y + k, sizeof u);
        memcpy(&v, x + k, sizeof v);
        memcpy(&w, row + k, sizeof w);
        first += u * v;
        u -= f * w;
        memcpy(y + k, &u, sizeof u);
        memcpy(&u, y + k + 4, sizeof u);
        memcpy(&v, x + k + 4, sizeof v);
        memcpy(&w, row + k + 4, sizeof w);
        second += u * v;
        u -= f * w;
        memcpy(y + k + 4, &u, sizeof u);
    }
    first += second;
    double sum = (first[0] + first[1]) + (first[2] + first[3]);
    for (; k < count; k++) {
        sum += y[k] * x[k];
        y[k] -= factor * row[k];
    }
    return sum;
}

INLINED void pivot_all(double *inverse, int stride, int count, int position, const double *column, const double *x,
                       double *products)
{
    double *pivot_row = inverse + (long)position * stride;
    const double over = 1.0 / column[position];
    for (int r = 0; r < count; r++)
        pivot_row[r] *= over;
    for (int p = 0; p < count; p++) {
        double *row = inverse + (long)p * stride;
        if (p == position || fabs(column[p]) < NEXT_TO_NOTHING)
            continue;
        if (x != NULL)
            products[p] = dot_and_take(row, x, pivot_row, column[p], count);
        else
            take(row, pivot_row, column[p], count);
    }
}

INLINED void multiply(const double *inverse, int stride, int count, const double *x, double *result)
{
    for (int p = 0; p < count; p++)
        result[p] = dot(inverse + (long)p * stride, x, count);
}

/* Four rows at a time, so that y is read and written more seldom. */
INLINED void add_all(double *y, const double *const *row, const double *factor, int rows, int count)
{
    int r = 0;
    for (; r + 4 <= rows; r += 4) {
        const double *a = row[r], *b = row[r + 1], *c = row[r + 2], *d = row[r + 3];
        const double fa = factor[r], fb = factor[r + 1], fc = factor[r + 2], fd = factor[r + 3];
        const Lanes la = {fa, fa, fa, fa}, lb = {fb, fb, fb, fb}, lc = {fc, fc, fc, fc}, ld = {fd, fd, fd, fd};
        Lanes u, va, vb, vc, vd;
        int k = 0;
        for (; k + 4 <= count; k += 4) {
            memcpy(&u, y + k, sizeof u);
            memcpy(&va, a + k, sizeof va);
            memcpy(&vb, b + k, sizeof vb);
            memcpy(&vc, c + k, sizeof vc);
            memcpy(&vd, d + k, sizeof vd);
            u = (((u + la * va) + lb * vb) + lc * vc) + ld * vd;
            memcpy(y + k, &u, sizeof u);
        }
        for (; k < count; k++)
            y[k] = (((y[k] + fa * a[k]) + fb * b[k]) + fc * c[k]) + fd * d[k];
    }
    for (; r < rows; r++)
        take(y, row[r], -factor[r], count);
}

INLINED int list_greater(const double *a, const double *sign, double factor, double least, int from, int count,
                         int *list, int found)
{
    for (int k = from; k < count; k++) { /* without branches: which of them are greater is as good as random */
        list[found] = k;
        found += factor * a[k] * sign[k] > least;
    }
    return found;
}

INLINED int list_negative(const double *d, const double *sign, int count, int *list)
{
    int found = 0;
    for (int k = 0; k < count; k++)
        if (d[k] * sign[k] < 0)
            list[found++] = k;
    return found;
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

static void plain_pivot(double *inverse, int stride, int count, int position, const double *column, const double *x,
                        double *products)
{
    pivot_all(inverse, stride, count, position, column, x, products);
}

static void plain_products(const double *inverse, int stride, int count, const double *x, double *result)
{
    multiply(inverse, stride, count, x, result);
}

static void plain_subtract(double *y, const double *x, double factor, int count)
{
    take(y, x, factor, count);
}

static void plain_add(double *y, const double *const *row, const double *factor, int rows, int count)
{
    add_all(y, row, factor, rows, count);
}

static int plain_greater(const double *a, const double *sign, double factor, double least, int count, int *list)
{
    return list_greater(a, sign, factor, least, 0, count, list, 0);
}

static int plain_subtract_and_list(double *d, const double *x, double factor, const double *sign, int count, int *list)
{
    take(d, x, factor, count);
    return list_negative(d, sign, count, list);
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
    static const Kernels plain = {plain_pivot,   plain_products,          plain_subtract, plain_add,
                                  plain_greater, plain_subtract_and_list, plain_sum,      plain_squares};
    return &plain;
}

#if defined(__x86_64__)

#include <immintrin.h>

__attribute__((target("avx2"))) static void wide_pivot(double *inverse, int stride, int count, int position,
                                                       const double *column, const double *x, double *products)
{
    pivot_all(inverse, stride, count, position, column, x, products);
}

__attribute__((target("avx2"))) static void wide_products(const double *inverse, int stride, int count, const double *x,
                                                          double *result)
{
    multiply(inverse, stride, count, x, result);
}

__attribute__((target("avx2"))) static void wide_subtract(double *y, const double *x, double factor, int count)
{
    take(y, x, factor, count);
}

__attribute__((target("avx2"))) static void wide_add(double *y, const double *const *row, const double *factor,
                                                     int rows, int count)
{
    add_all(y, row, factor, rows, count);
}

/* Of four lanes, those whose bit is set come first. */
static const int packed[16][4] = {{0}, {0},    {1},    {0, 1},    {2},    {0, 2},    {1, 2},    {0, 1, 2},
                                  {3}, {0, 3}, {1, 3}, {0, 1, 3}, {2, 3}, {0, 2, 3}, {1, 2, 3}, {0, 1, 2, 3}};

__attribute__((target("avx2"))) static int wide_greater(const double *a, const double *sign, double factor,
                                                        double least, int count, int *list)
{
    const __m256d f = _mm256_set1_pd(factor), limit = _mm256_set1_pd(least);
    int found = 0, k = 0;
    for (; k + 4 <= count; k += 4) { /* four places are written, which are there: found <= k */
        const __m256d v = _mm256_mul_pd(_mm256_mul_pd(f, _mm256_loadu_pd(a + k)), _mm256_loadu_pd(sign + k));
        const int mask = _mm256_movemask_pd(_mm256_cmp_pd(v, limit, _CMP_GT_OQ));
        const __m128i lanes = _mm_loadu_si128((const __m128i *)packed[mask]);
        _mm_storeu_si128((__m128i *)(list + found), _mm_add_epi32(lanes, _mm_set1_epi32(k)));
        found += __builtin_popcount((unsigned)mask);
    }
    return list_greater(a, sign, factor, least, k, count, list, found);
}

__attribute__((target("avx2"))) static int wide_subtract_and_list(double *d, const double *x, double factor,
                                                                  const double *sign, int count, int *list)
{
    const __m256d f = _mm256_set1_pd(factor), zero = _mm256_setzero_pd();
    int any = 0, k = 0;
    for (; k + 4 <= count; k += 4) {
        const __m256d v = _mm256_sub_pd(_mm256_loadu_pd(d + k), _mm256_mul_pd(f, _mm256_loadu_pd(x + k)));
        _mm256_storeu_pd(d + k, v);
        any |= _mm256_movemask_pd(_mm256_cmp_pd(_mm256_mul_pd(v, _mm256_loadu_pd(sign + k)), zero, _CMP_LT_OQ));
    }
    for (; k < count; k++) {
        d[k] -= factor * x[k];
        any |= d[k] * sign[k] < 0;
    }
    return any != 0 ? list_negative(d, sign, count, list) : 0;
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
    static const Kernels wide = {wide_pivot,   wide_products,          wide_subtract, wide_add,
                                 wide_greater, wide_subtract_and_list, wide_sum,      wide_squares};
    return __builtin_cpu_supports("avx2") ? &wide : kernels_plain();
}

#else

const Kernels *kernels_for_this_processor(void)
{
    return kernels_plain();
}

#endif
