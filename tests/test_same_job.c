/* test_same_job.c - the first list of `swap`, same job and cheaper: on random sheets against a plain filter over what
 * was written into them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

#define CARDS 20
#define SIZE 8
#define THEMES 2

enum { NO_TAG, NO_ROLE, ENABLER, PAYOFF, BOTH };

static const char *const colours_of[] = {"", "brass", "linen", "brass+linen", "brass/linen"};
static const char *const role_of[] = {"", "", " enabler", " payoff", " both"};
static const char *const theme_of[THEMES] = {"eels", "bells"};

typedef struct {
    int colours, role[THEMES], kinds, cost, price, owned; /* kinds: bits; cost: halves, -1: none; price: cents */
} Made;

static void make(Made *card, Dice *dice)
{
    for (int c = 0; c < CARDS; c++) {
        card[c] = (Made){.colours = dice_roll(dice, 0, 4), .kinds = dice_roll(dice, 0, 3)};
        card[c].cost = dice_chance(dice, 15) ? -1 : dice_roll(dice, 2, 8);
        card[c].price = dice_roll(dice, 1, 9) * 50;
        card[c].owned = dice_chance(dice, 20);
        for (int t = 0; t < THEMES; t++)
            card[c].role[t] = dice_roll(dice, NO_TAG, BOTH);
        if (dice_chance(dice, 75)) /* otherwise hardly two would do the same job */
            card[c].colours = 1 + card[c].colours % 2;
    }
}

static void write_files(const Made *card, const char *folder, Dice *dice)
{
    char sheet[8192];
    int n = snprintf(sheet, sizeof sheet, "name,colours,kind,cost,power,price,owned,tags\n");
    for (int c = 0; c < CARDS; c++) {
        static const char *const kinds[] = {"", "crew", "vessel", "crew; vessel"};
        char cost[16] = "";
        if (card[c].cost >= 0)
            snprintf(cost, sizeof cost, "%d.%d", card[c].cost / 2, card[c].cost % 2 * 5);
        n += snprintf(sheet + n, sizeof sheet - (size_t)n, "Card %c,%s,%s,%s,%d,%d.%02d,%d,lamps", 'a' + c,
                      colours_of[card[c].colours], kinds[card[c].kinds], cost, dice_roll(dice, 1, 9),
                      card[c].price / 100, card[c].price % 100, card[c].owned);
        for (int t = 0; t < THEMES; t++)
            if (card[c].role[t] != NO_TAG)
                n += snprintf(sheet + n, sizeof sheet - (size_t)n, "; %s%s", theme_of[t], role_of[card[c].role[t]]);
        n += snprintf(sheet + n, sizeof sheet - (size_t)n, "\n");
    }
    folder_print(folder, "cards.csv", sheet);
    folder_print(
        folder, "model.yaml",
        "size: 8\ncolours: [brass, linen]\nspending_cap: 20.00\nthemes:\n  - {name: eels}\n  - {name: bells}\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
}

static bool both_play(int a, int b)
{
    if (a == NO_TAG || b == NO_TAG)
        return false;
    const bool enabler = (a == ENABLER || a == BOTH) && (b == ENABLER || b == BOTH);
    const bool payoff = (a == PAYOFF || a == BOTH) && (b == PAYOFF || b == BOTH);
    return enabler || payoff || (a == NO_ROLE && b == NO_ROLE);
}

/* What one would filter a spreadsheet by, `lamps` being no theme. */
static bool filter(const Made *out, const Made *in)
{
    const bool no_themes = out->role[0] + out->role[1] + in->role[0] + in->role[1] == NO_TAG;
    const bool theme = both_play(out->role[0], in->role[0]) || both_play(out->role[1], in->role[1]) || no_themes;
    const bool kind = (out->kinds & in->kinds) != 0 || out->kinds + in->kinds == 0;
    const bool cost = out->cost < 0 || in->cost < 0 ? out->cost == in->cost : abs(out->cost - in->cost) <= 2;
    const bool cheaper = (in->owned ? 0 : in->price) < (out->owned ? 0 : out->price);
    return out->colours == in->colours && theme && kind && cost && cheaper;
}

static int judge(const Made *card, const json_t *swap, const char *folder)
{
    const Made *out = &card[json_text(swap, "name")[5] - 'a'];
    const json_t *single;
    size_t index;
    int same = 0;
    json_array_foreach (json_object_get(swap, "single"), index, single) {
        const Made *in = &card[json_text(single, "name")[5] - 'a'];
        if (json_is_true(json_object_get(single, "same_job")) != filter(out, in))
            fail_msg("%s: %s for %s", folder, json_text(single, "name"), json_text(swap, "name"));
        same += filter(out, in);
    }
    return same;
}

static void as_a_plain_filter_says(void **state)
{
    (void)state;
    int same = 0, all = 0;
    const int scenarios = (int)scenarios_wanted(40);
    for (int s = 0; s < scenarios; s++) {
        Dice dice;
        Made card[CARDS];
        char *folder = folder_new(), word[CARDS][8];
        const char *arguments[CARDS + 5] = {"swap", "scenario.yaml", "--json", "--gap=0"};
        dice_seed(&dice, environment_number("POOLWRIGHT_SEED", 1) + (uint64_t)s);
        make(card, &dice);
        write_files(card, folder, &dice);
        for (int c = 0; c < CARDS; c++) {
            snprintf(word[c], sizeof word[c], "Card %c", 'a' + c);
            arguments[4 + c] = word[c];
        }
        json_t *root = run_answer(folder, 0, arguments);
        const json_t *swap;
        size_t index;
        json_array_foreach (json_object_get(root, "swaps"), index, swap) {
            same += judge(card, swap, folder);
            all += (int)json_array_size(json_object_get(swap, "single"));
        }
        json_decref(root);
        folder_remove(folder);
        free(folder);
    }
    print_message("same job: %d of %d single swaps\n", same, all);
    if (scenarios >= 13)
        assert_true(same >= 10 && same < all / 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(as_a_plain_filter_says)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
