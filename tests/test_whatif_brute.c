/* test_whatif_brute.c - sizes, caps, frontier steps, audits and revisions against trying every pool of small random
 * scenarios. The meaning is that of tests/support/tiny.h; distances between pools are counted here. The scenarios are
 * invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/tiny.h"

typedef struct {
    int copies[TINY_CARDS_MOST];
    int64_t fit, spend;
    int size;
} Pool;

/* All pools that keep every rule but the cap. */
typedef struct {
    const Tiny *tiny;
    Pool *pool;
    size_t count, capacity;
} Pools;

static void try_all(const TinyView *view, Pools *all, int card, int *copies)
{
    int64_t fit = 0;
    if (card < all->tiny->cards) {
        for (int n = 0; n <= all->tiny->card[card].copies; n++) {
            copies[card] = n;
            try_all(view, all, card + 1, copies);
        }
        copies[card] = 0;
        return;
    }
    if (!tiny_judge(view, copies, &fit))
        return;
    if (all->count == all->capacity) {
        all->capacity = 2 * all->capacity + 64;
        all->pool = realloc(all->pool, all->capacity * sizeof *all->pool);
        assert_non_null(all->pool);
    }
    Pool *pool = &all->pool[all->count++];
    pool->size = 0;
    for (int c = 0; c < all->tiny->cards; c++) {
        pool->copies[c] = copies[c];
        pool->size += copies[c];
    }
    pool->fit = fit;
    pool->spend = tiny_spend(all->tiny, copies);
}

static void every_pool(const Tiny *tiny, Pools *all)
{
    Tiny free_of_cap = *tiny;
    int copies[CARDS_MOST] = {0};
    free_of_cap.has_cap = free_of_cap.cap_by_change = free_of_cap.cap_by_command = false;
    TinyView *view = tiny_view(&free_of_cap);
    *all = (Pools){.tiny = tiny};
    try_all(view, all, 0, copies);
    tiny_view_free(view);
}

/* The best fit within a cap; false without a pool. */
static bool best_within(const Pools *all, int64_t cap, int64_t *fit)
{
    bool any = false;
    for (size_t k = 0; k < all->count; k++) {
        if (all->pool[k].spend > cap || (any && all->pool[k].fit <= *fit))
            continue;
        any = true;
        *fit = all->pool[k].fit;
    }
    return any;
}

static int64_t least_spend(const Pools *all, int64_t fit)
{
    int64_t least = INT64_MAX;
    for (size_t k = 0; k < all->count; k++)
        if (all->pool[k].fit >= fit && all->pool[k].spend < least)
            least = all->pool[k].spend;
    return least;
}

/* ---- the scenario, and the program on it ---- */

static void prepare(Tiny *tiny, uint64_t seed, int cards)
{
    tiny_make_sized(tiny, seed, cards - 2, cards);
    tiny->size_by_command = tiny->cap_by_command = false;
    for (int c = 0; c < tiny->cards; c++) {
        TinyCard *card = &tiny->card[c];
        card->status[BY_COMMAND] = 0;
        if (!card->has_price && tiny->unpriced == SKIP_NEVER) { /* a cap asks for prices */
            card->has_price = true;
            card->price = 100 + 25 * c;
        }
    }
}

static json_t *run_verb(const Tiny *tiny, const char *folder, const char *const *more, Run *run)
{
    const char *argument[24] = {more[0], "scenario.yaml"};
    int n = 2;
    for (int k = 1; more[k] != NULL; k++)
        argument[n++] = more[k];
    argument[n++] = "--json";
    argument[n++] = "--gap";
    argument[n++] = "0";
    if (tiny->case_named) {
        argument[n++] = "--case";
        argument[n++] = "The One";
    }
    argument[n] = NULL;
    run_poolwright(folder, argument, NULL, run);
    if (run->code != 0 && run->code != 1)
        fail_msg("%s in %s: exit code %d\n%.1500s", more[0], folder, run->code, run->err);
    return run_json(run);
}

static void money(char text[32], int64_t cents)
{
    snprintf(text, 32, "%lld.%02lld", (long long)(cents / 100), (long long)(cents % 100));
}

static const json_t *case_named(const json_t *root, const char *name)
{
    const json_t *cases = json_object_get(root, "cases");
    for (size_t k = 0; k < json_array_size(cases); k++)
        if (strcmp(json_text(json_array_get(cases, k), "name"), name) == 0)
            return json_array_get(cases, k);
    fail_msg("no case '%s'", name);
    return NULL;
}

static void expect_case(const json_t *item, bool any, int64_t fit, const char *folder)
{
    const char *status = json_text(item, "status");
    if (strcmp(status, any ? "best" : "infeasible") != 0 ||
        (any && (json_units(item, "fit", 1000) != fit || json_units(item, "bound", 1000) != fit)))
        fail_msg("%s: case '%s' is '%s'%s%lld; by trying all: %s%lld", folder, json_text(item, "name"), status,
                 any ? ", fit " : " ",
                 (long long)(json_object_get(item, "fit") != NULL ? json_units(item, "fit", 1000) : 0),
                 any ? "fit " : "no pool ", (long long)(any ? fit : 0));
}

/* ---- sizes and caps ---- */

static int sizes_and_caps(const Tiny *tiny, const char *folder, Dice *dice)
{
    char sizes[64], caps[128], name[128], amount[3][32];
    int64_t cap[3];
    const int size[2] = {dice_roll(dice, 2, 5), dice_roll(dice, 6, 9)};
    int found = 0;
    cap[0] = dice_roll(dice, 0, 800);
    for (int k = 1; k < 3; k++)
        cap[k] = cap[k - 1] + dice_roll(dice, 1, 800);
    for (int k = 0; k < 3; k++)
        money(amount[k], cap[k]);
    snprintf(sizes, sizeof sizes, "%d,%d", size[0], size[1]);
    snprintf(caps, sizeof caps, "%s,%s,%s,none", amount[0], amount[1], amount[2]);
    const char *const arguments[] = {"what-if", "--sizes", sizes, "--caps", caps, NULL};
    Run run;
    json_t *root = run_verb(tiny, folder, arguments, &run);
    for (int s = 0; s < 2; s++) {
        Tiny sized = *tiny;
        Pools all;
        sized.size_by_command = true;
        sized.command_from = sized.command_to = size[s];
        every_pool(&sized, &all);
        int64_t before = INT64_MIN;
        for (int k = 0; k < 4; k++) {
            int64_t fit = 0;
            bool any = best_within(&all, k < 3 ? cap[k] : INT64_MAX, &fit);
            snprintf(name, sizeof name, k < 3 ? "%d cards, cap %s" : "%d cards, no cap", size[s],
                     amount[k < 3 ? k : 0]);
            expect_case(case_named(root, name), any, fit, folder);
            assert_true(!any || fit >= before);
            before = any ? fit : before;
            found += any;
        }
        free(all.pool);
    }
    json_decref(root);
    run_forget(&run);
    return found;
}

/* ---- every step of the frontier ---- */

static int frontier_steps(const Tiny *tiny, const Pools *all, const char *folder, Dice *dice)
{
    char range[80], low[32], high[32];
    const int64_t from = dice_roll(dice, 0, 300), to = from + dice_roll(dice, 100, 2500);
    money(low, from);
    money(high, to);
    snprintf(range, sizeof range, "%s..%s", low, high);
    const char *const arguments[] = {"what-if", "--caps", range, NULL};
    Run run;
    json_t *root = run_verb(tiny, folder, arguments, &run);
    const json_t *frontier = json_array_get(json_object_get(root, "frontiers"), 0);
    const json_t *names = json_object_get(frontier, "cases");
    if (all->count == 0) {
        assert_true(json_is_true(json_object_get(frontier, "impossible")));
        json_decref(root);
        run_forget(&run);
        return 0;
    }
    assert_true(json_is_true(json_object_get(frontier, "steps")));
    /* from the top, as the definition goes: the best at a cap, the least money that buys it */
    size_t step = json_array_size(names);
    int64_t fit = 0;
    int steps = 0;
    for (int64_t cap = to; cap >= 0 && best_within(all, cap, &fit); steps++) {
        const int64_t begins = least_spend(all, fit);
        if (step == 0)
            fail_msg("%s: a step at %lld with fit %lld is missing", folder, (long long)begins, (long long)fit);
        const json_t *item = case_named(root, json_string_value(json_array_get(names, --step)));
        expect_case(item, true, fit, folder);
        if (json_units(item, "cap", 100) != begins || json_units(item, "cost", 100) != begins)
            fail_msg("%s: fit %lld begins at %lld, said %lld", folder, (long long)fit, (long long)begins,
                     (long long)json_units(item, "cap", 100));
        if (begins <= from) {
            steps++;
            break;
        }
        cap = begins - 1;
    }
    if (step != 0)
        fail_msg("%s: %zu steps too many", folder, step);
    const json_t *least = json_object_get(frontier, "least_cap"), *enough = json_object_get(frontier, "enough");
    assert_int_equal(json_units(least, "at_least", 100), least_spend(all, INT64_MIN));
    assert_int_equal(json_units(least, "at_most", 100), least_spend(all, INT64_MIN));
    assert_true(best_within(all, INT64_MAX, &fit));
    assert_int_equal(json_units(enough, "at_most", 100), least_spend(all, fit));
    assert_int_equal(json_units(enough, "at_least", 100), least_spend(all, fit));
    assert_int_equal(json_units(frontier, "fit_without_cap", 1000), fit);
    json_decref(root);
    run_forget(&run);
    return steps;
}

/* ---- an existing list ---- */

static int listed(const Tiny *tiny, const int *copies)
{
    int sum = 0;
    for (int c = 0; c < tiny->cards; c++)
        sum += copies[c];
    return sum;
}

static void make_list(const Tiny *tiny, const Pools *all, const char *folder, Dice *dice, int *copies)
{
    Page page = {0};
    /* near a pool that keeps the rules, where there is one */
    memset(copies, 0, CARDS_MOST * sizeof *copies);
    if (all->count > 0 && dice_chance(dice, 80))
        memcpy(copies, all->pool[dice_roll(dice, 0, (int)all->count - 1)].copies, (size_t)tiny->cards * sizeof *copies);
    for (int k = dice_roll(dice, 0, 4); k > 0; k--)
        copies[dice_roll(dice, 0, tiny->cards - 1)] = dice_roll(dice, 0, 2);
    if (listed(tiny, copies) == 0)
        copies[0] = 1;
    const bool sheet = dice_chance(dice, 50);
    if (sheet)
        page_add(&page, "copies,name\n");
    for (int c = 0; c < tiny->cards; c++) {
        if (sheet) {
            page_add(&page, "%d,\"", copies[c]);
            for (const char *letter = tiny_card_spelling(c); *letter != '\0'; letter++)
                page_add(&page, *letter == '"' ? "\"\"" : "%c", *letter);
            page_add(&page, "\"\n");
        } else if (copies[c] > 1)
            page_add(&page, "%d x %s\n", copies[c], tiny_card_name(c));
        else if (copies[c] == 1)
            page_add(&page, "%s\n", tiny_card_name(c));
    }
    page_save(&page, folder, "list.csv");
}

static int64_t cap_of(const Tiny *tiny)
{
    return tiny->cap_by_change ? tiny->changed_cap : tiny->has_cap ? tiny->cap : INT64_MAX;
}

static int kept(const Tiny *tiny, const int *a, const int *b)
{
    int sum = 0;
    for (int c = 0; c < tiny->cards; c++)
        sum += a[c] < b[c] ? a[c] : b[c];
    return sum;
}

static bool audits(const Tiny *tiny, const Pools *all, const int *list, const char *folder)
{
    static const char *const arguments[] = {"audit", "list.csv", NULL};
    Run run;
    json_t *root = run_verb(tiny, folder, arguments, &run);
    const json_t *mend = json_object_get(root, "mend");
    int64_t fit = 0, least = INT64_MAX, own = 0;
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        if (pool->spend > cap_of(tiny))
            continue;
        const int64_t changes = listed(tiny, list) + pool->size - 2 * kept(tiny, pool->copies, list);
        if (changes < least || (changes == least && pool->fit > fit))
            fit = pool->fit;
        if (changes < least)
            least = changes;
    }
    TinyView *view = tiny_view(tiny);
    const bool sound = tiny_judge(view, list, &own);
    tiny_view_free(view);
    assert_int_equal(run.code, sound ? 0 : 1);
    assert_string_equal(json_text(root, "status"), sound ? "sound" : "broken");
    const char *expected = sound ? "not needed" : least == INT64_MAX ? "impossible" : "found";
    if (strcmp(json_text(mend, "status"), expected) != 0)
        fail_msg("%s: mending is '%s', expected '%s'", folder, json_text(mend, "status"), expected);
    if (!sound && least < INT64_MAX &&
        (json_integer_value(json_object_get(mend, "changes")) != least || json_units(mend, "fit", 1000) != fit))
        fail_msg("%s: mended by %lld changes to fit %lld; by trying all: %lld, %lld", folder,
                 (long long)json_integer_value(json_object_get(mend, "changes")),
                 (long long)json_units(mend, "fit", 1000), (long long)least, (long long)fit);
    int64_t best = 0;
    const json_t *said = json_object_get(root, "best");
    const bool any = best_within(all, cap_of(tiny), &best);
    assert_string_equal(json_text(said, "status"), any ? "best" : "infeasible");
    assert_true(!any || json_units(said, "fit", 1000) == best);
    json_decref(root);
    run_forget(&run);
    return !sound && least < INT64_MAX;
}

/* ---- few changes ---- */

static int64_t for_entering(const Tiny *tiny, const Seen *seen, const int *list, const int *copies)
{
    int64_t sum = 0;
    for (int c = 0; c < tiny->cards; c++) {
        const int room = list[c] > tiny->card[c].owned ? list[c] : tiny->card[c].owned;
        sum += copies[c] > room ? (copies[c] - room) * seen[c].price : 0;
    }
    return sum;
}

static bool revisions(const Tiny *tiny, const Pools *all, const int *list, const char *folder, Dice *dice)
{
    char swaps[16], spend[32];
    const int most = dice_roll(dice, 0, 5);
    const int64_t limit = dice_chance(dice, 50) ? dice_roll(dice, 0, 900) : INT64_MAX;
    const char *arguments[] = {"revise", "list.csv", "--swaps", swaps, limit < INT64_MAX ? "--spend" : NULL,
                               spend,    NULL};
    Seen seen[CARDS_MOST];
    Run run;
    snprintf(swaps, sizeof swaps, "%d", most);
    money(spend, limit < INT64_MAX ? limit : 0);
    tiny_see(tiny, seen);
    json_t *root = run_verb(tiny, folder, arguments, &run);
    bool any = false;
    int64_t fit = 0;
    int least = INT32_MAX;
    for (size_t k = 0; k < all->count; k++) {
        const Pool *pool = &all->pool[k];
        if (pool->spend > cap_of(tiny) || for_entering(tiny, seen, list, pool->copies) > limit)
            continue;
        const int leave = listed(tiny, list) - kept(tiny, pool->copies, list);
        least = leave < least ? leave : least;
        if (leave > most || (any && pool->fit <= fit))
            continue;
        any = true;
        fit = pool->fit;
    }
    assert_int_equal(run.code, any ? 0 : 1);
    if (json_is_true(json_object_get(root, "impossible")) != (least == INT32_MAX))
        fail_msg("%s: revise says impossible: %d", folder, json_is_true(json_object_get(root, "impossible")));
    if (least < INT32_MAX) {
        const json_t *point = json_array_get(json_object_get(root, "points"), 0);
        assert_int_equal(json_integer_value(json_object_get(root, "least_swaps")), least);
        if (strcmp(json_text(point, "status"), any ? "best" : "infeasible") != 0 ||
            (any && json_units(point, "fit", 1000) != fit))
            fail_msg("%s: revise with %d swaps: '%s'; by trying all: %s fit %lld", folder, most,
                     json_text(point, "status"), any ? "best" : "infeasible", (long long)fit);
        /* one after the other: no more in all than the best with as many swaps, and each for the better */
        const json_t *ranks = json_object_get(root, "one_by_one");
        for (size_t k = 0; k < json_array_size(ranks); k++)
            assert_true(json_units(json_array_get(ranks, k), "gain", 1000) > 0);
        assert_true((int)json_array_size(ranks) <= (most > least ? most - least : 0));
    }
    json_decref(root);
    run_forget(&run);
    return any;
}

/* The pool that a point of the curve tells by what enters and leaves. */
static void pool_of(const Tiny *tiny, const json_t *point, const int *list, int *copies)
{
    static const char *const key[] = {"enters", "leaves"};
    memcpy(copies, list, CARDS_MOST * sizeof *copies);
    for (int k = 0; k < 2; k++) {
        size_t i;
        json_t *entry;
        json_array_foreach(json_object_get(point, key[k]), i, entry)
        {
            const int by = (int)json_integer_value(json_object_get(entry, "copies"));
            for (int c = 0; c < tiny->cards; c++)
                if (strcmp(tiny_card_name(c), json_text(entry, "name")) == 0)
                    copies[c] += k == 0 ? by : -by;
        }
    }
}

/* The curve: each point is the best pool with no more swaps, and what it spends is for what was not there before. */
static int curves(const Tiny *tiny, const Pools *all, const int *list, const char *folder)
{
    static const char *const arguments[] = {"revise", "list.csv", NULL};
    Seen seen[CARDS_MOST];
    Run run;
    tiny_see(tiny, seen);
    json_t *root = run_verb(tiny, folder, arguments, &run);
    const json_t *points = json_object_get(root, "points"), *point;
    size_t k;
    int any = 0;
    int64_t reached = 0;
    json_array_foreach(points, k, point)
    {
        int copies[CARDS_MOST];
        int64_t fit = INT64_MIN;
        for (size_t i = 0; i < all->count; i++) {
            const Pool *pool = &all->pool[i];
            const int leave = listed(tiny, list) - kept(tiny, pool->copies, list);
            if (pool->spend <= cap_of(tiny) && leave <= json_integer_value(json_object_get(point, "swaps")) &&
                pool->fit > fit)
                fit = pool->fit;
        }
        if (fit == INT64_MIN) {
            assert_string_equal(json_text(point, "status"), "infeasible");
            continue;
        }
        if (strcmp(json_text(point, "status"), "best") != 0 || json_units(point, "fit", 1000) != fit ||
            json_units(point, "bound", 1000) != fit)
            fail_msg("%s: point %zu of the curve is '%s' with fit %lld; by trying all: %lld", folder, k,
                     json_text(point, "status"), (long long)json_units(point, "fit", 1000), (long long)fit);
        pool_of(tiny, point, list, copies);
        assert_int_equal(json_units(point, "spent", 100), for_entering(tiny, seen, list, copies));
        reached = fit;
        any++;
    }
    int64_t best = 0;
    if (best_within(all, cap_of(tiny), &best))
        assert_int_equal(reached, best); /* the curve ends at the best pool of all */
    json_decref(root);
    run_forget(&run);
    return any;
}

static bool is_sound(const char *folder)
{
    static const char *const arguments[] = {"check", "scenario.yaml", NULL};
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    const bool sound = run.code != 2;
    run_forget(&run);
    return sound;
}

static void agrees_with_trying_every_pool(void **state)
{
    (void)state;
    int found = 0, steps = 0, mended = 0, revised = 0, points = 0, skipped = 0;
    const char *asked = getenv("POOLWRIGHT_SCENARIOS"), *first = getenv("POOLWRIGHT_SEED");
    const uint64_t count = asked != NULL ? strtoull(asked, NULL, 10) : 200,
                   seed = first != NULL ? strtoull(first, NULL, 10) : 5000;
    for (uint64_t k = seed; k < seed + count; k++) {
        Tiny tiny;
        Pools all;
        Dice dice;
        int list[CARDS_MOST];
        dice_seed(&dice, 77 + k);
        prepare(&tiny, k, 10);
        every_pool(&tiny, &all);
        char *folder = folder_new();
        tiny_write(&tiny, folder);
        if (!is_sound(
                folder)) { /* with the size of the command line taken away, a share may ask for more than the whole */
            skipped++;
            folder_remove(folder);
            free(folder);
            free(all.pool);
            continue;
        }
        found += sizes_and_caps(&tiny, folder, &dice);
        steps += frontier_steps(&tiny, &all, folder, &dice);
        make_list(&tiny, &all, folder, &dice, list);
        mended += audits(&tiny, &all, list, folder);
        revised += revisions(&tiny, &all, list, folder, &dice);
        points += curves(&tiny, &all, list, folder);
        folder_remove(folder);
        free(folder);
        free(all.pool);
    }
    print_message("%d pools of sizes and caps, %d frontier steps, %d lists mended, %d revised, %d points of curves; %d "
                  "scenarios skipped\n",
                  found, steps, mended, revised, points, skipped);
    assert_true(skipped <= (int)(count / 50));
    if (count >= 200) {
        assert_true(found >= 300);
        assert_true(steps >= 400);
        assert_true(mended >= 60);
        assert_true(revised >= 80);
        assert_true(points >= 300);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_trying_every_pool)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
