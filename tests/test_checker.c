/* test_checker.c - the product's exact checker against a second one that shares no code with it
 * (tests/support/tiny_judge.c): good and bad pools of random scenarios are judged alike, and every rule's use is
 * counted alike. The cards are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "programme/count/checker.h"
#include "support/tiny.h"

enum { SEEDS = 300, POOLS = 60 };

typedef struct {
    Diags diags;
    Scenario *scenario;
    Instance *instance;
    size_t card[CARDS_MOST]; /* the instance's index of each tiny card */
} Read;

static void override(const Tiny *tiny, Overrides *overrides, const char *keep[CARDS_MOST], const char *ban[CARDS_MOST])
{
    *overrides = (Overrides){.case_name = tiny->case_named ? "the one" : NULL, .keep = keep, .ban = ban};
    overrides->has_cap = tiny->cap_by_command;
    overrides->cap = tiny->command_cap;
    overrides->has_size = tiny->size_by_command;
    overrides->size_from = tiny->command_from;
    overrides->size_to = tiny->command_to;
    for (int c = 0; c < tiny->cards; c++) {
        if ((tiny->card[c].status[BY_COMMAND] & KEEP) != 0) {
            keep[overrides->keeps++] = tiny_card_name(c);
        }
        if ((tiny->card[c].status[BY_COMMAND] & BAN) != 0) {
            ban[overrides->bans++] = tiny_card_name(c);
        }
    }
}

static void read_back(const Tiny *tiny, const char *folder, Read *read)
{
    const char *keep[CARDS_MOST];
    const char *ban[CARDS_MOST];
    Overrides overrides;
    char path[400];
    override(tiny, &overrides, keep, ban);
    snprintf(path, sizeof path, "%s/scenario.yaml", folder);
    diags_init(&read->diags);
    read->scenario = scenario_read(path, &overrides, NULL, &read->diags);
    read->instance = read->scenario != NULL ? instance_new(read->scenario, &read->diags) : NULL;
    if (read->instance == NULL) {
        fail_msg("%s could not be read:\n%s", path, diags_text(&read->diags));
    }
    for (int c = 0; c < tiny->cards; c++) {
        long found = card_find(read->instance->cards, tiny_card_name(c));
        assert_true(found >= 0);
        read->card[c] = (size_t)found;
    }
}

static void release(Read *read)
{
    instance_free(read->instance);
    scenario_free(read->scenario);
    diags_release(&read->diags);
}

static void same_use(const Tiny *tiny, const int *copies, const LimitUse *use, uint64_t seed)
{
    if (use->limit->kind != LIMIT_RULE) {
        return;
    }
    int r = use->limit->name[5] - 'a';
    int member = tiny_member_of(tiny, &tiny->rule[r], use->limit->of);
    int64_t total = 0;
    int64_t base = 0;
    int64_t counted = 0;
    assert_true(member >= 0);
    tiny_use(tiny, r, member, copies, &total, &base, &counted);
    Sort sort = tiny_band(tiny, &tiny->rule[r], member).sort;
    int64_t expected = sort == PERCENT ? base : sort == AVERAGE ? counted : 0;
    if (use->total != total || use->base != expected) {
        fail_msg("scenario %llu, %s (%s): %lld of %lld, expected %lld of %lld", (unsigned long long)seed,
                 use->limit->name, use->limit->of, (long long)use->total, (long long)use->base, (long long)total,
                 (long long)expected);
    }
}

/* Keeps and bans are the last; counting by steps leaves them out. */
static size_t without_statuses(const PoolCheck *check)
{
    size_t uses = check->uses;
    while (uses > 0 && limit_is_status(check->use[uses - 1].limit))
        uses--;
    return uses;
}

/* The pool reached card by card, from the last card to the first and by a detour, counts as the same pool at once. */
static void same_by_steps(const Instance *in, const int *copies, const PoolCheck *whole, uint64_t seed)
{
    PoolCheck check;
    int *none = calloc(in->cards->count, sizeof *none);
    assert_non_null(none);
    PoolCount *count = pool_count_new(in, none);
    for (size_t c = in->cards->count; c-- > 0;) {
        pool_count_change(count, c, copies[c] + 2);
        pool_count_change(count, (c * 7 + 3) % in->cards->count, 1);
        pool_count_change(count, c, -2);
        pool_count_change(count, (c * 7 + 3) % in->cards->count, -1);
    }
    const bool breaks = pool_count_breaks(count);
    pool_count_check(count, &check);
    bool same = check.kept == whole->kept && check.fit == whole->fit && check.size == whole->size &&
                check.cost == whole->cost && check.card_fit == whole->card_fit && check.bonus == whole->bonus &&
                check.penalty == whole->penalty && check.uses == without_statuses(whole) &&
                check.places == whole->places && !(breaks && whole->kept);
    for (size_t u = 0; u < check.uses && same; u++)
        same = check.use[u].total == whole->use[u].total && check.use[u].base == whole->use[u].base &&
               check.use[u].low_slack == whole->use[u].low_slack && check.use[u].high_slack == whole->use[u].high_slack;
    for (size_t p = 0; p < check.places && same; p++)
        same = check.place[p].card == whole->place[p].card && check.place[p].theme == whole->place[p].theme &&
               check.place[p].copies == whole->place[p].copies;
    if (!same)
        fail_msg("scenario %llu: counted by steps the pool comes to something else", (unsigned long long)seed);
    pool_check_release(&check);
    pool_count_free(count);
    free(none);
}

/* Returns whether the pool is allowed; fails the test when the two do not agree. */
static bool same_judgement(const Tiny *tiny, const TinyView *view, const Read *read, const int *copies, uint64_t seed)
{
    PoolCheck check;
    int64_t fit = 0;
    int size = 0;
    int *mapped = calloc(read->instance->cards->count, sizeof *mapped);
    assert_non_null(mapped);
    for (int c = 0; c < tiny->cards; c++) {
        mapped[read->card[c]] = copies[c];
        size += copies[c];
    }
    bool allowed = tiny_judge(view, copies, &fit);
    pool_check(read->instance, mapped, &check);
    same_by_steps(read->instance, mapped, &check, seed);
    if (check.kept != allowed || (allowed && check.fit != fit) || check.size != size ||
        check.cost != tiny_spend(tiny, copies)) {
        fail_msg("scenario %llu: the checker %s with fit %lld, size %lld, cost %lld; expected: %s, %lld, %d, %lld",
                 (unsigned long long)seed, check.kept ? "accepts" : "refuses", (long long)check.fit,
                 (long long)check.size, (long long)check.cost, allowed ? "accepted" : "refused", (long long)fit, size,
                 (long long)tiny_spend(tiny, copies));
    }
    for (size_t u = 0; u < check.uses; u++) {
        same_use(tiny, copies, &check.use[u], seed);
    }
    pool_check_release(&check);
    free(mapped);
    return allowed;
}

/* The best pool with one or two cards more, fewer or exchanged: near misses of all kinds. */
static void disturb(const Tiny *tiny, Dice *dice, int *copies)
{
    for (int steps = dice_roll(dice, 1, 3); steps > 0; steps--) {
        int c = dice_roll(dice, 0, tiny->cards - 1);
        copies[c] = dice_roll(dice, 0, tiny->card[c].copies);
    }
}

static void pools_are_judged_alike(void **state)
{
    (void)state;
    static Tiny tiny;
    int allowed = 0;
    int refused = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        Read read;
        TinyAnswer answer;
        Dice dice;
        char *folder = folder_new();
        tiny_make(&tiny, seed);
        tiny_solve(&tiny, &answer);
        tiny_write(&tiny, folder);
        read_back(&tiny, folder, &read);
        TinyView *view = tiny_view(&tiny);
        dice_seed(&dice, seed);
        for (int pool = 0; pool < POOLS; pool++) {
            int copies[CARDS_MOST];
            memcpy(copies, answer.copies, sizeof copies);
            if (pool > 0) {
                disturb(&tiny, &dice, copies);
            }
            bool good = same_judgement(&tiny, view, &read, copies, seed);
            allowed += good;
            refused += !good;
        }
        tiny_view_free(view);
        release(&read);
        folder_remove(folder);
        free(folder);
    }
    print_message("%d pools allowed, %d refused\n", allowed, refused);
    assert_true(allowed >= 1000);
    assert_true(refused >= 5000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(pools_are_judged_alike)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
