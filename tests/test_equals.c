/* test_equals.c - one pool among equals: of all pools with the best fit the built program names the cheapest, then the
 * one with the fewest changes against the present pool, then the first by names, and says that this is proven. Random
 * scenarios with few different powers and prices, so that many pools have the same fit; which of them is first is found
 * by trying every pool (tests/support/tiny_judge.c). The scenarios are invented. POOLWRIGHT_SEED moves the first seed,
 * POOLWRIGHT_SCENARIOS sets how many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/tiny.h"

/* Powers of few kinds (0 among them, so that pools of two sizes may have one fit), prices of few, tags that weigh the
 * same; for two in three a present pool. */
static void make_alike(Tiny *tiny, uint64_t seed)
{
    Dice dice;
    tiny_make(tiny, seed);
    dice_seed(&dice, seed * 7 + 5);
    const int powers = dice_roll(&dice, 1, 3), prices = dice_roll(&dice, 1, 3);
    tiny->has_present = dice_chance(&dice, 67);
    if (dice_chance(&dice, 40) && tiny->seats == 0) { /* a band of sizes; as many as a bound asks to see can be */
        const int size = tiny_size_in_force(tiny, LAYERS);
        tiny->size_by_command = true;
        tiny->command_from = size > 2 ? size - 2 : 1;
        tiny->command_to = size;
    }
    for (int c = 0; c < tiny->cards; c++) {
        TinyCard *card = &tiny->card[c];
        card->power = dice_roll(&dice, 0, powers) * 1000;
        card->price = dice_roll(&dice, 0, prices) * 50;
        for (int t = 0; t < TAGS_MOST; t++) {
            card->tag[t].weight = 1000;
        }
        tiny->present[c] = tiny->has_present && dice_chance(&dice, 50) ? dice_roll(&dice, 0, card->copies + 1) : 0;
    }
}

static void check_one(uint64_t seed, TinyAnswer *answer, bool *has_present)
{
    Tiny tiny;
    make_alike(&tiny, seed);
    *has_present = tiny.has_present;
    tiny_solve(&tiny, answer);
    char *folder = folder_new();
    tiny_write(&tiny, folder);
    tiny_check(&tiny, folder, answer, seed % 4 == 0 && answer->status == TINY_BEST ? "reference" : "fast", seed);
    folder_remove(folder);
    free(folder);
}

static void names_the_first_of_its_equals(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(300);
    int with_equals = 0, with_many = 0, changed = 0;
    for (uint64_t seed = first; seed < first + count; seed++) {
        TinyAnswer answer;
        bool has_present;
        check_one(seed, &answer, &has_present);
        with_equals += answer.status == TINY_BEST && answer.equals > 1;
        with_many += answer.status == TINY_BEST && answer.equals > 9;
        changed += answer.status == TINY_BEST && answer.equals > 1 && has_present;
    }
    print_message("%d scenarios where several pools have the best fit, %d where ten or more; %d with a present pool\n",
                  with_equals, with_many, changed);
    if (count >= 300) {
        assert_true(with_equals >= 100);
        assert_true(with_many >= 15);
        assert_true(changed >= 60);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(names_the_first_of_its_equals)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
