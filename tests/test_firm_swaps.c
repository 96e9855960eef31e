/* test_firm_swaps.c - `best --firm` tells of one swap where one loses as little: what it names beside each card is held
 * against the single swaps that `swap` and `why` count for the same card, on pools with many ties. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

#define CARDS 70
#define MODEL                                                                                                          \
    "size: 28\ncolours: [ebb, fen, gar]\nspending_cap: 5.60\n"                                                         \
    "themes: [{name: nets}, {name: kilns, weight: 0.5}]\nrules:\n"                                                     \
    "  - {name: depth, each: colour, where: {class: mono}, exactly: 6}\n"                                              \
    "  - {name: bodies, each: colour, where: {kind: crew}, at_least: 2}\n"                                             \
    "  - {name: cheap, where: {cost: {to: 2}}, between: [9, 12]}\n"                                                    \
    "  - {name: nets, where: {tag: nets}, between: [10, 13]}\n"                                                        \
    "  - {name: average, where: {kind: [rig, tool]}, measure: cost, average_at_most: 3.4}\n"

static void write_scenario(const char *folder, Dice *dice)
{
    static const char *const colours[] = {"ebb", "fen", "gar", "ebb+fen", "fen/gar"};
    static const char *const kinds[] = {"rig", "tool", "crew"};
    static const char *const tags[] = {"", "nets 1", "kilns 2", "nets 1;kilns 1"};
    static const int prices[] = {5, 10, 25, 50, 99};
    char text[CARDS * 64 + 64] = "name,colours,kind,cost,power,price,tags\n";
    for (int k = 0; k < CARDS; k++) {
        const int power = dice_roll(dice, 2, 14);
        sprintf(text + strlen(text), "card %02d,%s,%s,%d,%d.%d,0.%02d,%s\n", k, colours[dice_roll(dice, 0, 4)],
                kinds[dice_roll(dice, 0, 2)], dice_roll(dice, 1, 6), power / 2, power % 2 * 5,
                prices[dice_roll(dice, 0, 4)], tags[dice_roll(dice, 0, 3)]);
    }
    folder_print(folder, "cards.csv", text);
    folder_print(folder, "model.yaml", MODEL);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
}

static size_t changes(const json_t *card)
{
    return json_array_size(json_object_get(card, "enters")) + json_array_size(json_object_get(card, "leaves"));
}

/* What the best single swap loses, in thousandths; false: there is none. */
static bool single_loses(const char *folder, const char *card, bool in, int64_t *loss)
{
    const char *arguments[] = {in ? "swap" : "why", ".", card, "--json", "--threads", "1", NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    json_t *answer = run_json(&run);
    json_t *said = json_array_get(json_object_get(answer, in ? "swaps" : "cards"), 0), *swap;
    if (in)
        swap = json_array_get(json_object_get(said, "single"), 0);
    else
        swap = json_object_get(said, "one_swap");
    const bool found = swap != NULL;
    if (found)
        *loss = in ? -json_units(swap, "fit_change", 1000) : json_units(swap, "loss", 1000);
    json_decref(answer);
    run_forget(&run);
    return found;
}

/* As few changes as `why` tells of the same card, where these are proven the fewest. */
static int check_fewest(const char *folder, unsigned long seed, const json_t *card)
{
    const char *name = json_text(card, "name");
    json_t *answer = run_answer(folder, 0, (const char *const[]){"why", ".", name, "--json", "--threads", "1", NULL});
    const json_t *said = json_array_get(json_object_get(answer, "cards"), 0);
    const bool proven = strcmp(json_text(said, "fewest"), "proven") == 0;
    const size_t fewest = (size_t)json_integer_value(json_object_get(said, "changes"));
    if (proven && changes(card) != fewest)
        fail_msg("seed %lu: %s is told with %zu changes, %zu are enough", seed, name, changes(card), fewest);
    json_decref(answer);
    return proven;
}

/* Where the pool without a card that `why` tells is a single swap, it is the first that `swap` lists. */
static int check_first(const char *folder, unsigned long seed, const char *name)
{
    json_t *why = run_answer(folder, 0, (const char *const[]){"why", ".", name, "--json", "--threads", "1", NULL}),
           *swap = run_answer(folder, 0, (const char *const[]){"swap", ".", name, "--json", "--threads", "1", NULL});
    const json_t *told = json_array_get(json_object_get(why, "cards"), 0),
                 *first =
                     json_array_get(json_object_get(json_array_get(json_object_get(swap, "swaps"), 0), "single"), 0),
                 *enters = json_object_get(told, "enters");
    const bool single = json_array_size(enters) == 1 && json_integer_value(json_object_get(told, "changes")) == 2;
    if (single && strcmp(json_text(json_array_get(enters, 0), "name"), json_text(first, "name")) != 0)
        fail_msg("seed %lu: for %s why names %s, swap %s", seed, name, json_text(json_array_get(enters, 0), "name"),
                 json_text(first, "name"));
    json_decref(why);
    json_decref(swap);
    return single;
}

static void why_names_the_first_swap(void **state)
{
    (void)state;
    int checked = 0;
    for (uint64_t seed = 6; seed <= 9; seed++) {
        Dice dice;
        dice_seed(&dice, seed);
        char *folder = folder_new();
        write_scenario(folder, &dice);
        Run run; /* of some nothing fits */
        run_poolwright(folder, (const char *const[]){"best", ".", "--json", NULL}, NULL, &run);
        json_t *answer = run_json(&run);
        run_forget(&run);
        const json_t *pool = json_object_get(answer, "pool");
        for (size_t k = 0; k < json_array_size(pool); k++)
            checked += check_first(folder, (unsigned long)seed, json_text(json_array_get(pool, k), "name"));
        json_decref(answer);
        folder_remove(folder);
        free(folder);
    }
    assert_true(checked > 10);
}

static int check_firmness(const char *folder, unsigned long seed, int *few)
{
    const char *arguments[] = {"best", ".", "--firm", "--json", "--threads", "1", NULL};
    int checked = 0;
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    json_t *answer = run_json(&run), *card;
    size_t k;
    json_array_foreach (json_object_get(json_object_get(answer, "firmness"), "cards"), k, card) {
        int64_t loss;
        if (changes(card) <= 2)
            continue;
        const int64_t said = json_units(json_object_get(card, "loss"), "at_most", 1000);
        const char *name = json_text(card, "name");
        if (single_loses(folder, name, json_is_true(json_object_get(card, "in")), &loss) && loss <= said)
            fail_msg("seed %lu: %s is told with %zu changes that lose %lld, one swap loses %lld", seed, name,
                     changes(card), (long long)said, (long long)loss);
        checked++;
        if (strcmp(json_text(card, "kind"), "interchangeable") == 0)
            *few += check_fewest(folder, seed, card);
    }
    json_decref(answer);
    run_forget(&run);
    return checked;
}

static void one_swap_where_it_does_as_well(void **state)
{
    (void)state;
    int checked = 0, few = 0;
    const uint64_t seeds = environment_number("POOLWRIGHT_SCENARIOS", (uint64_t)sanitised_share(20));
    for (uint64_t seed = 1; seed <= seeds; seed++) {
        Dice dice;
        dice_seed(&dice, environment_number("POOLWRIGHT_SEED", 0) + seed);
        char *folder = folder_new();
        write_scenario(folder, &dice);
        checked += check_firmness(folder, (unsigned long)seed, &few);
        folder_remove(folder);
        free(folder);
    }
    assert_true(checked > 10 && few > 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_swap_where_it_does_as_well),
        cmocka_unit_test(why_names_the_first_swap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
