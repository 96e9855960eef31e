/* test_shares.c - rules that ask for a share, against trying every pool: on a count `exactly` means less than one card
 * off, and one whole card off is too much; on a sum it means exactly; `at_least` and `at_most` hold to the thousandth
 * of a percent. Shares and pools are such that the edge itself is often reached. Read from docs/files.md; the cards are
 * invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

enum { MOST = 9 };
enum { EXACTLY, AT_LEAST, AT_MOST };

typedef struct {
    int cards, size, way;
    bool sum;
    int64_t share; /* thousandths of a percent */
    int64_t power[MOST], number[MOST];
    bool rye[MOST];
} Case;

static void make(Case *c, uint64_t seed)
{
    static const int64_t shares[] = {50000, 25000, 75000, 20000, 40000, 33333, 66667, 12500, 30000, 60000};
    Dice dice;
    dice_seed(&dice, seed);
    c->cards = dice_roll(&dice, 5, MOST);
    c->size = dice_roll(&dice, 2, c->cards - 1);
    c->way = dice_roll(&dice, EXACTLY, AT_MOST);
    c->sum = dice_chance(&dice, 35);
    c->share = shares[dice_roll(&dice, 0, 9)];
    for (int k = 0; k < c->cards; k++) {
        c->rye[k] = dice_chance(&dice, 50);
        c->number[k] = dice_roll(&dice, 1, 4);
        c->power[k] = dice_roll(&dice, 1, 9) + (c->rye[k] && dice_chance(&dice, 50) ? 6 : 0);
    }
}

static bool keeps(const Case *c, unsigned pool)
{
    int64_t part = 0, whole = 0;
    int size = 0;
    for (int k = 0; k < c->cards; k++) {
        if ((pool >> k & 1) == 0)
            continue;
        int64_t value = c->sum ? c->number[k] : 1;
        size++;
        whole += value;
        part += c->rye[k] ? value : 0;
    }
    const int64_t off = part * 100000 - whole * c->share, most = c->way == EXACTLY && !c->sum ? 99999 : 0;
    return size == c->size && (c->way == AT_MOST || off >= -most) && (c->way == AT_LEAST || off <= most);
}

/* -1: nothing fits. */
static int64_t best_of(const Case *c, bool rule)
{
    int64_t best = -1;
    for (unsigned pool = 0; pool < 1u << c->cards; pool++) {
        int64_t fit = 0;
        int size = 0;
        for (int k = 0; k < c->cards; k++)
            if (pool >> k & 1) {
                fit += c->power[k];
                size++;
            }
        if (fit > best && (rule ? keeps(c, pool) : size == c->size))
            best = fit;
    }
    return best;
}

static void write_case(const Case *c, const char *folder)
{
    static const char *const word[] = {"exactly", "at_least", "at_most"};
    char text[2048];
    int n = snprintf(text, sizeof text, "name,colours,power,number\n");
    for (int k = 0; k < c->cards; k++)
        n += snprintf(text + n, sizeof text - (size_t)n, "card %c,%s,%lld,%lld\n", 'a' + k, c->rye[k] ? "rye" : "",
                      (long long)c->power[k], (long long)c->number[k]);
    folder_print(folder, "cards.csv", text);
    snprintf(text, sizeof text,
             "size: %d\ncolours: [rye]\nunpriced: 0.10\nrules:\n  - {name: share, where: {colours: rye}, "
             "%s%s: %lld.%03lld%%}\n",
             c->size, c->sum ? "measure: number, " : "", word[c->way], (long long)(c->share / 1000),
             (long long)(c->share % 1000));
    folder_print(folder, "model.yaml", text);
}

static void shares_are_kept_to_the_edge(void **state)
{
    (void)state;
    const int scenarios = sanitised_starts(150);
    int fits = 0, bind = 0;
    char *folder = folder_new();
    for (uint64_t seed = 1; seed <= (uint64_t)scenarios; seed++) {
        Case c;
        Run run;
        make(&c, seed);
        write_case(&c, folder);
        static const char *const arguments[] = {"best",  "cards.csv", "--model", "model.yaml",
                                                "--gap", "0",         "--json",  NULL};
        run_poolwright(folder, arguments, NULL, &run);
        const int64_t best = best_of(&c, true);
        if (run.code != (best < 0 ? 1 : 0))
            fail_msg("seed %llu: exit code %d, the best is %lld\n%.800s", (unsigned long long)seed, run.code,
                     (long long)best, run.err);
        json_t *root = run_json(&run);
        if (best >= 0)
            assert_int_equal(json_units(root, "fit", 1000), best * 1000);
        json_decref(root);
        run_forget(&run);
        fits += best >= 0;
        bind += best >= 0 && best < best_of(&c, false);
    }
    folder_remove(folder);
    free(folder);
    print_message("%d of %d have a pool, of these %d where the share changes it\n", fits, scenarios, bind);
    assert_true(sanitised() || (fits > scenarios / 2 && bind > scenarios / 5)); /* a few say little */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(shares_are_kept_to_the_edge)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
