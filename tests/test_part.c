/* test_part.c - parts of a pool for fewer players, against trying every part of small random pools; packs dealt at
 * random: the numbers behind them, that they are of the pool, and that each card is as likely as another.
 * POOLWRIGHT_SEED moves the first seed, POOLWRIGHT_SCENARIOS sets how many pools. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"
#include "seats/deal.h"
#include "support/run.h"

/* ---- random numbers ---- */

/* The first values of SplitMix64 from 1234567, as published for the task "Pseudo-random numbers/Splitmix64" on
 * rosettacode.org (from memory). */
static void numbers_are_the_published_ones(void **state)
{
    (void)state;
    static const uint64_t published[] = {UINT64_C(6457827717110365317), UINT64_C(3203168211198807973),
                                         UINT64_C(9817491932198370423), UINT64_C(4593380528125082431),
                                         UINT64_C(16408922859458223821)};
    Random random = {1234567};
    for (size_t k = 0; k < sizeof published / sizeof *published; k++)
        assert_true(random_next(&random) == published[k]);
}

/* Of 20 cards each is in the first pack of 6 in 3 of 10 deals, and each pair together in 30/380: within 4.5 standard
 * errors, at fixed seeds. */
static void deals_are_even(void **state)
{
    (void)state;
    enum { CARDS = 20, SIZE = 6, DEALS = 20000 };
    static int pair[CARDS][CARDS];
    memset(pair, 0, sizeof pair);
    for (uint64_t seed = 1; seed <= DEALS; seed++) {
        int card[CARDS];
        for (int c = 0; c < CARDS; c++)
            card[c] = c;
        deal_packs(card, CARDS, 3, SIZE, seed);
        for (int a = 0; a < SIZE; a++)
            for (int b = 0; b < SIZE; b++)
                pair[card[a]][card[b]]++;
    }
    for (int a = 0; a < CARDS; a++)
        for (int b = 0; b < CARDS; b++) {
            const double chance = a == b ? 0.3 : 30.0 / 380;
            const double error = sqrt(chance * (1 - chance) / DEALS), found = (double)pair[a][b] / DEALS;
            if (fabs(found - chance) > 4.5 * error)
                fail_msg("cards %d and %d: %.4f of the packs, expected %.4f", a, b, found, chance);
        }
}

/* ---- small pools ---- */

#define CARDS_MOST 11
#define OTHER "Never Heard Of" /* no candidate */
#define COLOURS 2
#define THEMES 16

typedef struct {
    int cards, copies[CARDS_MOST], others, size, all;
    unsigned colours[CARDS_MOST]; /* 3: both, gold */
    int role[CARDS_MOST][THEMES]; /* 0 none, 1 enabler, 2 payoff, 3 both */
    unsigned theme_colours[THEMES];
} SmallPool;

static void make_pool(Dice *dice, SmallPool *pool)
{
    *pool = (SmallPool){.cards = dice_roll(dice, 7, CARDS_MOST), .others = dice_roll(dice, 0, 1)};
    for (int t = 0; t < THEMES; t++)
        pool->theme_colours[t] = dice_chance(dice, 85) ? 3 : (unsigned)dice_roll(dice, 1, 2);
    pool->all = pool->others;
    for (int c = 0; c < pool->cards; c++) {
        pool->copies[c] = dice_chance(dice, 25) ? 2 : 1;
        pool->all += pool->copies[c];
        pool->colours[c] = (unsigned)dice_roll(dice, 0, 3);
        for (int t = 0; t < THEMES; t++)
            pool->role[c][t] = dice_chance(dice, 50) ? 0 : dice_roll(dice, 1, 3);
    }
    pool->size = 2 * dice_roll(dice, 1, pool->all / 2);
}

static void write_pool(const SmallPool *pool, const char *folder)
{
    static const char *const colours[] = {"", "ash", "bay", "ash+bay"}, *const role[] = {"", "enabler", "payoff",
                                                                                         "both"};
    Text model = {0}, cards = {0}, list = {0};
    text_printf(&model, "size: %d\ncolours: [ash, bay]\nseats: {seats: 1, packs: 2, pack_size: %d}\nthemes:\n",
                pool->all, pool->size / 2);
    for (int t = 0; t < THEMES; t++)
        text_printf(&model, "  - {name: t%d, colours: %s}\n", t, colours[pool->theme_colours[t]]);
    text_add(&cards, "name,colours,copies,tags\n");
    text_add(&list, "name,copies\n");
    for (int c = 0; c < pool->cards; c++) {
        text_printf(&cards, "C%d,%s,%d,", c, colours[pool->colours[c]], pool->copies[c]);
        for (int t = 0; t < THEMES; t++)
            if (pool->role[c][t] > 0)
                text_printf(&cards, "t%d %s;", t, role[pool->role[c][t]]);
        text_add(&cards, "\n");
        text_printf(&list, "C%d,%d\n", c, pool->copies[c]);
    }
    if (pool->others > 0)
        text_printf(&list, OTHER ",%d\n", pool->others);
    folder_print(folder, "model.yaml", text_cstr(&model));
    folder_print(folder, "cards.csv", text_cstr(&cards));
    folder_print(folder, "pool.csv", text_cstr(&list));
    text_release(&model);
    text_release(&cards);
    text_release(&list);
}

/* The groups: colourless, mono, gold; ash, bay; then each theme's cards, enablers, payoffs. */
#define GROUPS (3 + COLOURS + 3 * THEMES)

static bool in_group(const SmallPool *pool, int c, int g)
{
    if (g < 3)
        return g == (pool->colours[c] == 0 ? 0 : pool->colours[c] == 3 ? 2 : 1);
    if (g < 3 + COLOURS)
        return (pool->colours[c] >> (g - 3) & 1) != 0;
    const int t = (g - 3 - COLOURS) / 3, which = (g - 3 - COLOURS) % 3, role = pool->role[c][t];
    return role > 0 && (pool->colours[c] & ~pool->theme_colours[t]) == 0 && (which == 0 || (role & which) != 0);
}

/* By how many cards, begun ones counted, the part's worst group is from its share; 1 at least. */
static int distance(const SmallPool *pool, const int *part)
{
    int worst = pool->all;
    for (int g = 0; g < GROUPS; g++) {
        int in_pool = 0, in_part = 0;
        for (int c = 0; c < pool->cards; c++) {
            in_pool += in_group(pool, c, g) ? pool->copies[c] : 0;
            in_part += in_group(pool, c, g) ? part[c] : 0;
        }
        const int off = abs(in_part * pool->all - in_pool * pool->size);
        worst = off > worst ? off : worst;
    }
    return (worst + pool->all - 1) / pool->all;
}

static void try_parts(const SmallPool *pool, int *part, int c, int left, int *least)
{
    if (c == pool->cards) {
        if (left <= pool->others) {
            const int found = distance(pool, part);
            *least = found < *least ? found : *least;
        }
        return;
    }
    for (part[c] = 0; part[c] <= pool->copies[c] && part[c] <= left; part[c]++)
        try_parts(pool, part, c + 1, left - part[c], least);
}

static void check_part(const SmallPool *pool, const json_t *root)
{
    int part[CARDS_MOST] = {0}, tried[CARDS_MOST], least = 1000, cards = 0;
    size_t k;
    const json_t *item;
    json_array_foreach (json_object_get(root, "part"), k, item) {
        const int copies = (int)json_integer_value(json_object_get(item, "copies"));
        const bool is_other = strcmp(json_text(item, "name"), OTHER) == 0;
        const int c = is_other ? 0 : atoi(json_text(item, "name") + 1);
        assert_in_range(copies, 1, is_other ? pool->others : pool->copies[c]);
        part[c] += is_other ? 0 : copies;
        cards += copies;
    }
    assert_int_equal(cards, pool->size);
    try_parts(pool, tried, 0, pool->size, &least);
    const int within = (int)json_integer_value(json_object_get(root, "within"));
    assert_int_equal(within, least);
    assert_true(distance(pool, part) <= within);
    assert_int_equal(json_is_true(json_object_get(root, "none_nearer")), within > 1);
}

static void every_part_is_tried(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), many = scenarios_wanted(60);
    int farther = 0;
    for (uint64_t seed = first; seed < first + many; seed++) {
        Dice dice;
        dice_seed(&dice, seed);
        SmallPool pool;
        make_pool(&dice, &pool);
        char *folder = folder_new();
        write_pool(&pool, folder);
        Run run;
        run_poolwright(
            folder,
            (const char *const[]){"seats", "cards.csv", "pool.csv", "--model", "model.yaml", "--part", "--json", NULL},
            NULL, &run);
        if (run.code != 0)
            fail_msg("seed %d: %s%s", (int)seed, run.out, run.err);
        json_t *root = run_json(&run);
        check_part(&pool, root);
        farther += json_integer_value(json_object_get(root, "within")) > 1;
        json_decref(root);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
    assert_true(many < 60 || farther > 3);
}

/* ---- the demo ---- */

static json_t *demo(const char *const *arguments)
{
    Run run;
    run_poolwright(".", arguments, NULL, &run);
    assert_int_equal(run.code, 0);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

static void packs_are_of_the_pool(void **state)
{
    (void)state;
    static const char *const all[] = {"seats", "scenarios/demo", "--deal", "24", "--json", NULL},
                             *const again[] = {"seats", "scenarios/demo", "--deal", "24", "--seed",
                                               "1",     "--json",         NULL},
                             *const other[] = {"seats", "scenarios/demo", "--deal", "24", "--seed",
                                               "2",     "--json",         NULL};
    json_t *one = demo(all), *same = demo(again), *two = demo(other), *seen = json_object();
    assert_true(json_equal(one, same));
    assert_false(json_equal(json_object_get(one, "packs"), json_object_get(two, "packs")));
    size_t p, k;
    const json_t *pack, *card;
    json_array_foreach (json_object_get(one, "packs"), p, pack) {
        assert_int_equal(json_array_size(pack), 15);
        json_array_foreach (pack, k, card)
            json_object_set_new(seen, json_string_value(card), json_true());
    }
    /* The demo's list holds every card once, one of them no candidate. */
    assert_int_equal(json_object_size(seen), 360);
    json_decref(one);
    json_decref(same);
    json_decref(two);
    json_decref(seen);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_the_published_ones),
        cmocka_unit_test(deals_are_even),
        cmocka_unit_test(every_part_is_tried),
        cmocka_unit_test(packs_are_of_the_pool),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
