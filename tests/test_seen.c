/* test_seen.c - rules that demand a chance: the number of cards that `seen` takes, against counting every draw of small
 * pools, at one size and at every size of a band, at sizes set by a case and on the command line; that pools keep it,
 * that reports name it, and what is refused. POOLWRIGHT_SEED moves the first seed, POOLWRIGHT_SCENARIOS sets how many.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

#define WHOLE 100000 /* 100 % in thousandths of a percent */

typedef struct {
    int seats, packs, pack_size, from, to, at_least, chance;
    const char *by;
} Asked;

/* Cards that are looked at, by going through the picks: a seat sees its own pack, then each other one less a card. */
static int looked_at(const Asked *a, int size)
{
    const int each = a->packs * a->pack_size;
    int seats = size / each, sum = 0;
    seats = seats > a->seats ? a->seats : seats < 1 ? 1 : seats;
    if (strcmp(a->by, "pack") == 0)
        sum = a->pack_size;
    else if (strcmp(a->by, "opens") == 0)
        sum = each;
    else
        for (int pack = 0; pack < a->packs; pack++)
            for (int pick = 0; pick < seats && pick < a->pack_size; pick++)
                sum += a->pack_size - pick;
    return sum < size ? sum : size;
}

/* Is the chance that `drawn` of `size` cards hold at_least of the first `marked` not below the one asked for? */
static bool holds(const Asked *a, int size, int marked)
{
    const int drawn = looked_at(a, size);
    int64_t some = 0, every = 0;
    for (unsigned set = 0; set < 1U << size; set++)
        if (__builtin_popcount(set) == drawn) {
            every++;
            some += __builtin_popcount(set & ((1U << marked) - 1)) >= a->at_least;
        }
    return some * WHOLE >= a->chance * every;
}

/* The least number that holds at every size at which there are so many cards; -1: none does. */
static int cards_for(const Asked *a)
{
    for (int marked = 0; marked <= a->to; marked++) {
        bool good = true;
        for (int size = a->from > marked ? a->from : marked; size <= a->to && good; size++)
            good = holds(a, size, marked);
        if (good)
            return marked;
    }
    return -1;
}

static void write_scenario(const char *folder, const Asked *a)
{
    char model[1000];
    snprintf(model, sizeof model,
             "size: {from: %d, to: %d}\ncolours: [ash, bay]\nseats: {seats: %d, packs: %d, pack_size: %d}\n"
             "themes:\n  - {name: tides, colours: ash}\nrules:\n"
             "  - {name: bays, where: {colours: bay}, seen: {by: %s, at_least: %d, chance: %d.%03d%%}}\n"
             "  - {name: seen of a theme, each: theme, where: {role: payoff}, at_most: 13,\n"
             "     seen: {by: %s, at_least: %d, chance: %d.%03d%%}}\n",
             a->from, a->to, a->seats, a->packs, a->pack_size, a->by, a->at_least, a->chance / 1000, a->chance % 1000,
             a->by, a->at_least, a->chance / 1000, a->chance % 1000);
    folder_print(folder, "model.yaml", model);
    /* So many of each that some pool keeps the rules whatever they ask for, and no pool likes them. */
    folder_print(
        folder, "cards.csv",
        "name,colours,power,tags,copies\nA,ash,9,,14\nB,bay,1,,14\nP,ash,2,tides payoff,14\nQ,ash+bay,1,,14\n");
}

static int64_t limit_of(const json_t *root, const char *name, int64_t *use)
{
    size_t k;
    const json_t *item;
    json_array_foreach (json_object_get(root, "rules"), k, item) {
        if (strcmp(json_text(item, "name"), name) != 0)
            continue;
        if (use != NULL)
            *use = json_integer_value(json_object_get(item, "use"));
        const json_t *limit = json_object_get(item, "limit");
        assert_non_null(json_object_get(limit, "seen"));
        return json_integer_value(json_object_get(limit, "at_least"));
    }
    fail_msg("no limit %s", name);
    return -1;
}

static void check_asked(const Asked *a, const Asked *now, const char *size)
{
    const int least = cards_for(now);
    char *folder = folder_new();
    Run run;
    write_scenario(folder, a);
    const char *const plain[] = {"best", "cards.csv", "--model", "model.yaml", "--json", NULL},
                      *const sized[] = {"best", "cards.csv", "--model", "model.yaml", "--json", "--size", size, NULL};
    run_poolwright(folder, size == NULL ? plain : sized, NULL, &run);
    if (run.code != 0 && run.code != 1)
        fail_msg("exit code %d\n%s", run.code, run.err);
    json_t *root = run_json(&run);
    int64_t bays = 0, payoffs = 0;
    if (run.code == 0) {
        assert_int_equal(limit_of(root, "bays", &bays), least);
        assert_int_equal(limit_of(root, "seen of a theme", &payoffs), least);
        assert_true(bays >= least && payoffs >= least);
        assert_true(2 * least <= now->to);
    } else {
        assert_true(2 * least > now->to);
    }
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void every_draw_is_counted(void **state)
{
    (void)state;
    static const char *const by[] = {"pack", "opens", "sees"};
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), many = scenarios_wanted(90);
    for (uint64_t seed = first; seed < first + many; seed++) {
        Dice dice;
        dice_seed(&dice, seed);
        Asked a = {
            .seats = dice_roll(&dice, 1, 4), .packs = dice_roll(&dice, 1, 2), .pack_size = dice_roll(&dice, 2, 4)};
        a.by = by[dice_roll(&dice, 0, 2)];
        a.from = dice_roll(&dice, 6, 13);
        a.to = dice_chance(&dice, 50) ? a.from : dice_roll(&dice, a.from, 13);
        a.at_least = dice_roll(&dice, 1, 2);
        a.chance = dice_chance(&dice, 20) ? WHOLE : dice_roll(&dice, 1, WHOLE);
        Asked now = a;
        if (dice_chance(&dice, 50)) {
            check_asked(&a, &a, NULL);
            continue;
        }
        char size[20];
        now.from = dice_roll(&dice, 6, 13);
        now.to = dice_roll(&dice, now.from, 13);
        snprintf(size, sizeof size, "%d-%d", now.from, now.to);
        check_asked(&a, &now, size);
    }
}

/* One pool of which no theme's card is in by itself: binding, why and the list of limits name the rule as it was
 * written. */
static void reports_name_it(void **state)
{
    (void)state;
    const Asked a = {2, 2, 3, 12, 12, 1, 80000, "opens"};
    char *folder = folder_new(), words[80];
    write_scenario(folder, &a);
    snprintf(words, sizeof words, "at least %d (80%%: a seat opens 1)", cards_for(&a));
    static const char *const asked[][7] = {
        {"best", "cards.csv", "--model", "model.yaml", "--rules", NULL},
        {"check", "cards.csv", "--model", "model.yaml", "--rules", NULL},
        {"audit", "cards.csv", "pool.csv", "--model", "model.yaml", "--rules", NULL},
    };
    folder_print(folder, "pool.csv", "name,copies\nA,12\n");
    setenv("COLUMNS", "200", 1);
    for (size_t k = 0; k < sizeof asked / sizeof *asked; k++) {
        Run run;
        run_poolwright(folder, asked[k], NULL, &run);
        if (strstr(run.out, words) == NULL || strstr(run.out, "bays") == NULL)
            fail_msg("no '%s' in\n%s%s", words, run.out, run.err);
        run_forget(&run);
    }
    unsetenv("COLUMNS");
    folder_remove(folder);
    free(folder);
}

static void what_cannot_be_meant_is_refused(void **state)
{
    (void)state;
    static const char *const wrong[][3] = {
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "seen: {by: pack, at_least: 4, chance: 80%}",
         "only 3 are looked at"},
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "seen: {by: pack, at_least: 1, chance: 0%}", "above 0"},
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "seen: {by: pack, at_least: 1, chance: 101%}", "above 0"},
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "seen: {by: hand, at_least: 1, chance: 80%}", "pack, opens"},
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "seen: {by: pack, chance: 80%}",
         "'at_least' is missing in seen"},
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "at_least: 2, seen: {by: pack, at_least: 1, chance: 80%}",
         "found 'seen' beside 'at_least'"},
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "at_most: 2, seen: {by: pack, at_least: 1, chance: 80%}",
         "contradicts itself: the chance that 'seen' demands takes at least"},
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "measure: cost, seen: {by: pack, at_least: 1, chance: 80%}",
         "counts no copies"},
        {"seats: {seats: 2, packs: 1, pack_size: 3}\n", "at_most: 20%, seen: {by: pack, at_least: 1, chance: 80%}",
         "counts no copies"},
        {"", "seen: {by: pack, at_least: 1, chance: 80%}", "does not say how packs are dealt"},
        {"deck: {size: 3, rules: [{name: d, seen: {by: pack, at_least: 1, chance: 80%}}]}\n", "at_least: 1",
         "found 'seen' in rule 'd' of the deck"},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char *folder = folder_new(), model[600];
        snprintf(model, sizeof model,
                 "size: 9\ncolours: [ash, bay]\n%srules:\n  - {name: bays, where: {colours: bay}, %s}\n", wrong[k][0],
                 wrong[k][1]);
        folder_print(folder, "model.yaml", model);
        folder_print(folder, "cards.csv", "name,colours,copies\nA,ash,9\nB,bay,9\n");
        Run run;
        run_poolwright(folder, (const char *const[]){"check", "cards.csv", "--model", "model.yaml", NULL}, NULL, &run);
        if (run.code != 2 || strstr(run.err, wrong[k][2]) == NULL || strstr(run.err, "model.yaml:") == NULL)
            fail_msg("%s: expected '%s', found %d\n%s", wrong[k][1], wrong[k][2], run.code, run.err);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_draw_is_counted),
        cmocka_unit_test(reports_name_it),
        cmocka_unit_test(what_cannot_be_meant_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
