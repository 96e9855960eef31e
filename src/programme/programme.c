/* programme.c - from cards and rules to columns and rows.
 *
 * A card is one column (0/1, or integer where several copies may be in). Where some but not all copies are owned, it is
 * two: owned copies, which cost nothing, and bought ones; a third 0/1 column keeps the order (nothing is bought before
 * all owned copies are in), which matters as soon as a rule asks for a least spending. A soft rule has one integer
 * column for each side: the units by which it is missed. Rows are built sparse, one at a time (builder.h); what goes
 * beyond counts is in structure.c. */
#include "base/number.h"
#include "programme/builder.h"
#include "programme/risk.h"
#include "programme/magnitude.h"
#include "programme/structure.h"

#define PERCENT_ONE INT64_C(100000) /* a whole in thousandths of a percent */

static void add_card_columns(Builder *b, size_t c)
{
    const Instance *in = b->instance;
    int least = in->least[c], most = in->most[c], owned = in->cards->card[c].owned;
    const int64_t fit = structure_objective(in, c);
    ProgrammeColumn about = {.role = COLUMN_COPIES, .card = (long)c, .member = -1};
    if (most <= 0)
        return;
    if (owned <= 0 || owned >= most) {
        SearchKind kind = most == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
        b->first_column[c] = builder_column(b, about, kind, fit, least, most);
        return;
    }
    int least_owned = least < owned ? least : owned;
    SearchKind owned_kind = owned == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
    SearchKind bought_kind = most - owned == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
    about.role = COLUMN_OWNED;
    b->first_column[c] = builder_column(b, about, owned_kind, fit, least_owned, owned);
    about.role = COLUMN_BOUGHT;
    b->second_column[c] = builder_column(b, about, bought_kind, fit, least - least_owned, most - owned);
}

/* Adds factor x the measure of one copy to the coefficients of card c. Owned copies are not spent on. */
/* of_side: the measure as it is taken over the cards that a percentage is of. */
static void add_measure(Builder *b, const RuleMember *member, size_t c, bool of_side, int64_t factor, int64_t shift)
{
    int64_t value;
    bool known =
        of_side ? member_value_of(b->instance, member, c, &value) : member_value(b->instance, member, c, &value);
    if (!known && shift != 0)
        return; /* averages: blank cells take no part */
    int64_t free_value = value;
    const Card *card = &b->instance->cards->card[c];
    if (member->rule->measure == MEASURE_SPEND && card->owned > 0)
        free_value = 0;
    int64_t bought = value;
    if (member->rule->measure == MEASURE_SPEND && card->owned >= b->instance->most[c])
        bought = 0;
    int64_t product;
    if (__builtin_mul_overflow(factor, free_value - shift, &product) ||
        __builtin_add_overflow(b->coefficient[2 * c], product, &b->coefficient[2 * c]))
        b->too_large = true;
    if (__builtin_mul_overflow(factor, bought - shift, &product) ||
        __builtin_add_overflow(b->coefficient[2 * c + 1], product, &b->coefficient[2 * c + 1]))
        b->too_large = true;
}

static void add_size_row(Builder *b)
{
    BuiltRow *row = builder_begin(b, (ProgrammeRow){.role = ROW_SIZE, .member = -1}, b->instance->model->size_from,
                                  b->instance->model->size_to);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        builder_entry(b, b->first_column[c], 1);
        builder_entry(b, b->second_column[c], 1);
    }
    builder_end(b, row);
}

/* The column of the card's bought copies, or -1. */
static int bought_column(const Builder *b, size_t c)
{
    return b->instance->cards->card[c].owned <= 0 ? b->first_column[c] : b->second_column[c];
}

/* The prices by which the limit (NULL: the cap) is protected, into the row at hand. */
static void add_rises(Builder *b, const RuleMember *member)
{
    const Instance *in = b->instance;
    if (!risk_protects(in, member) || in->model->protect <= 0)
        return;
    for (size_t c = 0; c < in->cards->count; c++)
        if (risk_counts(in, member, c))
            builder_rise(b, bought_column(b, c), risk_rise(in, c));
}

static void add_cap_row(Builder *b)
{
    const Instance *in = b->instance;
    if (!in->model->has_cap)
        return;
    BuiltRow *row =
        builder_begin(b, (ProgrammeRow){.role = ROW_CAP, .member = -1}, SEARCH_MINUS_INFINITY, in->model->cap);
    for (size_t c = 0; c < in->cards->count; c++) {
        if (in->cards->card[c].owned <= 0)
            builder_entry(b, b->first_column[c], instance_buy_price(in, c));
        builder_entry(b, b->second_column[c], instance_buy_price(in, c));
    }
    add_rises(b, NULL);
    builder_end(b, row);
}

static int chosen_of(const Builder *b, const RuleMember *member)
{
    return member->theme < 0 ? -1 : b->chosen_column[member->theme];
}

/* One side of a soft rule: a column for the units missed, and the row that it loosens. */
static void add_soft_side(Builder *b, size_t m, bool low_side)
{
    const RuleMember *member = &b->instance->member[m];
    int64_t unit = measure_unit(member->rule->measure);
    int64_t limit = low_side ? member->bounds.low : member->bounds.high;
    int64_t worst = low_side ? limit - builder_reach(b, false) : builder_reach(b, true) - limit;
    int64_t most = worst > 0 ? (int64_t)ceil_div(worst, unit) : 0;
    int missed = -1;
    if (most > 0)
        missed = builder_whole(b, (ProgrammeColumn){.role = COLUMN_MISSED, .card = -1, .member = (long)m},
                               -member->rule->soft, 0, most);
    structure_row(b, (ProgrammeRow){.role = ROW_MEMBER, .member = (long)m}, chosen_of(b, member),
                  low_side ? limit : SEARCH_MINUS_INFINITY, low_side ? SEARCH_PLUS_INFINITY : limit, missed,
                  low_side ? unit : -unit);
}

/* The coefficients as the member's row; of a theme that may be chosen, in force only if it is. */
static void end_member(Builder *b, size_t m, int64_t low, int64_t high)
{
    structure_row(b, (ProgrammeRow){.role = ROW_MEMBER, .member = (long)m}, chosen_of(b, &b->instance->member[m]), low,
                  high, -1, 0);
}

/* The upper side of a limit on spending, whichever prices rise. */
static void end_protected(Builder *b, size_t m)
{
    const RuleMember *member = &b->instance->member[m];
    const int chosen = chosen_of(b, member);
    int64_t over = 0;
    if (chosen >= 0) { /* as loose as need be where the theme is not chosen */
        int128 most = builder_reach(b, true);
        for (size_t c = 0; c < b->instance->cards->count; c++) {
            const int column = bought_column(b, c);
            if (column >= 0 && risk_counts(b->instance, member, c))
                most += (int128)risk_rise(b->instance, c) * b->programme->problem.high[column];
        }
        over = most > member->bounds.high ? (int64_t)(most - member->bounds.high) : 0;
    }
    BuiltRow *row = builder_begin(b, (ProgrammeRow){.role = ROW_MEMBER, .member = (long)m}, SEARCH_MINUS_INFINITY,
                                  member->bounds.high + over);
    builder_cards(b);
    builder_entry(b, chosen, over);
    add_rises(b, member);
    builder_end(b, row);
}

static void add_absolute(Builder *b, size_t m)
{
    const RuleMember *member = &b->instance->member[m];
    const size_t *card;
    const size_t cards = member_cards(b->instance, member, &card);
    builder_clear(b);
    for (size_t k = 0; k < cards; k++) {
        const size_t c = card != NULL ? card[k] : k;
        if (b->first_column[c] >= 0 && member_counts(b->instance, member, c))
            add_measure(b, member, c, false, 1, 0);
    }
    if (member->rule->is_soft) {
        if (member->bounds.has_low)
            add_soft_side(b, m, true);
        if (member->bounds.has_high)
            add_soft_side(b, m, false);
        return;
    }
    if (risk_protects(b->instance, member) && b->instance->model->protect > 0) {
        if (member->bounds.has_low)
            end_member(b, m, member->bounds.low, SEARCH_PLUS_INFINITY);
        end_protected(b, m);
        return;
    }
    end_member(b, m, member->bounds.has_low ? member->bounds.low : SEARCH_MINUS_INFINITY,
               member->bounds.has_high ? member->bounds.high : SEARCH_PLUS_INFINITY);
}

static void add_percent_side(Builder *b, size_t m, int64_t percent, int64_t low, int64_t high)
{
    const RuleMember *member = &b->instance->member[m];
    builder_clear(b);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        if (b->first_column[c] < 0)
            continue;
        if (member_counts(b->instance, member, c))
            add_measure(b, member, c, false, PERCENT_ONE, 0);
        if (member_counts_of(b->instance, member, c))
            add_measure(b, member, c, true, -percent, 0);
    }
    end_member(b, m, low, high);
}

static void add_percent(Builder *b, size_t m)
{
    const RuleMember *member = &b->instance->member[m];
    const Bounds *bounds = &member->bounds;
    if (bounds->exactly) { /* on a count: less than one card off, that is at most 99999 hundred-thousandths */
        int64_t off = member->rule->measure == MEASURE_COUNT ? PERCENT_ONE - 1 : 0;
        add_percent_side(b, m, bounds->low, -off, off);
        return;
    }
    if (bounds->has_low)
        add_percent_side(b, m, bounds->low, 0, SEARCH_PLUS_INFINITY);
    if (bounds->has_high)
        add_percent_side(b, m, bounds->high, SEARCH_MINUS_INFINITY, 0);
}

static void add_average_side(Builder *b, size_t m, int64_t average, int64_t low, int64_t high)
{
    const RuleMember *member = &b->instance->member[m];
    builder_clear(b);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        int64_t value;
        if (b->first_column[c] >= 0 && member_counts(b->instance, member, c) &&
            member_value(b->instance, member, c, &value))
            add_measure(b, member, c, false, 1, average);
    }
    end_member(b, m, low, high);
}

static void add_average(Builder *b, size_t m)
{
    const Bounds *bounds = &b->instance->member[m].bounds;
    if (bounds->has_low)
        add_average_side(b, m, bounds->low, 0, SEARCH_PLUS_INFINITY);
    if (bounds->has_high)
        add_average_side(b, m, bounds->high, SEARCH_MINUS_INFINITY, 0);
}

static void add_member_rows(Builder *b)
{
    for (size_t m = 0; m < b->instance->members; m++) {
        switch (b->instance->member[m].bounds.kind) {
        case BOUND_ABSOLUTE: add_absolute(b, m); break;
        case BOUND_PERCENT: add_percent(b, m); break;
        case BOUND_AVERAGE: add_average(b, m); break;
        }
    }
}

/* For each card with owned and bought columns: full = 1 only with all owned copies in, and bought copies only with full
 * = 1. */
static void add_order_rows(Builder *b)
{
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        if (b->second_column[c] < 0)
            continue;
        int64_t owned = b->instance->cards->card[c].owned;
        int64_t rest = b->instance->most[c] - owned;
        int full = builder_column(b, (ProgrammeColumn){.role = COLUMN_FULL, .card = (long)c, .member = -1},
                                  SEARCH_BINARY, 0, 0, 1);
        ProgrammeRow about = {.role = ROW_ORDER, .member = (long)c};
        BuiltRow *row = builder_begin(b, about, 0, SEARCH_PLUS_INFINITY);
        builder_entry(b, b->first_column[c], 1);
        builder_entry(b, full, -owned);
        builder_end(b, row);
        row = builder_begin(b, about, SEARCH_MINUS_INFINITY, 0);
        builder_entry(b, b->second_column[c], 1);
        builder_entry(b, full, -rest);
        builder_end(b, row);
    }
}

Programme *programme_new(const Instance *instance, Diags *diags)
{
    Programme *programme = mem_new(1, sizeof *programme);
    programme->instance = instance;
    size_t cards = instance->cards->count;
    Builder b = {.instance = instance, .programme = programme};
    b.first_column = mem_new(cards, sizeof *b.first_column);
    b.second_column = mem_new(cards, sizeof *b.second_column);
    b.in_column = mem_new(cards, sizeof *b.in_column);
    b.chosen_column = mem_new(instance->model->themes, sizeof *b.chosen_column);
    b.coefficient = mem_new(2 * cards, sizeof *b.coefficient);
    for (size_t c = 0; c < cards; c++)
        b.first_column[c] = b.second_column[c] = b.in_column[c] = -1;
    for (size_t c = 0; c < cards; c++)
        add_card_columns(&b, c);
    structure_chosen(&b);
    add_size_row(&b);
    add_cap_row(&b);
    add_member_rows(&b);
    add_order_rows(&b);
    structure_rows(&b);
    builder_turn(&b);
    mem_free(b.first_column);
    mem_free(b.second_column);
    mem_free(b.in_column);
    mem_free(b.chosen_column);
    mem_free(b.coefficient);
    mem_free(b.row);
    mem_free(b.entry);
    mem_free(b.protection);
    mem_free(b.rise);
    if (programme_magnitudes_good(programme, b.too_large, diags))
        return programme;
    programme_free(programme);
    return NULL;
}

bool programme_at_risk(const Programme *programme)
{
    return programme->problem.protections != NULL;
}

void programme_free(Programme *programme)
{
    if (programme == NULL)
        return;
    search_problem_release(&programme->problem);
    mem_free(programme->column);
    mem_free(programme->row);
    mem_free(programme);
}

void programme_copies(const Programme *programme, const int64_t *x, int *copies)
{
    for (size_t c = 0; c < programme->instance->cards->count; c++)
        copies[c] = 0;
    for (int j = 0; j < programme->problem.columns; j++) {
        ColumnRole role = programme->column[j].role;
        if (role == COLUMN_COPIES || role == COLUMN_OWNED || role == COLUMN_BOUGHT)
            copies[programme->column[j].card] += (int)x[j];
    }
}
