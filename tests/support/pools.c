/* pools.c - see pools.h. */
#include "support/pools.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

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
    pool->spend = tiny_spend(all->tiny, copies) + tiny_paid(all->tiny);
}

void pools_every(const Tiny *tiny, Pools *all)
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
bool pools_best_within(const Pools *all, int64_t cap, int64_t *fit)
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

int64_t pools_least_spend(const Pools *all, int64_t fit)
{
    int64_t least = INT64_MAX;
    for (size_t k = 0; k < all->count; k++)
        if (all->pool[k].fit >= fit && all->pool[k].spend < least)
            least = all->pool[k].spend;
    return least;
}

int64_t pools_least_cap(const Pools *all, int64_t fit)
{
    const int64_t least = pools_least_spend(all, fit);
    return least > 0 ? least : 0;
}

/* ---- the scenario, and the program on it ---- */

/* Two cards can be seen in a pool of two, the smallest that is asked for. */
static void ask_for_two(Band *band)
{
    if (band->seen.at_least > 2)
        band->seen.at_least = 2;
}

void pools_prepare(Tiny *tiny, uint64_t seed, int cards)
{
    tiny_make_sized(tiny, seed, cards - 2, cards);
    tiny->size_by_command = tiny->cap_by_command = false;
    for (int r = 0; r < tiny->rules; r++)
        for (int layer = 0; layer < LAYERS; layer++) {
            ask_for_two(&tiny->rule[r].band[layer]);
            for (int i = 0; i < tiny->rule[r].owns[layer]; i++)
                ask_for_two(&tiny->rule[r].own[layer][i].band);
        }
    for (int c = 0; c < tiny->cards; c++) {
        TinyCard *card = &tiny->card[c];
        card->status[BY_COMMAND] = 0;
        if (!card->has_price && tiny->unpriced == SKIP_NEVER) { /* a cap asks for prices */
            card->has_price = true;
            card->price = 100 + 25 * c;
        }
    }
}

json_t *pools_run(const Tiny *tiny, const char *folder, const char *const *more, const char *effort, Run *run)
{
    const char *argument[24] = {more[0], "scenario.yaml"};
    int n = 2;
    bool has_gap = false;
    for (int k = 1; more[k] != NULL; k++) {
        argument[n++] = more[k];
        has_gap = has_gap || strcmp(more[k], "--gap") == 0;
    }
    argument[n++] = "--json";
    if (effort != NULL || !has_gap) {
        argument[n++] = effort != NULL ? "--effort" : "--gap";
        argument[n++] = effort != NULL ? effort : "0";
    }
    if (tiny->case_named) {
        argument[n++] = "--case";
        argument[n++] = "The One";
    }
    argument[n] = NULL;
    run_poolwright(folder, argument, NULL, run);
    if (run->code != 0 && run->code != 1 && (effort == NULL || run->code != 3))
        fail_msg("%s in %s: exit code %d\n%.1500s", more[0], folder, run->code, run->err);
    return run_json(run);
}

void pools_money(char text[32], int64_t cents)
{
    snprintf(text, 32, "%lld.%02lld", (long long)(cents / 100), (long long)(cents % 100));
}

const json_t *pools_case(const json_t *root, const char *name)
{
    return json_named(json_object_get(root, "cases"), name);
}

int pools_listed(const Tiny *tiny, const int *copies)
{
    int sum = 0;
    for (int c = 0; c < tiny->cards; c++)
        sum += copies[c];
    return sum;
}

void pools_list(const Tiny *tiny, const Pools *all, const char *folder, Dice *dice, int *copies)
{
    Page page = {0};
    /* near a pool that keeps the rules, where there is one */
    memset(copies, 0, CARDS_MOST * sizeof *copies);
    if (all->count > 0 && dice_chance(dice, 80))
        memcpy(copies, all->pool[dice_roll(dice, 0, (int)all->count - 1)].copies, (size_t)tiny->cards * sizeof *copies);
    for (int k = dice_roll(dice, 0, 4); k > 0; k--)
        copies[dice_roll(dice, 0, tiny->cards - 1)] = dice_roll(dice, 0, 2);
    if (pools_listed(tiny, copies) == 0)
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

int64_t pools_cap(const Tiny *tiny)
{
    return tiny->cap_by_change ? tiny->changed_cap : tiny->has_cap ? tiny->cap : INT64_MAX;
}

int pools_kept(const Tiny *tiny, const int *a, const int *b)
{
    int sum = 0;
    for (int c = 0; c < tiny->cards; c++)
        sum += a[c] < b[c] ? a[c] : b[c];
    return sum;
}

int64_t pools_for_entering(const Tiny *tiny, const Seen *seen, const int *list, const int *copies)
{
    int64_t sum = 0;
    for (int c = 0; c < tiny->cards; c++) {
        const int room = list[c] > tiny_owned(tiny, c) ? list[c] : tiny_owned(tiny, c);
        sum += copies[c] > room ? (copies[c] - room) * seen[c].price : 0;
    }
    return sum;
}
