/* test_open.c - the open nodes of a search: which one is next, what is dropped and what must stay, with room for all of
 * them and with none. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "search/tree/open.h"
#include "support/run.h"

enum { NODES = 40, ROUNDS = 200 };

/* Random bounds, many of them alike; counts[b]: how many have bound b. */
static void fill(OpenSet *set, Dice *dice, int counts[10])
{
    for (int k = 0; k < NODES; k++) {
        int bound = dice_roll(dice, 0, 9);
        counts[bound]++;
        open_set_push(set, open_node_new(bound, 0));
    }
}

static int64_t highest(const int counts[10])
{
    for (int b = 9; b >= 0; b--)
        if (counts[b] > 0)
            return b;
    return SEARCH_MINUS_INFINITY;
}

/* A node whose bound is just what is wanted can hold it: it stays, and all above it do. */
static void what_can_hold_it_stays(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 7);
    for (int round = 0; round < ROUNDS; round++) {
        OpenSet set;
        int counts[10] = {0}, left[10] = {0}, expected = 0;
        open_set_init(&set, round % 2 == 0 ? NODES : NODES / 4);
        fill(&set, &dice, counts);
        assert_int_equal(open_set_full(&set), round % 2 == 0 ? set.count == NODES : true);
        assert_int_equal(open_set_bound(&set), highest(counts));
        const int wanted = dice_roll(&dice, 0, 10);
        int64_t closed = SEARCH_MINUS_INFINITY;
        for (int b = 0; b < wanted && b < 10; b++)
            closed = counts[b] > 0 ? b : closed;
        if (round % 3 == 0)
            assert_int_equal(open_set_close(&set, wanted), closed);
        else
            open_set_prune(&set, wanted);
        for (OpenNode *node = open_set_pop(&set); node != NULL; node = open_set_pop(&set)) {
            left[node->bound]++;
            open_node_free(node);
        }
        for (int b = 0; b < 10; b++) {
            expected = b >= wanted ? counts[b] : 0;
            if (left[b] != expected)
                fail_msg("round %d: wanted %d, of bound %d %d are left, expected %d", round, wanted, b, left[b],
                         expected);
        }
        assert_true(open_set_empty(&set));
        open_set_release(&set);
    }
}

/* With room for all, the highest comes first. */
static void the_highest_comes_first(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 8);
    OpenSet set;
    int counts[10] = {0};
    open_set_init(&set, NODES);
    fill(&set, &dice, counts);
    for (int k = 0; k < NODES; k++) {
        OpenNode *node = open_set_pop(&set);
        assert_int_equal(node->bound, highest(counts));
        counts[node->bound]--;
        open_node_free(node);
    }
    assert_null(open_set_pop(&set));
    assert_int_equal(open_set_bound(&set), SEARCH_MINUS_INFINITY);
    open_set_release(&set);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(what_can_hold_it_stays),
                                       cmocka_unit_test(the_highest_comes_first)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
