/* programme.c - from cards and rules to columns and rows.
 *
 * A card is one column (0/1, or integer where several copies may be in). Where some but not all copies are owned, it is two: owned copies, which
 * cost nothing, and bought ones; a third 0/1 column keeps the order (nothing is bought before all owned copies are in), which matters
 * as soon as a rule asks for a least spending. A soft rule has one integer column for each side: the units by which it is missed.
 * Rows are built sparse, one at a time, divided by the greatest common divisor of their coefficients (bounds rounded inwards,
 * which is exact for whole numbers), then turned into columns. */
#include "programme/programme.h"

#include <string.h>

#include "base/number.h"

#define PERCENT_ONE INT64_C(100000) /* a whole in thousandths of a percent */

typedef struct {
    int column;
    int64_t value;
} Entry;

typedef struct {
    ProgrammeRow about;
    int64_t low, high;
    size_t first, count; /* in Builder.entry */
} BuiltRow;

typedef struct {
    const Instance *instance;
    Programme *programme;
    size_t columns, columns_capacity;
    size_t kind_capacity, objective_capacity, low_capacity, high_capacity;
    int *first_column, *second_column; /* [cards] -1 if none; the second for bought copies */
    BuiltRow *row;
    size_t rows, rows_capacity;
    Entry *entry;
    size_t entries, entries_capacity;
    int64_t *coefficient; /* [cards * 2] of the row being built, by card: owned or only column, bought column */
    bool too_large;
} Builder;

static int add_column(Builder *b, ProgrammeColumn about, SearchKind kind, int64_t objective, int64_t low, int64_t high)
{
    Programme *p = b->programme;
    size_t n = b->columns + 1;
    mem_reserve((void **)&p->column, &b->columns_capacity, n, sizeof *p->column);
    mem_reserve((void **)&p->problem.kind, &b->kind_capacity, n, sizeof *p->problem.kind);
    mem_reserve((void **)&p->problem.objective, &b->objective_capacity, n, sizeof *p->problem.objective);
    mem_reserve((void **)&p->problem.low, &b->low_capacity, n, sizeof *p->problem.low);
    mem_reserve((void **)&p->problem.high, &b->high_capacity, n, sizeof *p->problem.high);
    p->column[b->columns] = about;
    p->problem.kind[b->columns] = kind;
    p->problem.objective[b->columns] = objective;
    p->problem.low[b->columns] = low;
    p->problem.high[b->columns] = high;
    return (int)b->columns++;
}

static void add_card_columns(Builder *b, size_t c)
{
    const Instance *in = b->instance;
    int least = in->least[c], most = in->most[c], owned = in->cards->card[c].owned;
    if (most <= 0)
        return;
    if (owned <= 0 || owned >= most) {
        SearchKind kind = most == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
        b->first_column[c] = add_column(b, (ProgrammeColumn){COLUMN_COPIES, (long)c, -1}, kind, in->fit[c], least, most);
        return;
    }
    int least_owned = least < owned ? least : owned;
    SearchKind owned_kind = owned == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
    SearchKind bought_kind = most - owned == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
    b->first_column[c] = add_column(b, (ProgrammeColumn){COLUMN_OWNED, (long)c, -1}, owned_kind, in->fit[c], least_owned, owned);
    b->second_column[c] =
        add_column(b, (ProgrammeColumn){COLUMN_BOUGHT, (long)c, -1}, bought_kind, in->fit[c], least - least_owned, most - owned);
}

static void row_entry(Builder *b, int column, int64_t value)
{
    if (value == 0 || column < 0)
        return;
    mem_reserve((void **)&b->entry, &b->entries_capacity, b->entries + 1, sizeof *b->entry);
    b->entry[b->entries++] = (Entry){column, value};
}

static BuiltRow *begin_row(Builder *b, ProgrammeRow about, int64_t low, int64_t high)
{
    mem_reserve((void **)&b->row, &b->rows_capacity, b->rows + 1, sizeof *b->row);
    about.low = low != SEARCH_MINUS_INFINITY;
    about.high = high != SEARCH_PLUS_INFINITY;
    about.divisor = 1;
    BuiltRow *row = &b->row[b->rows++];
    *row = (BuiltRow){.about = about, .low = low, .high = high, .first = b->entries};
    return row;
}

/* Ends the row: counts its entries and divides by their greatest common divisor. */
static void end_row(Builder *b, BuiltRow *row)
{
    row->count = b->entries - row->first;
    int64_t g = 0;
    for (size_t k = row->first; k < b->entries; k++)
        g = gcd64(g, b->entry[k].value);
    if (g <= 1)
        return;
    for (size_t k = row->first; k < b->entries; k++)
        b->entry[k].value /= g;
    if (row->low != SEARCH_MINUS_INFINITY)
        row->low = (int64_t)ceil_div(row->low, g);
    if (row->high != SEARCH_PLUS_INFINITY)
        row->high = (int64_t)floor_div(row->high, g);
    row->about.divisor = g;
}

/* The coefficients in b->coefficient as entries. */
static void add_card_entries(Builder *b)
{
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        row_entry(b, b->first_column[c], b->coefficient[2 * c]);
        row_entry(b, b->second_column[c], b->coefficient[2 * c + 1]);
    }
}

/* Adds factor x the measure of one copy to the coefficients of card c. Owned copies are not spent on. */
static void add_measure(Builder *b, const RuleMember *member, size_t c, int64_t factor, int64_t shift)
{
    int64_t value;
    bool known = member_value(b->instance, member, c, &value);
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

static void clear_coefficients(Builder *b)
{
    memset(b->coefficient, 0, 2 * b->instance->cards->count * sizeof *b->coefficient);
}

static void add_size_row(Builder *b)
{
    BuiltRow *row = begin_row(b, (ProgrammeRow){.role = ROW_SIZE, .member = -1}, b->instance->model->size_from, b->instance->model->size_to);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        row_entry(b, b->first_column[c], 1);
        row_entry(b, b->second_column[c], 1);
    }
    end_row(b, row);
}

static void add_cap_row(Builder *b)
{
    const Instance *in = b->instance;
    if (!in->model->has_cap)
        return;
    BuiltRow *row = begin_row(b, (ProgrammeRow){.role = ROW_CAP, .member = -1}, SEARCH_MINUS_INFINITY, in->model->cap);
    for (size_t c = 0; c < in->cards->count; c++) {
        if (in->cards->card[c].owned <= 0)
            row_entry(b, b->first_column[c], in->price[c]);
        row_entry(b, b->second_column[c], in->price[c]);
    }
    end_row(b, row);
}

/* The reach of the coefficients: least (or greatest) value that their sum can take. */
static int64_t reach(const Builder *b, bool greatest)
{
    const SearchProblem *p = &b->programme->problem;
    int128 sum = 0;
    for (size_t c = 0; c < 2 * b->instance->cards->count; c++) {
        int column = c % 2 == 0 ? b->first_column[c / 2] : b->second_column[c / 2];
        int64_t a = b->coefficient[c];
        if (column < 0 || a == 0)
            continue;
        sum += (int128)a * ((a > 0) == greatest ? p->high[column] : p->low[column]);
    }
    if (sum > INT64_MAX / 2)
        return INT64_MAX / 2;
    return sum < -(INT64_MAX / 2) ? -(INT64_MAX / 2) : (int64_t)sum;
}

/* One side of a soft rule: a column for the units missed, and the row that it loosens. */
static void add_soft_side(Builder *b, size_t m, bool low_side)
{
    const RuleMember *member = &b->instance->member[m];
    int64_t unit = measure_unit(member->rule->measure);
    int64_t limit = low_side ? member->bounds.low : member->bounds.high;
    int64_t worst = low_side ? limit - reach(b, false) : reach(b, true) - limit;
    int64_t most = worst > 0 ? (int64_t)ceil_div(worst, unit) : 0;
    ProgrammeRow about = {.role = ROW_MEMBER, .member = (long)m};
    BuiltRow *row = begin_row(b, about, low_side ? limit : SEARCH_MINUS_INFINITY, low_side ? SEARCH_PLUS_INFINITY : limit);
    add_card_entries(b);
    if (most > 0) {
        int missed = add_column(b, (ProgrammeColumn){COLUMN_MISSED, -1, (long)m}, most == 1 ? SEARCH_BINARY : SEARCH_INTEGER,
                                -member->rule->soft, 0, most);
        row_entry(b, missed, low_side ? unit : -unit);
    }
    end_row(b, row);
}

static void add_absolute(Builder *b, size_t m)
{
    const RuleMember *member = &b->instance->member[m];
    clear_coefficients(b);
    for (size_t c = 0; c < b->instance->cards->count; c++)
        if (b->first_column[c] >= 0 && member_counts(b->instance, member, c))
            add_measure(b, member, c, 1, 0);
    if (member->rule->is_soft) {
        if (member->bounds.has_low)
            add_soft_side(b, m, true);
        if (member->bounds.has_high)
            add_soft_side(b, m, false);
        return;
    }
    BuiltRow *row = begin_row(b, (ProgrammeRow){.role = ROW_MEMBER, .member = (long)m},
                              member->bounds.has_low ? member->bounds.low : SEARCH_MINUS_INFINITY,
                              member->bounds.has_high ? member->bounds.high : SEARCH_PLUS_INFINITY);
    add_card_entries(b);
    end_row(b, row);
}

static void add_percent_side(Builder *b, size_t m, int64_t percent, int64_t low, int64_t high)
{
    const RuleMember *member = &b->instance->member[m];
    clear_coefficients(b);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        if (b->first_column[c] < 0)
            continue;
        if (member_counts(b->instance, member, c))
            add_measure(b, member, c, PERCENT_ONE, 0);
        if (member_counts_of(b->instance, member, c))
            add_measure(b, member, c, -percent, 0);
    }
    BuiltRow *row = begin_row(b, (ProgrammeRow){.role = ROW_MEMBER, .member = (long)m}, low, high);
    add_card_entries(b);
    end_row(b, row);
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
    clear_coefficients(b);
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        int64_t value;
        if (b->first_column[c] >= 0 && member_counts(b->instance, member, c) && member_value(b->instance, member, c, &value))
            add_measure(b, member, c, 1, average);
    }
    BuiltRow *row = begin_row(b, (ProgrammeRow){.role = ROW_MEMBER, .member = (long)m}, low, high);
    add_card_entries(b);
    end_row(b, row);
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

/* For each card with owned and bought columns: full = 1 only with all owned copies in, and bought copies only with full = 1. */
static void add_order_rows(Builder *b)
{
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        if (b->second_column[c] < 0)
            continue;
        int64_t owned = b->instance->cards->card[c].owned;
        int64_t rest = b->instance->most[c] - owned;
        int full = add_column(b, (ProgrammeColumn){COLUMN_FULL, (long)c, -1}, SEARCH_BINARY, 0, 0, 1);
        ProgrammeRow about = {.role = ROW_ORDER, .member = (long)c};
        BuiltRow *row = begin_row(b, about, 0, SEARCH_PLUS_INFINITY);
        row_entry(b, b->first_column[c], 1);
        row_entry(b, full, -owned);
        end_row(b, row);
        row = begin_row(b, about, SEARCH_MINUS_INFINITY, 0);
        row_entry(b, b->second_column[c], 1);
        row_entry(b, full, -rest);
        end_row(b, row);
    }
}

/* From rows to columns: a counting sort, so rows stay ascending in each column. */
static void turn_matrix(Builder *b)
{
    SearchProblem *p = &b->programme->problem;
    p->columns = (int)b->columns;
    p->rows = (int)b->rows;
    p->row_low = mem_new(b->rows, sizeof *p->row_low);
    p->row_high = mem_new(b->rows, sizeof *p->row_high);
    b->programme->row = mem_new(b->rows, sizeof *b->programme->row);
    p->start = mem_new(b->columns + 1, sizeof *p->start);
    p->row = mem_new(b->entries, sizeof *p->row);
    p->value = mem_new(b->entries, sizeof *p->value);
    for (size_t k = 0; k < b->entries; k++)
        p->start[b->entry[k].column + 1]++;
    for (size_t j = 0; j < b->columns; j++)
        p->start[j + 1] += p->start[j];
    size_t *next = mem_new(b->columns + 1, sizeof *next);
    memcpy(next, p->start, b->columns * sizeof *next);
    for (size_t i = 0; i < b->rows; i++) {
        const BuiltRow *row = &b->row[i];
        b->programme->row[i] = row->about;
        p->row_low[i] = row->low;
        p->row_high[i] = row->high;
        for (size_t k = row->first; k < row->first + row->count; k++) {
            size_t at = next[b->entry[k].column]++;
            p->row[at] = (int)i;
            p->value[at] = b->entry[k].value;
        }
    }
    mem_free(next);
}

Programme *programme_new(const Instance *instance, Diags *diags)
{
    Programme *programme = mem_new(1, sizeof *programme);
    programme->instance = instance;
    size_t cards = instance->cards->count;
    Builder b = {.instance = instance, .programme = programme};
    b.first_column = mem_new(cards, sizeof *b.first_column);
    b.second_column = mem_new(cards, sizeof *b.second_column);
    b.coefficient = mem_new(2 * cards, sizeof *b.coefficient);
    for (size_t c = 0; c < cards; c++)
        b.first_column[c] = b.second_column[c] = -1;
    for (size_t c = 0; c < cards; c++)
        add_card_columns(&b, c);
    add_size_row(&b);
    add_cap_row(&b);
    add_member_rows(&b);
    add_order_rows(&b);
    turn_matrix(&b);
    mem_free(b.first_column);
    mem_free(b.second_column);
    mem_free(b.coefficient);
    mem_free(b.row);
    mem_free(b.entry);
    const char *trouble = b.too_large ? "a coefficient of a rule" : search_problem_trouble(&programme->problem);
    if (trouble == NULL)
        return programme;
    diag_error(diags, (SourcePos){.file = instance->model->path}, "the numbers are too large to be exact: %s", trouble);
    programme_free(programme);
    return NULL;
}

void programme_free(Programme *programme)
{
    if (programme == NULL)
        return;
    SearchProblem *p = &programme->problem;
    mem_free(p->kind);
    mem_free(p->objective);
    mem_free(p->low);
    mem_free(p->high);
    mem_free(p->row_low);
    mem_free(p->row_high);
    mem_free(p->start);
    mem_free(p->row);
    mem_free(p->value);
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
