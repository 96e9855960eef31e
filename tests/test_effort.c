/* test_effort.c - the built program with little effort, over 500 random scenarios whose best pool is known from trying
 * every pool: what it calls best or infeasible is so, a pool that it shows is allowed, and no bound is below the best.
 * The scenarios are invented (tests/support/tiny_*.c). This test is not repeated under sanitizers: test_search_random
 * does the same from inside, and test_brute the reading of the files. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/tiny.h"

enum { SCENARIOS = 500, FIRST_SEED = 50001 };

static void little_effort_is_never_contradicted(void **state)
{
    (void)state;
    static const char *const effort[] = {"1", "2", "3", "5", "8", "13", "30"};
    const size_t efforts = sizeof effort / sizeof *effort;
    int how[3] = {0};
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + SCENARIOS; seed++) {
        Tiny tiny;
        TinyAnswer answer;
        tiny_make(&tiny, seed);
        tiny_solve(&tiny, &answer);
        char *folder = folder_new();
        tiny_write(&tiny, folder);
        for (size_t k = 0; k < 2; k++) { /* two of them each, all of them in turn */
            how[tiny_check_effort(&tiny, folder, &answer, effort[(seed + 3 * k) % efforts], seed)]++;
        }
        folder_remove(folder);
        free(folder);
    }
    print_message("%d runs proven, %d stopped without a pool, %d with one\n", how[TINY_PROVEN], how[TINY_STOPPED],
                  how[TINY_STOPPED_WITH_POOL]);
    assert_true(how[TINY_PROVEN] >= 50 && how[TINY_STOPPED] >= 50 && how[TINY_STOPPED_WITH_POOL] >= 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(little_effort_is_never_contradicted)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
