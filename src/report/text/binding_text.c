/* binding_text.c - limits and what loosening them buys; firmness of the cards; near-best pools. */
#include <inttypes.h>
#include <string.h>

#include "base/sort.h"
#include "report/words/explain_words.h"
#include "report/explain_report.h"
#include "report/layout/format.h"

#define SHORT_SWAP 4 /* cards that a line of the table can hold */
#define LONG_SWAPS 3
#define LONG_NAMES 4
#define SHOWN_FIRM 8

static const char *gain_text(const Binding *b, Arena *arena)
{
    return arena_printf(arena, "+%s fit", words_range(&b->gain, arena));
}

/* A soft limit that is missed costs less once it asks for less, with no card moved. */
#define SAME_POOL "the same pool"

static const char *swap_words(const Instance *in, const Exchange *exchange, Arena *arena)
{
    const char *enters = words_cards(in, exchange->enters, exchange->enter_count, -1, 2, arena);
    const char *leaves = words_cards(in, exchange->leaves, exchange->leave_count, -1, 2, arena);
    if (exchange_changes(exchange) == 0)
        return SAME_POOL;
    if (exchange->leave_count == 0)
        return arena_printf(arena, "%s besides", enters);
    return exchange->enter_count == 0 ? arena_printf(arena, "without %s", leaves)
                                      : arena_printf(arena, "%s for %s", enters, leaves);
}

/* The other side of a limit that asks for one number, where neither side helps: the two share a row. */
static const Binding *find_twin(const Explain *e, const Binding *b, const Binding *binding, size_t bindings)
{
    const Side *side = &e->sides->side[b->side];
    for (size_t k = 0; k < bindings && limit_is_exact(side->limit) && b->kind == BINDING_NOTHING; k++) {
        const Side *other = &e->sides->side[binding[k].side];
        if (other->limit == side->limit && other->low != side->low && binding[k].kind == BINDING_NOTHING)
            return &binding[k];
    }
    return NULL;
}

static const char *swap_names(const Instance *in, const OneSwap *one, Arena *arena)
{
    const char *enters = one->enters >= 0 ? in->cards->card[one->enters].name : NULL;
    const char *leaves = one->leaves >= 0 ? in->cards->card[one->leaves].name : NULL;
    if (enters == NULL)
        return leaves == NULL ? SAME_POOL : arena_printf(arena, "without %s", leaves);
    return leaves == NULL ? arena_printf(arena, "%s besides", enters)
                          : arena_printf(arena, "%s for %s", enters, leaves);
}

/* Where none was asked for, the exchange that was found may be one. */
static OneSwap one_swap_of(const Binding *b)
{
    const Exchange *moved = &b->exchange;
    if (b->one.asked || !b->has_exchange || moved_copies(moved->enters, moved->enter_count) > 1 ||
        moved_copies(moved->leaves, moved->leave_count) > 1)
        return b->one;
    return (OneSwap){.found = true,
                     .enters = moved->enter_count > 0 ? (long)moved->enters[0].card : -1,
                     .leaves = moved->leave_count > 0 ? (long)moved->leaves[0].card : -1,
                     .fit_change = b->gain.low};
}

/* Which swap, and what it does where that is not the gain; where none helps, how many cards move. */
static const char *one_swap_text(const Instance *in, const Binding *b, Arena *arena)
{
    const Exchange *moved = &b->exchange;
    const OneSwap one = one_swap_of(b);
    if (!one.found)
        return arena_printf(arena, b->one.asked ? "none; %d in, %d out" : "%d in, %d out",
                            moved_copies(moved->enters, moved->enter_count),
                            moved_copies(moved->leaves, moved->leave_count));
    const bool all = b->gain.has_high && b->gain.low == b->gain.high && one.fit_change == b->gain.low;
    return all ? swap_names(in, &one, arena)
               : arena_printf(arena, "+%s: %s", format_number(arena, one.fit_change), swap_names(in, &one, arena));
}

static void add_binding(const Explain *e, const Binding *b, const Binding *twin, Table *table, Arena *arena)
{
    const Side *side = &e->sides->side[b->side];
    table_add(table, side->limit->title);
    table_add(table, words_side_limit(side, arena));
    table_add(table, words_binding(e, b, twin, arena));
    if (b->kind == BINDING_STEP)
        table_add(table, gain_text(b, arena));
    else
        table_add(table, b->kind == BINDING_UNKNOWN && b->gain.has_high
                             ? arena_printf(arena, "at most +%s fit", format_number(arena, b->gain.high))
                             : "");
}

/* What each is worth by one swap, and by the best exchange where that is more; the likeliest limits first, so many. */
static void add_swaps(const Explain *e, const Binding *binding, size_t bindings, size_t most, const Style *style,
                      Text *out, Arena *arena)
{
    const Instance *in = e->instance;
    Table *table = table_new("lll", NULL);
    size_t told = 0, rearranged = 0;
    for (size_t k = 0; k < bindings; k++) {
        const Binding *b = &binding[k];
        const Exchange *exchange = &b->exchange;
        if (b->kind != BINDING_STEP || (!b->one.found && !b->has_exchange) || told++ >= most)
            continue;
        table_add(table, e->sides->side[b->side].limit->title);
        if (b->one.found) {
            table_addf(table, "+%s", format_number(arena, b->one.fit_change));
            table_addf(table, "one swap: %s", swap_names(in, &b->one, arena));
            if (!b->has_exchange || b->one.fit_change >= b->gain.low || rearranged++ >= LONG_SWAPS)
                continue;
            table_add(table, "");
        }
        table_addf(table, "+%s", words_range(&b->gain, arena));
        if (exchange->enter_count + exchange->leave_count <= SHORT_SWAP) {
            table_add(table, swap_words(in, exchange, arena));
            continue;
        }
        table_addf(table, "in: %s", words_cards(in, exchange->enters, exchange->enter_count, -1, LONG_NAMES, arena));
        table_add(table, "");
        table_add(table, "");
        table_addf(table, "out: %s", words_cards(in, exchange->leaves, exchange->leave_count, -1, LONG_NAMES, arena));
    }
    if (told > 0) {
        text_add_char(out, '\n');
        table_print(table, out, style);
    }
    table_free(table);
}

#define FIRST_BINDINGS 12

/* Limits that are not shown, by what is known of them. */
static void add_rest(const size_t rest[BINDING_KINDS], Text *out)
{
    static const char *const what[BINDING_KINDS] = {[BINDING_STEP] = "more that cost%s fit",
                                                    [BINDING_UNKNOWN] = "of which it is not known",
                                                    [BINDING_NOTHING] =
                                                        "that cost%s none as far as they were loosened"};
    bool any = false;
    for (int k = 0; k < BINDING_KINDS; k++) {
        if (rest[k] == 0)
            continue;
        text_printf(out, any ? ", %zu " : "  and %zu ", rest[k]);
        text_printf(out, what[k], rest[k] == 1 ? "s" : "");
        any = true;
    }
    if (any)
        text_add(out, ": --rules --full\n");
}

void binding_text(const Explain *e, const Binding *binding, size_t bindings, BindingsShown shown, const Style *style,
                  Text *out)
{
    Arena *arena = arena_new();
    static const char *const header[] = {"limit", "asks for", "a better pool", "gain"};
    Table *table = table_new("llll", header);
    static const BindingKind order[BINDING_KINDS] = {BINDING_STEP, BINDING_UNKNOWN, BINDING_NOTHING};
    size_t rest[BINDING_KINDS] = {0};
    bool idle = false;
    const size_t most = shown == BINDINGS_FIRST && bindings > 2 * FIRST_BINDINGS ? FIRST_BINDINGS : bindings;
    for (size_t o = 0; o < (shown != BINDINGS_STEPS ? BINDING_KINDS : 1); o++)
        for (size_t k = 0; k < bindings; k++) {
            const Binding *twin = find_twin(e, &binding[k], binding, bindings);
            if (binding[k].kind != order[o] || (twin != NULL && twin < &binding[k]) ||
                (order[o] == BINDING_NOTHING && words_asks_for_nothing(&binding[k], twin)))
                continue;
            if (table_rows(table) < most) {
                add_binding(e, &binding[k], twin, table, arena);
                idle = idle || order[o] != BINDING_STEP;
            } else {
                rest[order[o]]++;
            }
        }
    if (table_rows(table) > 0) {
        style_heading(out, style, idle ? "Limits, those that cost fit first" : "Limits that cost fit");
        table_print(table, out, style);
        add_rest(rest, out);
        add_swaps(e, binding, bindings, shown == BINDINGS_FIRST ? LONG_SWAPS : most, style, out, arena);
    }
    table_free(table);
    arena_free(arena);
}

/* In the first screen's line: by how much it has to be loosened. Of cards only the number, but
 * of different ones. */
static const char *loosened_by(const Side *side, const Binding *b, Arena *arena)
{
    if (side_is_given_up(side, b->step.high))
        return "without it";
    const char *change = words_loosening(side, b->step.high, arena), *cards = strstr(change, " card");
    return cards != NULL && cards[strcspn(cards + 1, " ") + 1] == '\0' && side->limit->measure != MEASURE_NAMES
               ? arena_printf(arena, "%.*s", (int)(cards - change), change)
               : change;
}

#define FIRST_LINES 5

void binding_first_text(const Explain *e, const Binding *binding, size_t bindings, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    static const char *const header[] = {"Limits that cost fit", "loosen by", "gain", "one swap"};
    Table *table = table_new("llll", header);
    size_t count = 0;
    for (size_t k = 0; k < bindings; k++) {
        const Binding *b = &binding[k];
        const Side *side = &e->sides->side[b->side];
        if (b->kind != BINDING_STEP || count++ >= FIRST_LINES)
            continue;
        table_add(table, side->limit->title);
        table_add(table, loosened_by(side, b, arena));
        table_addf(table, "+%s", words_range(&b->gain, arena));
        table_add(table, one_swap_text(e->instance, b, arena));
    }
    if (count > 0) {
        text_add_char(out, '\n');
        table_print(table, out, style);
    }
    if (count > FIRST_LINES)
        text_printf(out, "  and %zu more: --show limits\n", count - FIRST_LINES);
    table_free(table);
    arena_free(arena);
}

/* --- firmness --- */

static const char *firm_word(RangingKind kind)
{
    static const char *const word[] = {"sure", "could as well be another", "interchangeable", "kept by you",
                                       "not known"};
    return word[kind];
}

static void add_firm(const Explain *e, const Ranging *f, Table *table, Arena *arena)
{
    table_add(table, e->instance->cards->card[f->card].name);
    table_add(table, f->in || f->kind != RANGING_COULD_AS_WELL ? firm_word(f->kind) : "nearly in");
    table_add(table, f->kind == RANGING_INTERCHANGEABLE ? "0" : words_range(&f->loss, arena));
    table_add(table,
              f->exchange.enter_count == 0 && f->exchange.leave_count == 0
                  ? ""
                  : words_cards(e->instance, f->in ? f->exchange.enters : f->exchange.leaves,
                                f->in ? f->exchange.enter_count : f->exchange.leave_count, (long)f->card, 3, arena));
}

/* Nothing was found about it. */
static bool is_open(const Ranging *f)
{
    return f->kind == RANGING_UNKNOWN && !f->loss.has_high;
}

static bool is_listed(const Ranging *f, bool in)
{
    return f->in == in && f->kind != RANGING_SURE && f->kind != RANGING_KEPT && !is_open(f);
}

static int by_loss(const void *a, const void *b)
{
    return range_by_high(&(*(const Ranging *const *)a)->loss, &(*(const Ranging *const *)b)->loss);
}

/* full: all of them in the order of names, else those of which least is lost. */
static void add_firm_table(const Explain *e, const Rangings *f, bool in, bool full, const Style *style, Text *out,
                           Arena *arena)
{
    const char *const header[] = {in ? "in the pool" : "out, but near", "", "fit lost", in ? "instead" : "would leave"};
    const Ranging **listed = arena_alloc(arena, f->count + 1, sizeof *listed);
    size_t count = 0;
    for (size_t k = 0; k < f->count; k++)
        if (is_listed(&f->ranging[k], in))
            listed[count++] = &f->ranging[k];
    const size_t shown = full || count <= SHOWN_FIRM ? count : SHOWN_FIRM;
    if (shown < count)
        sort_stable(listed, count, sizeof *listed, by_loss);
    Table *table = table_new(full ? "llrl" : "llrc", header);
    for (size_t k = 0; k < shown; k++)
        add_firm(e, listed[k], table, arena);
    if (count > 0)
        table_print(table, out, style);
    if (shown < count)
        text_printf(out, "  and %zu more: --full\n", count - shown);
    table_free(table);
}

/* Of the pool's cards: how many are sure, how many the user keeps. */
static void tell_sure(const Rangings *f, Text *out, Arena *arena)
{
    size_t in = 0, sure = 0, kept = 0, unsettled = 0;
    for (size_t k = 0; k < f->count; k++) {
        in += f->ranging[k].in;
        sure += f->ranging[k].in && f->ranging[k].kind == RANGING_SURE;
        kept += f->ranging[k].in && f->ranging[k].kind == RANGING_KEPT;
        unsettled += f->ranging[k].in && f->ranging[k].kind == RANGING_UNKNOWN;
    }
    if (in == kept) {
        text_printf(out, "  every card of the pool is kept by you\n");
        return;
    }
    if (sure == 0 && unsettled > 0)
        text_add(out, "  no card is proven sure");
    else if (sure == 0)
        text_printf(out, "  no card is sure: without any one of them less than %s fit is lost",
                    format_number(arena, f->margin));
    else
        text_printf(out, "  %zu card%s sure: without %s at least %s fit is lost", sure, sure == 1 ? " is" : "s are",
                    sure == 1 ? "it" : "any one of them", format_number(arena, f->margin));
    text_printf(out, kept > 0 ? "; %zu more %s kept by you\n" : "\n", kept, kept == 1 ? "is" : "are");
}

void firmness_text(const Explain *e, const Rangings *f, bool full, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    size_t matters = 0, open = 0, not_known = f->far_several;
    for (size_t k = 0; k < f->count; k++) {
        open += is_open(&f->ranging[k]);
        matters += ranging_score_matters(f, &f->ranging[k]) == SCORE_MATTERS;
        not_known += ranging_score_matters(f, &f->ranging[k]) == SCORE_UNKNOWN;
    }
    style_heading(out, style, "How firmly the cards stand");
    tell_sure(f, out, arena);
    add_firm_table(e, f, true, full, style, out, arena);
    add_firm_table(e, f, false, full, style, out, arena);
    if (open > 0)
        text_printf(out, "  %zu more card%s could not be looked into within the effort.\n", open, open == 1 ? "" : "s");
    if (f->scored && matters == 0 && not_known > 0)
        text_printf(
            out,
            "  Scores that matter: none is known to; of %zu card%s it was not found out whether a power changed "
            "by one point changes the pool.\n",
            not_known, not_known == 1 ? "" : "s");
    else if (f->scored && matters == 0)
        text_add(out, "  Scores that matter: none; no card's power, changed by one point, changes the pool.\n");
    else if (f->scored)
        text_printf(out, "  Scores that matter: the power of %s%zu card%s, changed by one point, changes the pool.\n",
                    not_known > 0 ? "at least " : "", matters, matters == 1 ? "" : "s");
    if (f->scored && f->of > 0)
        text_printf(out,
                    "  When every power moves by a random point up or down, %s of the pool stays (%" PRId64
                    " trials%s).\n",
                    format_share(arena, f->stayed, f->of), f->runs, f->stayed_proven ? "" : ", not all proven best");
    arena_free(arena);
}

/* --- alternatives --- */

void alternatives_text(const Explain *e, const Alternatives *a, const Style *style, Text *out)
{
    Arena *arena = arena_new();
    bool nearest = a->count > 0;
    style_heading(out, style, "Other pools nearly as good");
    for (size_t k = 0; k < a->count; k++) {
        const Alternative *one = &a->alternative[k];
        nearest = nearest && one->exchange.fewest == FEWEST_PROVEN;
        const char *less = one->loss.has_high && one->loss.high == 0
                               ? "as good"
                               : arena_printf(arena, "%s less than the best", words_range(&one->loss, arena));
        text_printf(out, "  %zu. fit %s (%s), %s to buy%s\n", k + 1, format_number(arena, one->fit), less,
                    format_money(arena, one->cost), one->best ? "" : "; a better one as different may exist");
        text_printf(out, "     in   %s\n",
                    words_cards(e->instance, one->exchange.enters, one->exchange.enter_count, -1, 8, arena));
        text_printf(out, "     out  %s\n",
                    words_cards(e->instance, one->exchange.leaves, one->exchange.leave_count, -1, 8, arena));
    }
    if (nearest)
        text_printf(out, "  %s as good and as different changes fewer cards: proven.\n",
                    a->count == 1 ? "No pool" : "For each, no pool");
    if (a->no_more)
        text_add(out,
                 a->count == 0 ? "  None differs so much: proven.\n" : "  No further one differs so much: proven.\n");
    else if (a->count == 0)
        text_add(out, "  None was found within the effort.\n");
    arena_free(arena);
}
