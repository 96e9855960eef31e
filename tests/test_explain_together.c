/* test_explain_together.c - several wanted cards at once: what `why` says against pools that are told to keep them,
 * also under price risk and with little effort; its exit code. All data are invented and dealt. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

/* What is dealt: few cards are settled by bounds alone, many are not. */
typedef struct {
    int cards, size;
    bool risk;
    const char *effort; /* NULL: none said */
} Deal;

typedef struct {
    int asked, impossible, open;
    int code[2]; /* runs with exit code 0, with 3 */
} Tally;

/* The JSON of a run; *code is its exit code. */
static json_t *ask_json(const char *folder, const char *const *word, int *code)
{
    Run run;
    run_poolwright(folder, word, NULL, &run);
    *code = run.code;
    if (run.code == 2 || run.code > 3)
        fail_msg("exit code %d\n%s", run.code, run.err);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

static void add_line(Dice *dice, char letter, bool risk, FILE *cards, FILE *prices)
{
    static const char *const kind[] = {"rig", "tool", "beast"};
    const char *of = kind[dice_roll(dice, 0, 2)];
    const int power = dice_roll(dice, 1, 9), whole = dice_roll(dice, 0, 3), cents = dice_roll(dice, 0, 99);
    fprintf(cards, "Card %c,%s,%d\n", letter, of, power);
    fprintf(prices, "Card %c,%d.%02d,%d.%02d\n", letter, whole, cents, whole + (risk ? dice_roll(dice, 0, 2) : 0),
            cents);
}

static char *dealt_folder(Dice *dice, const Deal *deal)
{
    char *folder = folder_new(), *sheet, *list, model[600];
    size_t size, length;
    FILE *cards = open_memstream(&sheet, &size), *prices = open_memstream(&list, &length);
    fprintf(cards, "name,kind,power\n");
    fprintf(prices, "name,price,high\n");
    for (int c = 0; c < deal->cards; c++)
        add_line(dice, (char)('A' + c), deal->risk, cards, prices);
    fclose(cards);
    fclose(prices);
    folder_print(folder, "cards.csv", sheet);
    folder_print(folder, "prices.csv", list);
    free(sheet);
    free(list);
    snprintf(model, sizeof model,
             "size: %d\ncolours: [ebb]\nspending_cap: %d.00\n%srules:\n  - {name: rigs, where: {kind: rig}, at_most: "
             "%d}\n  - {name: tools, where: {kind: tool}, at_most: %d}\n",
             deal->size, deal->size + dice_roll(dice, 1, 4) + (deal->risk ? 2 : 0),
             deal->risk ? "price_risk: {protect: 1}\n" : "", deal->size / 3, deal->size / 3);
    folder_print(folder, "model.yaml", model);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\n");
    return folder;
}

static int64_t end_of(const json_t *range, const char *key, int64_t missing)
{
    return json_object_get(range, key) != NULL ? json_units(range, key, 1000) : missing;
}

/* best: fit of the best pool; kept: of the best one with the cards, told by `best`. */
static void judge(const json_t *both, const json_t *best, const json_t *kept, bool possible, Tally *tally)
{
    const bool impossible = json_is_true(json_object_get(both, "impossible"));
    tally->asked++;
    tally->impossible += impossible;
    assert_int_equal(json_object_get(both, "conflict") != NULL, impossible);
    assert_int_equal(json_object_get(both, "loss") != NULL, !impossible);
    if (impossible) {
        assert_false(possible);
        return;
    }
    const json_t *loss = json_object_get(both, "loss");
    const int64_t low = end_of(loss, "at_least", INT64_MIN), high = end_of(loss, "at_most", INT64_MAX);
    tally->open += low < high;
    if (!possible) {
        assert_true(high == INT64_MAX); /* a pool that is not there was not found */
        return;
    }
    const int64_t lost = json_units(best, "fit", 1000) - json_units(kept, "fit", 1000);
    assert_true(low <= lost && lost <= high);
}

static bool exact(const json_t *range)
{
    return end_of(range, "at_least", INT64_MIN) == end_of(range, "at_most", INT64_MAX);
}

static bool limit_is_open(const json_t *limit)
{
    const char *kind = json_text(limit, "kind");
    if (strcmp(kind, "unknown") != 0)
        return strcmp(kind, "range") == 0;
    const json_t *by = json_object_get(limit, "by"), *within = json_object_get(limit, "within");
    return within == NULL || json_object_get(by, "at_least") == NULL ||
           json_number_value(json_object_get(by, "at_least")) <= json_number_value(within);
}

/* Something of what is said of a card (or of all together) is not proven. */
static bool is_open(const json_t *card)
{
    const json_t *loss = json_object_get(card, "loss"), *fit = json_object_get(card, "fit_from"),
                 *conflict = json_object_get(card, "conflict"), *limit;
    const json_t *helps = json_object_get(card, "price_helps"), *price = json_object_get(card, "price_from");
    const bool as_good = loss != NULL && end_of(loss, "at_most", 1) == 0;
    bool open = conflict != NULL && !json_is_true(json_object_get(conflict, "minimal"));
    size_t k;
    open = open || (loss != NULL && !as_good && !exact(loss)) || (fit != NULL && !as_good && !exact(fit));
    open = open || json_is_null(helps) || (price != NULL && !exact(price));
    json_array_foreach (json_object_get(card, "limits"), k, limit)
        open = open || limit_is_open(limit);
    return open;
}

/* Exit code 0 and "settled" when all is, and only then. */
static void judge_code(const json_t *why, int code, Tally *tally)
{
    const json_t *both = json_object_get(why, "together"), *card;
    bool open = strcmp(json_text(why, "status"), "best") != 0 || (both != NULL && is_open(both));
    size_t k;
    json_array_foreach (json_object_get(why, "cards"), k, card)
        open = open || is_open(card);
    if (code == 1)
        return;
    if (code != (open ? 3 : 0) || json_is_true(json_object_get(why, "settled")) == open)
        fail_msg("exit code %d with\n%s", code, json_dumps(why, JSON_INDENT(1)));
    tally->code[open]++;
}

/* best: what `best` says of the folder. effort: NULL for none. The third name may be NULL. */
static void compare(const char *folder, const json_t *best, const char *const name[3], const char *effort, Tally *tally)
{
    int code, kept_code;
    const char *why_word[10] = {"why", ".", "--json", name[0], name[1]},
               *kept_word[12] = {"best", ".", "--gap", "0", "--json", "--keep", name[0], "--keep", name[1]};
    size_t words = 5;
    if (name[2] != NULL) {
        why_word[words++] = name[2];
        kept_word[9] = "--keep";
        kept_word[10] = name[2];
    }
    if (effort != NULL) {
        why_word[words++] = "--effort";
        why_word[words] = effort;
    }
    json_t *why = ask_json(folder, why_word, &code), *both = json_object_get(why, "together");
    judge_code(why, code, tally);
    if (both != NULL) {
        json_t *kept = ask_json(folder, kept_word, &kept_code);
        assert_string_equal(json_text(best, "status"), "best");
        assert_true(kept_code <= 1);
        judge(both, best, kept, kept_code == 0, tally);
        json_decref(kept);
    }
    json_decref(why);
}

static void compare_some(Dice *dice, int folders, int questions, const Deal *deal, Tally *tally)
{
    for (int k = 0; k < folders; k++) {
        char *folder = dealt_folder(dice, deal);
        int code;
        json_t *best = ask_json(folder, (const char *const[]){"best", ".", "--gap", "0", "--json", NULL}, &code);
        for (int q = 0; q < questions; q++) {
            char name[3][7] = {"Card ?", "Card ?", "Card ?"};
            const int a = dice_roll(dice, 0, deal->cards - 1),
                      b = (a + dice_roll(dice, 1, deal->cards - 2)) % deal->cards,
                      c = (a + deal->cards - 1) % deal->cards;
            name[0][5] = (char)('A' + a);
            name[1][5] = (char)('A' + b);
            name[2][5] = (char)('A' + c);
            compare(folder, best, (const char *const[]){name[0], name[1], dice_chance(dice, 30) ? name[2] : NULL},
                    deal->effort, tally);
        }
        json_decref(best);
        folder_remove(folder);
        free(folder);
    }
}

static void the_loss_is_that_of_keeping_them(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 20260714);
    Tally tally = {0};
    compare_some(&dice, 8, sanitised_starts(20), &(Deal){.cards = 8, .size = 3}, &tally);
    assert_true(tally.asked > sanitised_starts(40) && tally.impossible > sanitised_starts(10) &&
                tally.impossible < tally.asked - sanitised_starts(10));
    assert_int_equal(tally.open, 0);
}

static void risen_prices_count(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 20260715);
    Tally tally = {0};
    compare_some(&dice, 8, sanitised_starts(20), &(Deal){.cards = 8, .size = 3, .risk = true}, &tally);
    assert_true(tally.asked > sanitised_starts(40) && tally.impossible > sanitised_starts(10) &&
                tally.impossible < tally.asked - sanitised_starts(10));
    assert_int_equal(tally.open, 0);
}

static void little_effort_claims_nothing_wrong(void **state)
{
    (void)state;
    static const char *const effort[] = {"30", "60", "120", "250"};
    Tally tally = {0};
    for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
        Dice dice;
        dice_seed(&dice, 20260716 + k);
        compare_some(&dice, 4, sanitised_starts(20),
                     &(Deal){.cards = 20, .size = 9, .risk = k % 2 == 1, .effort = effort[k]}, &tally);
    }
    print_message("%d asked, %d impossible, %d open\n", tally.asked, tally.impossible, tally.open);
    assert_true(tally.asked > sanitised_starts(40) && tally.open >= sanitised_starts(10) &&
                tally.impossible > sanitised_starts(10));
    assert_true(tally.code[0] > 0 && tally.code[1] > 0); /* few have effort enough */
}

static void swaps_with_little_effort_say_so(void **state)
{
    (void)state;
    static const char *const effort[] = {"30", "60", "120", "250", "1k"};
    int seen[2] = {0};
    for (size_t k = 0; k < sizeof effort / sizeof *effort; k++) {
        Dice dice;
        dice_seed(&dice, 20260720 + k);
        for (int round = 0; round < sanitised_share(8); round++) {
            char *folder = dealt_folder(&dice, &(Deal){.cards = 20, .size = 9});
            int code;
            size_t i;
            json_t *swap = ask_json(folder, (const char *const[]){"swap", ".", "--json", "--effort", effort[k], NULL},
                                    &code),
                   *item;
            bool open = strcmp(json_text(swap, "status"), "best") != 0;
            json_array_foreach (json_object_get(swap, "swaps"), i, item)
                open = open ||
                       (!json_is_true(json_object_get(item, "impossible")) && !exact(json_object_get(item, "loss")));
            if (code != 1)
                assert_int_equal(code, open ? 3 : 0);
            if (code != 1)
                seen[open]++;
            json_decref(swap);
            folder_remove(folder);
            free(folder);
        }
    }
    assert_true(seen[0] > 1 && seen[1] > 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_loss_is_that_of_keeping_them),
        cmocka_unit_test(risen_prices_count),
        cmocka_unit_test(little_effort_claims_nothing_wrong),
        cmocka_unit_test(swaps_with_little_effort_say_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) != 0;
}
