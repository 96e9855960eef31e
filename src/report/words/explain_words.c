/* explain_words.c - see explain_words.h. */
#include <string.h>

#include "report/words/explain_words.h"

#include "base/text.h"
#include "report/layout/format.h"
#include "report/words/limit_words.h"
#include "report/whatif_report.h"

#define SHORT_EXCHANGE 4 /* cards that a sentence can hold */
#define LISTED_CARDS 8

/* Keeps, bans and limits of many rows are there or not. */
static bool side_has_number(const Side *side)
{
    return !limit_is_status(side->limit) && side->row >= 0;
}

bool side_is_given_up(const Side *side, int64_t units)
{
    return !side_has_number(side) || (side->limit->kind == LIMIT_NEEDS && units >= side->limit->bounds.low);
}

static bool has_headroom(const Side *side)
{
    return side->limit->capped != NULL && side->limit->capped->headroom > 0;
}

int64_t words_units_written(const Side *side, int64_t units)
{
    if (!has_headroom(side) || units <= 0)
        return units;
    const Model *model = side->limit->capped;
    return model_cap_stated(model, model->cap + units) - model->cap_stated;
}

const char *words_side_limit(const Side *side, Arena *arena)
{
    if (!side_has_number(side))
        return "";
    Bounds bounds = side_bounds(side);
    if (limit_is_exact(side->limit)) {
        bounds.has_low = bounds.has_high = true;
        bounds.low = bounds.high = side->low ? bounds.low : bounds.high;
    }
    return limit_asks_text(side->limit, &bounds, arena);
}

const char *words_side(const Side *side, Arena *arena)
{
    const char *limit = words_side_limit(side, arena), *place = limit_place_text(side->limit, arena);
    return arena_printf(arena, "%s%s%s%s%s%s", side->limit->title, limit[0] != '\0' ? ", " : "", limit,
                        place[0] != '\0' ? " (" : "", place, place[0] != '\0' ? ")" : "");
}

static bool is_of(const Side *side, BoundKind kind)
{
    return side->limit->bounds.kind == kind;
}

static bool is_share(const Side *side)
{
    return is_of(side, BOUND_PERCENT);
}

bool words_side_again(const Explain *e, const int *side, int k)
{
    const Limit *limit = e->sides->side[side[k]].limit;
    for (int earlier = 0; earlier < k && limit_is_exact(limit); earlier++)
        if (e->sides->side[side[earlier]].limit == limit)
            return true;
    return false;
}

int words_sides(const Explain *e, const int *side, int sides)
{
    int limits = 0;
    for (int k = 0; k < sides; k++)
        limits += !words_side_again(e, side, k);
    return limits;
}

static const char *loosening_text(const Side *side, int64_t units, Arena *arena)
{
    if (side_is_given_up(side, units))
        return "given up";
    const char *amount = limit_amount_text(side->limit, words_units_written(side, units), arena);
    bool count = measure_is_whole(side->limit->measure);
    if (is_share(side))
        return arena_printf(arena, "%s %s the share", amount, side->low ? "short of" : "above");
    if (is_of(side, BOUND_AVERAGE))
        return arena_printf(arena, "%s %s in the sum over its cards", amount, side->low ? "less" : "more");
    const char *unit = count ? strchr(amount, ' ') : NULL; /* "1 card" becomes "1 more card" */
    const char *way = !side->low ? "more" : count ? "fewer" : "less";
    if (unit != NULL)
        return arena_printf(arena, "%.*s %s%s", (int)(unit - amount), amount, way, unit);
    return arena_printf(arena, "%s %s", amount, way);
}

/* " (write at least 7)": of a limit that is scaled to another size the number in the file moves by more, or less. */
static const char *to_write(const Side *side, int64_t units, Arena *arena)
{
    const Limit *limit = side->limit;
    const RuleMember *member = limit->member;
    if (member == NULL || member->size == 0 || member->bounds.has_seen || side_is_given_up(side, units) || units <= 0)
        return "";
    const Bounds bounds = bounds_unscaled(&member->written, member->size, side->low, units);
    return arena_printf(arena, " (write %s)", format_bounds(arena, limit->measure, &bounds));
}

const char *words_loosening(const Side *side, int64_t units, Arena *arena)
{
    return arena_printf(arena, "%s%s", loosening_text(side, units, arena), to_write(side, units, arena));
}

const char *words_if_loosened(const Side *side, int64_t units, bool at_most, Arena *arena)
{
    if (side_is_given_up(side, units))
        return "Without that";
    const char *loosening = words_loosening(side, units, arena), *most = at_most ? "at most " : "";
    if (side->limit->kind == LIMIT_SIZE)
        return arena_printf(arena, "With a pool of %s%s", most, loosening);
    if (side->limit->kind == LIMIT_CAP || !side->low)
        return is_share(side) ? arena_printf(arena, "If it may be %s%s,", most, loosening)
                              : arena_printf(arena, "With %s%s there", most, loosening);
    return is_share(side) ? arena_printf(arena, "If it may be %s%s,", most, loosening)
                          : arena_printf(arena, "If it asks for %s%s,", most, loosening);
}

bool words_asks_for_nothing(const Binding *b, const Binding *twin)
{
    return b->within <= 0 && (twin == NULL || twin->within <= 0);
}

static const char *nothing_text(const Explain *e, const Binding *b, const Binding *twin, Arena *arena)
{
    const Side *side = &e->sides->side[b->side];
    if (words_asks_for_nothing(b, twin))
        return "asks for nothing";
    if (side_is_given_up(side, b->within))
        return "nothing without it either";
    const char *change = b->within > 0 ? loosening_text(side, b->within, arena) : NULL,
               *other = twin != NULL && twin->within > 0
                            ? loosening_text(&e->sides->side[twin->side], twin->within, arena)
                            : NULL;
    if (change == NULL || other == NULL)
        return arena_printf(arena, "nothing up to %s", change != NULL ? change : other);
    return arena_printf(arena, "nothing up to %s or %s", change, other);
}

const char *words_binding(const Explain *e, const Binding *b, const Binding *twin, Arena *arena)
{
    const Side *side = &e->sides->side[b->side];
    switch (b->kind) {
    case BINDING_NOTHING: return nothing_text(e, b, twin, arena);
    case BINDING_UNKNOWN: return arena_printf(arena, "not known up to %s", loosening_text(side, b->within, arena));
    case BINDING_STEP: break;
    }
    return side_is_given_up(side, b->step.high)
               ? "without it"
               : arena_printf(arena, "with %s", words_loosening(side, b->step.high, arena));
}

const char *words_range(const Range *range, Arena *arena)
{
    if (range_exact(range))
        return format_number(arena, range->low);
    bool low = range->has_low && (range->low != 0 || !range->has_high);
    if (low && range->has_high)
        return arena_printf(arena, "%s to %s", format_number(arena, range->low), format_number(arena, range->high));
    if (range->has_high)
        return arena_printf(arena, "at most %s", format_number(arena, range->high));
    if (low && range->low > 0)
        return arena_printf(arena, "at least %s", format_number(arena, range->low));
    return "an unknown amount of";
}

static size_t count_moved(const Moved *moved, size_t count, long without)
{
    size_t all = 0;
    for (size_t k = 0; k < count; k++)
        all += (long)moved[k].card != without;
    return all;
}

const char *words_cards(const Instance *in, const Moved *moved, size_t count, long without, size_t most, Arena *arena)
{
    const size_t all = count_moved(moved, count, without);
    size_t named = 0;
    Text text = {0};
    for (size_t k = 0; k < count && named < most; k++) {
        if ((long)moved[k].card == without)
            continue;
        named++;
        const char *joint = named == 1 ? "" : named < all ? "; " : all > 2 ? "; and " : " and ";
        text_add(&text, joint);
        text_add(&text, format_copies(arena, moved[k].copies, in->cards->card[moved[k].card].name));
    }
    if (named < all)
        text_printf(&text, " and %zu more", all - named);
    const char *out = arena_strdup(arena, text_cstr(&text));
    text_release(&text);
    return out;
}

/* "Reed Pilot would leave", "A and 2 x B would leave, C would come in"; without: a card not to be named again, -1:
 * none. Up to `most` names a list. */
static const char *words_exchange(const Instance *in, const Exchange *exchange, long without, size_t most, Arena *arena)
{
    const char *leave = words_cards(in, exchange->leaves, exchange->leave_count, without, most, arena);
    const char *enter = words_cards(in, exchange->enters, exchange->enter_count, without, most, arena);
    const char *leaving = leave[0] != '\0' ? arena_printf(arena, "%s would leave", leave) : "";
    const char *entering = enter[0] != '\0' ? arena_printf(arena, "%s would come in", enter) : "";
    if (leave[0] == '\0' && enter[0] == '\0')
        return "nothing else would change";
    return arena_printf(arena, "%s%s%s", leaving, leave[0] != '\0' && enter[0] != '\0' ? ", " : "", entering);
}

static void add_moved(const Instance *in, const char *label, const Moved *moved, size_t count, long without, bool all,
                      const Style *style, Arena *arena, Text *out)
{
    NameList list;
    name_list_begin(&list, label, all ? SIZE_MAX : LISTED_CARDS, style, out);
    for (size_t k = 0; k < count; k++)
        if ((long)moved[k].card != without)
            name_list_add(&list, format_copies(arena, moved[k].copies, in->cards->card[moved[k].card].name));
    name_list_end(&list);
}

void words_add_exchange(const Instance *in, const Exchange *exchange, long without, bool all, const Style *style,
                        Arena *arena, Text *out)
{
    size_t leave = count_moved(exchange->leaves, exchange->leave_count, without),
           enter = count_moved(exchange->enters, exchange->enter_count, without);
    if (leave + enter <= SHORT_EXCHANGE) {
        text_printf(out, ": %s.\n", words_exchange(in, exchange, without, SHORT_EXCHANGE, arena));
        return;
    }
    text_add(out, ":\n");
    add_moved(in, leave == 1 ? "leaves    " : "leave     ", exchange->leaves, exchange->leave_count, without, all,
              style, arena, out);
    add_moved(in, enter == 1 ? "comes in  " : "come in   ", exchange->enters, exchange->enter_count, without, all,
              style, arena, out);
}

const char *words_price(Arena *arena, const char *fit, bool brings, int64_t cost)
{
    const char *money = format_money(arena, cost < 0 ? -cost : cost);
    if (cost == 0)
        return arena_printf(arena, brings ? "brings %s fit for the same money" : "costs %s fit and no money", fit);
    if (cost < 0)
        return arena_printf(arena, "%s %s fit and saves %s", brings ? "brings" : "costs", fit, money);
    return arena_printf(arena, brings ? "brings %s fit and costs %s in money" : "costs %s fit and %s in money", fit,
                        money);
}

const char *words_single(const Single *s, Arena *arena)
{
    const int64_t fit = s->fit_change;
    return words_price(arena, fit == 0 ? "no" : format_number(arena, fit < 0 ? -fit : fit), fit > 0, s->cost_change);
}
