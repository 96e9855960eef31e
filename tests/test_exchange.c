/* test_exchange.c - exchange search by itself on random programmes whose best value is known from trying every point:
 * what it gives is allowed, it finds nearly all that there is, and it takes no more work than it was given. The
 * programmes are invented (tests/support/programme_make.c). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "search/core/exchange.h"
#include "support/family.h"
#include "support/programme_make.h"

enum { PROBLEMS = 1000, FIRST_SEED = 77001, PIVOTS = 100 };

/* From a corner, and with rows that are worth nothing yet. */
static bool exchange_from(const Matrix *matrix, int64_t pivots, int64_t *x, int64_t *used)
{
    const SearchProblem *p = &matrix->p;
    double *start = mem_new((size_t)p->columns + 1, sizeof *start), *dual = mem_new((size_t)p->rows + 1, sizeof *dual);
    for (int j = 0; j < p->columns; j++)
        start[j] = (double)p->low[j];
    const ExchangeSearch exchange = {.matrix = matrix, .start = start, .row_dual = dual, .pivots = pivots};
    const bool found = exchange_search(&exchange, x, used);
    mem_free(start);
    mem_free(dual);
    return found;
}

static void finds_nearly_all_there_is(void **state)
{
    (void)state;
    int possible = 0, found = 0, best = 0;
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + PROBLEMS; seed++) {
        SearchProblem *p = programme_make(PROGRAMME_SMALL, seed);
        int64_t truth = 0, value = 0, used = 0, again = 0;
        const bool any = programme_try_all(p, &truth);
        Matrix matrix;
        matrix_init(&matrix, p);
        const size_t n = (size_t)p->columns;
        int64_t *x = mem_new(n + 1, sizeof *x), *y = mem_new(n + 1, sizeof *y);
        const bool has = exchange_from(&matrix, PIVOTS, x, &used);
        assert_int_equal(exchange_from(&matrix, PIVOTS, y, &again), has);
        assert_int_equal(used, again);
        assert_memory_equal(x, y, n * sizeof *x);
        assert_true(used <= PIVOTS + 1);
        if (has) {
            assert_true(any);
            assert_true(search_feasible(p, x, &value));
            assert_true(value <= truth);
        }
        possible += any;
        found += has;
        best += has && value == truth;
        mem_free(x);
        mem_free(y);
        matrix_release(&matrix);
        family_free(p);
    }
    print_message("%d programmes have a point, one was found in %d, the best in %d\n", possible, found, best);
    assert_true(possible >= PROBLEMS / 2);
    assert_true(found * 100 >= possible * 98);
    assert_true(best * 100 >= possible * 95);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(finds_nearly_all_there_is)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
