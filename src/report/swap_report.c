/* swap_report.c - what would replace a card, as text and JSON. */
#include "report/words/money.h"
#include "report/words/explain_words.h"
#include "report/explain_report.h"
#include "report/layout/format.h"
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

static size_t count_same_job(const Swap *swap)
{
    size_t count = 0;
    for (size_t k = 0; k < swap->singles; k++)
        count += swap->single[k].same_job;
    return count;
}

/* Those that do the same job for less, or all others. */
static void add_singles(const Explain *e, const Swap *swap, bool same_job, bool by_money, bool all, const Style *style,
                        Text *out, Arena *arena)
{
    const bool some = count_same_job(swap) > 0;
    const char *const order = by_money ? "cheapest first" : "best first";
    const char *const header[] = {same_job ? "same job, cheaper"
                                  : some   ? arena_printf(arena, "others, %s", order)
                                           : order,
                                  "fit", "money"};
    Table *table = table_new("lrr", header);
    size_t count = 0;
    for (size_t k = 0; k < swap->singles; k++) {
        const Single *single = &swap->single[by_money ? swap->cheapest[k] : k];
        if (single->same_job == same_job && (count++ < SHOWN || all))
            add_single(e, single, table, arena);
    }
    if (count > 0)
        table_print(table, out, style);
    table_free(table);
    if (!all && count > SHOWN)
        text_printf(out, "  and %zu more: --all shows them\n", count - SHOWN);
}

/* First those that do the same job for less money, then all others, twice. */
static void add_all_singles(const Explain *e, const Swap *swap, bool all, const Style *style, Text *out, Arena *arena)
{
    const size_t same = count_same_job(swap), others = swap->singles - same;
    text_printf(out, "%zu card%s could replace it alone", swap->singles, swap->singles == 1 ? "" : "s");
    if (same > 0 && others > 0)
        text_printf(out, ", %zu of them for the same job and cheaper", same);
    text_add(out, same == 0 ? ", none of them for the same job and cheaper:\n" : ":\n");
    add_singles(e, swap, true, false, all, style, out, arena);
    add_singles(e, swap, false, false, all, style, out, arena);
    if (others > 1)
        add_singles(e, swap, false, true, all, style, out, arena);
}

static const char *price_of_anew(Arena *arena, const Swap *swap)
{
    const Range *loss = &swap->loss;
    const bool brings = loss->has_high && loss->high < 0;
    const Range gain = {loss->has_high, loss->has_low, -loss->high, -loss->low};
    const bool nothing = range_exact(loss) && loss->high == 0;
    return words_price(arena, nothing ? "no" : words_range(brings ? &gain : loss, arena), brings, swap->cost_change);
}

/* The best that one card can do, which may be nothing in its place. NULL: no card can. */
static const Single *best_single(const Swap *swap)
{
    const Single *one = swap->singles > 0 ? &swap->single[0] : NULL;
    if (swap->drop && (one == NULL || swap->dropped.fit_change > one->fit_change))
        return &swap->dropped;
    return one;
}

/* Does the pool chosen anew lose less than this, for certain? */
static bool is_better(const Swap *swap, const Single *one)
{
    return swap->forced && (one == NULL || !swap->loss.has_high || swap->loss.high < -one->fit_change);
}

static void add_one_swap(const Explain *e, const Swap *swap, const Single *one, const char *name, Text *out,
                         Arena *arena)
{
    const char *price = words_single(one, arena);
    if (one->card == swap->card)
        text_printf(out, "Taking %s out, and nothing in, %s", name, price);
    else
        text_printf(out, "One swap: %s for %s %s", e->instance->cards->card[one->card].name, name, price);
    if (!is_better(swap, one) && range_exact(&swap->loss) && swap->loss.high == -one->fit_change)
        text_add(out, one->fit_change < 0 ? "; no pool without it does better: proven" : "; none is better: proven");
    text_add(out, ".\n");
}

static int entering_copies(const Exchange *exchange)
{
    int copies = 0;
    for (size_t k = 0; k < exchange->enter_count; k++)
        copies += exchange->enters[k].copies;
    return copies;
}

static void add_rearranged(const Explain *e, const Swap *swap, bool all, const Style *style, Text *out, Arena *arena)
{
    const int cards = entering_copies(&swap->exchange);
    text_printf(out, "Rearranging %d card%s %s%s", cards, cards == 1 ? "" : "s", price_of_anew(arena, swap),
                swap->loss.has_high && swap->loss.high < 0 ? " (you keep it)" : "");
    words_add_exchange(e->instance, &swap->exchange, (long)swap->card, all, style, arena, out);
}

/* One swap first, which is what one would do by hand; then the pool chosen anew, where that is better. */
static void add_best(const Explain *e, const Swap *swap, const char *name, bool all, const Style *style, Text *out,
                     Arena *arena)
{
    const Single *one = best_single(swap);
    if (one != NULL)
        add_one_swap(e, swap, one, name, out, arena);
    if (swap->impossible)
        text_add(out, "No pool that meets every limit does without it: proven.\n");
    else if (is_better(swap, one))
        add_rearranged(e, swap, all, style, out, arena);
    else if (one == NULL)
        text_printf(out, "A pool without %s was not found within the effort.\n", name);
    else if (!range_exact(&swap->loss))
        text_add(out, "Whether rearranging more cards does better was not found out within the effort.\n");
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
    add_best(e, swap, name, all, style, out, arena);
    if (swap->singles == 0)
        text_add(out, "No single card can replace it without breaking a limit.\n");
    else
        add_all_singles(e, swap, all, style, out, arena);
    if (swap->drop)
        text_printf(out, "It may also just leave: fit %s, money %s.\n", change(arena, swap->dropped.fit_change, false),
                    change(arena, swap->dropped.cost_change, true));
    arena_free(arena);
}

/* "-0.05, with 3 cards"; "" where one card does as well. */
static const char *anew_words(const Swap *swap, const Single *one, Arena *arena)
{
    if (swap->impossible)
        return "no pool without it";
    if (!is_better(swap, one))
        return range_exact(&swap->loss) ? "none better" : "not known";
    const Range gain = {swap->loss.has_high, swap->loss.has_low, -swap->loss.high, -swap->loss.low};
    const int cards = entering_copies(&swap->exchange);
    const bool brings = gain.has_low && gain.low > 0; /* you keep the card */
    return arena_printf(arena, "%s%s, %d in%s", brings ? "+" : "", words_range(&gain, arena), cards,
                        brings ? "; kept" : "");
}

void swap_list_text(const Explain *e, const Swapped *swapped, size_t count, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    static const char *const header[] = {"dearest to buy", "price", "one card instead", "fit", "money", "rearranging"};
    Table *table = table_new("lrlrrl", header);
    for (size_t k = 0; k < count; k++) {
        const Swap *swap = &swapped[k].swap;
        const Single *one = best_single(swap);
        table_add(table, e->instance->cards->card[swap->card].name);
        table_add(table, price_text(e->instance, swap->card, arena));
        table_add(table, one == NULL               ? "none"
                         : one->card == swap->card ? "nothing"
                                                   : e->instance->cards->card[one->card].name);
        table_add(table, one == NULL ? "" : change(arena, one->fit_change, false));
        table_add(table, one == NULL ? "" : change(arena, one->cost_change, true));
        table_add(table, anew_words(swap, one, arena));
    }
    table_print(table, out, style);
    table_free(table);
    text_add(out, "\n`swap CARD` shows who else could replace a card; --all does so for each of these.\n");
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
    for (size_t k = 0; k < swap->singles; k++) {
        json_t *item = single_json(e, &swap->single[k]);
        json_object_set_new(item, "same_job", json_boolean(swap->single[k].same_job));
        json_array_append_new(singles, item);
    }
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
