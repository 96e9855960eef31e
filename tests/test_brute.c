/* test_brute.c - the built program against brute force: random scenarios so small that every pool can be tried.
 * The meaning is read from docs/files.md a second time, in tests/support/tiny_*.c, and shares no code with the product.
 * The scenarios are invented. POOLWRIGHT_SEED moves the first seed, POOLWRIGHT_SCENARIOS sets how many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/tiny.h"

/* An answer says little when any pool will do: count those where the rules keep out the pool that fit alone would take.
 */
static bool is_constrained(const Tiny *tiny, const TinyAnswer *answer)
{
    Tiny free_of_rules = *tiny;
    TinyAnswer other;
    free_of_rules.rules = 0;
    free_of_rules.exempts = 0;
    tiny_solve(&free_of_rules, &other);
    return other.status != answer->status || other.fit != answer->fit;
}

static void agrees_with_trying_every_pool(void **state)
{
    (void)state;
    uint64_t first = environment_number("POOLWRIGHT_SEED", 1);
    uint64_t count = scenarios_wanted(250);
    int best = 0;
    int infeasible = 0;
    int constrained = 0;
    for (uint64_t seed = first; seed < first + count; seed++) {
        Tiny tiny;
        TinyAnswer answer;
        tiny_make(&tiny, seed);
        tiny_solve(&tiny, &answer);
        char *folder = folder_new();
        tiny_write(&tiny, folder);
        tiny_check(&tiny, folder, &answer, "fast", seed);
        tiny_check(&tiny, folder, &answer, "reference", seed);
        folder_remove(folder);
        free(folder);
        best += answer.status == TINY_BEST;
        infeasible += answer.status == TINY_INFEASIBLE;
        constrained += answer.status == TINY_BEST && is_constrained(&tiny, &answer);
    }
    print_message("%d scenarios with a best pool, of these %d where rules change it; %d where nothing fits\n", best,
                  constrained, infeasible);
    if (count >= 250) {
        assert_true(best >= 150);
        assert_true(constrained >= 100);
        assert_true(infeasible >= 20);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_trying_every_pool)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
