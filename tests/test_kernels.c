/* test_kernels.c - the dense loops: the same to the last bit on any processor, and equal to plain arithmetic. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "search/linear/kernels.h"
#include "support/run.h"

enum { MOST = 41, STRIDE = 48, CASES = 2000 };

static double number(Dice *dice)
{
    return (double)dice_roll(dice, -1000000, 1000000) / 1024.0;
}

static void fill(Dice *dice, double *to, int count, int zeros)
{
    for (int k = 0; k < count; k++)
        to[k] = dice_chance(dice, zeros) ? 0.0 : number(dice);
}

/* A row of the inverse times x. */
static double product(const double *row, const double *x, int count, double *size)
{
    double sum = 0;
    *size = 1;
    for (int r = 0; r < count; r++) {
        sum += row[r] * x[r];
        *size += fabs(row[r] * x[r]);
    }
    return sum;
}

static void pivots_are_the_same_everywhere(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 41);
    const Kernels *here = kernels_for_this_processor(), *plain = kernels_plain();
    for (int round = 0; round < CASES; round++) {
        double a[MOST * STRIDE], b[MOST * STRIDE], c[MOST * STRIDE], column[MOST], x[MOST], one[MOST], other[MOST];
        const int count = dice_roll(&dice, 1, MOST), position = dice_roll(&dice, 0, count - 1);
        fill(&dice, a, MOST * STRIDE, 30);
        fill(&dice, column, count, 30);
        column[position] = 3.5;
        column[count - 1] = count - 1 == position ? 3.5 : NEXT_TO_NOTHING / 2;
        fill(&dice, x, MOST, 30);
        memcpy(b, a, sizeof a);
        memcpy(c, a, sizeof a);
        memcpy(one, x, sizeof one);
        memcpy(other, x, sizeof other);
        const bool asked = dice_chance(&dice, 50);
        here->pivot(a, STRIDE, count, position, column, asked ? x : NULL, one);
        plain->pivot(b, STRIDE, count, position, column, asked ? x : NULL, other);
        assert_memory_equal(a, b, sizeof a);
        assert_memory_equal(one, other, sizeof one);
        for (int p = 0; p < count; p++)
            for (int r = 0; r < count; r++) {
                const double row = c[position * STRIDE + r] * (1.0 / 3.5),
                             wanted = p == position                        ? row
                                      : fabs(column[p]) >= NEXT_TO_NOTHING ? c[p * STRIDE + r] - column[p] * row
                                                                           : c[p * STRIDE + r];
                assert_true(a[p * STRIDE + r] == wanted);
            }
        for (int p = 0; p < count; p++) { /* of the rows that change, as they were */
            double size;
            const double sum = product(c + p * STRIDE, x, count, &size);
            const bool changes = asked && p != position && fabs(column[p]) >= NEXT_TO_NOTHING;
            assert_true(changes ? fabs(one[p] - sum) <= 1e-12 * size : one[p] == x[p]);
        }
        assert_memory_equal(a + count, c + count,
                            (size_t)(STRIDE - count) * sizeof *a); /* beyond the rows' length nothing changes */
    }
}

static void products_are_the_same_everywhere(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 42);
    const Kernels *here = kernels_for_this_processor(), *plain = kernels_plain();
    for (int round = 0; round < CASES; round++) {
        double a[MOST * STRIDE], x[MOST], one[MOST], other[MOST];
        const int count = dice_roll(&dice, 1, MOST);
        fill(&dice, a, MOST * STRIDE, 30);
        fill(&dice, x, MOST, 30);
        memcpy(one, x, sizeof one);
        memcpy(other, x, sizeof other);
        here->products(a, STRIDE, count, x, one);
        plain->products(a, STRIDE, count, x, other);
        assert_memory_equal(one, other, sizeof one);
        for (int p = 0; p < count; p++) {
            double size;
            const double sum = product(a + p * STRIDE, x, count, &size);
            assert_true(fabs(one[p] - sum) <= 1e-12 * size);
        }
        here->subtract(one, x, 0.75, count);
        plain->subtract(other, x, 0.75, count);
        assert_memory_equal(one, other, sizeof one);
    }
}

static void rows_are_added_one_after_the_other(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 44);
    const Kernels *here = kernels_for_this_processor(), *plain = kernels_plain();
    for (int round = 0; round < CASES; round++) {
        double a[MOST * STRIDE], factor[MOST], one[MOST + 1], other[MOST + 1], wanted[MOST + 1];
        const double *row[MOST];
        const int count = dice_roll(&dice, 1, MOST), rows = dice_roll(&dice, 0, 11);
        fill(&dice, a, MOST * STRIDE, 60);
        fill(&dice, factor, rows, 0);
        fill(&dice, wanted, MOST + 1, 30);
        memcpy(one, wanted, sizeof one);
        memcpy(other, wanted, sizeof other);
        for (int r = 0; r < rows; r++) {
            row[r] = a + dice_roll(&dice, 0, MOST - 1) * STRIDE;
            for (int k = 0; k < count; k++)
                wanted[k] += factor[r] * row[r][k];
        }
        here->add_rows(one, row, factor, rows, count);
        plain->add_rows(other, row, factor, rows, count);
        for (int k = 0; k <= MOST; k++) /* beyond the rows' length nothing changes */
            assert_true(one[k] == wanted[k] && other[k] == wanted[k]);
    }
}

static void what_is_listed_is_what_is_asked_for(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 45);
    const Kernels *const kernels[2] = {kernels_for_this_processor(), kernels_plain()};
    for (int round = 0; round < CASES; round++) {
        double a[MOST], x[MOST], sign[MOST], d[2][MOST];
        int list[MOST];
        const int count = dice_roll(&dice, 1, MOST);
        const double factor = dice_chance(&dice, 50) ? 1.0 : -1.0, step = number(&dice);
        fill(&dice, a, count, 30);
        fill(&dice, x, count, 30);
        for (int k = 0; k < count; k++) {
            sign[k] = dice_roll(&dice, -1, 1);
            a[k] = dice_chance(&dice, 20) ? 2.5 : a[k]; /* at the limit */
        }
        for (int kind = 0; kind < 2; kind++) {
            int at = 0, found = kernels[kind]->greater(a, sign, factor, 2.5, count, list);
            for (int k = 0; k < count; k++)
                if (factor * a[k] * sign[k] > 2.5)
                    assert_true(at < found && list[at++] == k);
            assert_int_equal(at, found);
            memcpy(d[kind], a, sizeof a);
            found = kernels[kind]->subtract_and_list(d[kind], x, step, sign, count, list);
            at = 0;
            for (int k = 0; k < count; k++) {
                assert_true(d[kind][k] == a[k] - step * x[k]);
                if (d[kind][k] * sign[k] < 0)
                    assert_true(at < found && list[at++] == k);
            }
            assert_int_equal(at, found);
        }
    }
}

/* G(a) in integers. */
static int64_t rounded(int64_t a, int64_t d, int64_t r)
{
    const int64_t q = a / d - (a % d < 0), rest = a - q * d;
    return q * (d - r) + (rest > r ? rest - r : 0);
}

static void rounding_is_that_of_integers(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 43);
    const Kernels *here = kernels_for_this_processor(), *plain = kernels_plain();
    for (int round = 0; round < CASES; round++) {
        double a[MOST], x[MOST];
        const int count = dice_roll(&dice, 1, MOST), most = dice_chance(&dice, 50) ? 40 : 2000000;
        const int64_t d = dice_roll(&dice, 2, most), r = dice_roll(&dice, 1, (int)d - 1);
        double sum = 0, squares = 0, size = 1;
        for (int k = 0; k < count; k++) {
            const int64_t v = dice_chance(&dice, 30) ? d * dice_roll(&dice, -3, 3) : dice_roll(&dice, -most, most),
                          g = rounded(v, d, r);
            a[k] = (double)v;
            x[k] = dice_roll(&dice, 0, 8) / 8.0;
            sum += (double)g * x[k];
            squares += (double)g * (double)g;
            size += fabs((double)g);
        }
        const double one = here->rounded_sum(a, x, count, (double)d, (double)r),
                     two = here->rounded_squares(a, count, (double)d, (double)r);
        assert_true(one == plain->rounded_sum(a, x, count, (double)d, (double)r) &&
                    two == plain->rounded_squares(a, count, (double)d, (double)r));
        assert_true(fabs(one - sum) <= 1e-9 * size && fabs(two - squares) <= 1e-9 * size * size);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pivots_are_the_same_everywhere),     cmocka_unit_test(products_are_the_same_everywhere),
        cmocka_unit_test(rows_are_added_one_after_the_other), cmocka_unit_test(what_is_listed_is_what_is_asked_for),
        cmocka_unit_test(rounding_is_that_of_integers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
