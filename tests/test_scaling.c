/* test_scaling.c - bounds for another size, against published apportionments. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "model/instance/instance.h"

static Bounds written(int64_t low, int64_t high, bool exactly, int size_at)
{
    return (Bounds){.kind = BOUND_ABSOLUTE,
                    .has_low = low >= 0,
                    .has_high = high >= 0,
                    .low = low,
                    .high = high,
                    .exactly = exactly,
                    .size_at = size_at};
}

typedef struct {
    const char *name;
    int64_t people;
    int64_t seats;
} Share;

/* Each share's exact quota lies in the band that its share scaled to the house makes. */
static void assert_shares(const Share *share, size_t count, int house)
{
    int64_t people = 0, seats = 0;
    for (size_t i = 0; i < count; i++) {
        people += share[i].people;
        seats += share[i].seats;
    }
    assert_int_equal(seats, house);
    for (size_t i = 0; i < count; i++) {
        Bounds bounds = written(share[i].people, share[i].people, true, (int)people);
        Bounds scaled = bounds_scaled(&bounds, house);
        if (scaled.low > share[i].seats || scaled.high < share[i].seats || scaled.high - scaled.low > 1)
            fail_msg("%s: %lld to %lld", share[i].name, (long long)scaled.low, (long long)scaled.high);
        assert_true((double)scaled.low <= (double)share[i].people * house / (double)people);
        assert_true((double)scaled.high >= (double)share[i].people * house / (double)people);
    }
}

/* The census of 1790 and 120 seats by largest remainders. Populations and seats: National Archives; M. L. Balinski and
 * H. P. Young, "Fair Representation", 1982. */
static void the_census_of_1790(void **state)
{
    (void)state;
    static const Share share[] = {{"CT", 236841, 8},  {"DE", 55540, 2},   {"GA", 70835, 2},   {"KY", 68705, 2},
                                  {"MD", 278514, 9},  {"MA", 475327, 16}, {"NH", 141822, 5},  {"NJ", 179570, 6},
                                  {"NY", 331589, 11}, {"NC", 353523, 12}, {"PA", 432879, 14}, {"RI", 68446, 2},
                                  {"SC", 206236, 7},  {"VT", 85533, 3},   {"VA", 630560, 21}};
    assert_shares(share, sizeof share / sizeof *share, 120);
}

/* Alabama 1880, the quotas of Balinski and Young: 7.646, 18.640, 9.640 at 299 seats give 8, 18, 9; 7.671, 18.702, 9.672
 * at 300 give 7, 19, 10. */
static void alabama_1880(void **state)
{
    (void)state;
    static const struct {
        int64_t quota; /* thousandths of a seat */
        int64_t seats;
    } state_of[] = {{7646, 8}, {18640, 18}, {9640, 9}, {7671, 7}, {18702, 19}, {9672, 10}};
    for (size_t i = 0; i < sizeof state_of / sizeof *state_of; i++) {
        Bounds bounds = written(state_of[i].quota, state_of[i].quota, true, 300000);
        Bounds scaled = bounds_scaled(&bounds, 300);
        assert_true(scaled.low <= state_of[i].seats && state_of[i].seats <= scaled.high);
        assert_int_equal(scaled.high - scaled.low, 1);
    }
}

static void the_quota_rule(void **state)
{
    (void)state;
    Bounds bounds = written(58, 58, true, 360);
    Bounds scaled = bounds_scaled(&bounds, 540);
    assert_int_equal(scaled.low, 87);
    assert_int_equal(scaled.high, 87);
    assert_true(scaled.exactly);
    scaled = bounds_scaled(&bounds, 450); /* 72.5 */
    assert_int_equal(scaled.low, 72);
    assert_int_equal(scaled.high, 73);
    assert_false(scaled.exactly);
    bounds = written(1, -1, false, 360);
    scaled = bounds_scaled(&bounds, 1);
    assert_int_equal(scaled.low, 1); /* never from 1 to 0 */
    bounds = written(0, 1, false, 360);
    scaled = bounds_scaled(&bounds, 1);
    assert_int_equal(scaled.low, 0);
    assert_int_equal(scaled.high, 1);
    bounds = written(3, 4, false, 360);
    bounds.kind = BOUND_PERCENT;
    scaled = bounds_scaled(&bounds, 720);
    assert_int_equal(scaled.low, 3);
    bounds.kind = BOUND_AVERAGE;
    scaled = bounds_scaled(&bounds, 720);
    assert_int_equal(scaled.high, 4);
    for (int size = 1; size < 1000;
         size++) { /* its own size changes nothing; no other size makes a bound vanish or cross */
        bounds = written(size % 37, size % 37 + size % 5, false, size);
        scaled = bounds_scaled(&bounds, size);
        assert_int_equal(scaled.low, bounds.low);
        assert_int_equal(scaled.high, bounds.high);
        scaled = bounds_scaled(&bounds, 1000 - size);
        assert_true(scaled.low <= scaled.high);
        assert_true(bounds.low == 0 || scaled.low >= 1);
    }
    bounds = written(999999999999, 999999999999, true, 99991); /* 128 bits */
    scaled = bounds_scaled(&bounds, 100000);
    assert_int_equal(scaled.low, 1000090008099);
    assert_int_equal(scaled.high, 1000090008100);
}

/* What is to be written loosens a scaled side by as much as is asked at least, and one less would not do. */
static void what_is_to_be_written(void **state)
{
    (void)state;
    Bounds bounds = written(9, 9, true, 360), out = bounds_unscaled(&bounds, 180, true, 1); /* 4 to 5 */
    assert_int_equal(out.low, 7);
    assert_int_equal(out.high, 9);
    assert_false(out.exactly);
    out = bounds_unscaled(&bounds, 180, false, 1);
    assert_int_equal(out.low, 9);
    assert_int_equal(out.high, 11);
    for (int size_at = 1; size_at < 40; size_at += 3)
        for (int size = 1; size < 60; size += 2)
            for (int64_t number = 0; number < 30; number++) {
                bounds = written(number, number + size % 4, false, size_at);
                const Bounds scaled = bounds_scaled(&bounds, size);
                for (int64_t units = 1; units <= scaled.low; units++) {
                    out = bounds_unscaled(&bounds, size, true, units);
                    assert_true(bounds_scaled(&out, size).low <= scaled.low - units);
                    out.low++;
                    assert_true(bounds_scaled(&out, size).low > scaled.low - units);
                }
                for (int64_t units = 1; units < 4; units++) {
                    out = bounds_unscaled(&bounds, size, false, units);
                    assert_true(bounds_scaled(&out, size).high >= scaled.high + units);
                    out.high--;
                    assert_true(bounds_scaled(&out, size).high < scaled.high + units);
                }
            }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_census_of_1790),
        cmocka_unit_test(alabama_1880),
        cmocka_unit_test(the_quota_rule),
        cmocka_unit_test(what_is_to_be_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
