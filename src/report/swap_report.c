/* swap_report.c - what would replace a card, as text and JSON. */
#include "report/words/money.h"
#include "report/words/explain_words.h"
#include "report/explain_report.h"
#include "report/words/format.h"
#include "report/json/json.h"

#define SHOWN 8

static const char *change(Arena *arena, int64_t value, bool money)
{
    const char *text = money ? format_money(arena, value) : format_number(arena, value);
    return value > 0 ? arena_printf(arena, "+%s", text) : text;
}

static void add_single(const Explain *e, const Single *s, Table *table, Arena *arena)
{
    table_add(table, e->instance->cards->card[s->card].name);
    table_add(table, change(arena, s->fit_change, false));
    table_add(table, change(arena, s->cost_change, true));
}

static void add_singles(const Explain *e, const Swap *swap, bool by_money, bool all, const Style *style, Text *out,
                        Arena *arena)
{
    const char *const header[] = {by_money ? "cheapest first" : "best first", "fit", "money"};
    Table *table = table_new("lrr", header);
    for (size_t k = 0; k < swap->singles && (all || k < SHOWN); k++)
        add_single(e, &swap->single[by_money ? swap->cheapest[k] : k], table, arena);
    table_print(table, out, style);
    table_free(table);
    if (!all && swap->singles > SHOWN)
        text_printf(out, "  and %zu more: --all shows them\n", swap->singles - SHOWN);
}

static void add_anew(const Explain *e, const Swap *swap, const char *name, bool all, const Style *style, Text *out,
                     Arena *arena)
{
    if (swap->impossible) {
        text_printf(out, "No pool that meets every limit does without it: proven.\n");
        return;
    }
    if (!swap->forced) {
        text_printf(out, "A pool without %s was not found within the effort.\n", name);
        return;
    }
    Range loss = swap->loss;
    if (loss.has_high && loss.high < 0) {
        Range gain = {loss.has_high, loss.has_low, -loss.high, -loss.low};
        text_printf(out, "Chosen anew without it, the pool has %s fit more (you keep it)",
                    words_range(&gain, false, arena));
    } else if (range_exact(&loss) && loss.high == 0)
        text_add(out, "Chosen anew without it, the pool is just as good");
    else
        text_printf(out, "Chosen anew without it, the pool has %s less fit", words_range(&loss, false, arena));
    int64_t cost = swap->cost_change;
    text_printf(out, " and costs %s",
                cost == 0 ? "the same"
                          : arena_printf(arena, "%s %s", format_money(arena, cost < 0 ? -cost : cost),
                                         cost < 0 ? "less" : "more"));
    words_add_exchange(e->instance, &swap->exchange, (long)swap->card, all, style, arena, out);
}

void swap_text(const Explain *e, const Swapped *swapped, bool all, const Style *style, Text *out)
{
    const Swap *swap = &swapped->swap;
    const char *name = e->instance->cards->card[swap->card].name;
    if (!swapped->in) {
        text_printf(out, "%s is not in the pool; `poolwright why` says why it is out.\n", name);
        return;
    }
    Arena *arena = arena_new();
    text_printf(out, "%s (fit %s, %s)\n", name, format_number(arena, e->instance->fit[swap->card]),
                price_known(e->instance, swap->card) ? price_text(e->instance, swap->card, arena) : "no price");
    add_anew(e, swap, name, all, style, out, arena);
    if (swap->singles == 0)
        text_add(out, "No single card can replace it without breaking a limit.\n");
    else {
        text_printf(out, "%zu card%s could replace it alone:\n", swap->singles, swap->singles == 1 ? "" : "s");
        add_singles(e, swap, false, all, style, out, arena);
        if (swap->singles > 1)
            add_singles(e, swap, true, all, style, out, arena);
    }
    if (swap->drop)
        text_printf(out, "It may also just leave: fit %s, money %s.\n", change(arena, swap->dropped.fit_change, false),
                    change(arena, swap->dropped.cost_change, true));
    arena_free(arena);
}

static json_t *single_json(const Explain *e, const Single *s)
{
    json_t *item = json_object();
    json_object_set_new(item, "name", json_string(e->instance->cards->card[s->card].name));
    json_object_set_new(item, "fit_change", json_number_of(s->fit_change));
    json_object_set_new(item, "cost_change", json_money(s->cost_change));
    return item;
}

json_t *swap_json(const Explain *e, const Swapped *swapped)
{
    const Swap *swap = &swapped->swap;
    json_t *root = json_object();
    json_object_set_new(root, "name", json_string(e->instance->cards->card[swap->card].name));
    json_object_set_new(root, "in", json_boolean(swapped->in));
    if (!swapped->in)
        return root;
    json_t *singles = json_array();
    for (size_t k = 0; k < swap->singles; k++)
        json_array_append_new(singles, single_json(e, &swap->single[k]));
    json_object_set_new(root, "single", singles);
    if (swap->drop)
        json_object_set_new(root, "dropped", single_json(e, &swap->dropped));
    json_set_impossible(root, swap->impossible, swap->forced);
    if (!swap->impossible)
        json_object_set_new(root, "loss", range_json(&swap->loss, false));
    if (swap->forced) {
        json_object_set_new(root, "cost_change", json_money(swap->cost_change));
        exchange_json(e->instance, &swap->exchange, root);
    }
    return root;
}
