/* test_risk.c - price risk against brute force: every pool of a small scenario, every choice of risen prices, in whole
 * numbers (support/at_risk.h). Scenarios are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/at_risk.h"

/* What its limits of money are said to come to at worst. */
static void check_protected(const Small *s, const json_t *answer)
{
    int pool[CARDS_MOST] = {0};
    size_t k;
    const json_t *item;
    json_array_foreach (json_object_get(answer, "pool"), k, item)
        pool[json_text(item, "name")[5] - 'A'] = (int)json_integer_value(json_object_get(item, "copies"));
    json_array_foreach (json_object_get(json_object_get(answer, "money"), "limits"), k, item) {
        const bool theme_only = strcmp(json_text(item, "name"), "theme money") == 0;
        assert_int_equal(json_units(item, "protected", 100), (small_at_worst(s, pool, theme_only) + 999) / 1000);
    }
}

/* Fit in tenths by the program, -1: no pool. */
static int solved(const Small *s, const char *folder, const char *engine)
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
        check_protected(s, answer);
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
    for (int k = 0; k < sanitised_starts(200); k++) {
        Small small;
        small_make(&small, &dice);
        char *folder = folder_new();
        small_write(&small, folder);
        int expected = small_brute(&small), nominal;
        int found = solved(&small, folder, k % 4 == 0 ? "reference" : "fast");
        if (found != expected)
            fail_msg("scenario %d in %s: found %d, brute force %d", k, folder, found, expected);
        Small other = small;
        other.gamma = 0;
        nominal = small_brute(&other);
        mattered += nominal != expected;
        none += expected < 0;
        whole += small.gamma % 1000 == 0;
        fractional += small.gamma % 1000 != 0;
        folder_remove(folder);
        free(folder);
    }
    print_message("%d with a whole Gamma, %d with a fraction; in %d the risk changes the answer, in %d "
                  "there is no pool\n",
                  whole, fractional, mattered, none);
    assert_true(mattered >= sanitised_starts(50));
    assert_true(whole >= sanitised_starts(60) && fractional >= sanitised_starts(60));
}

/* ---- one pool among equals ---- */

typedef struct {
    const Small *small;
    int pool[CARDS_MOST], power, cost; /* the first so far; power -1: none */
    int equals;                        /* pools of that power */
} First;

static int cost_of(const Small *s, const int *pool)
{
    int sum = 0;
    for (int c = 0; c < s->cards; c++)
        sum += pool[c] > s->owned[c] ? (pool[c] - s->owned[c]) * (s->price[c] + s->handling) : 0;
    return sum;
}

/* Pools come with few copies of the first cards first, so of equals the last is the first by names. */
static void try_first(First *f, int *pool, int card, int left, int power)
{
    const Small *s = f->small;
    if (card == s->cards) {
        if (left != 0 || power < f->power || !small_keeps(s, pool, false, s->cap) ||
            (s->theme_cap > 0 && !small_keeps(s, pool, true, s->theme_cap)))
            return;
        f->equals = power > f->power ? 1 : f->equals + 1;
        if (power == f->power && cost_of(s, pool) > f->cost)
            return;
        f->power = power;
        f->cost = cost_of(s, pool);
        memcpy(f->pool, pool, sizeof f->pool);
        return;
    }
    for (int k = 0; k <= s->copies[card] && k <= left; k++) {
        pool[card] = k;
        try_first(f, pool, card + 1, left - k, power + k * s->power[card]);
    }
    pool[card] = 0;
}

static bool is_first(const First *f, const json_t *answer)
{
    const json_t *pool = json_object_get(answer, "pool");
    int copies[CARDS_MOST] = {0};
    for (size_t k = 0; k < json_array_size(pool); k++) {
        const json_t *card = json_array_get(pool, k);
        copies[json_text(card, "name")[5] - 'A'] = (int)json_integer_value(json_object_get(card, "copies"));
    }
    return memcmp(copies, f->pool, sizeof copies) == 0;
}

/* Few powers and prices, so that many pools are alike. What is said to be proven is so; often it is. */
static void equals_are_proven_where_it_is_said(void **state)
{
    (void)state;
    Dice dice;
    int several = 0, proven = 0, open = 0;
    dice_seed(&dice, 17);
    for (int k = 0; k < sanitised_starts(200); k++) {
        Small small;
        small_make(&small, &dice);
        for (int c = 0; c < small.cards; c++) {
            const int rise = small.high[c] - small.price[c];
            small.power[c] = dice_roll(&dice, 1, 2) * 10;
            small.price[c] = dice_roll(&dice, 1, 3) * 100;
            small.high[c] = small.price[c] + rise;
        }
        First first = {.small = &small, .power = -1};
        int pool[CARDS_MOST] = {0};
        try_first(&first, pool, 0, small.size, 0);
        if (first.power < 0)
            continue;
        char *folder = folder_new();
        small_write(&small, folder);
        Run run;
        static const char *const arguments[] = {"best", "scenario.yaml", "--gap", "0", "--json", NULL};
        run_poolwright(folder, arguments, NULL, &run);
        json_t *answer = run_json(&run), *among = json_object_get(answer, "among_equals");
        const bool cost = strcmp(json_text(among, "cost"), "proven") == 0,
                   names = strcmp(json_text(among, "names"), "proven") == 0;
        if ((cost && json_units(answer, "cost", 100) != first.cost) || (cost && names && !is_first(&first, answer)))
            fail_msg("scenario %d in %s: not the first of its equals", k, folder);
        several += first.equals > 1;
        proven += first.equals > 1 && cost && names;
        open += !cost || !names;
        json_decref(answer);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
    print_message("%d with several pools of the best fit, the first proven in %d; something open in %d\n", several,
                  proven, open);
    assert_true(several >= sanitised_starts(60) && proven >= sanitised_starts(30));
}

/* ---- an existing list: mended with the fewest changes, revised with few ---- */

typedef struct {
    const Small *small;
    int list[CARDS_MOST], listed, swaps;
    int least, mended;  /* fewest changes, and the most power in tenths with as many; least -1: no pool */
    int revised, leave; /* most power with at most `swaps` leaving, -1: none; fewest that must leave, -1: no pool */
} Changed;

static void try_changes(Changed *t, int *pool, int card, int left, int power, int kept)
{
    const Small *s = t->small;
    if (card < s->cards) {
        for (int k = 0; k <= s->copies[card] && k <= left; k++) {
            pool[card] = k;
            try_changes(t, pool, card + 1, left - k, power + k * s->power[card],
                        kept + (k < t->list[card] ? k : t->list[card]));
        }
        pool[card] = 0;
        return;
    }
    if (left > 0 || !small_keeps(s, pool, false, s->cap) ||
        (s->theme_cap > 0 && !small_keeps(s, pool, true, s->theme_cap)))
        return;
    const int changes = t->listed + s->size - 2 * kept, leave = t->listed - kept;
    if (t->least < 0 || changes < t->least || (changes == t->least && power > t->mended)) {
        t->least = changes;
        t->mended = power;
    }
    t->leave = t->leave < 0 || leave < t->leave ? leave : t->leave;
    if (leave <= t->swaps && power > t->revised)
        t->revised = power;
}

static void make_changed(Changed *t, const Small *small, const char *folder, Dice *dice)
{
    int pool[CARDS_MOST] = {0};
    char text[512] = "name,copies\n";
    *t = (Changed){.small = small, .swaps = dice_roll(dice, 0, 3), .least = -1, .revised = -1, .leave = -1};
    for (int c = 0; c < small->cards; c++) {
        t->list[c] = c == 0 || dice_chance(dice, 50) ? dice_roll(dice, c == 0, small->copies[c]) : 0;
        t->listed += t->list[c];
        snprintf(text + strlen(text), sizeof text - strlen(text), "Card %c,%d\n", 'A' + c, t->list[c]);
    }
    folder_print(folder, "list.csv", text);
    try_changes(t, pool, 0, small->size, 0, 0);
}

static bool mends(const Changed *t, const char *folder)
{
    static const char *const arguments[] = {"audit", "scenario.yaml", "list.csv", "--gap", "0", "--json", NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    assert_int_equal(run.code, t->least == 0 ? 0 : 1);
    json_t *root = run_json(&run);
    const json_t *mend = json_object_get(root, "mend");
    const char *expected = t->least < 0 ? "impossible" : t->least == 0 ? "not needed" : "found";
    if (strcmp(json_text(mend, "status"), expected) != 0)
        fail_msg("%s: mending is '%s', expected '%s'", folder, json_text(mend, "status"), expected);
    if (t->least > 0 && (json_integer_value(json_object_get(mend, "changes")) != t->least ||
                         json_units(mend, "fit", 1000) != 100 * t->mended))
        fail_msg("%s: mended by %d changes to %lld; by trying all: %d, %d", folder,
                 (int)json_integer_value(json_object_get(mend, "changes")), (long long)json_units(mend, "fit", 1000),
                 t->least, 100 * t->mended);
    if (t->least > 0)
        assert_string_equal(json_text(mend, "fewest"), "proven");
    json_decref(root);
    run_forget(&run);
    return t->least > 0;
}

static bool revises(const Changed *t, const char *folder)
{
    char swaps[16];
    const char *const arguments[] = {"revise", "scenario.yaml", "list.csv", "--swaps", swaps, "--gap",
                                     "0",      "--json",        NULL};
    Run run;
    snprintf(swaps, sizeof swaps, "%d", t->swaps);
    run_poolwright(folder, arguments, NULL, &run);
    assert_int_equal(run.code, t->revised >= 0 ? 0 : 1);
    json_t *root = run_json(&run);
    assert_int_equal(json_is_true(json_object_get(root, "impossible")), t->leave < 0);
    const json_t *point = json_array_get(json_object_get(root, "points"), 0);
    if (t->leave >= 0)
        assert_int_equal(json_integer_value(json_object_get(root, "least_swaps")), t->leave);
    if (t->revised >= 0 &&
        (strcmp(json_text(point, "status"), "best") != 0 || json_units(point, "fit", 1000) != 100 * t->revised))
        fail_msg("%s: with %d swaps '%s' %lld; by trying all: %d", folder, t->swaps, json_text(point, "status"),
                 (long long)json_units(point, "fit", 1000), 100 * t->revised);
    json_decref(root);
    run_forget(&run);
    return t->revised >= 0;
}

static void lists_are_mended_and_revised(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 29);
    int mended = 0, revised = 0;
    for (int k = 0; k < sanitised_starts(200); k++) {
        Small small;
        Changed changed;
        small_make(&small, &dice);
        char *folder = folder_new();
        small_write(&small, folder);
        make_changed(&changed, &small, folder, &dice);
        mended += mends(&changed, folder);
        revised += revises(&changed, folder);
        folder_remove(folder);
        free(folder);
    }
    print_message("%d lists mended, %d revised\n", mended, revised);
    assert_true(mended >= sanitised_starts(80) && revised >= sanitised_starts(50));
}

/* Gamma 0 is the plain cap; Gamma of all prices is the cap at the highs. */
static void both_ends_are_plain_caps(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 11);
    for (int k = 0; k < sanitised_starts(25); k++) {
        Small small;
        small_make(&small, &dice);
        char *folder = folder_new();
        for (int end = 0; end < 2; end++) {
            Small risky = small, plain = small;
            risky.gamma = end == 0 ? 0 : 1000 * small.cards;
            plain.gamma = 0;
            for (int c = 0; c < small.cards; c++) {
                plain.price[c] = end == 0 ? small.price[c] : small.high[c];
                plain.high[c] = plain.price[c];
            }
            small_write(&risky, folder);
            int found = solved(&risky, folder, "fast");
            small_write(&plain, folder);
            assert_int_equal(found, solved(&plain, folder, "fast"));
        }
        folder_remove(folder);
        free(folder);
    }
}

/* --- explanations --- */

/* With the card in (or out), or any; -1: no pool. */
static int forced(const Small *s, int in, int out)
{
    Small small = *s;
    small.in = in;
    small.out = out;
    return small_brute(&small);
}

static int in_hundredths(const json_t *range, const char *key)
{
    const json_t *end = json_object_get(range, key);
    return end == NULL ? -1 : (int)(json_number_value(end) * 100 + 0.5);
}

/* The scenario with the limit loosened by so many cents. */
static bool loosened(const Small *s, const char *name, int cents, Small *out)
{
    *out = *s;
    if (strcmp(name, "spending cap") == 0)
        out->cap += cents;
    else if (strcmp(name, "theme money") == 0)
        out->theme_cap += cents;
    else
        return false;
    return true;
}

static bool in_some_best(const Small *s, const char *name, int cents, int card)
{
    Small small;
    loosened(s, name, cents, &small);
    int with = forced(&small, card, -1);
    return with >= 0 && with == small_brute(&small);
}

static void check_limits(const Small *s, const json_t *card, int c, int *seen)
{
    size_t k;
    json_t *limit;
    json_array_foreach (json_object_get(card, "limits"), k, limit) {
        const char *name = json_text(limit, "name"), *kind = json_text(limit, "kind");
        Small small;
        if (!loosened(s, name, 0, &small))
            continue;
        bool solved_kind = strcmp(kind, "solved") == 0, never = strcmp(kind, "never") == 0;
        if (!solved_kind && !never)
            fail_msg("card %c, %s: %s", 'A' + c, name, kind);
        int by = solved_kind ? in_hundredths(json_object_get(limit, "by"), "at_most") : 3000;
        if (solved_kind &&
            (by != in_hundredths(json_object_get(limit, "by"), "at_least") || !in_some_best(s, name, by, c)))
            fail_msg("card %c is not in with %d more of %s", 'A' + c, by, name);
        for (int cents = 0; cents < by; cents += cents + 1 + cents / 3 < by ? 1 + cents / 3
                                                 : by - cents > 1           ? by - cents - 1
                                                                            : 1)
            if (in_some_best(s, name, cents, c))
                fail_msg("card %c is in with %d more of %s already; said: %d (%s)", 'A' + c, cents, name, by, kind);
        *seen += solved_kind;
    }
}

/* Is the card in a best pool at this price, with a high that is as much above it? */
static bool in_at(const Small *s, int card, int price)
{
    Small small = *s;
    small.high[card] += price - small.price[card];
    small.price[card] = price;
    const int with = forced(&small, card, -1);
    return with >= 0 && with == small_brute(&small);
}

static void check_price(const Small *s, const json_t *card, int c, int *seen)
{
    const json_t *helps = json_object_get(card, "price_helps");
    if (helps == NULL)
        return;
    if (!json_is_boolean(helps))
        fail_msg("card %c: whether a price helps is open", 'A' + c);
    if (json_is_false(helps)) {
        if (in_at(s, c, 0))
            fail_msg("card %c is in as a gift", 'A' + c);
        seen[1]++;
        return;
    }
    const json_t *from = json_object_get(card, "price_from");
    const int price = in_hundredths(from, "at_most");
    if (price != in_hundredths(from, "at_least") || !json_is_true(json_object_get(card, "price_or_less")))
        fail_msg("card %c: a price from %d to %d", 'A' + c, in_hundredths(from, "at_least"), price);
    if (!in_at(s, c, price) || in_at(s, c, price + 1))
        fail_msg("card %c: the price is not %d", 'A' + c, price);
    seen[0]++;
}

static void check_cards(const Small *s, const json_t *root, int best, int *seen, int *prices)
{
    for (int c = 0; c < s->cards; c++) {
        const json_t *card = json_array_get(json_object_get(root, "cards"), (size_t)c);
        bool in = json_is_true(json_object_get(card, "in"));
        int other = in ? forced(s, -1, c) : forced(s, c, -1);
        if (json_is_true(json_object_get(card, "impossible")) != (other < 0))
            fail_msg("card %c: impossible is wrong, by trying %d", 'A' + c, other);
        const json_t *loss = json_object_get(card, "loss");
        if (other >= 0 && (in_hundredths(loss, "at_least") != 10 * (best - other) ||
                           in_hundredths(loss, "at_most") != 10 * (best - other)))
            fail_msg("card %c: loss %d to %d, by trying %d", 'A' + c, in_hundredths(loss, "at_least"),
                     in_hundredths(loss, "at_most"), 10 * (best - other));
        check_limits(s, card, c, seen);
        if (!in && other >= 0 && other < best)
            check_price(s, card, c, prices);
    }
}

static void check_worth(const Small *s, const json_t *root, int best, int *seen)
{
    size_t k;
    json_t *b;
    json_array_foreach (json_object_get(root, "binding"), k, b) {
        const char *name = json_text(b, "name"), *kind = json_text(b, "kind");
        Small small;
        if (!loosened(s, name, 0, &small))
            continue;
        bool step = strcmp(kind, "step") == 0;
        int at = step ? in_hundredths(json_object_get(b, "from_step"), "at_most") : in_hundredths(b, "within");
        if (!step && strcmp(kind, "nothing") != 0)
            fail_msg("%s: %s", name, kind);
        loosened(s, name, step ? at - 1 : at, &small);
        if (small_brute(&small) != best)
            fail_msg("%s: %d of loosening helps already", name, step ? at - 1 : at);
        loosened(s, name, at, &small);
        if (step && (small_brute(&small) <= best ||
                     10 * (small_brute(&small) - best) != in_hundredths(json_object_get(b, "gain"), "at_most")))
            fail_msg("%s: with %d the best is %d, now %d", name, at, small_brute(&small), best);
        *seen += step;
    }
}

static void explanations_reckon_with_it(void **state)
{
    (void)state;
    Dice dice;
    dice_seed(&dice, 29);
    int feasible = 0, seen[2] = {0}, prices[2] = {0};
    while (feasible < sanitised_starts(60)) {
        Small small;
        small_make(&small, &dice);
        int best = small_brute(&small);
        if (best < 0)
            continue;
        feasible++;
        char *folder = folder_new(), name[CARDS_MOST][8];
        small_write(&small, folder);
        const char *word[CARDS_MOST + 5] = {"why", "scenario.yaml", "--json", "--rules"};
        for (int c = 0; c < small.cards; c++) {
            snprintf(name[c], sizeof name[c], "Card %c", 'A' + c);
            word[4 + c] = name[c];
        }
        Run run;
        run_poolwright(folder, word, NULL, &run);
        json_t *root = run_json(&run);
        check_cards(&small, root, best, &seen[0], prices);
        json_decref(root);
        run_forget(&run);
        run_poolwright(folder, (const char *const[]){"best", "scenario.yaml", "--gap", "0", "--json", "--rules", NULL},
                       NULL, &run);
        root = run_json(&run);
        check_worth(&small, root, best, &seen[1]);
        json_decref(root);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
    print_message("%d limits of money that let a card in, %d that are worth something; %d prices that do, %d cards "
                  "that none brings in\n",
                  seen[0], seen[1], prices[0], prices[1]);
    assert_true(sanitised() ||
                (prices[0] >= 12 && prices[1] > 40 && seen[0] >= 15 && seen[1] > 10)); /* a few say little */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(caps_hold_whatever_rises),     cmocka_unit_test(equals_are_proven_where_it_is_said),
        cmocka_unit_test(lists_are_mended_and_revised), cmocka_unit_test(both_ends_are_plain_caps),
        cmocka_unit_test(explanations_reckon_with_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
