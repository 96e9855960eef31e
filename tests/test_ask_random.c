/* test_ask_random.c - random scenarios of few candidates that stay loaded, asked about random changes: each answer is
 * what trying every pool of the changed scenario gives (tests/support/tiny_judge.c), the first among equals to the
 * card, whatever was asked before. The scenarios are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "ask/ask.h"
#include "base/memory.h"
#include "support/tiny.h"

enum { KINDS = 7, SCENARIOS = 300, QUESTIONS = 8, FIRST_SEED = 400001 };

typedef struct {
    long feasible, infeasible, of_kind[KINDS];
} Seen_Answers;

/* The scenario without what the command line says: there is none here. */
static void make(Tiny *tiny, uint64_t seed)
{
    tiny_make(tiny, seed);
    tiny->size_by_command = tiny->cap_by_command = false;
    for (int c = 0; c < tiny->cards; c++)
        tiny->card[c].status[BY_COMMAND] = 0;
    if (seed % 2 == 0)
        return;
    tiny->case_named = false;
    tiny->has_size[LAYER_CASE] = false;
    for (int r = 0; r < tiny->rules; r++) {
        tiny->rule[r].band[LAYER_CASE].side = NONE;
        tiny->rule[r].owns[LAYER_CASE] = 0;
    }
}

static json_t *part_of(json_t *map, const char *key, bool list)
{
    json_t *part = json_object_get(map, key);
    if (part != NULL)
        return part;
    json_object_set_new(map, key, list ? json_array() : json_object());
    return json_object_get(map, key);
}

static json_t *amount(int64_t value, int scale)
{
    return json_real((double)value / scale);
}

/* ---- changes: each of the question and of the scenario that is tried out ---- */

static bool change_status(Tiny *tiny, json_t *change, Dice *dice)
{
    const int card = dice_roll(dice, 0, tiny->cards - 1), kept = dice_roll(dice, 0, 1);
    if (tiny->card[card].status[BY_COMMAND] != 0)
        return false;
    if (!tiny->card[card].has_price && tiny->unpriced != DEFAULT_PRICE)
        return false; /* one that is kept may be an error then */
    for (int way = 0; way < WAYS; way++)
        tiny->card[card].status[way] &= ~(unsigned)(kept ? BAN : KEEP); /* the later word counts */
    tiny->card[card].status[BY_COMMAND] = kept ? KEEP : BAN;
    json_array_append_new(part_of(change, kept ? "keep" : "ban", true), json_string(tiny_card_spelling(card)));
    return true;
}

static bool change_cap(Tiny *tiny, json_t *change, Dice *dice)
{
    if (!tiny->has_cap)
        return false;
    const int64_t cap = tiny->cap_by_change ? tiny->changed_cap : tiny->cap;
    tiny->cap_by_command = true;
    tiny->command_cap = cap * dice_roll(dice, 70, 140) / 100;
    json_object_set_new(change, "spending_cap", amount(tiny->command_cap, 100));
    return true;
}

static bool change_size(Tiny *tiny, json_t *change, Dice *dice)
{
    const int size = tiny_size_in_force(tiny, LAYERS);
    if (size < 2 || json_object_get(change, "rules") != NULL) /* a bound beside a size is for that size */
        return false;
    tiny->size_by_command = true;
    tiny->command_from = tiny->command_to = size + dice_roll(dice, -1, 1);
    json_object_set_new(change, "size", json_integer(tiny->command_to));
    return true;
}

static bool change_weight(Tiny *tiny, json_t *change, Dice *dice)
{
    if (tiny->themes == 0)
        return false;
    const int theme = dice_roll(dice, 0, tiny->themes - 1);
    tiny->theme[theme].changed = true;
    tiny->theme[theme].changed_weight = 500 * dice_roll(dice, 1, 5);
    json_object_set_new(part_of(part_of(change, "themes", false), tiny_theme_name(theme), false), "weight",
                        amount(tiny->theme[theme].changed_weight, 1000));
    return true;
}

static json_t *rule_part(json_t *change, int rule)
{
    char name[16];
    snprintf(name, sizeof name, "rule %c", 'a' + rule);
    return part_of(part_of(change, "rules", false), name, false);
}

static bool change_off(Tiny *tiny, json_t *change, Dice *dice)
{
    if (tiny->rules == 0)
        return false;
    const int rule = dice_roll(dice, 0, tiny->rules - 1);
    if (tiny->rule[rule].off != 0)
        return false;
    tiny->rule[rule].off = 2;
    json_object_set_new(rule_part(change, rule), "off", json_true());
    return true;
}

/* Bounds of a count, in place of all that were there; the layer of cases is free for them. */
static bool change_bound(Tiny *tiny, json_t *change, Dice *dice)
{
    if (tiny->case_named || tiny->rules == 0 || json_object_get(change, "size") != NULL)
        return false;
    const int rule = dice_roll(dice, 0, tiny->rules - 1);
    TinyRule *at = &tiny->rule[rule];
    if (at->off != 0 || at->has_of || at->band[LAYER_CASE].side != NONE ||
        (at->measure != COUNT && at->measure != NAMES) || tiny_members(tiny, at->each) == 0)
        return false;
    const Band old = tiny_band(tiny, at, 0);
    if (old.sort != ABSOLUTE)
        return false;
    const int64_t number = (old.side == AT_MOST ? old.high : old.low) + dice_roll(dice, -1, 1);
    const bool least = dice_chance(dice, 50);
    if (number < 0)
        return false;
    at->band[LAYER_CASE] = (Band){.side = least ? AT_LEAST : AT_MOST, .sort = ABSOLUTE, .low = number, .high = number};
    json_object_set_new(rule_part(change, rule), least ? "at_least" : "at_most", json_integer((json_int_t)number));
    return true;
}

/* Another price of a card: its own from now on, whatever sheets say. */
static bool change_price(Tiny *tiny, json_t *question, Dice *dice)
{
    const int card = dice_roll(dice, 0, tiny->cards - 1);
    if (!tiny->card[card].has_price)
        return false;
    tiny->card[card].price = dice_roll(dice, 0, 12) * 25;
    json_object_set_new(part_of(part_of(question, "case_cards", false), tiny_card_spelling(card), false), "price",
                        amount(tiny->card[card].price, 100));
    return true;
}

static json_t *make_question(Tiny *tiny, Dice *dice, Seen_Answers *seen)
{
    static bool (*const make_change[])(Tiny *, json_t *, Dice *) = {
        change_status, change_cap, change_size, change_weight, change_off, change_bound, change_price};
    json_t *change = json_object(), *question = json_pack("{s:s,s:i,s:o}", "ask", "best", "gap", 0, "change", change);
    for (int k = dice_roll(dice, 1, 3); k > 0; k--) {
        const int kind = dice_roll(dice, 0, 9) % KINDS;
        seen->of_kind[kind] += make_change[kind](tiny, kind == KINDS - 1 ? question : change, dice);
    }
    if (tiny->case_named)
        json_object_set_new(question, "case", json_string("The One"));
    for (int r = 0; r < tiny->rules && !tiny->case_named; r++)
        if (tiny->rule[r].band[LAYER_CASE].side != NONE) {
            tiny->case_named = true; /* for whoever judges: the question's layer is there */
            break;
        }
    return question;
}

/* ---- answers ---- */

static bool is_right(const Tiny *tiny, const TinyAnswer *expected, json_t *answer)
{
    const char *status = json_string_value(json_object_get(answer, "status"));
    const json_t *pool = json_object_get(answer, "pool");
    int left = 0;
    if (status == NULL)
        return false;
    if (expected->status == TINY_INFEASIBLE)
        return strcmp(status, "infeasible") == 0;
    if (strcmp(status, "best") != 0 || json_units(answer, "fit", 1000) != expected->fit)
        return false;
    for (int c = 0; c < tiny->cards; c++)
        left += expected->copies[c] > 0;
    for (size_t k = 0; k < json_array_size(pool); k++)
        for (int c = 0; c < tiny->cards; c++)
            if (strcmp(json_text(json_array_get(pool, k), "name"), tiny_card_name(c)) == 0)
                left -= json_integer_value(json_object_get(json_array_get(pool, k), "copies")) == expected->copies[c]
                            ? 1
                            : 100;
    return left == 0;
}

static void ask_and_compare(Ask *ask, const Tiny *base, Dice *dice, uint64_t seed, const char *folder,
                            Seen_Answers *seen)
{
    Tiny tiny = *base;
    TinyAnswer expected;
    json_t *question = make_question(&tiny, dice, seen);
    char *line = json_dumps(question, JSON_COMPACT | JSON_REAL_PRECISION(12));
    Text text = {0};
    tiny_solve(&tiny, &expected);
    ask_question(ask, line, strlen(line), &text);
    json_t *answer = json_loads(text_cstr(&text), 0, NULL);
    if (answer == NULL || !is_right(&tiny, &expected, answer))
        fail_msg("scenario %llu in %s\n%s\nexpected %s with fit %lld\n%.1500s", (unsigned long long)seed, folder, line,
                 expected.status == TINY_INFEASIBLE ? "none" : "a pool", (long long)expected.fit, text_cstr(&text));
    seen->feasible += expected.status != TINY_INFEASIBLE;
    seen->infeasible += expected.status == TINY_INFEASIBLE;
    text_release(&text);
    json_decref(answer);
    json_decref(question);
    free(line);
}

static void answers_are_what_trying_all_gives(void **state)
{
    (void)state;
    Seen_Answers seen = {0};
    const uint64_t first = environment_number("POOLWRIGHT_SEED", FIRST_SEED),
                   wanted = environment_number("POOLWRIGHT_SCENARIOS", (uint64_t)sanitised_share(SCENARIOS));
    for (uint64_t seed = first; seed < first + wanted; seed++) {
        Tiny tiny;
        Dice dice;
        char path[4200];
        char *folder = folder_new();
        Text problems = {0};
        make(&tiny, seed);
        tiny_write(&tiny, folder);
        dice_seed(&dice, seed);
        snprintf(path, sizeof path, "%s/scenario.yaml", folder);
        Ask *ask = ask_open(path, NULL, &problems);
        if (ask == NULL)
            fail_msg("scenario %llu in %s: %s", (unsigned long long)seed, folder, text_cstr(&problems));
        for (int k = 0; k < QUESTIONS; k++)
            ask_and_compare(ask, &tiny, &dice, seed, folder, &seen);
        ask_close(ask);
        text_release(&problems);
        folder_remove(folder);
        free(folder);
    }
    print_message("%ld pools, %ld times none; changes of cards %ld, caps %ld, sizes %ld, weights %ld, limits off %ld, "
                  "bounds %ld, prices %ld\n",
                  seen.feasible, seen.infeasible, seen.of_kind[0], seen.of_kind[1], seen.of_kind[2], seen.of_kind[3],
                  seen.of_kind[4], seen.of_kind[5], seen.of_kind[6]);
    assert_true(seen.feasible > (long)wanted);
    for (int k = 0; k < KINDS && wanted >= SCENARIOS / 3; k++)
        assert_true(seen.of_kind[k] > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(answers_are_what_trying_all_gives)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
