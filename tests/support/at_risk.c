/* at_risk.c - written from docs/files.md; shares no code with the product. */
#include "support/at_risk.h"

#include <stdio.h>

void small_make(Small *s, Dice *dice)
{
    *s = (Small){.cards = dice_roll(dice, 5, CARDS_MOST), .in = -1, .out = -1};
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

/* The greatest rise in thousandths of a cent of at most gamma / 1000 of the cards from `from` on: each either stays,
 * rises, or (once) rises by the fraction. */
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

long long small_at_worst(const Small *s, const int *pool, bool theme_only)
{
    int rise[CARDS_MOST];
    long long typical = 0;
    for (int c = 0; c < s->cards; c++) {
        int bought = pool[c] > s->owned[c] ? pool[c] - s->owned[c] : 0;
        bool counted = !theme_only || s->theme[c];
        typical += counted ? (long long)bought * (s->price[c] + s->handling) : 0;
        rise[c] = counted ? bought * (s->high[c] - s->price[c]) : 0;
    }
    return typical * 1000 + worst(rise, s->cards, 0, s->gamma / 1000, s->gamma % 1000);
}

bool small_keeps(const Small *s, const int *pool, bool theme_only, int limit)
{
    return small_at_worst(s, pool, theme_only) <= 1000LL * limit;
}

static void try_pools(const Small *s, int *pool, int card, int left, int power, int *best)
{
    if (card == s->cards) {
        bool asked = (s->in < 0 || pool[s->in] > 0) && (s->out < 0 || pool[s->out] == 0);
        if (left == 0 && asked && power > *best && small_keeps(s, pool, false, s->cap) &&
            (s->theme_cap == 0 || small_keeps(s, pool, true, s->theme_cap)))
            *best = power;
        return;
    }
    for (int k = 0; k <= s->copies[card] && k <= left; k++) {
        pool[card] = k;
        try_pools(s, pool, card + 1, left - k, power + k * s->power[card], best);
    }
}

int small_brute(const Small *s)
{
    int pool[CARDS_MOST] = {0}, best = -1;
    try_pools(s, pool, 0, s->size, 0, &best);
    return best;
}

void small_write(const Small *s, const char *folder)
{
    char text[4096];
    int at = snprintf(text, sizeof text, "name,colours,kind,power,copies,owned,tags\n");
    for (int c = 0; c < s->cards; c++)
        at += snprintf(text + at, sizeof text - (size_t)at, "Card %c,rye,thing,%d.%d,%d,%d,%s\n", 'A' + c,
                       s->power[c] / 10, s->power[c] % 10, s->copies[c], s->owned[c], s->theme[c] ? "t 0" : "");
    folder_print(folder, "cards.csv", text);
    at = snprintf(text, sizeof text, "name,price,high\n");
    for (int c = 0; c < s->cards; c++)
        at += snprintf(text + at, sizeof text - (size_t)at, "Card %c,%d.%02d,%d.%02d\n", 'A' + c, s->price[c] / 100,
                       s->price[c] % 100, s->high[c] / 100, s->high[c] % 100);
    folder_print(folder, "prices.csv", text);
    at = snprintf(text, sizeof text,
                  "size: %d\nspending_cap: %d.%02d\ncolours: [rye]\nhandling: 0.%02d\nprice_risk: {protect: "
                  "%d.%03d}\nthemes:\n  - {name: t}\n",
                  s->size, s->cap / 100, s->cap % 100, s->handling, s->gamma / 1000, s->gamma % 1000);
    if (s->theme_cap > 0)
        snprintf(text + at, sizeof text - (size_t)at,
                 "rules:\n  - {name: theme money, each: theme, scope: tagged, measure: spend, at_most: %d.%02d}\n",
                 s->theme_cap / 100, s->theme_cap % 100);
    folder_print(folder, "model.yaml", text);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\n");
}
