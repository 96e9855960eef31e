/* test_branching.c - what a first step says of branching on a column, held against solves of both sides to their end.
 * Invented programmes. */
#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "search/linear/matrix.h"
#include "search/linear/simplex.h"
#include "support/family.h"

typedef struct {
    int sides, whole, part; /* sides looked at; of which the step was all of the fall, and more than nothing of it */
} Seen;

static void solve_side(Simplex *s, const SearchProblem *p, int column, double at, bool up, double first, Seen *seen)
{
    SimplexState *state = NULL;
    const double value = simplex_value(s);
    simplex_save(s, &state);
    if (up)
        simplex_box_column(s, column, (int64_t)ceil(at), p->high[column]);
    else
        simplex_box_column(s, column, p->low[column], (int64_t)floor(at));
    const RelaxationStatus status = simplex_solve(s, 0, -INFINITY, NULL);
    assert_true(status == RELAXATION_OPTIMAL || status == RELAXATION_INFEASIBLE);
    const double fall = status == RELAXATION_OPTIMAL ? value - simplex_value(s) : INFINITY;
    assert_true(first >= 0 && first <= fall + 1e-6 * value);
    seen->sides++;
    seen->whole += first > fall - 1e-6 * value;
    seen->part += first > 1e-6 * value;
    assert_true(simplex_restore(s, state));
    simplex_state_free(state);
}

static void a_first_step_never_says_too_much(void **state)
{
    (void)state;
    Seen seen = {0};
    for (uint64_t seed = 1; seed <= 12; seed++) {
        SearchProblem *p = family_new(
            &(FamilyOptions){.candidates = 1000, .all_bind = true, .hard = seed % 2 == 0, .whole = true, .seed = seed});
        Matrix matrix;
        matrix_init(&matrix, p);
        Simplex *s = simplex_new(&matrix);
        simplex_box(s, matrix.p.low, matrix.p.high);
        if (simplex_solve(s, 0, -INFINITY, NULL) == RELAXATION_OPTIMAL)
            for (int j = 0; j < p->columns; j++) {
                const double at = simplex_x(s)[j];
                if (fabs(at - floor(at + 0.5)) < 1e-6)
                    continue;
                double fall[2];
                simplex_first_falls(s, j, fall);
                for (int up = 0; up < 2; up++)
                    solve_side(s, p, j, at, up, fall[up], &seen);
            }
        simplex_free(s);
        matrix_release(&matrix);
        family_free(p);
    }
    assert_true(seen.sides > 200); /* else nothing is tested */
    assert_true(seen.part > seen.sides / 2 && seen.whole > 0 && seen.whole < seen.sides);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_first_step_never_says_too_much),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
