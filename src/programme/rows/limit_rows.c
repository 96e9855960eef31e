/* limit_rows.c - from limits to rows: the programme's reading of limit.h. A soft rule has one integer column for each
 * side: the units by which it is missed. Places are in structure_places.c. */
#include "programme/rows/limit_rows.h"

#include "base/number.h"
#include "programme/count/risk.h"
#include "programme/rows/structure.h"

static ProgrammeRow row_of(const Limit *limit)
{
    return (ProgrammeRow){.role = ROW_LIMIT, .limit = limit, .card = -1, .form = -1};
}

/* Adds factor x value to the coefficient of an owned or only copy (bought: of a bought one). */
static void add_coefficient(Builder *b, size_t c, bool bought, int64_t factor, int64_t value)
{
    int64_t product, *sum = &b->coefficient[2 * c + bought];
    if (__builtin_mul_overflow(factor, value, &product) || __builtin_add_overflow(*sum, product, sum))
        b->too_large = true;
}

/* Adds factor x the measure of one copy to the coefficients of card c. of_side: the measure as it is taken over the
 * cards that a percentage is of. */
static void add_measure(Builder *b, const RuleMember *member, size_t c, bool of_side, int64_t factor, int64_t shift)
{
    int64_t value;
    bool known =
        of_side ? member_value_of(b->instance, member, c, &value) : member_value(b->instance, member, c, &value);
    if (!known && shift != 0)
        return; /* averages: blank cells take no part */
    const int owned = b->instance->cards->card[c].owned;
    switch (measure_adds(member->rule->measure)) {
    case ADDS_COPIES:
        add_coefficient(b, c, false, factor, value - shift);
        add_coefficient(b, c, true, factor, value - shift);
        break;
    case ADDS_BOUGHT:
        add_coefficient(b, c, false, factor, (owned > 0 ? 0 : value) - shift);
        add_coefficient(b, c, true, factor, (owned >= b->instance->most[c] ? 0 : value) - shift);
        break;
    case ADDS_ONCE: builder_count_in(b, c, factor * value); break;
    }
}

static void rows_size(Builder *b, const Limit *limit)
{
    builder_begin(b, row_of(limit), limit->bounds.low, limit->bounds.high);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        builder_entry(b, b->first_column[c], 1);
        builder_entry(b, b->second_column[c], 1);
    }
    builder_end(b);
}

/* The column of the card's bought copies, or -1. */
static int bought_column(const Builder *b, size_t c)
{
    return b->instance->cards->card[c].owned <= 0 ? b->first_column[c] : b->second_column[c];
}

static bool is_protected(const Builder *b, const Limit *limit)
{
    return risk_protects(b->instance, limit->member) && b->instance->model->protect > 0;
}

/* The prices by which the limit is protected, into the row at hand. */
static void add_rises(Builder *b, const Limit *limit)
{
    const Instance *in = b->instance;
    for (size_t c = 0; c < in->cards->count && is_protected(b, limit); c++)
        if (risk_counts(in, limit->member, c))
            builder_rise(b, bought_column(b, c), risk_rise(in, c));
}

static void rows_cap(Builder *b, const Limit *limit)
{
    const Instance *in = b->instance;
    builder_begin(b, row_of(limit), SEARCH_MINUS_INFINITY, limit->bounds.high);
    for (size_t c = 0; c < in->cards->count; c++) {
        if (in->cards->card[c].owned <= 0)
            builder_entry(b, b->first_column[c], instance_buy_price(in, c));
        builder_entry(b, b->second_column[c], instance_buy_price(in, c));
    }
    add_rises(b, limit);
    builder_end(b);
}

static int chosen_of(const Builder *b, const Limit *limit)
{
    return limit->theme < 0 ? -1 : b->chosen_column[limit->theme];
}

/* One side of a soft rule: a column for the units missed, and the row that it loosens. */
static void add_soft_side(Builder *b, const Limit *limit, bool low_side)
{
    const int64_t unit = measure_unit(limit->measure), end = low_side ? limit->bounds.low : limit->bounds.high;
    int64_t worst = low_side ? end - builder_reach(b, false) : builder_reach(b, true) - end;
    int64_t most = worst > 0 ? (int64_t)ceil_div(worst, unit) : 0;
    int missed = -1;
    if (most > 0)
        missed = builder_column(b, (ProgrammeColumn){.role = COLUMN_MISSED, .card = -1, .limit = limit, .form = -1},
                                -limit->member->rule->soft, 0, most);
    structure_row(b, row_of(limit), chosen_of(b, limit), low_side ? end : SEARCH_MINUS_INFINITY,
                  low_side ? SEARCH_PLUS_INFINITY : end, missed, low_side ? unit : -unit);
}

/* The coefficients as the limit's row; of a theme that may be chosen, in force only if it is. */
static void end_row(Builder *b, const Limit *limit, int64_t low, int64_t high)
{
    structure_row(b, row_of(limit), chosen_of(b, limit), low, high, -1, 0);
}

/* The upper side of a limit on spending, whichever prices rise. */
static void end_protected(Builder *b, const Limit *limit)
{
    const int chosen = chosen_of(b, limit);
    const int64_t high = limit->bounds.high;
    int64_t over = 0;
    if (chosen >= 0) { /* as loose as need be where the theme is not chosen */
        int128 most = builder_reach(b, true);
        for (size_t c = 0; c < b->instance->cards->count; c++) {
            const int column = bought_column(b, c);
            if (column >= 0 && risk_counts(b->instance, limit->member, c))
                most += (int128)risk_rise(b->instance, c) * builder_most(b, column);
        }
        over = most > high ? (int64_t)(most - high) : 0;
    }
    builder_begin(b, row_of(limit), SEARCH_MINUS_INFINITY, high + over);
    builder_cards(b);
    builder_entry(b, chosen, over);
    add_rises(b, limit);
    builder_end(b);
}

static void add_absolute(Builder *b, const Limit *limit)
{
    const RuleMember *member = limit->member;
    const size_t *card;
    const size_t cards = member_cards(b->instance, member, &card);
    builder_clear(b);
    for (size_t k = 0; k < cards; k++) {
        const size_t c = card != NULL ? card[k] : k;
        if (b->first_column[c] >= 0 && member_counts(b->instance, member, c))
            add_measure(b, member, c, false, 1, 0);
    }
    const Bounds *bounds = &limit->bounds;
    if (limit->soft) {
        if (bounds->has_low)
            add_soft_side(b, limit, true);
        if (bounds->has_high)
            add_soft_side(b, limit, false);
        return;
    }
    if (is_protected(b, limit)) {
        if (bounds->has_low)
            end_row(b, limit, bounds->low, SEARCH_PLUS_INFINITY);
        end_protected(b, limit);
        return;
    }
    end_row(b, limit, bounds->has_low ? bounds->low : SEARCH_MINUS_INFINITY,
            bounds->has_high ? bounds->high : SEARCH_PLUS_INFINITY);
}

static void add_percent_side(Builder *b, const Limit *limit, int64_t percent, int64_t low, int64_t high)
{
    const RuleMember *member = limit->member;
    builder_clear(b);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        if (b->first_column[c] < 0)
            continue;
        if (member_counts(b->instance, member, c))
            add_measure(b, member, c, false, PERCENT_ONE, 0);
        if (member_counts_of(b->instance, member, c))
            add_measure(b, member, c, true, -percent, 0);
    }
    end_row(b, limit, low, high);
}

static void add_percent(Builder *b, const Limit *limit)
{
    const RuleMember *member = limit->member;
    const Bounds *bounds = &member->bounds;
    if (bounds->exactly) { /* on a count: less than one card off, that is at most 99999 hundred-thousandths */
        int64_t off = measure_is_whole(member->rule->measure) ? PERCENT_ONE - 1 : 0;
        add_percent_side(b, limit, bounds->low, -off, off);
        return;
    }
    if (bounds->has_low)
        add_percent_side(b, limit, bounds->low, 0, SEARCH_PLUS_INFINITY);
    if (bounds->has_high)
        add_percent_side(b, limit, bounds->high, SEARCH_MINUS_INFINITY, 0);
}

static void add_average_side(Builder *b, const Limit *limit, int64_t average, int64_t low, int64_t high)
{
    const RuleMember *member = limit->member;
    builder_clear(b);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        int64_t value;
        if (b->first_column[c] >= 0 && member_counts(b->instance, member, c) &&
            member_value(b->instance, member, c, &value))
            add_measure(b, member, c, false, 1, average);
    }
    end_row(b, limit, low, high);
}

static void add_average(Builder *b, const Limit *limit)
{
    const Bounds *bounds = &limit->bounds;
    if (bounds->has_low)
        add_average_side(b, limit, bounds->low, 0, SEARCH_PLUS_INFINITY);
    if (bounds->has_high)
        add_average_side(b, limit, bounds->high, SEARCH_MINUS_INFINITY, 0);
}

static void rows_rule(Builder *b, const Limit *limit)
{
    switch (limit->bounds.kind) {
    case BOUND_ABSOLUTE: add_absolute(b, limit); break;
    case BOUND_PERCENT: add_percent(b, limit); break;
    case BOUND_AVERAGE: add_average(b, limit); break;
    case BOUND_RATIO: break; /* in no rule */
    }
}

/* ---- what structure asks for ---- */

static void rows_ratio(Builder *b, const Limit *limit)
{
    const size_t theme = (size_t)limit->theme;
    if (limit->bounds.has_low) {
        builder_clear(b);
        structure_enablers(b, theme, 1000, -limit->bounds.low);
        end_row(b, limit, 0, SEARCH_PLUS_INFINITY);
    }
    if (limit->bounds.has_high) {
        builder_clear(b);
        structure_enablers(b, theme, 1000, -limit->bounds.high);
        end_row(b, limit, SEARCH_MINUS_INFINITY, 0);
    }
}

/* Sum of the cards' 0/1, less `subject` x low; -1: none, and low is the row's. */
static void add_cards_in(Builder *b, const Limit *limit, int subject)
{
    int *in = mem_new(limit->amongs, sizeof *in);
    for (size_t k = 0; k < limit->amongs; k++)
        in[k] = builder_in(b, limit->among[k]);
    builder_begin(b, row_of(limit), subject < 0 ? limit->bounds.low : 0, SEARCH_PLUS_INFINITY);
    for (size_t k = 0; k < limit->amongs; k++)
        builder_entry(b, in[k], 1);
    builder_entry(b, subject, -limit->bounds.low);
    builder_end(b);
    mem_free(in);
}

static void rows_needs(Builder *b, const Limit *limit)
{
    const int subject = limit->card >= 0 ? builder_in(b, (size_t)limit->card) : -1;
    if (subject >= 0)
        add_cards_in(b, limit, subject);
}

static void rows_group(Builder *b, const Limit *limit)
{
    add_cards_in(b, limit, -1);
}

static void rows_apart(Builder *b, const Limit *limit)
{
    builder_begin(b, row_of(limit), SEARCH_MINUS_INFINITY, limit->bounds.high);
    for (size_t k = 0; k < limit->amongs; k++)
        builder_copies(b, limit->among[k], 1);
    builder_end(b);
}

static void rows_choice(Builder *b, const Limit *limit)
{
    const Bounds *bounds = &limit->bounds;
    builder_begin(b, row_of(limit), bounds->has_low ? bounds->low : SEARCH_MINUS_INFINITY,
                  bounds->has_high ? bounds->high : SEARCH_PLUS_INFINITY);
    for (size_t k = 0; k < limit->of_themes; k++)
        builder_entry(b, b->chosen_column[limit->of_theme[k]], 1);
    builder_end(b);
}

static void rows_places(Builder *b, const Limit *limit)
{
    structure_place_rows(b, limit);
}

/* ---- keeps and bans: the bounds of the cards' columns ---- */

static void rows_keep(Builder *b, const Limit *limit)
{
    (void)b;
    (void)limit;
}

static void rows_ban(Builder *b, const Limit *limit)
{
    (void)b;
    (void)limit;
}

void limit_rows(Builder *b, const Limit *limit)
{
#define LIMIT_ROWS(constant, function, word) [constant] = rows_##function,
    static void (*const maker[LIMIT_KINDS])(Builder *, const Limit *) = {LIMIT_KIND_TABLE(LIMIT_ROWS)};
#undef LIMIT_ROWS
    if (limit_asks(limit))
        maker[limit->kind](b, limit);
}
