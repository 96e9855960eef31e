/* bench_compare.c - how near ten answers bring the pool to the one that is best by the truth. 120 candidates, a pool of
 * 45 with limits and a cap; the truth is invented, the sheet's powers are the truth with normal errors (twelve uniform
 * ones summed), and each question is answered by the truth. Beside it: ten pairs drawn at random from all candidates,
 * answered by the truth too, and given to the same programme.
 * usage: bench_compare SEEDS (the program under test: POOLWRIGHT) */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

#define CARDS 120
#define NAME_MOST 16

typedef struct {
    int truth, power; /* tenths */
    int tag;          /* of the theme, 0: none */
    int colour, price;
} Made;

static int normal(Dice *dice, int spread) /* tenths */
{
    int sum = 0;
    for (int k = 0; k < 12; k++)
        sum += dice_roll(dice, 0, 1000);
    return (sum - 6000) * spread / 1000;
}

static void make(Made *card, Dice *dice, int spread)
{
    for (int c = 0; c < CARDS; c++) {
        card[c] = (Made){.truth = 60 + normal(dice, 15), .colour = c % 3, .price = dice_roll(dice, 2, 60)};
        card[c].tag = dice_chance(dice, 40) ? dice_roll(dice, 1, 3) : 0;
        card[c].power = card[c].truth + normal(dice, spread);
    }
}

static void write_sheet(const Made *card, const char *folder, const char *name, bool truth)
{
    static const char *const colour[] = {"linen", "brass", "tar"};
    char text[CARDS * 64];
    int n = snprintf(text, sizeof text, "name,colours,power,price,tags\n");
    for (int c = 0; c < CARDS; c++) {
        const int power = truth ? card[c].truth : card[c].power;
        n += snprintf(text + n, sizeof text - (size_t)n, "Card %03d,%s,%s%d.%d,%d.%d0,", c, colour[card[c].colour],
                      power < 0 ? "-" : "", abs(power) / 10, abs(power) % 10, card[c].price / 10, card[c].price % 10);
        n += card[c].tag > 0 ? snprintf(text + n, sizeof text - (size_t)n, "eels %d\n", card[c].tag)
                             : snprintf(text + n, sizeof text - (size_t)n, "\n");
    }
    folder_print(folder, name, text);
}

static void write_rules(const char *folder)
{
    folder_print(folder, "model.yaml",
                 "size: 45\ncolours: [linen, brass, tar]\nspending_cap: 110.00\nthemes: [{name: eels}]\nrules:\n"
                 "  - {name: colours, each: colour, between: [14, 16]}\n"
                 "  - {name: eels, where: {tag: eels}, between: [15, 22]}\n");
    folder_print(folder, "scored.yaml", "model: model.yaml\ncards: [scored.csv]\n");
    folder_print(folder, "truth.yaml", "model: model.yaml\ncards: [truth.csv]\n");
}

static int worth(const Made *card, const char *name)
{
    const Made *m = &card[atoi(name + 5)];
    return m->truth + 10 * m->tag;
}

/* Tenths of fit by the truth of those entries, copies counted. */
static int sum_of(const Made *card, const json_t *list, const char *copies)
{
    const json_t *item;
    size_t index;
    int sum = 0;
    json_array_foreach (list, index, item) {
        sum += worth(card, json_text(item, "name")) * (int)json_integer_value(json_object_get(item, copies));
    }
    return sum;
}

static int best_by_truth(const Made *card, const char *folder, const char *scenario)
{
    json_t *root = run_answer(folder, 0, (const char *const[]){"best", scenario, "--gap", "0", "--json", NULL});
    const int sum = sum_of(card, json_object_get(root, "pool"), "copies");
    json_decref(root);
    return sum;
}

static void answer(const Made *card, json_t *question)
{
    const int first = worth(card, json_text(question, "first")), second = worth(card, json_text(question, "second"));
    json_object_set_new(question, "answer",
                        json_string(first > second   ? "first"
                                    : first < second ? "second"
                                                     : "neither"));
}

static json_t *run_with(const char *folder, const json_t *questions)
{
    json_t *answers = json_pack("{s:O}", "questions", questions);
    char *text = json_dumps(answers, 0);
    folder_print(folder, "answers.json", text);
    free(text);
    json_decref(answers);
    return run_answer(folder, 0,
                      (const char *const[]){"compare", "scored.yaml", "--json", "--answers", "answers.json", NULL});
}

static int gain_of(const Made *card, const json_t *root)
{
    return sum_of(card, json_object_get(root, "enters"), "copies") -
           sum_of(card, json_object_get(root, "leaves"), "copies");
}

/* What the answers to its questions bring, in tenths of fit by the truth. */
static int asked(const Made *card, const char *folder, int *questions_asked)
{
    json_t *questions = json_array(), *root = run_with(folder, questions);
    for (;;) {
        json_decref(questions);
        questions = json_incref(json_object_get(root, "questions"));
        const size_t count = json_array_size(questions);
        json_t *last = count > 0 ? json_array_get(questions, count - 1) : NULL;
        if (last == NULL || !json_is_null(json_object_get(last, "answer")))
            break;
        answer(card, last);
        ++*questions_asked;
        json_decref(root);
        root = run_with(folder, questions);
    }
    const int gain = gain_of(card, root);
    json_decref(questions);
    json_decref(root);
    return gain;
}

static int drawn(const Made *card, const char *folder, Dice *dice)
{
    json_t *questions = json_array();
    for (int k = 0; k < 10; k++) {
        const int first = dice_roll(dice, 0, CARDS - 2), second = dice_roll(dice, first + 1, CARDS - 1);
        char name[2][NAME_MOST];
        snprintf(name[0], NAME_MOST, "Card %03d", first);
        snprintf(name[1], NAME_MOST, "Card %03d", second);
        json_t *question = json_pack("{s:s,s:s}", "first", name[0], "second", name[1]);
        answer(card, question);
        json_array_append_new(questions, question);
    }
    json_t *root = run_with(folder, questions);
    const int gain = gain_of(card, root);
    json_decref(questions);
    json_decref(root);
    return gain;
}

static void bench(int spread, int seeds)
{
    int lost = 0, by_asking = 0, by_drawing = 0, questions = 0;
    for (int seed = 1; seed <= seeds; seed++) {
        Dice dice;
        Made card[CARDS];
        char *folder = folder_new();
        dice_seed(&dice, (uint64_t)seed * 100 + (uint64_t)spread);
        make(card, &dice, spread);
        write_sheet(card, folder, "scored.csv", false);
        write_sheet(card, folder, "truth.csv", true);
        write_rules(folder);
        lost += best_by_truth(card, folder, "truth.yaml") - best_by_truth(card, folder, "scored.yaml");
        by_asking += asked(card, folder, &questions);
        by_drawing += drawn(card, folder, &dice);
        folder_remove(folder);
        free(folder);
    }
    printf("  errors of %d.%d   lost %6.2f fit   ten answers bring back %5.2f (%2.0f%%)   ten pairs at random %5.2f "
           "(%2.0f%%)"
           "   %.1f questions\n",
           spread / 10, spread % 10, lost / 10.0 / seeds, by_asking / 10.0 / seeds, 100.0 * by_asking / lost,
           by_drawing / 10.0 / seeds, 100.0 * by_drawing / lost, (double)questions / seeds);
}

static int seeds_wanted;

static void both_spreads(void **state)
{
    (void)state;
    printf("Ten answers of compare, means over %d truths (120 candidates, a pool of 45):\n", seeds_wanted);
    bench(5, seeds_wanted);
    bench(10, seeds_wanted);
}

int main(int argc, char **argv)
{
    seeds_wanted = argc > 1 ? atoi(argv[1]) : 10;
    const struct CMUnitTest tests[] = {cmocka_unit_test(both_spreads)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
