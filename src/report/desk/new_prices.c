/* new_prices.c - what new prices change, in words and as JSON. */

#include "report/layout/format.h"
#include "report/json/json.h"
#include "report/words/limit_words.h"
#include "report/words/money.h"

#define SHOWN 12

/* What the new pool is better by, where the old one may stay. */
static const char *gained(const NewPrices *p, Arena *arena)
{
    const PoolCheck *old_pool = &p->old_pool, *new_pool = &p->new_answer->check;
    if (new_pool->fit > old_pool->fit)
        return arena_printf(arena, "the new pool has %s more fit.",
                            format_number(arena, new_pool->fit - old_pool->fit));
    if (new_pool->fit == old_pool->fit && new_pool->cost < old_pool->cost)
        return arena_printf(arena, "the new pool has as much fit for %s less.",
                            format_money(arena, old_pool->cost - new_pool->cost));
    return "nothing is gained by another one that was found.";
}

static void add_verdict(const NewPrices *p, Arena *arena, Text *out)
{
    const PoolCheck *check = &p->old_pool;
    text_printf(out, "  The pool of the old prices cost %s and would now cost %s",
                format_money(arena, p->old_answer->check.cost), format_money(arena, check->cost));
    if (p->broken > 0)
        text_printf(out, ": it breaks %zu limit%s (%s%s), so it had to change.\n", p->broken, p->broken == 1 ? "" : "s",
                    p->first_broken->limit->title, p->broken == 1 ? "" : " and others");
    else if (!check->kept)
        text_add(out, ": it is no longer allowed, so it had to change.\n");
    else
        text_printf(out, " and still meets every limit; %s\n", gained(p, arena));
}

static const char *moved(const NewPrices *p, size_t c, Arena *arena)
{
    int64_t from = p->before->price[c], to = p->after->price[c];
    if (from == to)
        return "own price as before";
    return arena_printf(arena, "%s -> %s (%s%s)", format_money(arena, from), format_money(arena, to),
                        to > from ? "+" : "", format_money(arena, to - from));
}

static void add_swaps(const NewPrices *p, const Style *style, Arena *arena, Text *out)
{
    const Answer *old_answer = p->old_answer, *new_answer = p->new_answer;
    static const char *const header[] = {"", "card", "price", "fit"};
    Table *table = table_new("lllr", header);
    size_t hidden = 0, shown[2] = {0};
    const bool best = old_answer->status == ANSWER_BEST && new_answer->status == ANSWER_BEST;
    for (int in = 0; in < 2; in++)
        for (size_t c = 0; c < p->before->cards->count; c++) {
            int change = new_answer->copies[c] - old_answer->copies[c];
            if (in == 0 ? change >= 0 : change <= 0)
                continue;
            if (shown[in]++ >= SHOWN) {
                hidden++;
                continue;
            }
            table_add(table, in == 0 ? "out" : "in");
            table_add(table, format_copies(arena, change < 0 ? -change : change, p->before->cards->card[c].name));
            table_add(table, moved(p, c, arena));
            table_add(table, format_number(arena, p->after->fit[c]));
        }
    if (table_rows(table) == 0)
        text_add(out, best ? "  The same cards are best.\n" : "  The same cards are chosen.\n");
    else
        table_print(table, out, style);
    if (hidden > 0)
        text_printf(out, "  and %zu more\n", hidden);
    if (table_rows(table) > 0 && !best)
        text_add(out, "  Both pools are only proven to be near the best, so some of these may be as good either way; "
                      "--gap 0 settles that.\n");
    table_free(table);
}

static void add_moves(const NewPrices *p, const Style *style, Arena *arena, Text *out)
{
    Table *table = table_new("lll", NULL);
    for (size_t k = 0; k < p->moves && k < SHOWN; k++) {
        const size_t c = p->move[k].card;
        table_add(table, p->before->cards->card[c].name);
        table_add(table, moved(p, c, arena));
        table_add(table, p->old_answer->copies[c] == 0   ? "comes in"
                         : p->new_answer->copies[c] == 0 ? "goes out"
                                                         : "stays");
    }
    if (p->moves > 0) {
        text_add(out, "\n  The greatest moves of cards in either pool:\n");
        table_print(table, out, style);
    }
    table_free(table);
}

/* Where there is a pool at the old prices alone, or at the new ones alone, or at neither. */
static void add_missing(const NewPrices *p, Arena *arena, Text *out)
{
    const Answer *old_answer = p->old_answer;
    const bool same = !p->new_answer->has_pool && p->new_answer->status == old_answer->status;
    const char *also = same ? ", either" : "";
    if (old_answer->has_pool)
        text_printf(out, "  At the old prices there is a pool: it has a fit of %s and costs %s.\n",
                    format_number(arena, old_answer->check.fit), format_money(arena, old_answer->check.cost));
    else if (old_answer->status == ANSWER_INFEASIBLE)
        text_printf(out, "  At the old prices no pool meets every limit%s: proven.\n", also);
    else
        text_printf(out, "  At the old prices no pool was found within the effort%s.\n", also);
}

void new_prices_text(const NewPrices *prices, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    style_heading(out, style, "What the new prices change");
    const size_t before = prices->after->priced_before;
    text_printf(out, "  Prices of candidates: %zu higher, %zu lower", prices->higher, prices->lower);
    if (before > 0)
        text_printf(out, "; %zu %s no price in the new list, so an older one counts", before,
                    before == 1 ? "has" : "have");
    text_add(out, ".\n");
    if (prices->old_answer->has_pool && prices->new_answer->has_pool) {
        add_verdict(prices, arena, out);
        add_swaps(prices, style, arena, out);
        add_moves(prices, style, arena, out);
    } else {
        add_missing(prices, arena, out);
    }
    arena_free(arena);
}

static json_t *change_json(const Instance *before, const Instance *after, size_t c, int copies)
{
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(before->cards->card[c].name));
    json_object_set_new(item, "copies", json_integer(copies));
    json_object_set_new(item, "price_before", json_price(before, c));
    json_object_set_new(item, "price", json_price(after, c));
    return item;
}

json_t *new_prices_json(const NewPrices *prices)
{
    const Instance *before = prices->before, *after = prices->after;
    const Answer *old_answer = prices->old_answer, *new_answer = prices->new_answer;
    json_t *root = json_object(), *in = json_array(), *out = json_array();
    json_object_set_new(root, "higher", json_count(prices->higher));
    json_object_set_new(root, "lower", json_count(prices->lower));
    json_object_set_new(root, "not_listed", json_count(prices->after->priced_before));
    if (old_answer->has_pool) {
        json_t *breaks = json_array();
        for (size_t u = 0; u < prices->old_pool.uses; u++)
            if (!limit_use_kept(&prices->old_pool.use[u]))
                json_array_append_new(breaks, limit_use_json(&prices->old_pool.use[u]));
        json_object_set_new(root, "cost_before", json_money(old_answer->check.cost));
        json_object_set_new(root, "cost_at_new_prices", json_money(prices->old_pool.cost));
        json_object_set_new(root, "still_allowed", json_boolean(prices->old_pool.kept));
        json_object_set_new(root, "breaks", breaks);
    }
    for (size_t c = 0; c < before->cards->count && old_answer->has_pool && new_answer->has_pool; c++) {
        const int change = new_answer->copies[c] - old_answer->copies[c];
        if (change != 0)
            json_array_append_new(change > 0 ? in : out, change_json(before, after, c, change > 0 ? change : -change));
    }
    json_object_set_new(root, "in", in);
    json_object_set_new(root, "out", out);
    return root;
}
