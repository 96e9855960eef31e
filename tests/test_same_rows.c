/* test_same_rows.c - a core without the sides that other rows of the same columns make idle allows the same points, all
 * of them tried. Small invented programmes, some rows of which are stated again, multiplied, with other sides. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "search/core/core.h"
#include "support/family.h"
#include "support/programme_make.h"

#define SEEDS 3000
#define MORE 3 /* rows that are stated again */

static int64_t below(uint64_t *state, int64_t count)
{
    return (int64_t)(programme_random(state) % (uint64_t)count);
}

typedef struct {
    int row;       /* that is stated again */
    int64_t times; /* so many times, or -times */
} Copy;

static int64_t moved(int64_t side, int64_t by)
{
    return side == SEARCH_MINUS_INFINITY || side == SEARCH_PLUS_INFINITY ? side : side + by;
}

static int64_t multiplied(int64_t side, int64_t times, int64_t infinity)
{
    return side == SEARCH_MINUS_INFINITY || side == SEARCH_PLUS_INFINITY ? infinity : side * times;
}

/* The programme with copies of its rows behind them, whose sides are a little looser or tighter. */
static void state_again(const SearchProblem *p, uint64_t *state, SearchProblem *q)
{
    Copy copy[MORE];
    search_problem_init(q, p->columns, p->rows + MORE, p->start[p->columns] * (MORE + 1));
    const size_t n = (size_t)p->columns, m = (size_t)p->rows;
    memcpy(q->kind, p->kind, n * sizeof *q->kind);
    memcpy(q->objective, p->objective, n * sizeof *q->objective);
    memcpy(q->low, p->low, n * sizeof *q->low);
    memcpy(q->high, p->high, n * sizeof *q->high);
    memcpy(q->row_low, p->row_low, m * sizeof *q->row_low);
    memcpy(q->row_high, p->row_high, m * sizeof *q->row_high);
    for (int k = 0; k < MORE; k++) {
        const int i = copy[k].row = (int)below(state, p->rows), at = p->rows + k;
        const int64_t times = copy[k].times = (below(state, 2) == 0 ? 1 : -1) * (1 + below(state, 3));
        const int64_t low = moved(p->row_low[i], below(state, 5) - 2),
                      high = moved(p->row_high[i], below(state, 5) - 2);
        q->row_low[at] = multiplied(times > 0 ? low : high, times, SEARCH_MINUS_INFINITY);
        q->row_high[at] = multiplied(times > 0 ? high : low, times, SEARCH_PLUS_INFINITY);
    }
    size_t at = 0;
    for (size_t j = 0; j < n; j++) {
        for (size_t e = p->start[j]; e < p->start[j + 1]; e++) {
            q->row[at] = p->row[e];
            q->value[at++] = p->value[e];
        }
        for (int k = 0; k < MORE; k++)
            for (size_t e = p->start[j]; e < p->start[j + 1]; e++)
                if (p->row[e] == copy[k].row) {
                    q->row[at] = p->rows + k;
                    q->value[at++] = p->value[e] * copy[k].times;
                }
        q->start[j + 1] = at;
    }
}

typedef struct {
    int64_t points, allowed;
    int sides, left; /* of the programmes that were cores, and of the cores */
} Seen;

static int sides_of(const SearchProblem *p)
{
    int sides = 0;
    for (int i = 0; i < p->rows; i++)
        sides += (p->row_low[i] != SEARCH_MINUS_INFINITY) + (p->row_high[i] != SEARCH_PLUS_INFINITY);
    return sides;
}

/* Counts through the core's box as an odometer does. */
static void compare_points(const SearchProblem *p, const Core *core, uint64_t seed, Seen *seen)
{
    const SearchProblem *part = &core->matrix.p;
    int64_t *x = mem_copy(part->low, (size_t)part->columns, sizeof *x), value = 0;
    int64_t *whole = mem_new((size_t)p->columns, sizeof *whole);
    for (int j = 0; j < part->columns;) {
        if (j == 0) {
            core_expand(core, x, whole);
            const bool allowed = search_feasible(p, whole, &value);
            if (search_feasible(part, x, &value) != allowed)
                fail_msg("seed %llu: a point that is %s", (unsigned long long)seed, allowed ? "lost" : "not allowed");
            seen->points++;
            seen->allowed += allowed;
        }
        const bool more = x[j] < part->high[j];
        x[j] = more ? x[j] + 1 : part->low[j];
        j = more ? 0 : j + 1;
    }
    mem_free(x);
    mem_free(whole);
}

static void one_core(uint64_t seed, Seen *seen)
{
    SearchProblem *p = programme_make(PROGRAMME_SMALL, seed), q;
    uint64_t state = seed;
    if (p->rows > 0) {
        state_again(p, &state, &q);
        Matrix matrix;
        matrix_init(&matrix, &q);
        const int column = (int)below(&state, q.columns);
        q.low[column] = q.high[column]; /* a box, in which rows with other columns may be the same, too */
        Core *core = core_new(&matrix, q.low, q.high);
        if (core != NULL) {
            compare_points(&q, core, seed, seen);
            seen->sides += sides_of(&matrix.p);
            seen->left += sides_of(&core->matrix.p);
        } else {
            int64_t best;
            assert_false(programme_try_all(&q, &best));
        }
        core_free(core);
        matrix_release(&matrix);
        search_problem_release(&q);
    }
    family_free(p);
}

static void the_same_points_are_allowed(void **state)
{
    (void)state;
    Seen seen = {0};
    for (uint64_t seed = 1; seed <= SEEDS; seed++)
        one_core(seed, &seen);
    assert_true(seen.points > 100000 && seen.allowed > seen.points / 50 && seen.left < seen.sides * 2 / 3);
}

/* x + y = 3, once, twice, opposite, and looser: of all these sides two are left. */
static void of_the_same_rows_one_asks(void **state)
{
    (void)state;
    SearchProblem p;
    search_problem_init(&p, 3, 5, 15);
    static const int64_t times[5] = {1, 2, -1, 1, 1}, low[5] = {3, 6, -3, SEARCH_MINUS_INFINITY, 2},
                         high[5] = {3, 6, -3, 4, SEARCH_PLUS_INFINITY};
    for (int j = 0; j < 3; j++) {
        p.kind[j] = SEARCH_INTEGER;
        p.high[j] = 3;
        for (int i = 0; i < 5 && j < 2; i++) {
            p.row[5 * j + i] = i;
            p.value[5 * j + i] = times[i];
        }
        p.start[j + 1] = j < 2 ? 5 * (size_t)(j + 1) : 10;
    }
    memcpy(p.row_low, low, sizeof low);
    memcpy(p.row_high, high, sizeof high);
    Matrix matrix;
    matrix_init(&matrix, &p);
    Core *core = core_new(&matrix, p.low, p.high);
    assert_non_null(core);
    assert_int_equal(sides_of(&core->matrix.p), 2);
    core_free(core);
    matrix_release(&matrix);
    search_problem_release(&p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_points_are_allowed),
        cmocka_unit_test(of_the_same_rows_one_asks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
