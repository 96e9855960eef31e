/* test_risk.c - price risk against brute force: every pool of a small scenario, every choice of risen prices, in whole numbers. The enumeration is written from
 * docs/files.md and shares no code with the product. Scenarios are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

enum { CARDS_MOST = 9 };

typedef struct {
    int cards, size, copies[CARDS_MOST], owned[CARDS_MOST], price[CARDS_MOST], high[CARDS_MOST], power[CARDS_MOST];
    bool theme[CARDS_MOST];
    int cap, theme_cap; /* cents; theme_cap 0: no rule */
    int handling;
    int gamma;          /* thousandths */
} Small;

static void make(Small *s, Dice *dice)
{
    *s = (Small){.cards = dice_roll(dice, 5, CARDS_MOST)};
    int typical = 0;
    for (int c = 0; c < s->cards; c++) {
        s->copies[c] = dice_chance(dice, 25) ? 2 : 1;
        s->owned[c] = dice_chance(dice, 20) ? 1 : 0;
        s->price[c] = dice_roll(dice, 0, 400);
        s->high[c] = s->price[c] + (dice_chance(dice, 75) ? dice_roll(dice, 0, 300) : 0);
        s->power[c] = dice_roll(dice, 5, 95); /* tenths */
        s->theme[c] = dice_chance(dice, 50);
        typical += s->price[c];
    }
    s->size = dice_roll(dice, 2, s->cards - 1);
    s->cap = typical * s->size / s->cards * dice_roll(dice, 60, 160) / 100 + dice_roll(dice, 0, 40);
    s->theme_cap = dice_chance(dice, 50) ? 1 + s->cap * dice_roll(dice, 30, 80) / 100 : 0;
    s->handling = dice_chance(dice, 30) ? dice_roll(dice, 1, 30) : 0;
    static const int gammas[] = {0, 500, 1000, 1333, 1500, 2000, 2250, 3000, 4001, 99000};
    s->gamma = gammas[dice_roll(dice, 0, 9)];
}

/* The greatest rise in thousandths of a cent of at most gamma / 1000 of the cards from `from` on: each either stays, rises, or (once) rises by the fraction. */
static long long worst(const int *rise, int cards, int from, int whole, int fraction)
{
    long long best = 0;
    if (from == cards)
        return 0;
    best = worst(rise, cards, from + 1, whole, fraction);
    if (whole > 0) {
        long long with = 1000LL * rise[from] + worst(rise, cards, from + 1, whole - 1, fraction);
        best = with > best ? with : best;
    }
    if (fraction > 0) {
        long long with = (long long)fraction * rise[from] + worst(rise, cards, from + 1, whole, 0);
        best = with > best ? with : best;
    }
    return best;
}

static bool keeps(const Small *s, const int *pool, bool theme_only, int limit)
{
    int rise[CARDS_MOST];
    long long typical = 0;
    for (int c = 0; c < s->cards; c++) {
        int bought = pool[c] > s->owned[c] ? pool[c] - s->owned[c] : 0;
        bool counted = !theme_only || s->theme[c];
        typical += counted ? (long long)bought * (s->price[c] + s->handling) : 0;
        rise[c] = counted ? bought * (s->high[c] - s->price[c]) : 0;
    }
    return typical * 1000 + worst(rise, s->cards, 0, s->gamma / 1000, s->gamma % 1000) <= 1000LL * limit;
}

static void try_pools(const Small *s, int *pool, int card, int left, int power, int *best)
{
    if (card == s->cards) {
        if (left == 0 && power > *best && keeps(s, pool, false, s->cap) && (s->theme_cap == 0 || keeps(s, pool, true, s->theme_cap)))
            *best = power;
        return;
    }
    for (int k = 0; k <= s->copies[card] && k <= left; k++) {
        pool[card] = k;
        try_pools(s, pool, card + 1, left - k, power + k * s->power[card], best);
    }
}

/* Most power in tenths, -1: no pool. */
static int brute(const Small *s)
{
    int pool[CARDS_MOST] = {0}, best = -1;
    try_pools(s, pool, 0, s->size, 0, &best);
    return best;
}

static void write_small(const Small *s, const char *folder)
{
    char text[4096];
    int at = snprintf(text, sizeof text, "name,colours,kind,power,copies,owned,tags\n");
    for (int c = 0; c < s->cards; c++)
        at += snprintf(text + at, sizeof text - (size_t)at, "Card %c,red,thing,%d.%d,%d,%d,%s\n", 'A' + c, s->power[c] / 10, s->power[c] % 10, s->copies[c], s->owned[c],
                       s->theme[c] ? "t 0" : "");
    folder_print(folder, "cards.csv", text);
    at = snprintf(text, sizeof text, "name,price,high\n");
    for (int c = 0; c < s->cards; c++)
        at += snprintf(text + at, sizeof text - (size_t)at, "Card %c,%d.%02d,%d.%02d\n", 'A' + c, s->price[c] / 100, s->price[c] % 100, s->high[c] / 100, s->high[c] % 100);
    folder_print(folder, "prices.csv", text);
    at = snprintf(text, sizeof text,
                  "size: %d\nspending_cap: %d.%02d\ncolours: [red]\nhandling: 0.%02d\nprice_risk: {protect: %d.%03d}\nthemes:\n  - {name: t}\n", s->size, s->cap / 100,
                  s->cap % 100, s->handling, s->gamma / 1000, s->gamma % 1000);
    if (s->theme_cap > 0)
        snprintf(text + at, sizeof text - (size_t)at, "rules:\n  - {name: theme money, each: theme, scope: tagged, measure: spend, at_most: %d.%02d}\n", s->theme_cap / 100,
                 s->theme_cap % 100);
    folder_print(folder, "model.yaml", text);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\n");
}

/* Fit in tenths by the program, -1: no pool. */
static int solved(const char *folder, const char *engine)
{
    Run run;
    const char *arguments[] = {"best", "scenario.yaml", "--gap", "0", "--json", "--engine", engine, NULL};
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code > 1)
        fail_msg("exit code %d in %s\n%s", run.code, folder, run.err);
    json_t *answer = run_json(&run);
    int fit = -1;
    if (run.code == 0) {
        assert_string_equal(json_text(answer, "status"), "best");
        fit = (int)(json_units(answer, "fit", 1000) / 100);
    } else
        assert_string_equal(json_text(answer, "status"), "infeasible");
    json_decref(answer);
    run_forget(&run);
    return fit;
}

static void caps_hold_whatever_rises(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 3);
    int mattered = 0, none = 0, whole = 0, fractional = 0;
    for (int k = 0; k < 200; k++) {
        Small small;
        make(&small, &dice);
        char *folder = folder_new();
        write_small(&small, folder);
        int expected = brute(&small), nominal;
        int found = solved(folder, k % 4 == 0 ? "reference" : "fast");
        if (found != expected)
            fail_msg("scenario %d in %s: found %d, brute force %d", k, folder, found, expected);
        Small other = small;
        other.gamma = 0;
        nominal = brute(&other);
        mattered += nominal != expected;
        none += expected < 0;
        whole += small.gamma % 1000 == 0;
        fractional += small.gamma % 1000 != 0;
        folder_remove(folder);
        free(folder);
    }
    print_message("200 scenarios: %d with a whole Gamma, %d with a fraction; in %d the risk changes the answer, in %d there is no pool\n", whole, fractional, mattered, none);
    assert_true(mattered >= 50);
    assert_true(whole >= 60 && fractional >= 60);
}

/* Gamma 0 is the plain cap; Gamma of all prices is the cap at the highs. */
static void both_ends_are_plain_caps(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 11);
    for (int k = 0; k < 25; k++) {
        Small small;
        make(&small, &dice);
        char *folder = folder_new();
        for (int end = 0; end < 2; end++) {
            Small risky = small, plain = small;
            risky.gamma = end == 0 ? 0 : 1000 * small.cards;
            plain.gamma = 0;
            for (int c = 0; c < small.cards; c++) {
                plain.price[c] = end == 0 ? small.price[c] : small.high[c];
                plain.high[c] = plain.price[c];
            }
            write_small(&risky, folder);
            int found = solved(folder, "fast");
            write_small(&plain, folder);
            assert_int_equal(found, solved(folder, "fast"));
        }
        folder_remove(folder);
        free(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(caps_hold_whatever_rises),
        cmocka_unit_test(both_ends_are_plain_caps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
