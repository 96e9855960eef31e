/* test_proof_brute.c - `best --proof` and `audit --proof` on small random scenarios, half of them with caps so tight
 * that often nothing fits: what the proof says is what trying every pool says. All cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/at_risk.h"
#include "support/desk.h"

/* Power in tenths, -1: no pool. */
static void expect_proof(const char *folder, int best, uint64_t seed)
{
    Run run;
    char seen[60];
    snprintf(seen, sizeof seen, "seed %llu", (unsigned long long)seed);
    run_poolwright(folder, WORDS("best", "scenario.yaml", "--gap", "0", "--proof", "p", "-o", "pool.csv"), NULL, &run);
    desk_expect_code(&run, best < 0 ? 1 : 0, seen);
    desk_expect(run.out, best < 0 ? "The proof that no pool keeps all limits is in p\n"
                                  : "The proof that no pool has more is in p\n");
    run_forget(&run);
    json_t *root = run_answer(folder, 0, WORDS("audit", "scenario.yaml", "--proof", "p", "--json"));
    assert_true(json_is_null(json_object_get(root, "pool")));
    if (best < 0)
        assert_true(json_is_null(json_object_get(root, "no_pool_has_more_than")));
    else
        assert_int_equal(json_units(root, "no_pool_has_more_than", 10), best);
    json_decref(root);
    if (best < 0)
        return;
    run_poolwright(folder, WORDS("audit", "scenario.yaml", "pool.csv", "--proof", "p"), NULL, &run);
    desk_expect_told(&run, 0, "So there is no better one.\n");
    run_forget(&run);
}

static void proofs_say_what_trying_every_pool_says(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), many = scenarios_wanted(150);
    int none = 0;
    for (uint64_t seed = first; seed < first + many; seed++) {
        Dice dice = {seed};
        Small small;
        small_make(&small, &dice);
        if (seed % 2 == 0)
            small.cap = small.cap * dice_roll(&dice, 20, 50) / 100;
        const int best = small_brute(&small);
        char *folder = folder_new();
        small_write(&small, folder);
        expect_proof(folder, best, seed);
        desk_done(folder);
        none += best < 0;
    }
    print_message("%d scenarios, of which %d have no pool\n", (int)many, none);
    assert_true(many < 100 || none * 6 > (int)many);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(proofs_say_what_trying_every_pool_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
