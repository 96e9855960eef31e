/* What `revise` says of the pool that stands, with one to a few cards in and out. All cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

/* What the swaps one after the other begin from, where the pool breaks a limit, is what is told to mend it: of two
 * cards as good the cheaper one came in for the banned one, so only the dearer one is left for the first swap. */
static void swaps_begin_from_what_mends(void **state)
{
    (void)state;
    for (int cheap = 0; cheap < 2; cheap++) {
        char sheet[300];
        snprintf(sheet, sizeof sheet,
                 "name,colours,power,price,status\nAnvil,rye,9,1.00,ban\nBucket,rye,1,1.00,\nCan,rye,7,%s,\nDrum,rye,7,"
                 "%s,\n",
                 cheap == 0 ? "1.00" : "5.00", cheap == 0 ? "5.00" : "1.00");
        char *folder = desk_folder("", "pool: pool.csv\n", sheet);
        folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
        for (int one = 0; one < 2; one++) {
            json_t *root =
                run_answer(folder, 0,
                           one == 0 ? WORDS("revise", "scenario.yaml", "--gap", "0", "--json")
                                    : WORDS("revise", "scenario.yaml", "--gap", "0", "--json", "--swaps", "2"));
            const json_t *first = json_array_get(json_object_get(root, "one_by_one"), 0);
            assert_string_equal(desk_names(first, "enters"), cheap == 0 ? "Drum" : "Can");
            assert_int_equal(json_units(first, "spent", 100), 500);
            if (one == 0)
                assert_string_equal(desk_names(json_array_get(json_object_get(root, "points"), 0), "enters"),
                                    cheap == 0 ? "Can" : "Drum");
            json_decref(root);
        }
        Run run; /* the screen says where that pool is to be seen, and there it is */
        desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--gap", "0", "--swaps", "2"));
        desk_expect(run.out, "  They start from the pool that --swaps 1 shows.\n");
        run_forget(&run);
        json_t *root = run_answer(folder, 0, WORDS("revise", "scenario.yaml", "--gap", "0", "--json", "--swaps", "1"));
        assert_string_equal(desk_names(json_array_get(json_object_get(root, "points"), 0), "enters"),
                            cheap == 0 ? "Can" : "Drum");
        json_decref(root);
        desk_done(folder);
    }
}

/* Of swaps as good the one that asks for the least money is named, and as the best pool with one swap it is the same.
 */
static void of_equal_swaps_the_cheapest_is_named(void **state)
{
    (void)state;
    for (int cheap = 0; cheap < 6; cheap++) {
        char sheet[400] = "name,colours,power,price,owned\nAnvil,rye,9,1.00,1\nBucket,rye,1,1.00,1\n";
        for (int k = 0; k < 6; k++)
            sprintf(sheet + strlen(sheet), "Card %d,rye,7,3.00,%d\n", k, k == cheap);
        char *folder = desk_folder("spending_cap: 20.00\n", "pool: pool.csv\n", sheet), name[16];
        folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
        sprintf(name, "Card %d", cheap);
        for (int curve = 0; curve < 2; curve++) {
            json_t *root = run_answer(folder, 0,
                                      curve ? WORDS("revise", "scenario.yaml", "--json")
                                            : WORDS("revise", "scenario.yaml", "--json", "--swaps", "1"));
            const json_t *first = json_array_get(json_object_get(root, "one_by_one"), 0);
            assert_string_equal(desk_names(first, "enters"), name);
            assert_int_equal(json_units(first, "spent", 100), 0);
            json_decref(root);
        }
        desk_done(folder);
    }
}

/* Of a pool that keeps every limit the first swap is the best pool with one, also among many as good. */
static void the_first_swap_is_the_best_pool_with_one(void **state)
{
    (void)state;
    int same = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        Dice dice;
        dice_seed(&dice, seed);
        char sheet[800] = "name,colours,power,price,owned\n";
        for (int k = 0; k < 14; k++)
            sprintf(sheet + strlen(sheet), "%c,%s,%d,%d,%d\n", 'A' + k, dice_chance(&dice, 50) ? "rye" : "teal",
                    3 + 2 * dice_roll(&dice, 0, 2), dice_roll(&dice, 1, 3), dice_roll(&dice, 0, 1));
        char *folder = desk_folder("spending_cap: 20.00\n", "change: {size: 4}\npool: pool.csv\n", sheet);
        folder_print(folder, "pool.csv", "name\nA\nB\nC\nD\n");
        json_t *root = run_answer(folder, 0, WORDS("revise", "scenario.yaml", "--gap", "0", "--swaps", "1", "--json"));
        const json_t *first = json_array_get(json_object_get(root, "one_by_one"), 0),
                     *point = json_array_get(json_object_get(root, "points"), 0);
        if (first != NULL) {
            assert_true(json_equal(json_object_get(first, "enters"), json_object_get(point, "enters")));
            assert_true(json_equal(json_object_get(first, "leaves"), json_object_get(point, "leaves")));
            same++;
        }
        json_decref(root);
        desk_done(folder);
    }
    assert_true(same > 20);
}

/* The cheapest of equals also where a swap came before it. */
static void of_equal_second_swaps_the_cheapest_is_named(void **state)
{
    (void)state;
    for (int cheap = 0; cheap < 6; cheap++) {
        char sheet[400] = "name,colours,power,price,owned\nAnvil,rye,2,1.00,1\nBucket,rye,1,1.00,1\nTop,rye,9,1.00,1\n";
        for (int k = 0; k < 6; k++)
            sprintf(sheet + strlen(sheet), "Card %d,rye,7,3.00,%d\n", k, k == cheap);
        char *folder = desk_folder("spending_cap: 20.00\n", "pool: pool.csv\n", sheet), name[16];
        folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
        sprintf(name, "Card %d", cheap);
        json_t *root = run_answer(folder, 0, WORDS("revise", "scenario.yaml", "--json", "--swaps", "2"));
        const json_t *second = json_array_get(json_object_get(root, "one_by_one"), 1);
        assert_string_equal(desk_names(second, "enters"), name);
        assert_int_equal(json_units(second, "spent", 100), 0);
        json_decref(root);
        desk_done(folder);
    }
}

/* Nothing has to leave a pool that is too small, yet the swaps start from what fills it. */
static void swaps_of_a_small_pool_begin_when_it_is_full(void **state)
{
    (void)state;
    char *folder = desk_folder("", "pool: pool.csv\n", "name,colours,power\nAnvil,rye,5\nBucket,rye,4\nCandle,rye,7\n");
    folder_print(folder, "pool.csv", "name\nBucket\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--swaps", "1"));
    desk_expect(run.out, "it breaks 1 limit: to repair that cards must come in, and none must leave.\n");
    desk_expect(run.out, "Once every limit is met: the swaps worth most, one after the other\n");
    desk_expect(run.out, "  1  Bucket  Anvil   +1");
    desk_expect(run.out, "  They start from the pool that --swaps 0 shows.\n");
    run_forget(&run);
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--swaps", "0"));
    desk_expect(run.out, "With none out: 1 in, fit 11,");
    run_forget(&run);
    desk_done(folder);
}

static void no_card_out_is_none(void **state)
{
    (void)state;
    char *folder = desk_folder("", "pool: pool.csv\n", "name,colours,power\nAnvil,rye,5\nBucket,rye,5\nCandle,rye,4\n");
    Run run;
    folder_print(folder, "pool.csv", "name\nAnvil\nBucket\n");
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--swaps", "0"));
    desk_expect(run.out, "With none out: 0 in, fit 10, the best there is (proven)");
    run_forget(&run);
    folder_print(folder, "pool.csv", "name\nAnvil\nBucket\nCandle\n");
    desk_run(folder, &run, 1, WORDS("revise", "scenario.yaml", "--swaps", "0"));
    desk_expect(run.out, "With none out no pool meets every limit: proven.");
    run_forget(&run);
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(swaps_begin_from_what_mends),
        cmocka_unit_test(no_card_out_is_none),
        cmocka_unit_test(of_equal_swaps_the_cheapest_is_named),
        cmocka_unit_test(the_first_swap_is_the_best_pool_with_one),
        cmocka_unit_test(of_equal_second_swaps_the_cheapest_is_named),
        cmocka_unit_test(swaps_of_a_small_pool_begin_when_it_is_full),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
