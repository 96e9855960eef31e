/* test_changes_brute.c - newcomers, swaps one by one and notes from play against trying every pool of small random
 * scenarios: what each newcomer is worth and its verdict, that each swap of the list is the best one that keeps what
 * was changed before, and that both pools of `feedback` are the best by the powers that the notes add up to. The
 * scenarios are invented. */
#include <limits.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

enum { CARDS = 11, NEW = 3, OLD = CARDS - NEW, POOLS = 1 << CARDS };

#define NONE INT64_MIN

typedef struct {
    int power[CARDS], price[CARDS]; /* halves; cents */
    bool rye[CARDS], owned[CARDS];
    unsigned present;                       /* a set of the old cards */
    int size, cap, rye_least, spend, swaps; /* spend, swaps: -1: not asked for */
    int most_dear;                          /* of cards of 2.00 and more */
} Made;

static void make(Made *m, Dice *dice)
{
    *m = (Made){.size = dice_roll(dice, 3, 5), .swaps = dice_chance(dice, 60) ? dice_roll(dice, 1, 3) : -1};
    for (int c = 0; c < CARDS; c++) {
        m->power[c] = dice_roll(dice, 2, 24);
        m->price[c] = 25 * dice_roll(dice, 0, 16);
        m->rye[c] = dice_chance(dice, 50);
        m->owned[c] = dice_chance(dice, 15);
    }
    for (int k = dice_roll(dice, m->size - 1, m->size + 1); k > 0; k--)
        m->present |= 1u << dice_roll(dice, 0, OLD - 1);
    for (int c = 0; c < OLD; c++)
        m->owned[c] = m->owned[c] || (m->present >> c & 1) != 0;
    m->cap = 100 * dice_roll(dice, 4, 12);
    m->spend = dice_chance(dice, 30) ? 50 * dice_roll(dice, 0, 10) : -1;
    m->rye_least = dice_roll(dice, 0, 2);
    m->most_dear = dice_roll(dice, 0, 3);
}

static void write_made(const Made *m, const char *folder, bool all)
{
    char text[4096], line[120];
    for (int part = 0; part < 2; part++) {
        snprintf(text, sizeof text, "name,colours,power,price,owned\n");
        for (int c = part == 0 ? 0 : OLD; c < (part == 0 && !all ? OLD : CARDS); c++) {
            snprintf(line, sizeof line, "Tub %c,%s,%d.%d,%d.%02d,%s\n", 'A' + c, m->rye[c] ? "rye" : "teal",
                     m->power[c] / 2, m->power[c] % 2 * 5, m->price[c] / 100, m->price[c] % 100,
                     m->owned[c] ? "1" : "");
            strcat(text, line);
        }
        folder_print(folder, part == 0 ? "cards.csv" : "new.csv", text);
    }
    snprintf(text, sizeof text,
             "size: %d\ncolours: [rye, teal]\nspending_cap: %d.00\nrules:\n  - {name: rye, where: {colours: rye}, "
             "at_least: %d}\n  - {name: dear, where: {price: {from: 2}}, at_most: %d}\n",
             m->size, m->cap / 100, m->rye_least, m->most_dear);
    folder_print(folder, "model.yaml", text);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\npool: pool.csv\n");
    snprintf(text, sizeof text, "name\n");
    for (int c = 0; c < OLD; c++)
        if ((m->present >> c & 1) != 0)
            snprintf(text + strlen(text), sizeof text - strlen(text), "Tub %c\n", 'A' + c);
    folder_print(folder, "pool.csv", text);
}

/* ---- every pool ---- */

static int count(unsigned set)
{
    int n = 0;
    for (; set != 0; set &= set - 1)
        n++;
    return n;
}

/* The fit in thousandths; NONE: some rule breaks. What the present pool holds is owned. */
static int64_t judge(const Made *m, unsigned pool, int swaps)
{
    int cost = 0, rye = 0, dear = 0;
    int64_t fit = 0;
    for (int c = 0; c < CARDS; c++) {
        if ((pool >> c & 1) == 0)
            continue;
        cost += m->owned[c] ? 0 : m->price[c];
        rye += m->rye[c];
        dear += m->price[c] >= 200;
        fit += 500 * m->power[c];
    }
    const bool good = count(pool) == m->size && cost <= m->cap && rye >= m->rye_least && dear <= m->most_dear &&
                      (m->spend < 0 || cost <= m->spend) && (swaps < 0 || count(m->present & ~pool) <= swaps);
    return good ? fit : NONE;
}

/* The best of the pools that hold all of `with`, none of `without`, within so many swaps (-1: any). */
static int64_t best_of(const Made *m, unsigned with, unsigned without, int swaps)
{
    int64_t best = NONE;
    for (unsigned pool = 0; pool < POOLS; pool++) {
        const int64_t fit = (pool & with) == with && (pool & without) == 0 ? judge(m, pool, swaps) : NONE;
        best = fit > best ? fit : best;
    }
    return best;
}

static unsigned set_of(const json_t *list)
{
    unsigned set = 0;
    for (size_t k = 0; k < json_array_size(list); k++)
        set |= 1u << (json_text(json_array_get(list, k), "name")[4] - 'A');
    return set;
}

/* ---- the program against that ---- */

static json_t *run_revise(const Made *m, const char *folder, bool newcomers, int *code)
{
    char swaps[16], spend[16];
    const char *word[16] = {"revise", "scenario.yaml", "--json", "--gap", "0"};
    int n = 5;
    if (newcomers) {
        word[n++] = "--new";
        word[n++] = "new.csv";
    }
    if (m->swaps >= 0) {
        snprintf(swaps, sizeof swaps, "%d", m->swaps);
        word[n++] = "--swaps";
        word[n++] = swaps;
    }
    if (m->spend >= 0) {
        snprintf(spend, sizeof spend, "%d.%02d", m->spend / 100, m->spend % 100);
        word[n++] = "--spend";
        word[n++] = spend;
    }
    Run run;
    run_poolwright(folder, word, NULL, &run);
    if (run.code > 1)
        fail_msg("revise in %s: exit code %d\n%s", folder, run.code, run.err);
    *code = run.code;
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

static void check_newcomer(const Made *m, const json_t *item, const char *folder, int *seen)
{
    const int c = json_text(item, "name")[4] - 'A';
    const int64_t best = best_of(m, 0, 0, m->swaps), with = best_of(m, 1u << c, 0, m->swaps),
                  without = best_of(m, 0, 1u << c, m->swaps), fit = 500 * m->power[c];
    const char *verdict = json_text(item, "verdict");
    /* where two pools are as good, it may be in or out */
    const bool in = strcmp(verdict, "in") == 0,
               good = in ? with == best
                      : strcmp(verdict, "impossible") == 0
                          ? with == NONE
                          : without == best && with != NONE &&
                                (strcmp(verdict, "near miss") == 0) == (10 * (best - with) < fit);
    if (!good)
        fail_msg("%s: %s is '%s'; best %lld, with it %lld, without %lld", folder, json_text(item, "name"), verdict,
                 (long long)best, (long long)with, (long long)without);
    if (json_object_get(item, "worth_at_least") != NULL) {
        const int64_t worth = in ? best - without : with - best;
        if (json_units(item, "worth_at_least", 1000) > worth || json_units(item, "worth_at_most", 1000) < worth)
            fail_msg("%s: %s is worth %lld, said %lld to %lld", folder, json_text(item, "name"), (long long)worth,
                     (long long)json_units(item, "worth_at_least", 1000),
                     (long long)json_units(item, "worth_at_most", 1000));
    }
    seen[in ? 0 : strcmp(verdict, "near miss") == 0 ? 1 : strcmp(verdict, "no") == 0 ? 2 : 3]++;
}

/* The best pool in which what is changed stays changed, and one copy more may leave. */
static int64_t best_further(const Made *m, unsigned now, int swaps)
{
    int64_t best = NONE;
    for (unsigned pool = 0; pool < POOLS; pool++) {
        const unsigned changed = now ^ m->present;
        const int64_t other = ((pool ^ now) & changed) == 0 ? judge(m, pool, swaps) : NONE;
        best = other > best ? other : best;
    }
    return best;
}

/* From the present pool, or from the best with the fewest swaps that mend it: each swap is the best further one. */
static int check_swaps(const Made *m, const json_t *root, const char *folder)
{
    const json_t *ranks = json_object_get(root, "one_by_one");
    unsigned now = m->present;
    int least = 0;
    const bool ends = strcmp(json_text(root, "one_by_one_ends"), "proven") == 0;
    if (json_array_size(ranks) == 0 && !ends)
        return 0;
    while (best_of(m, 0, 0, least) == NONE)
        least++;
    assert_int_equal(json_integer_value(json_object_get(root, "least_swaps")), least);
    int64_t fit = judge(m, now, -1);
    if (fit == NONE)
        return 0; /* which of several pools it begins from is not said */
    for (size_t k = 0; k < json_array_size(ranks); k++) {
        const json_t *rank = json_array_get(ranks, k);
        const int64_t best = best_further(m, now, least + (int)k + 1);
        now = (now & ~set_of(json_object_get(rank, "leaves"))) | set_of(json_object_get(rank, "enters"));
        const int64_t gain = json_units(rank, "gain", 1000), is = judge(m, now, least + (int)k + 1);
        if (best != is || gain != is - fit || gain <= 0)
            fail_msg("%s: swap %zu gains %lld to %lld; by trying all the best has %lld", folder, k + 1, (long long)gain,
                     (long long)is, (long long)best);
        fit = is;
    }
    const int more = least + (int)json_array_size(ranks) + 1;
    if (ends && best_further(m, now, more) > fit)
        fail_msg("%s: that no single swap adds fit is said behind %zu of them; by trying all one has %lld", folder,
                 json_array_size(ranks), (long long)best_further(m, now, more));
    return (int)json_array_size(ranks) + 1000 * ends;
}

/* For what enters. */
static int money_of(const Made *m, unsigned pool)
{
    int cost = 0;
    for (int c = 0; c < CARDS; c++)
        cost += (pool >> c & 1) != 0 && !m->owned[c] ? m->price[c] : 0;
    return cost;
}

/* Each pool that is told: as good as any within its swaps, none as good changes fewer cards, and none of these costs
 * less. */
static void check_points(const Made *m, const json_t *root, const char *folder)
{
    size_t k;
    json_t *point;
    json_array_foreach (json_object_get(root, "points"), k, point) {
        const int swaps = (int)json_integer_value(json_object_get(point, "swaps"));
        const unsigned told =
            (m->present & ~set_of(json_object_get(point, "leaves"))) | set_of(json_object_get(point, "enters"));
        const int64_t best = best_of(m, 0, 0, swaps);
        int fewest = 2 * CARDS, least = INT_MAX;
        for (unsigned pool = 0; pool < POOLS; pool++) {
            const int changes = count(pool ^ m->present);
            if (judge(m, pool, swaps) != best || changes > fewest)
                continue;
            least = changes == fewest && least < money_of(m, pool) ? least : money_of(m, pool);
            fewest = changes;
        }
        if (best == NONE)
            continue;
        if (judge(m, told, swaps) != best || count(told ^ m->present) != fewest || money_of(m, told) != least)
            fail_msg("%s: with %d swaps %d changes for %lld are told, for %d, by trying all %d for %lld, for %d",
                     folder, swaps, count(told ^ m->present), (long long)judge(m, told, swaps), money_of(m, told),
                     fewest, (long long)best, least);
    }
}

/* The least that must be paid for what enters, with so many swaps (-1: any); -1: no pool. */
static int cheapest(const Made *m, int swaps)
{
    int least = -1;
    for (unsigned pool = 0; pool < POOLS; pool++) {
        const int cost = money_of(m, pool);
        if ((least < 0 || cost < least) && judge(m, pool, swaps) != NONE)
            least = cost;
    }
    return least;
}

/* Too few swaps or too little money: the least that would do. Where no money would, the causes. */
static int check_least(Made *m, const json_t *root, const char *folder)
{
    const json_t *money = json_object_get(root, "least_spend"), *causes = json_object_get(root, "causes");
    const bool too_few = best_of(m, 0, 0, m->swaps) == NONE && best_of(m, 0, 0, -1) != NONE;
    if (too_few) {
        const int least = (int)json_integer_value(json_object_get(root, "least_swaps"));
        if (!json_is_true(json_object_get(root, "least_swaps_exact")) || best_of(m, 0, 0, least) == NONE ||
            best_of(m, 0, 0, least - 1) != NONE)
            fail_msg("%s: %d swaps are not the least", folder, least);
    }
    const bool never = best_of(m, 0, 0, -1) == NONE;
    const int spend = m->spend;
    m->spend = -1;
    const int within = cheapest(m, m->swaps), any = cheapest(m, -1);
    if ((money != NULL) != (never && any >= 0) || (causes != NULL) != (any < 0))
        fail_msg("%s: the least money or causes are missing, or are told where they should not be", folder);
    if (money != NULL) {
        const int least = within >= 0 ? within : any;
        if (json_units(money, "at_least", 100) != least || json_units(money, "at_most", 100) != least ||
            json_is_true(json_object_get(root, "swaps_never")) != (within < 0))
            fail_msg("%s: the least money is %d", folder, least);
    }
    m->spend = spend;
    return too_few + 1000 * (money != NULL) + 1000000 * (causes != NULL);
}

static void newcomers_and_swaps(void **state)
{
    (void)state;
    int seen[4] = {0}, swaps = 0, told = 0, code;
    Dice dice;
    const int scenarios = (int)scenarios_wanted(120);
    dice_seed(&dice, 31);
    for (int k = 0; k < scenarios; k++) {
        Made m;
        make(&m, &dice);
        char *folder = folder_new();
        write_made(&m, folder, false);
        json_t *root = run_revise(&m, folder, true, &code);
        const json_t *list = json_object_get(root, "new");
        assert_int_equal(code, best_of(&m, 0, 0, m.swaps) == NONE ? 1 : 0);
        for (size_t i = 0; i < json_array_size(list); i++)
            check_newcomer(&m, json_array_get(list, i), folder, seen);
        swaps += check_swaps(&m, root, folder);
        check_points(&m, root, folder);
        told += check_least(&m, root, folder);
        json_decref(root);
        desk_done(folder);
    }
    print_message("newcomers: %d in, %d near, %d not, %d impossible; %d swaps one by one, %d times no more\n", seen[0],
                  seen[1], seen[2], seen[3], swaps % 1000, swaps / 1000);
    print_message("the least that would do: swaps %d times, money %d times; causes %d times\n", told % 1000,
                  told / 1000 % 1000, told / 1000000);
    if (scenarios >= 120)
        assert_true(told % 1000 >= 2 && told / 1000 % 1000 >= 5);
    if (scenarios >= 120)
        assert_true(seen[0] >= 30 && seen[1] >= 5 && seen[2] >= 30 && seen[3] >= 5 && swaps % 1000 >= 20 &&
                    swaps >= 3000);
}

/* With whatever effort: what is told of single swaps is proven, and that there are no more. */
static void swaps_with_little_effort(void **state)
{
    (void)state;
    static const char *const effort[] = {"2", "5", "9", "14", "20", "30", "60", "200"};
    const int scenarios = (int)scenarios_wanted(160);
    int told = 0;
    Dice dice;
    dice_seed(&dice, 33);
    for (int k = 0; k < scenarios; k++) {
        Made m;
        make(&m, &dice);
        char *folder = folder_new();
        write_made(&m, folder, false);
        if (m.spend < 0) {
            Run run;
            run_poolwright(folder,
                           WORDS("revise", "scenario.yaml", "--json", "--new", "new.csv", "--effort", effort[k % 8]),
                           NULL, &run);
            assert_true(run.code == 0 || run.code == 1 || run.code == 3);
            m.swaps = -1;
            json_t *root = run_json(&run);
            told += check_swaps(&m, root, folder);
            json_decref(root);
            run_forget(&run);
        }
        desk_done(folder);
    }
    print_message("with little effort %d swaps, %d times proven that there are no more\n", told % 1000, told / 1000);
    if (scenarios >= 160)
        assert_true(told % 1000 >= 10 && told / 1000 >= 5);
}

/* One swap needs a rye card that is dear to buy; with two, an owned one may enter in place of two dear ones. */
static void make_dear_by_one_swap(Made *m, Dice *dice)
{
    make(m, dice);
    m->size = 3;
    m->present = 7;
    m->rye_least = m->most_dear = m->swaps = 1;
    m->cap = 1200;
    for (int c = 0; c < CARDS; c++) {
        m->rye[c] = c == 3 || c == 4;
        m->owned[c] = c < 3 || c == 4;
        m->price[c] = 200 + 25 * dice_roll(dice, 0, 8);
    }
    m->price[2] = 25 * dice_roll(dice, 0, 7);
    m->price[3] = 25 * dice_roll(dice, 4, 7);
    m->price[5] = 25 * dice_roll(dice, 1, 3);
}

/* A cent too little for any pool: the least that would do is told for the swaps that are asked for. */
static void just_too_little_money(void **state)
{
    (void)state;
    const int scenarios = (int)scenarios_wanted(120);
    int told = 0, dearer = 0, code;
    Dice dice;
    dice_seed(&dice, 32);
    for (int k = 0; k < scenarios; k++) {
        Made m;
        if (k % 4 == 0)
            make_dear_by_one_swap(&m, &dice);
        else
            make(&m, &dice);
        m.spend = -1;
        const int any = cheapest(&m, -1), within = cheapest(&m, m.swaps);
        if (any <= 0)
            continue;
        m.spend = any - 1;
        char *folder = folder_new();
        write_made(&m, folder, false);
        json_t *root = run_revise(&m, folder, true, &code);
        assert_int_equal(code, 1);
        told += check_least(&m, root, folder) / 1000 % 1000;
        dearer += within > any;
        json_decref(root);
        desk_done(folder);
    }
    print_message("too little money: %d times, %d with a greater least sum for so few swaps\n", told, dearer);
    assert_true(told >= scenarios / 4 && dearer >= scenarios / 8);
}

/* ---- notes from play ---- */

/* Sums the notes (thousandths), keeps each power between the least and the greatest, and writes the sheet. */
static void make_notes(const Made *m, const char *folder, Dice *dice, int64_t power[CARDS])
{
    static const char *const verdict[] = {"better", "worse", "unused", "fine", "+1", "-2.5"};
    static const int by[] = {500, -500, -250, 0, 1000, -2500};
    char text[2048] = "card,verdict\n";
    int64_t least = INT64_MAX, most = 0;
    for (int c = 0; c < CARDS; c++) {
        power[c] = 500 * m->power[c];
        least = power[c] < least ? power[c] : least;
        most = power[c] > most ? power[c] : most;
    }
    for (int k = dice_roll(dice, 8, 24); k > 0; k--) {
        const int c = dice_roll(dice, 0, CARDS - 1), v = dice_roll(dice, 0, 5);
        snprintf(text + strlen(text), sizeof text - strlen(text), "Tub %c,%s\n", 'A' + c, verdict[v]);
        power[c] += by[v];
    }
    for (int c = 0; c < CARDS; c++)
        power[c] = power[c] < least ? least : power[c] > most ? most : power[c];
    folder_print(folder, "notes.csv", text);
}

static int64_t fit_by(const int64_t *power, unsigned pool)
{
    int64_t fit = 0;
    for (int c = 0; c < CARDS; c++)
        fit += (pool >> c & 1) != 0 ? power[c] : 0;
    return fit;
}

static int64_t best_by(const Made *m, const int64_t *power)
{
    int64_t best = NONE;
    for (unsigned pool = 0; pool < POOLS; pool++)
        if (judge(m, pool, -1) != NONE && fit_by(power, pool) > best)
            best = fit_by(power, pool);
    return best;
}

static bool check_feedback(const Made *m, const int64_t *power, const json_t *root, const char *folder)
{
    const json_t *before = json_object_get(root, "before"), *after = json_object_get(root, "after");
    int64_t old[CARDS];
    for (int c = 0; c < CARDS; c++)
        old[c] = 500 * m->power[c];
    const int64_t best = best_by(m, old), better = best_by(m, power);
    const bool same = json_units(before, "fit_by_new_powers", 1000) == better;
    if (json_units(before, "fit", 1000) != best || json_units(before, "bound", 1000) != best ||
        json_units(after, "fit", 1000) != better || json_units(after, "bound", 1000) != better ||
        same != (json_array_size(json_object_get(root, "enters")) == 0))
        fail_msg("%s: feedback says %lld, then %lld; by trying all %lld, %lld", folder,
                 (long long)json_units(before, "fit", 1000), (long long)json_units(after, "fit", 1000), (long long)best,
                 (long long)better);
    return !same;
}

static void notes_from_play(void **state)
{
    (void)state;
    int changed = 0, answered = 0;
    Dice dice;
    dice_seed(&dice, 53);
    const int scenarios = sanitised_starts(120);
    for (int k = 0; k < scenarios; k++) {
        Made m;
        int64_t power[CARDS];
        make(&m, &dice);
        m.spend = m.swaps = -1;
        char *folder = folder_new();
        write_made(&m, folder, true);
        make_notes(&m, folder, &dice, power);
        Run run;
        const bool any = best_of(&m, 0, 0, -1) != NONE;
        desk_run(folder, &run, any ? 0 : 1, WORDS("feedback", "scenario.yaml", "notes.csv", "--gap", "0", "--json"));
        json_t *root = run_json(&run);
        answered += any;
        changed += any && check_feedback(&m, power, root, folder);
        json_decref(root);
        run_forget(&run);
        desk_done(folder);
    }
    print_message("%d of %d have pools, %d of them change\n", answered, scenarios, changed);
    assert_true(answered >= sanitised_starts(80) && changed >= sanitised_starts(20));
}

/* ---- caps that hold whatever prices rise ---- */

typedef struct {
    int rise[CARDS], gamma; /* cents; halves of prices that may rise */
} Risk;

/* The least cap under which the pool is allowed, as far as money goes. */
static int least_cap(const Made *m, const Risk *risk, unsigned pool)
{
    int cost = 0, halves = 0, left = risk->gamma, rise[CARDS], rises = 0;
    for (int c = 0; c < CARDS; c++)
        if ((pool >> c & 1) != 0 && !m->owned[c]) {
            cost += m->price[c];
            rise[rises++] = risk->rise[c];
        }
    for (; left > 0 && rises > 0; left -= 2) { /* the greatest first; the last one may rise by half */
        int most = 0;
        for (int k = 1; k < rises; k++)
            most = rise[k] > rise[most] ? k : most;
        halves += left >= 2 ? 2 * rise[most] : rise[most];
        rise[most] = rise[--rises];
    }
    return cost + (halves + 1) / 2;
}

static int64_t best_at_risk(const Made *m, const Risk *risk, int64_t cap)
{
    Made free_of_cap = *m;
    int64_t best = NONE;
    free_of_cap.cap = INT32_MAX;
    for (unsigned pool = 0; pool < POOLS; pool++) {
        const int64_t fit = judge(&free_of_cap, pool, -1);
        if (fit > best && least_cap(m, risk, pool) <= cap)
            best = fit;
    }
    return best;
}

static void write_risk(const Made *m, Risk *risk, Dice *dice, const char *folder)
{
    char text[1024] = "name,price,high\n", more[1200], *model = folder_read(folder, "model.yaml", NULL);
    risk->gamma = dice_roll(dice, 1, 5);
    for (int c = 0; c < CARDS; c++) {
        risk->rise[c] = dice_chance(dice, 60) ? 25 * dice_roll(dice, 0, 8) + dice_roll(dice, 0, 1) : 0;
        const int high = m->price[c] + risk->rise[c];
        snprintf(text + strlen(text), sizeof text - strlen(text), "Tub %c,%d.%02d,%d.%02d\n", 'A' + c,
                 m->price[c] / 100, m->price[c] % 100, high / 100, high % 100);
    }
    folder_print(folder, "prices.csv", text);
    snprintf(more, sizeof more, "%sprice_risk: {protect: %d.%d}\n", model, risk->gamma / 2, risk->gamma % 2 * 5);
    folder_print(folder, "model.yaml", more);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\nprices: [prices.csv]\n");
    free(model);
}

/* The least cap that has a pool at all, and the least from which money buys nothing more, as far as they are said. */
static void check_ends(const Made *m, const Risk *risk, const json_t *frontier)
{
    const json_t *least = json_object_get(frontier, "least_cap"), *enough = json_object_get(frontier, "enough");
    const int64_t most = best_at_risk(m, risk, INT32_MAX);
    assert_int_equal(json_is_true(json_object_get(frontier, "impossible")), most == NONE);
    if (json_is_object(least)) {
        assert_true(best_at_risk(m, risk, json_units(least, "at_most", 100)) != NONE);
        assert_true(best_at_risk(m, risk, json_units(least, "at_least", 100) - 1) == NONE);
    }
    if (json_is_object(enough)) {
        assert_int_equal(json_units(frontier, "fit_without_cap", 1000), most);
        assert_int_equal(best_at_risk(m, risk, json_units(enough, "at_most", 100)), most);
        assert_true(best_at_risk(m, risk, json_units(enough, "at_least", 100) - 1) < most);
    }
}

/* Where every step is said to be there, the best does not change between two of them. More money never has less. */
static void check_steps(const Made *m, const Risk *risk, const json_t *cases, int64_t highest)
{
    const size_t count = json_array_size(cases);
    for (size_t k = 1; k < count; k++) { /* behind the base */
        const json_t *item = json_array_get(cases, k);
        const int64_t to = k + 1 < count ? json_units(json_array_get(cases, k + 1), "cap", 100) - 1 : highest;
        if (strcmp(json_text(item, "status"), "best") == 0)
            assert_int_equal(best_at_risk(m, risk, to), json_units(item, "fit", 1000));
    }
}

/* Every line of the frontier, its ends, and every stretch that is said to buy nothing. Returns how many stretches. */
static int check_caps(const Made *m, const Risk *risk, const json_t *root, const char *folder)
{
    const json_t *cases = json_object_get(root, "cases"),
                 *frontier = json_array_get(json_object_get(root, "frontiers"), 0),
                 *dead = json_object_get(frontier, "buys_nothing");
    for (size_t k = 0; k < json_array_size(cases); k++) {
        const json_t *item = json_array_get(cases, k);
        const int64_t best = best_at_risk(m, risk, json_units(item, "cap", 100));
        const char *status = json_text(item, "status");
        if (strcmp(status, best == NONE ? "infeasible" : "best") != 0 ||
            (best != NONE && json_units(item, "fit", 1000) != best))
            fail_msg("%s: %s is '%s'; by trying all %lld", folder, json_text(item, "name"), status, (long long)best);
    }
    for (size_t k = 0; k < json_array_size(dead); k++)
        assert_int_equal(best_at_risk(m, risk, json_units(json_array_get(dead, k), "from", 100)),
                         best_at_risk(m, risk, json_units(json_array_get(dead, k), "to", 100)));
    check_ends(m, risk, frontier);
    if (json_is_true(json_object_get(frontier, "steps")))
        check_steps(m, risk, cases, 900);
    return (int)json_array_size(dead);
}

static void caps_under_price_risk(void **state)
{
    (void)state;
    Dice dice;
    int stretches = 0, steps = 0;
    dice_seed(&dice, 71);
    for (int k = 0; k < sanitised_starts(40); k++) {
        Made m;
        Risk risk;
        Run run;
        make(&m, &dice);
        m.spend = m.swaps = -1;
        char *folder = folder_new();
        write_made(&m, folder, true);
        write_risk(&m, &risk, &dice, folder);
        const char *const words[] = {"what-if", "scenario.yaml", "--caps", k % 2 == 0 ? "2..14/1.50" : "3..9", "--gap",
                                     "0",       "--json",        NULL};
        run_poolwright(folder, words, NULL, &run);
        if (run.code > 1)
            fail_msg("what-if in %s: exit code %d\n%s", folder, run.code, run.err);
        json_t *root = run_json(&run);
        stretches += check_caps(&m, &risk, root, folder);
        steps += json_is_true(json_object_get(json_array_get(json_object_get(root, "frontiers"), 0), "steps"));
        json_decref(root);
        run_forget(&run);
        desk_done(folder);
    }
    print_message("%d stretches that buy nothing, every step of %d\n", stretches, steps);
    assert_true(stretches >= sanitised_starts(20) && steps >= sanitised_starts(6));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(newcomers_and_swaps),
                                       cmocka_unit_test(swaps_with_little_effort),
                                       cmocka_unit_test(just_too_little_money), cmocka_unit_test(notes_from_play),
                                       cmocka_unit_test(caps_under_price_risk)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
