/* new_prices.c - what new prices change. Both answers are on the same candidates, so cards have the same numbers in
 * both. */
#include <inttypes.h>

#include "base/sort.h"
#include "report/words/format.h"
#include "report/json/json.h"
#include "report/words/money.h"

#define SHOWN 12

typedef struct {
    size_t card;
    int64_t move; /* cents, of one copy */
} Move;

static int compare_moves(const void *a, const void *b)
{
    const Move *x = a, *y = b;
    int64_t p = x->move < 0 ? -x->move : x->move, q = y->move < 0 ? -y->move : y->move;
    if (p != q)
        return p > q ? -1 : 1;
    return (x->card > y->card) - (x->card < y->card);
}

/* Moves of cards in either pool, greatest first. Freed with mem_free. */
static Move *list_moves(const Instance *before, const Answer *old_answer, const Instance *after,
                        const Answer *new_answer, size_t *count)
{
    Move *move = mem_new(before->cards->count, sizeof *move);
    *count = 0;
    for (size_t c = 0; c < before->cards->count; c++)
        if (before->price[c] != after->price[c] && (old_answer->copies[c] > 0 || new_answer->copies[c] > 0))
            move[(*count)++] = (Move){c, after->price[c] - before->price[c]};
    sort_stable(move, *count, sizeof *move, compare_moves);
    return move;
}

static void count_moves(const Instance *before, const Instance *after, size_t *up, size_t *down)
{
    *up = *down = 0;
    for (size_t c = 0; c < before->cards->count; c++) {
        *up += after->price[c] > before->price[c];
        *down += after->price[c] < before->price[c];
    }
}

/* The old pool counted at the new prices. */
static void count_old_pool(const Instance *after, const Answer *old_answer, PoolCheck *check)
{
    pool_check(after, old_answer->copies, check);
}

static void add_verdict(const Instance *after, const Answer *old_answer, const Answer *new_answer, Arena *arena,
                        Text *out)
{
    PoolCheck check;
    count_old_pool(after, old_answer, &check);
    text_printf(out, "  The pool of the old prices cost %s and would now cost %s",
                format_money(arena, old_answer->check.cost), format_money(arena, check.cost));
    size_t broken = 0;
    const LimitUse *first = NULL;
    for (size_t u = 0; u < check.uses; u++)
        if (!limit_use_kept(&check.use[u])) {
            broken++;
            first = first == NULL ? &check.use[u] : first;
        }
    if (broken > 0)
        text_printf(out, ": it breaks %zu limit%s (%s), so it had to change.\n", broken, broken == 1 ? "" : "s",
                    first->limit->title);
    else if (!check.kept)
        text_add(out, ": it is no longer allowed, so it had to change.\n");
    else
        text_printf(out, " and still meets every limit; %s\n",
                    new_answer->check.fit > check.fit
                        ? arena_printf(arena, "the new pool has %s more fit.",
                                       format_number(arena, new_answer->check.fit - check.fit))
                        : "nothing is gained by another one that was found.");
    pool_check_release(&check);
}

static const char *moved(const Instance *before, const Instance *after, size_t c, Arena *arena)
{
    int64_t from = before->price[c], to = after->price[c];
    if (from == to)
        return "own price as before";
    return arena_printf(arena, "%s -> %s (%s%s)", format_money(arena, from), format_money(arena, to),
                        to > from ? "+" : "", format_money(arena, to - from));
}

static void add_swaps(const Instance *before, const Answer *old_answer, const Instance *after, const Answer *new_answer,
                      const Style *style, Arena *arena, Text *out)
{
    static const char *const header[] = {"", "card", "price", "fit"};
    Table *table = table_new("lllr", header);
    size_t hidden = 0, shown[2] = {0};
    for (int in = 0; in < 2; in++)
        for (size_t c = 0; c < before->cards->count; c++) {
            int change = new_answer->copies[c] - old_answer->copies[c];
            if (in == 0 ? change >= 0 : change <= 0)
                continue;
            if (shown[in]++ >= SHOWN) {
                hidden++;
                continue;
            }
            table_add(table, in == 0 ? "out" : "in");
            table_add(table, before->cards->card[c].name);
            table_add(table, moved(before, after, c, arena));
            table_add(table, format_number(arena, after->fit[c]));
        }
    if (table_rows(table) == 0)
        text_add(out, "  The same cards are best.\n");
    else
        table_print(table, out, style);
    if (hidden > 0)
        text_printf(out, "  and %zu more\n", hidden);
    if (table_rows(table) > 0 && (old_answer->status != ANSWER_BEST || new_answer->status != ANSWER_BEST))
        text_add(out, "  Both pools are only proven to be near the best, so some of these may be as good either way; "
                      "--gap 0 settles that.\n");
    table_free(table);
}

static void add_moves(const Instance *before, const Answer *old_answer, const Instance *after, const Answer *new_answer,
                      const Style *style, Arena *arena, Text *out)
{
    size_t count;
    Move *move = list_moves(before, old_answer, after, new_answer, &count);
    Table *table = table_new("lll", NULL);
    for (size_t k = 0; k < count && k < SHOWN; k++) {
        size_t c = move[k].card;
        table_add(table, before->cards->card[c].name);
        table_add(table, moved(before, after, c, arena));
        table_add(table, old_answer->copies[c] == 0 ? "comes in" : new_answer->copies[c] == 0 ? "goes out" : "stays");
    }
    if (count > 0) {
        text_add(out, "\n  The greatest moves of cards in either pool:\n");
        table_print(table, out, style);
    }
    table_free(table);
    mem_free(move);
}

void new_prices_text(const Instance *before, const Answer *old_answer, const Instance *after, const Answer *new_answer,
                     const Style *style, Text *out)
{
    if (!old_answer->has_pool || !new_answer->has_pool)
        return;
    Arena *arena = arena_new();
    size_t up, down;
    count_moves(before, after, &up, &down);
    style_heading(out, style, "What the new prices change");
    text_printf(out, "  Prices of candidates: %zu higher, %zu lower.\n", up, down);
    add_verdict(after, old_answer, new_answer, arena, out);
    add_swaps(before, old_answer, after, new_answer, style, arena, out);
    add_moves(before, old_answer, after, new_answer, style, arena, out);
    arena_free(arena);
}

static json_t *change_json(const Instance *before, const Instance *after, size_t c, int copies)
{
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(before->cards->card[c].name));
    json_object_set_new(item, "copies", json_integer(copies));
    json_object_set_new(item, "price_before", price_known(before, c) ? json_money(before->price[c]) : json_null());
    json_object_set_new(item, "price", price_known(after, c) ? json_money(after->price[c]) : json_null());
    return item;
}

json_t *new_prices_json(const Instance *before, const Answer *old_answer, const Instance *after,
                        const Answer *new_answer)
{
    json_t *root = json_object(), *in = json_array(), *out = json_array();
    size_t up, down;
    count_moves(before, after, &up, &down);
    json_object_set_new(root, "higher", json_integer((json_int_t)up));
    json_object_set_new(root, "lower", json_integer((json_int_t)down));
    if (old_answer->has_pool) {
        PoolCheck check;
        count_old_pool(after, old_answer, &check);
        json_object_set_new(root, "cost_before", json_money(old_answer->check.cost));
        json_object_set_new(root, "cost_at_new_prices", json_money(check.cost));
        json_object_set_new(root, "still_allowed", json_boolean(check.kept));
        pool_check_release(&check);
    }
    for (size_t c = 0; c < before->cards->count && old_answer->has_pool && new_answer->has_pool; c++) {
        int change = new_answer->copies[c] - old_answer->copies[c];
        if (change != 0)
            json_array_append_new(change > 0 ? in : out, change_json(before, after, c, change > 0 ? change : -change));
    }
    json_object_set_new(root, "in", in);
    json_object_set_new(root, "out", out);
    return root;
}
