/* test_cuts.c - rounding cuts hold for every integer point: random small programmes, all points enumerated by the test
 * itself. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/core/core.h"
#include "search/cuts/cut_rows.h"
#include "search/cuts/kept_cuts.h"
#include "search/cuts/mir.h"
#include "search/linear/simplex.h"
#include "search/cuts/strengthen.h"

#define COLUMNS 7
#define ROWS 5

static uint64_t dice_state;

static int64_t roll(int64_t low, int64_t high)
{
    dice_state = dice_state * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (int64_t)((dice_state >> 33) % (uint64_t)(high - low + 1));
}

typedef struct {
    int64_t a[ROWS][COLUMNS], row_low[ROWS], row_high[ROWS], low[COLUMNS], high[COLUMNS], c[COLUMNS];
} Small;

/* Rows as pools have them: counts, money, shares (large coefficients of two signs), equalities among them. */
static void make_small(Small *s)
{
    for (int j = 0; j < COLUMNS; j++) {
        s->low[j] = roll(0, 9) == 0 ? roll(-1, 1) : 0;
        s->high[j] = s->low[j] + (roll(0, 4) == 0 ? roll(1, 3) : 1);
        s->c[j] = roll(-20, 200);
    }
    for (int i = 0; i < ROWS; i++) {
        const int shape = (int)roll(0, 4);
        int64_t least = 0, most = 0;
        for (int j = 0; j < COLUMNS; j++) {
            int64_t v = shape <= 1   ? roll(0, 1)
                        : shape == 2 ? roll(0, 3) * roll(1, 300)
                        : shape == 3 ? (roll(0, 1) ? 47000 : -53000) * roll(0, 1)
                                     : roll(-9, 9);
            s->a[i][j] = v;
            least += v * (v > 0 ? s->low[j] : s->high[j]);
            most += v * (v > 0 ? s->high[j] : s->low[j]);
        }
        const int64_t middle = least + (most - least) * roll(20, 80) / 100;
        s->row_low[i] = roll(0, 2) == 0 ? SEARCH_MINUS_INFINITY : middle - roll(0, 1) * (most - least) / 5;
        s->row_high[i] = s->row_low[i] != SEARCH_MINUS_INFINITY && roll(0, 1) == 0 ? SEARCH_PLUS_INFINITY : middle;
        if (shape <= 1 && roll(0, 2) == 0)
            s->row_low[i] = s->row_high[i] = middle;
    }
}

static SearchProblem *as_problem(const Small *s)
{
    SearchKind kind[COLUMNS];
    size_t start[COLUMNS + 1];
    int row[ROWS * COLUMNS];
    int64_t value[ROWS * COLUMNS];
    size_t at = 0;
    for (int j = 0; j < COLUMNS; j++) {
        kind[j] = s->low[j] == 0 && s->high[j] == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
        start[j] = at;
        for (int i = 0; i < ROWS; i++)
            if (s->a[i][j] != 0) {
                row[at] = i;
                value[at++] = s->a[i][j];
            }
    }
    start[COLUMNS] = at;
    const SearchProblem p = {COLUMNS,
                             ROWS,
                             kind,
                             (int64_t *)s->c,
                             (int64_t *)s->low,
                             (int64_t *)s->high,
                             (int64_t *)s->row_low,
                             (int64_t *)s->row_high,
                             start,
                             row,
                             value,
                             NULL};
    return problem_copy(&p);
}

static bool next_point(const Small *s, int64_t *x)
{
    for (int j = 0; j < COLUMNS; j++) {
        if (x[j] < s->high[j]) {
            x[j]++;
            return true;
        }
        x[j] = s->low[j];
    }
    return false;
}

static bool is_feasible(const Small *s, const int64_t *x)
{
    for (int i = 0; i < ROWS; i++) {
        int64_t sum = 0;
        for (int j = 0; j < COLUMNS; j++)
            sum += s->a[i][j] * x[j];
        if ((s->row_low[i] != SEARCH_MINUS_INFINITY && sum < s->row_low[i]) ||
            (s->row_high[i] != SEARCH_PLUS_INFINITY && sum > s->row_high[i]))
            return false;
    }
    return true;
}

static int64_t cut_sum(const Cut *cut, const int64_t *x)
{
    int64_t sum = 0;
    for (size_t k = 0; k < cut->count; k++)
        sum += cut->value[k] * x[cut->column[k]];
    return sum;
}

static void check_cuts(const Small *s, const CutPool *pool)
{
    int64_t x[COLUMNS];
    memcpy(x, s->low, sizeof x);
    do {
        if (!is_feasible(s, x))
            continue;
        for (size_t k = 0; k < pool->count; k++)
            assert_true(cut_sum(&pool->cut[k], x) <= pool->cut[k].high);
    } while (next_point(s, x));
}

static void check_violated(const CutPool *pool, const double *x)
{
    for (size_t k = 0; k < pool->count; k++) {
        double sum = 0;
        for (size_t e = 0; e < pool->cut[k].count; e++)
            sum += (double)pool->cut[k].value[e] * x[pool->cut[k].column[e]];
        assert_true(sum > (double)pool->cut[k].high);
    }
}

static void cuts_hold_for_all_points(void **state)
{
    (void)state;
    size_t cuts = 0, bound_moved = 0;
    for (uint64_t seed = 1; seed <= 4000; seed++) {
        dice_state = seed * 977;
        Small s;
        make_small(&s);
        SearchProblem *problem = as_problem(&s);
        Matrix matrix;
        matrix_init(&matrix, problem);
        Simplex *simplex = simplex_new(&matrix);
        simplex_box(simplex, matrix.p.low, matrix.p.high);
        double x[COLUMNS];
        const bool solved = simplex_solve(simplex, 0, -INFINITY, NULL) == RELAXATION_OPTIMAL;
        memcpy(x, simplex_x(simplex), sizeof x);
        const double value = simplex_value(simplex);
        simplex_free(simplex);
        for (int j = 0; !solved && j < COLUMNS; j++) /* any point will do: validity must not depend on it */
            x[j] = (double)s.low[j] + (double)(s.high[j] - s.low[j]) * (double)roll(0, 100) / 100;
        CutPool pool = {0};
        mir_separate(&matrix, matrix.p.low, matrix.p.high, x, &pool);
        cuts += pool.count;
        check_cuts(&s, &pool);
        if (solved)
            check_violated(&pool, x);
        cut_pool_release(&pool);
        if (solved) {
            SearchOptions options;
            CutBook book = {0};
            Strengthening strong = {.first = matrix.p.rows, .book = &book};
            search_options_default(&options);
            strengthen(&matrix, &options, &strong);
            strengthening_release(&strong);
            cut_book_release(&book);
            simplex = simplex_new(&matrix);
            simplex_box(simplex, matrix.p.low, matrix.p.high);
            if (simplex_solve(simplex, 0, -INFINITY, NULL) == RELAXATION_OPTIMAL)
                bound_moved += simplex_value(simplex) < value - 0.5;
            simplex_free(simplex);
        }
        matrix_release(&matrix);
        problem_free(problem);
    }
    assert_true(cuts > 2000);
    assert_true(bound_moved > 500);
}

/* --- made again --- */

/* Other sides, bounds and costs for the same coefficients. */
static void change_small(Small *s)
{
    for (int times = (int)roll(1, 4); times > 0; times--) {
        const int i = (int)roll(0, ROWS - 1), j = (int)roll(0, COLUMNS - 1);
        const int64_t step = roll(-3, 3) * (roll(0, 2) == 0 ? 500 : 1);
        switch (roll(0, 3)) {
        case 0:
            if (s->row_high[i] != SEARCH_PLUS_INFINITY)
                s->row_high[i] += step;
            break;
        case 1:
            if (s->row_low[i] != SEARCH_MINUS_INFINITY)
                s->row_low[i] -= step;
            break;
        case 2:
            if (roll(0, 1))
                s->low[j] += s->low[j] < s->high[j];
            else
                s->high[j] += roll(-1, 1);
            s->high[j] = s->high[j] < s->low[j] ? s->low[j] : s->high[j];
            break;
        default: s->c[j] += roll(-40, 40);
        }
    }
}

/* Rows of cuts hold for every point of the core that is feasible. */
static int check_rows(const Small *s, const Core *core, int first)
{
    int64_t x[COLUMNS];
    const Matrix *m = &core->matrix;
    memcpy(x, s->low, sizeof x);
    do {
        bool inside = is_feasible(s, x);
        for (int j = 0; j < COLUMNS && inside; j++)
            inside = core->place[j] >= 0 ? x[j] >= m->p.low[core->place[j]] && x[j] <= m->p.high[core->place[j]]
                                         : x[j] == core->fixed[j];
        for (int i = first; inside && i < m->p.rows; i++) {
            int64_t sum = 0;
            for (size_t k = m->row_start[i]; k < m->row_start[i + 1]; k++)
                sum += m->row_value[k] * x[core->map[m->column[k]]];
            assert_true(m->p.row_high[i] == SEARCH_PLUS_INFINITY || sum <= m->p.row_high[i]);
            assert_true(m->p.row_low[i] == SEARCH_MINUS_INFINITY || sum >= m->p.row_low[i]);
        }
    } while (next_point(s, x));
    return m->p.rows - first;
}

/* A core of the programme: some columns stay where they are put. */
static Core *some_core(const Small *s, const Matrix *whole)
{
    int64_t low[COLUMNS], high[COLUMNS];
    for (int j = 0; j < COLUMNS; j++) {
        low[j] = s->low[j];
        high[j] = s->high[j];
        if (roll(0, 3) == 0)
            low[j] = high[j] = roll(s->low[j], s->high[j]);
    }
    return core_new(whole, low, high);
}

typedef struct {
    size_t made, again, parts, same, kept;
} Seen;

/* A box within the core's. */
static void some_box(const Core *core, int64_t *low, int64_t *high)
{
    for (int j = 0; j < COLUMNS; j++) {
        const int at = core->place[j];
        low[j] = at >= 0 ? core->matrix.p.low[at] : core->fixed[j];
        high[j] = at >= 0 ? core->matrix.p.high[at] : core->fixed[j];
        if (roll(0, 3) == 0)
            low[j] = high[j] = roll(low[j], high[j]);
    }
}

/* Part of the core, its cuts with it. */
static Core *some_part(const Core *core)
{
    int64_t low[COLUMNS], high[COLUMNS];
    some_box(core, low, high);
    return core_shrink(core, low, high);
}

/* The core's cuts behind the rows of a smaller one. */
static void keep_and_check(const Small *s, const Matrix *whole, const Core *core, Seen *seen)
{
    int64_t low[COLUMNS], high[COLUMNS];
    int row[COLUMNS * ROWS * 100];
    some_box(core, low, high);
    Core *part = core_new(whole, low, high);
    KeptCuts cuts = {0};
    for (int i = ROWS; i < core->matrix.p.rows; i++) {
        KeptCut *cut = kept_cut_of_row(core, i);
        if (cut != NULL)
            kept_cuts_add(&cuts, cut);
    }
    assert_true((size_t)cuts.count < sizeof row / sizeof *row);
    if (part != NULL) {
        kept_cuts_append(&cuts, part, row);
        seen->kept += (size_t)check_rows(s, part, ROWS);
    }
    core_free(part);
    kept_cuts_release(&cuts);
}

/* The cuts of other sides and another core, made again exactly. */
static void remake_and_check(const Small *s, const Matrix *whole, CutBook *book, const CutForms *forms, Seen *seen)
{
    Core *core = some_core(s, whole);
    if (core == NULL)
        return;
    Strengthening strong = {.first = ROWS, .book = book, .core = core};
    strengthen_again(&core->matrix, forms, &strong);
    assert_int_equal(strong.cuts, core->matrix.p.rows - ROWS);
    seen->same += (size_t)check_rows(s, core, ROWS);
    strengthening_release(&strong);
    core_free(core);
}

/* Cuts for a core, by separation or by the book, and for a part of that core; each tried on all points. */
static void strengthen_and_check(const Small *s, CutBook *book, CutForms *forms, bool known_only, Seen *seen)
{
    SearchOptions options;
    search_options_default(&options);
    SearchProblem *problem = as_problem(s);
    Matrix whole;
    matrix_init(&whole, problem);
    Core *core = some_core(s, &whole);
    Strengthening strong = {.first = ROWS, .book = book, .known_only = known_only, .core = core, .forms = forms};
    remake_and_check(s, &whole, book, forms, seen);
    if (core != NULL) {
        strengthen(&core->matrix, &options, &strong);
        *(known_only ? &seen->again : &seen->made) += (size_t)check_rows(s, core, ROWS);
        keep_and_check(s, &whole, core, seen);
        Core *part = some_part(core);
        mem_free(strong.basis); /* in terms of the core's columns */
        strong.basis = NULL;
        strong.core = part;
        if (part != NULL) {
            strengthen(&part->matrix, &options, &strong);
            seen->parts += (size_t)check_rows(s, part, ROWS);
        }
        core_free(part);
    }
    strengthening_release(&strong);
    cut_book_tidy(book);
    core_free(core);
    matrix_release(&whole);
    problem_free(problem);
}

static void cuts_made_again_hold_for_all_points(void **state)
{
    (void)state;
    Seen seen = {0};
    for (uint64_t seed = 1; seed <= 3000; seed++) {
        dice_state = seed * 7919;
        Small s;
        CutBook book = {0};
        CutForms forms = {0};
        make_small(&s);
        strengthen_and_check(&s, &book, &forms, false, &seen);
        for (int change = 0; change < 4; change++) {
            change_small(&s);
            strengthen_and_check(&s, &book, &forms, true, &seen);
        }
        cut_book_release(&book);
        cut_forms_release(&forms);
    }
    assert_true(seen.same > 800);
    assert_true(seen.made > 800);
    assert_true(seen.again > 800);
    assert_true(seen.parts > 800);
    assert_true(seen.kept > 800);
}

/* Columns f, x, z, w: f is at most x and at most z. Where z is 1, f is what x is, so 2 f + x + z + w <= 3 says there
 * that 3 x + w <= 2. */
static void a_kept_cut_follows_columns_that_are_given_up(void **state)
{
    (void)state;
    SearchKind kind[] = {SEARCH_BINARY, SEARCH_BINARY, SEARCH_BINARY, SEARCH_BINARY};
    int64_t c[] = {5, 1, 1, 1}, low[4] = {0}, high[] = {1, 1, 1, 1}, z_in[] = {0, 0, 1, 0};
    int64_t row_low[] = {SEARCH_MINUS_INFINITY, SEARCH_MINUS_INFINITY, SEARCH_MINUS_INFINITY}, row_high[] = {0, 0, 2};
    size_t start[] = {0, 2, 4, 6, 7};
    int row[] = {0, 1, 0, 2, 1, 2, 2}, place = -1;
    int64_t value[] = {1, 1, -1, 1, -1, 1, 1};
    SearchProblem p = {4, 3, kind, c, low, high, row_low, row_high, start, row, value, NULL};
    Matrix whole;
    matrix_init(&whole, &p);
    int column[] = {0, 1, 2, 3};
    int64_t entry[] = {2, 1, 1, 1};
    Cut cut = {.column = column, .value = entry, .count = 4, .high = 3};
    const CutPool pool = {.cut = &cut, .count = 1};
    Core *core = core_new(&whole, low, high);
    assert_true(matrix_append(&core->matrix, &pool));
    KeptCuts cuts = {0};
    kept_cuts_add(&cuts, kept_cut_of_row(core, 3));
    core_free(core);
    core = core_reduced(&whole, z_in, high, NULL);
    assert_int_equal(core->followers, 1);
    kept_cuts_append(&cuts, core, &place);
    const Matrix *m = &core->matrix;
    assert_int_equal(place, 3);
    assert_int_equal(m->row_start[4] - m->row_start[3], 2);
    for (size_t e = m->row_start[3]; e < m->row_start[4]; e++)
        assert_int_equal(m->row_value[e], core->map[m->column[e]] == 1 ? 3 : 1);
    assert_int_equal(m->p.row_high[3], 2);
    kept_cuts_release(&cuts);
    core_free(core);
    matrix_release(&whole);
}

/* At least 53 % of exactly 56 is 29.68, so 30 (arithmetic, no published source). */
static void a_share_of_an_exact_count_is_rounded(void **state)
{
    (void)state;
    enum { N = 100 };
    SearchKind kind[N];
    int64_t c[N], low[N] = {0}, high[N], row_low[2] = {56, 0}, row_high[2] = {56, SEARCH_PLUS_INFINITY}, value[2 * N];
    size_t start[N + 1];
    int row[2 * N];
    for (int j = 0; j < N; j++) {
        kind[j] = SEARCH_BINARY;
        high[j] = 1;
        c[j] = 1000 - 7 * j;
        start[j] = (size_t)(2 * j);
        row[2 * j] = 0;
        row[2 * j + 1] = 1;
        value[2 * j] = 1;
        value[2 * j + 1] = j < N / 2 ? -53 : 47;
    }
    start[N] = 2 * N;
    const SearchProblem p = {N, 2, kind, c, low, high, row_low, row_high, start, row, value, NULL};
    Matrix matrix;
    matrix_init(&matrix, &p);
    SearchOptions options;
    CutBook book = {0};
    Strengthening strong = {.first = matrix.p.rows, .book = &book};
    search_options_default(&options);
    strengthen(&matrix, &options, &strong);
    assert_true(strong.cuts >= 1);
    strengthening_release(&strong);
    cut_book_release(&book);
    Simplex *simplex = simplex_new(&matrix);
    simplex_box(simplex, matrix.p.low, matrix.p.high);
    assert_int_equal(simplex_solve(simplex, 0, -INFINITY, NULL), RELAXATION_OPTIMAL);
    int64_t best = 0; /* the 26 best of the first half, the 30 best of the second */
    for (int j = 0; j < 26; j++)
        best += c[j];
    for (int j = 50; j < 80; j++)
        best += c[j];
    assert_true(fabs(simplex_value(simplex) - (double)best) < 1e-3);
    simplex_free(simplex);
    matrix_release(&matrix);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cuts_hold_for_all_points),
        cmocka_unit_test(cuts_made_again_hold_for_all_points),
        cmocka_unit_test(a_kept_cut_follows_columns_that_are_given_up),
        cmocka_unit_test(a_share_of_an_exact_count_is_rounded),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
