/* test_search_equals.c - all solutions as good as the best with the least activity of a row: through sequences of
 * changes of one loaded programme they are those that trying every point finds, one for each way in which told columns
 * can be. Programmes of few different worths, so that there are many; in some a column is the sum of others, which the
 * search puts in for it, in some the row or another one is protected, and in some the best is not proven before.
 * POOLWRIGHT_SEED moves the first seed, POOLWRIGHT_SCENARIOS sets how many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "search/search.h"
#include "support/tiny.h"

enum { COLUMNS = 13, ROWS = 5, MONEY = 1, SUM = 4, POINTS = 1 << COLUMNS, STEPS = 12, MOST = 12 };

typedef struct {
    SearchProblem p;
    int64_t a[ROWS][COLUMNS];
    bool told[COLUMNS + 1]; /* the threshold of what is protected is not */
    bool lower[ROWS];       /* the row may have a lower side */
} Small;

/* Whichever two or so of the coefficients rise. */
static void protect(Small *s, int row, Dice *dice)
{
    int column[COLUMNS], count = 0;
    int64_t rise[COLUMNS];
    for (int j = 0; j < COLUMNS; j++)
        if (dice_chance(dice, 70)) {
            column[count] = j;
            rise[count++] = row == MONEY ? 10 * dice_roll(dice, 1, 4) : dice_roll(dice, 1, 3);
        }
    s->p.high[COLUMNS] = 1000;
    s->p.kind[COLUMNS] = SEARCH_CONTINUOUS;
    s->p.protections = protections_new();
    protections_add(s->p.protections, row, COLUMNS, dice_roll(dice, 1, 7), 2, count, column, rise);
    s->p.row_low[row] = SEARCH_MINUS_INFINITY;
    s->lower[row] = false;
}

/* Column 0 may be the sum of two others, by a row of its own. */
static void make(Small *s, Dice *dice)
{
    const bool sum = dice_chance(dice, 40);
    const int worths = dice_roll(dice, 1, 4), prices = dice_roll(dice, 1, 5);
    memset(s->a, 0, sizeof s->a);
    search_problem_init(&s->p, COLUMNS + 1, ROWS, COLUMNS * ROWS);
    s->told[COLUMNS] = false;
    size_t at = 0;
    for (int j = 0; j < COLUMNS; j++) {
        s->p.high[j] = 1;
        s->p.kind[j] = SEARCH_INTEGER;
        s->p.objective[j] = 50 * dice_roll(dice, 0, worths);
        s->a[0][j] = 1;
        s->a[MONEY][j] = sum && j == 0 ? 0 : 10 * dice_roll(dice, 0, prices);
        s->told[j] = s->a[MONEY][j] != 0 || (!(sum && j == 0) && dice_chance(dice, 70));
        for (int i = MONEY + 1; i < SUM; i++)
            s->a[i][j] = dice_chance(dice, 60) ? dice_roll(dice, -3, 6) : 0;
        s->a[SUM][j] = !sum ? 0 : j == 0 ? 1 : j < 3 ? -1 : 0;
        s->p.start[j] = at;
        for (int i = 0; i < ROWS; i++)
            if (s->a[i][j] != 0) {
                s->p.row[at] = i;
                s->p.value[at++] = s->a[i][j];
            }
    }
    s->p.start[COLUMNS] = s->p.start[COLUMNS + 1] = at;
    for (int i = 0; i < SUM; i++) {
        int64_t all = 0;
        for (int j = 0; j < COLUMNS; j++)
            all += s->a[i][j];
        s->p.row_high[i] = all / 2 + dice_roll(dice, -1, 3);
        s->p.row_low[i] = dice_chance(dice, 30) ? s->p.row_high[i] - dice_roll(dice, 0, 3) : SEARCH_MINUS_INFINITY;
        s->lower[i] = true;
    }
    s->p.row_low[SUM] = s->p.row_high[SUM] = 0;
    if (dice_chance(dice, 40))
        protect(s, dice_chance(dice, 70) ? MONEY : MONEY + 1, dice);
}

static void change(Small *s, Search *search, Dice *dice)
{
    const int i = dice_roll(dice, 0, SUM - 1), j = dice_roll(dice, 0, COLUMNS - 1);
    switch (dice_roll(dice, 0, 3)) {
    case 0: s->p.row_high[i] += (i == MONEY ? 10 : 1) * dice_roll(dice, -2, 2); break;
    case 1: s->p.low[j] = s->p.high[j] = dice_roll(dice, 0, 1); break;
    case 2: s->p.low[j] = 0, s->p.high[j] = 1; break;
    default: s->p.objective[j] = 50 * dice_roll(dice, 0, 4);
    }
    s->p.row_low[i] = s->p.row_low[i] > s->p.row_high[i] ? s->p.row_high[i] : s->p.row_low[i];
    search_set_row(search, i, s->p.row_low[i], s->p.row_high[i]);
    search_set_column(search, j, s->p.low[j], s->p.high[j]);
    search_set_objective(search, j, s->p.objective[j]);
}

/* ---- trying every point ---- */

typedef struct {
    int64_t value, money;
    unsigned pattern[POINTS]; /* of told columns, each once */
    size_t count;
} Truth;

static void add_pattern(Truth *truth, unsigned pattern)
{
    for (size_t k = 0; k < truth->count; k++)
        if (truth->pattern[k] == pattern)
            return;
    truth->pattern[truth->count++] = pattern;
}

static unsigned pattern_of(const Small *s, const int64_t *x)
{
    unsigned pattern = 0;
    for (int j = 0; j < COLUMNS; j++)
        pattern |= s->told[j] && x[j] != 0 ? 1U << j : 0;
    return pattern;
}

static int64_t money_of(const Small *s, const int64_t *x)
{
    int64_t money = 0;
    for (int j = 0; j < COLUMNS; j++)
        money += s->a[MONEY][j] * x[j];
    return money;
}

static void try_all(const Small *s, Truth *truth)
{
    truth->count = 0;
    for (unsigned bits = 0; bits < POINTS; bits++) {
        int64_t x[COLUMNS + 1] = {0}, value;
        for (int j = 0; j < COLUMNS; j++)
            x[j] = bits >> j & 1;
        if (!search_feasible(&s->p, x, &value))
            continue;
        const int64_t money = money_of(s, x);
        if (truth->count > 0 && (value < truth->value || (value == truth->value && money > truth->money)))
            continue;
        if (truth->count == 0 || value > truth->value || money < truth->money)
            truth->count = 0;
        truth->value = value;
        truth->money = money;
        add_pattern(truth, pattern_of(s, x));
    }
}

/* ---- one programme ---- */

typedef struct {
    int all, several, given_up, protected, unproven, better;
} Times;

static void check_equals(const Small *s, Search *search, const SearchResult *r, const Truth *truth, Times *seen)
{
    SearchOptions options;
    search_options_default(&options);
    SearchEquals equals = {
        .row = MONEY, .told = s->told, .most = MOST, .effort = 100000, .proven = r->status == SEARCH_BEST};
    search_equals(search, &options, r->x, &equals);
    if (truth->count > MOST)
        assert_false(equals.all);
    seen->all += equals.all;
    seen->several += equals.all && equals.count > 1;
    seen->given_up += !equals.all && truth->count <= MOST;
    seen->protected += equals.all && s->p.protections != NULL;
    seen->unproven += equals.all && r->status == SEARCH_WITHIN_GAP;
    seen->better += equals.all && r->value < truth->value;
    if (equals.all) {
        assert_int_equal(equals.count, truth->count);
        assert_int_equal(equals.value, truth->value);
    }
    assert_true(equals.value >= r->value && equals.value <= truth->value);
    unsigned last[MOST];
    for (size_t k = 0; k < equals.count && equals.all; k++) {
        int64_t value;
        assert_true(search_feasible(&s->p, equals.point[k], &value));
        assert_int_equal(value, truth->value);
        assert_int_equal(money_of(s, equals.point[k]), truth->money);
        last[k] = pattern_of(s, equals.point[k]);
        for (size_t i = 0; i < k; i++)
            assert_int_not_equal(last[i], last[k]);
    }
    search_equals_release(&equals);
}

static void check_one(uint64_t seed, Times *seen)
{
    Dice dice;
    Small s;
    Truth *truth = mem_new(1, sizeof *truth);
    dice_seed(&dice, seed);
    make(&s, &dice);
    Search *search = search_new(&s.p);
    for (int step = 0; step < STEPS; step++) {
        SearchOptions options;
        SearchResult r;
        search_options_default(&options);
        options.gap_ppm = dice_chance(&dice, 30) ? 500000 : 0;
        try_all(&s, truth);
        search_run(search, &options, &r);
        assert_int_equal(r.status == SEARCH_INFEASIBLE, truth->count == 0);
        if (r.status != SEARCH_INFEASIBLE) {
            assert_true(r.status == SEARCH_BEST || (options.gap_ppm > 0 && r.status == SEARCH_WITHIN_GAP));
            assert_true(r.status == SEARCH_BEST ? r.value == truth->value : r.value <= truth->value);
            check_equals(&s, search, &r, truth, seen);
        }
        search_result_release(&r);
        change(&s, search, &dice);
    }
    search_free(search);
    search_problem_release(&s.p);
    mem_free(truth);
}

static void finds_all_that_are_as_good(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(200);
    Times seen = {0};
    for (uint64_t seed = first; seed < first + count; seed++)
        check_one(seed, &seen);
    print_message("%d times all, %d of them several, %d protected, %d not proven before, of which %d not the best; "
                  "%d times given up without need\n",
                  seen.all, seen.several, seen.protected, seen.unproven, seen.better, seen.given_up);
    assert_true(seen.several >= (int)count && seen.protected >= (int)count);
    assert_true(seen.unproven >= (int)count / 8 && seen.better >= (int)count / 16);
    assert_true(seen.given_up <= seen.all / 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(finds_all_that_are_as_good)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
