/* test_nearest.c - cases, other pools and mended lists are told by the pool of their fit that is nearest to where one
 * is, and of those by the cheapest, against trying all. Cards are invented. */
#include <limits.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

/* With 4.60 the best fit is 11.1: Tide Gate and Rope Coil are cheapest, and nothing of the base stays; Bell Buoy and
 * Small Skiff have as much for 4.50, which is one swap. */
static void nearest_to_the_base(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "cards.csv", "--model", "model.yaml",
                                            "--caps",  "4.60",      "--json",  NULL};
    char *folder = folder_new();
    folder_print(folder, "cards.csv",
                 "name,colours,power,price\nGrand Barge,tar,10,10\nSmall Skiff,tar,5,0.50\nTide Gate,tar,6,2\n"
                 "Bell Buoy,tar,6.1,4\nRope Coil,tar,5.1,0.70\n");
    folder_print(folder, "model.yaml", "size: 2\ncolours: [tar]\n");
    json_t *root = run_answer(folder, 0, arguments);
    const json_t *item = json_array_get(json_object_get(root, "cases"), 1), *nearest = json_object_get(item, "nearest");
    assert_non_null(nearest);
    assert_int_equal(json_array_size(json_object_get(item, "enters")), 2);
    assert_int_equal(json_integer_value(json_object_get(nearest, "changes")), 2);
    assert_string_equal(json_text(nearest, "fewest"), "proven");
    assert_string_equal(json_text(json_array_get(json_object_get(nearest, "enters"), 0), "name"), "Small Skiff");
    assert_string_equal(json_text(json_array_get(json_object_get(nearest, "leaves"), 0), "name"), "Grand Barge");
    json_decref(root);
    folder_remove(folder);
    free(folder);
}

enum { ALIKE = 9, ALIKE_SIZE = 4, ALIKE_LISTS = 60 };

typedef struct {
    int power[ALIKE], price[2][ALIKE]; /* cents: in the base, in the case */
    bool hull[ALIKE];
} Alike;

static void alike_write(const Alike *a, const char *folder)
{
    char cards[2048] = "name,colours,kind,power,price\n", scenario[2048];
    snprintf(scenario, sizeof scenario,
             "cards: [cards.csv]\nmodel: model.yaml\ncases:\n  - name: turned\n    cards:\n");
    for (int c = 0; c < ALIKE; c++) {
        snprintf(cards + strlen(cards), sizeof cards - strlen(cards), "Buoy %c,tar,%s,%d,%d.%02d\n", 'A' + c,
                 a->hull[c] ? "hull" : "light", a->power[c], a->price[0][c] / 100, a->price[0][c] % 100);
        snprintf(scenario + strlen(scenario), sizeof scenario - strlen(scenario), "      Buoy %c: {price: %d.%02d}\n",
                 'A' + c, a->price[1][c] / 100, a->price[1][c] % 100);
    }
    folder_print(folder, "cards.csv", cards);
    folder_print(folder, "scenario.yaml", scenario);
    folder_print(folder, "model.yaml",
                 "size: 4\ncolours: [tar]\nrules:\n  - {name: hulls, where: {kind: hull}, at_least: 2}\n");
}

/* Fit of a set of four with two hulls; -1: it is no pool. */
static int alike_fit(const Alike *a, unsigned pool)
{
    int cards = 0, hulls = 0, fit = 0;
    for (int c = 0; c < ALIKE; c++)
        if ((pool >> c & 1) != 0) {
            cards++;
            hulls += a->hull[c];
            fit += a->power[c];
        }
    return cards == ALIKE_SIZE && hulls >= 2 ? fit : -1;
}

static unsigned alike_set(const json_t *names, unsigned set)
{
    for (size_t k = 0; k < json_array_size(names); k++)
        set ^= 1u << (json_text(json_array_get(names, k), "name")[5] - 'A');
    return set;
}

static Alike alike_roll(Dice *dice)
{
    Alike a;
    for (int c = 0; c < ALIKE; c++) {
        a.power[c] = dice_roll(dice, 1, 3);
        a.hull[c] = dice_chance(dice, 50) || c < 2;
        for (int s = 0; s < 2; s++)
            a.price[s][c] = dice_roll(dice, 0, 20) * 25;
    }
    return a;
}

/* A case in which the prices have changed: its pool is the cheapest of the best ones, and others are nearer. */
static void nearest_of_all(void **state)
{
    (void)state;
    static const char *const arguments[] = {"what-if", "scenario.yaml", "--json", NULL};
    Dice dice;
    int nearer = 0;
    dice_seed(&dice, 4711);
    for (int k = 0; k < sanitised_starts(ALIKE_LISTS); k++) {
        const Alike a = alike_roll(&dice);
        char *folder = folder_new();
        alike_write(&a, folder);
        json_t *root = run_answer(folder, 0, arguments);
        const json_t *cases = json_object_get(root, "cases"), *turned = json_array_get(cases, 1);
        const json_t *nearest = json_object_get(turned, "nearest"), *from = nearest != NULL ? nearest : turned;
        const unsigned base = alike_set(json_object_get(json_array_get(cases, 0), "pool"), 0);
        const unsigned shown =
            alike_set(json_object_get(from, "leaves"), alike_set(json_object_get(from, "enters"), base));
        int best = -1, least = INT_MAX;
        for (unsigned pool = 0; pool < 1u << ALIKE; pool++)
            best = alike_fit(&a, pool) > best ? alike_fit(&a, pool) : best;
        for (unsigned pool = 0; pool < 1u << ALIKE; pool++)
            if (alike_fit(&a, pool) == best && __builtin_popcount(pool ^ base) < least)
                least = __builtin_popcount(pool ^ base);
        if (alike_fit(&a, shown) != best || __builtin_popcount(shown ^ base) != least)
            fail_msg("list %d: %d changes, by trying all %d", k, __builtin_popcount(shown ^ base), least);
        if (nearest != NULL)
            assert_string_equal(json_text(nearest, "fewest"), "proven");
        else if (least > 0) { /* also where the pool that is shown is the nearest */
            assert_int_equal(json_integer_value(json_object_get(turned, "changes")), least);
            assert_string_equal(json_text(turned, "fewest"), "proven");
        }
        nearer += nearest != NULL;
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
    print_message("%d lists, %d with a nearer pool than the one shown\n", sanitised_starts(ALIKE_LISTS), nearer);
    assert_true(nearer >= sanitised_starts(10));
}

static int alike_price(const Alike *a, unsigned pool)
{
    int price = 0;
    for (int c = 0; c < ALIKE; c++)
        price += (pool >> c & 1) != 0 ? a->price[0][c] : 0;
    return price;
}

typedef struct {
    int changes, fit, price; /* in this order of weight where a list is mended; fit first where a pool is chosen */
} Standing;

/* Of the pools with that many cards at least that `from` lacks: the most fit, the fewest changes, the least money;
 * nearest: the fewest changes first. */
static Standing alike_first(const Alike *a, unsigned from, int differ, bool nearest)
{
    Standing first = {.changes = INT_MAX, .fit = -1, .price = INT_MAX};
    for (unsigned pool = 0; pool < 1u << ALIKE; pool++) {
        const Standing now = {__builtin_popcount(pool ^ from), alike_fit(a, pool), alike_price(a, pool)};
        if (now.fit < 0 || __builtin_popcount(pool & ~from) < differ)
            continue;
        const int nearer = first.changes - now.changes, better = now.fit - first.fit;
        const int order = nearest ? (nearer != 0 ? nearer : better) : (better != 0 ? better : nearer);
        if (order > 0 || (order == 0 && now.price < first.price))
            first = now;
    }
    return first;
}

static void alike_holds(const Alike *a, const json_t *told, unsigned from, Standing first, const char *what)
{
    const unsigned pool = alike_set(json_object_get(told, "leaves"), alike_set(json_object_get(told, "enters"), from));
    const Standing now = {__builtin_popcount(pool ^ from), alike_fit(a, pool), alike_price(a, pool)};
    assert_string_equal(json_text(told, "fewest"), "proven");
    assert_int_equal(json_integer_value(json_object_get(told, "changes")), now.changes);
    if (now.changes != first.changes || now.fit != first.fit || now.price != first.price)
        fail_msg("%s: %d changes, fit %d for %d, by trying all %d, %d, %d", what, now.changes, now.fit, now.price,
                 first.changes, first.fit, first.price);
}

/* The next pool of `best --alternatives`, which has a card more that the best one lacks, or two. */
static void nearest_other_pool(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 5309);
    for (int k = 0; k < sanitised_starts(ALIKE_LISTS); k++) {
        const Alike a = alike_roll(&dice);
        const int differ = dice_roll(&dice, 1, 2);
        char *folder = folder_new();
        alike_write(&a, folder);
        json_t *root = run_answer(folder, 0,
                                  (const char *const[]){"best", "scenario.yaml", "--alternatives", "1", "--differ",
                                                        differ == 1 ? "1" : "2", "--json", NULL});
        const unsigned best = alike_set(json_object_get(root, "pool"), 0);
        alike_holds(&a, json_array_get(json_object_get(root, "alternatives"), 0), best,
                    alike_first(&a, best, differ, false), "another pool");
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
}

/* A list with too few hulls or of another size. */
static void nearest_mended_list(void **state)
{
    (void)state;
    Dice dice;
    int mended = 0;
    dice_seed(&dice, 6007);
    for (int k = 0; k < sanitised_starts(ALIKE_LISTS); k++) {
        const Alike a = alike_roll(&dice);
        char list[512] = "name\n", *folder = folder_new();
        unsigned from = 0;
        for (int c = 0; c < ALIKE; c++)
            if (dice_chance(&dice, a.hull[c] ? 20 : 60)) {
                from |= 1u << c;
                snprintf(list + strlen(list), sizeof list - strlen(list), "Buoy %c\n", 'A' + c);
            }
        if (from != 0 && alike_fit(&a, from) < 0) {
            alike_write(&a, folder);
            folder_print(folder, "list.csv", list);
            json_t *root = run_answer(
                folder, 1, (const char *const[]){"audit", "scenario.yaml", "list.csv", "--gap", "0", "--json", NULL});
            alike_holds(&a, json_object_get(root, "mend"), from, alike_first(&a, from, 0, true), "a mended list");
            json_decref(root);
            mended++;
        }
        folder_remove(folder);
        free(folder);
    }
    print_message("%d lists mended\n", mended);
    assert_true(mended >= sanitised_starts(30));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nearest_to_the_base),
        cmocka_unit_test(nearest_of_all),
        cmocka_unit_test(nearest_other_pool),
        cmocka_unit_test(nearest_mended_list),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
