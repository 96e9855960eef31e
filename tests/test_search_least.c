/* test_search_least.c - the least that each of several columns needs, all by one tree: on small programmes as trying
 * every point finds it, on larger ones as single runs do with the side a unit tighter and as it is. With little effort
 * nothing is said that is not so. In some a column is the sum of others, which the search puts in for it. The
 * programmes are invented. POOLWRIGHT_SEED moves the first seed, POOLWRIGHT_SCENARIOS sets how many. */
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

enum { SMALL = 11, LARGE = 45, ROWS = 6, SIDES = 4, CHOICE = ROWS, SUM = ROWS - 1, NOTHING = 1 << 20 };

/* Rows 0 to SIDES - 1 have one side each, which a column of its own loosens. */
typedef struct {
    SearchProblem p;
    int columns; /* without the sides' */
    int64_t a[ROWS][LARGE];
    int64_t step[SIDES], units[SIDES], least[SIDES];
    int column[SIDES];
    bool lower[SIDES];
    int asked; /* sides: the first ones */
} Made;

static void add(SearchProblem *p, size_t *at, int row, int64_t value)
{
    if (value == 0)
        return;
    p->row[*at] = row;
    p->value[(*at)++] = value;
}

static void make_sides(Made *m, Dice *dice, bool sum)
{
    for (int i = 0; i < SIDES; i++) {
        int64_t all = 0;
        for (int j = 0; j < m->columns; j++)
            all += m->a[i][j];
        m->lower[i] = dice_chance(dice, 30);
        const int64_t side = m->lower[i] ? all * dice_roll(dice, 55, 80) / 100 : all * dice_roll(dice, 30, 55) / 100;
        m->p.row_low[i] = m->lower[i] ? side : SEARCH_MINUS_INFINITY;
        m->p.row_high[i] = m->lower[i] ? SEARCH_PLUS_INFINITY : side;
    }
    const bool any_size = dice_chance(dice, 40); /* then columns may be in no row that is left */
    m->p.row_low[SIDES] = any_size ? SEARCH_MINUS_INFINITY : m->columns / 2;
    m->p.row_high[SIDES] = any_size ? SEARCH_PLUS_INFINITY : m->columns / 2;
    m->p.row_low[SUM] = sum ? 0 : SEARCH_MINUS_INFINITY;
    m->p.row_high[SUM] = sum ? 0 : SEARCH_PLUS_INFINITY;
    m->p.row_low[CHOICE] = m->p.row_high[CHOICE] = 1;
}

/* Column 0 may be the sum of two others. */
static void make(Made *m, Dice *dice, int columns)
{
    const bool sum = dice_chance(dice, 30);
    const int entries = dice_chance(dice, 50) ? 70 : 30;
    memset(m, 0, sizeof *m);
    m->columns = columns;
    search_problem_init(&m->p, columns + SIDES, ROWS + 1, (size_t)((columns + SIDES) * (ROWS + 1)));
    size_t at = 0;
    for (int j = 0; j < columns; j++) {
        m->p.high[j] = 1;
        m->p.objective[j] = 50 * dice_roll(dice, 0, columns == LARGE ? 40 : 5);
        for (int i = 0; i < SIDES; i++)
            m->a[i][j] = dice_chance(dice, entries) ? dice_roll(dice, 1, columns == LARGE ? 60 : 9) : 0;
        m->a[SIDES][j] = 1;
        m->a[SUM][j] = !sum ? 0 : j == 0 ? 1 : j < 3 ? -1 : 0;
        for (int i = 0; i < ROWS; i++)
            add(&m->p, &at, i, m->a[i][j]);
        m->p.start[j + 1] = at;
    }
    make_sides(m, dice, sum);
    m->asked = dice_chance(dice, 60) ? SIDES : dice_roll(dice, 1, SIDES - 1);
    for (int k = 0; k < SIDES; k++) {
        const int z = columns + k;
        m->column[k] = z;
        m->step[k] = dice_roll(dice, 1, 3);
        m->units[k] = dice_roll(dice, 1, columns == LARGE || dice_chance(dice, 30) ? 40 : 12); /* so many may do away
                                                                                                  with the row */
        m->least[k] = 1;
        m->p.high[z] = k < m->asked;
        m->p.objective[z] = -50 * dice_roll(dice, 0, 2);
        add(&m->p, &at, k, (m->lower[k] ? 1 : -1) * m->step[k] * m->units[k]);
        add(&m->p, &at, CHOICE, 1);
        m->p.start[z + 1] = at;
    }
}

/* The point as it is without a side's column; loosened: that side by so many units (-1: none). */
static bool holds(const Made *m, const int64_t *x, int loosened, int64_t units)
{
    for (int i = 0; i < ROWS; i++) {
        int64_t sum = 0;
        for (int j = 0; j < m->columns; j++)
            sum += m->a[i][j] * x[j];
        if (i == loosened)
            sum += (m->lower[i] ? 1 : -1) * m->step[i] * units;
        if (sum < m->p.row_low[i] || sum > m->p.row_high[i])
            return false;
    }
    return true;
}

static int64_t value_of(const Made *m, const int64_t *x)
{
    int64_t value = 0;
    for (int j = 0; j < m->columns; j++)
        value += m->p.objective[j] * x[j];
    return value;
}

/* ---- trying every point ---- */

static void point(const Made *m, unsigned bits, int64_t *x)
{
    for (int j = 0; j < m->columns; j++)
        x[j] = bits >> j & 1;
}

/* The best value without loosening; false: there is none. */
static bool best_of_all(const Made *m, int64_t *best)
{
    int64_t x[SMALL];
    bool any = false;
    for (unsigned bits = 0; bits < 1U << m->columns; bits++) {
        point(m, bits, x);
        if (!holds(m, x, -1, 0))
            continue;
        const int64_t value = value_of(m, x);
        *best = !any || value > *best ? value : *best;
        any = true;
    }
    return any;
}

/* NOTHING where more than the units asked about are needed. */
static int64_t least_of_all(const Made *m, int side, int64_t target)
{
    int64_t x[SMALL];
    for (int64_t units = 0; units <= m->units[side]; units++)
        for (unsigned bits = 0; bits < 1U << m->columns; bits++) {
            point(m, bits, x);
            if (value_of(m, x) + m->p.objective[m->column[side]] >= target && holds(m, x, side, units))
                return units;
        }
    return NOTHING;
}

/* ---- by single runs ---- */

/* The best value with the side loosened by so many units; false: none, or not known. */
static bool best_by_run(const Made *m, int side, int64_t units, int64_t *best)
{
    SearchOptions options;
    SearchResult result;
    Search *search = search_new(&m->p);
    search_options_default(&options);
    for (int k = 0; k < SIDES; k++)
        search_set_column(search, m->column[k], 0, 0);
    search_set_row(search, CHOICE, 0, 0);
    if (side >= 0)
        search_set_row(search, side,
                       m->lower[side] ? m->p.row_low[side] - m->step[side] * units : SEARCH_MINUS_INFINITY,
                       m->lower[side] ? SEARCH_PLUS_INFINITY : m->p.row_high[side] + m->step[side] * units);
    search_run(search, &options, &result);
    search_free(search);
    const bool known = result.status == SEARCH_BEST;
    *best = result.value;
    search_result_release(&result);
    return known;
}

/* Does the side need exactly so many units (NOTHING: more than were asked about)? */
static void agrees_with_runs(const Made *m, int side, int64_t target, int64_t need, uint64_t seed)
{
    int64_t best = 0;
    const int64_t wanted = target - m->p.objective[m->column[side]],
                  fewer = need == NOTHING ? m->units[side] : need - 1;
    if (best_by_run(m, side, fewer, &best) && best >= wanted)
        fail_msg("seed %llu side %d: %lld units are said not to be enough", (unsigned long long)seed, side,
                 (long long)fewer);
    if (need != NOTHING && (!best_by_run(m, side, need, &best) || best < wanted))
        fail_msg("seed %llu side %d: %lld units are said to be enough", (unsigned long long)seed, side,
                 (long long)need);
}

/* ---- asking ---- */

static void ask(const Made *m, int64_t target, bool any, int64_t effort, SearchLeast *least)
{
    SearchOptions options;
    search_options_default(&options);
    Search *search = search_new(&m->p);
    *least = (SearchLeast){.count = m->asked,
                           .column = m->column,
                           .units = m->units,
                           .least = m->least,
                           .row = CHOICE,
                           .any = any,
                           .target = target,
                           .effort = effort};
    search_least(search, &options, least);
    search_free(search);
}

/* A point that is handed out reaches the target with the units that it is said to need, and not with fewer. */
static void is_sound(const Made *m, int64_t target, const SearchLeast *least, uint64_t seed)
{
    for (int k = 0; k < m->asked; k++) {
        const int64_t *x = least->point[k];
        if (x == NULL)
            continue;
        if (x[m->column[k]] != 1 || least->need[k] > m->units[k] || !holds(m, x, k, least->need[k]) ||
            holds(m, x, k, least->need[k] - 1) || value_of(m, x) + m->p.objective[m->column[k]] < target)
            fail_msg("seed %llu side %d: a point that is none", (unsigned long long)seed, k);
    }
}

typedef struct {
    int found, none, open, asked;
} Times;

static void compare(const Made *m, int64_t target, bool any, const SearchLeast *least, uint64_t seed, Times *seen)
{
    is_sound(m, target, least, seed);
    seen->open += !least->all;
    for (int k = 0; k < m->asked; k++) {
        const int64_t truth = m->columns == SMALL ? least_of_all(m, k, target) : NOTHING;
        seen->found += least->point[k] != NULL;
        seen->none += least->point[k] == NULL && least->all;
        seen->asked++;
        if (m->columns == LARGE) {
            if (least->all && !any)
                agrees_with_runs(m, k, target, least->point[k] != NULL ? least->need[k] : NOTHING, seed);
            continue;
        }
        if (least->point[k] != NULL && least->need[k] < truth)
            fail_msg("seed %llu side %d: %lld units, but %lld are needed", (unsigned long long)seed, k,
                     (long long)least->need[k], (long long)truth);
        if (least->all &&
            ((least->point[k] == NULL) != (truth == NOTHING) || (!any && truth != NOTHING && least->need[k] != truth) ||
             (truth == NOTHING && least->need[k] != m->units[k] + 1)))
            fail_msg("seed %llu side %d any %d: %lld units, but %lld are needed", (unsigned long long)seed, k, any,
                     (long long)least->need[k], (long long)truth);
    }
}

static void try_one(uint64_t seed, int columns, Times *seen)
{
    Made m;
    Dice dice;
    dice_seed(&dice, seed);
    int64_t best = 0;
    make(&m, &dice, columns);
    if (columns == SMALL ? best_of_all(&m, &best) : best_by_run(&m, -1, 0, &best)) {
        const int64_t target = best + 50 * dice_roll(&dice, 1, columns == LARGE ? 6 : 3);
        const bool any = dice_chance(&dice, 30);
        const int64_t effort = dice_chance(&dice, 25) ? dice_roll(&dice, 1, 400) : 0;
        for (int k = 0; k < m.asked && columns == SMALL; k++)
            if (dice_chance(&dice, 20) && least_of_all(&m, k, target) != NOTHING)
                m.least[k] = least_of_all(&m, k, target); /* and that is known */
        SearchLeast least;
        ask(&m, target, any, effort, &least);
        if (effort == 0 && !least.all)
            fail_msg("seed %llu: not proven", (unsigned long long)seed);
        compare(&m, target, any, &least, seed, seen);
        search_least_release(&least);
    }
    search_problem_release(&m.p);
}

static void check_many(int columns, int count, Times *seen)
{
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1),
                   seeds = environment_number("POOLWRIGHT_SCENARIOS", (uint64_t)sanitised_share(count));
    for (uint64_t seed = first; seed < first + seeds; seed++)
        try_one(seed, columns, seen);
    print_message("%d sides: %d found, %d proven not, %d trees cut off\n", seen->asked, seen->found, seen->none,
                  seen->open);
}

static void test_small(void **state)
{
    (void)state;
    Times seen = {0};
    check_many(SMALL, 2000, &seen);
    assert_true(seen.found > seen.asked / 8 && seen.none > seen.asked / 10 && seen.open > 0);
}

static void test_large(void **state)
{
    (void)state;
    Times seen = {0};
    check_many(LARGE, 30, &seen);
    assert_true(sanitised() || (seen.found > seen.asked / 5 && seen.none > seen.asked / 20)); /* a few say little */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_small), cmocka_unit_test(test_large)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
