/* builder.c - columns and rows appended; rows turned into columns by a counting sort. */
#include "programme/rows/builder.h"

#include <string.h>

#include "base/number.h"
#include "base/sort.h"

int builder_column(Builder *b, ProgrammeColumn about, SearchKind kind, int64_t objective, int64_t low, int64_t high)
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

int builder_whole(Builder *b, ProgrammeColumn about, int64_t objective, int64_t low, int64_t high)
{
    SearchKind kind = low == 0 && high == 1 ? SEARCH_BINARY : SEARCH_INTEGER;
    return builder_column(b, about, kind, objective, low, high);
}

void builder_entry(Builder *b, int column, int64_t value)
{
    if (value == 0 || column < 0)
        return;
    mem_reserve((void **)&b->entry, &b->entries_capacity, b->entries + 1, sizeof *b->entry);
    b->entry[b->entries++] = (Entry){column, value};
}

BuiltRow *builder_begin(Builder *b, ProgrammeRow about, int64_t low, int64_t high)
{
    mem_reserve((void **)&b->row, &b->rows_capacity, b->rows + 1, sizeof *b->row);
    about.divisor = 1;
    BuiltRow *row = &b->row[b->rows++];
    *row = (BuiltRow){.about = about, .low = low, .high = high, .first = b->entries};
    return row;
}

void builder_rise(Builder *b, int column, int64_t rise)
{
    if (rise <= 0 || column < 0 || b->programme->problem.high[column] <= 0)
        return;
    BuiltProtection *last = b->protections > 0 ? &b->protection[b->protections - 1] : NULL;
    if (last == NULL || last->row != b->rows - 1) {
        mem_reserve((void **)&b->protection, &b->protections_capacity, b->protections + 1, sizeof *b->protection);
        last = &b->protection[b->protections++];
        *last = (BuiltProtection){.row = b->rows - 1, .first = b->rises};
    }
    mem_reserve((void **)&b->rise, &b->rises_capacity, b->rises + 1, sizeof *b->rise);
    b->rise[b->rises++] = (Entry){column, rise};
    last->count++;
}

void builder_end(Builder *b, BuiltRow *row)
{
    const bool is_protected = b->protections > 0 && b->protection[b->protections - 1].row == b->rows - 1;
    const size_t first_rise = is_protected ? b->protection[b->protections - 1].first : b->rises;
    row->count = b->entries - row->first;
    int64_t g = 0;
    for (size_t k = row->first; k < b->entries; k++)
        g = gcd64(g, b->entry[k].value);
    for (size_t k = first_rise; k < b->rises; k++)
        g = gcd64(g, b->rise[k].value);
    /* A share of a rise may take part of a unit of the divided row: then the limit, which may move, must not be rounded
     * to such units. */
    const bool in_parts = first_rise < b->rises && b->instance->model->protect % 1000 != 0;
    if (g <= 1 || in_parts)
        return;
    for (size_t k = first_rise; k < b->rises; k++)
        b->rise[k].value /= g;
    for (size_t k = row->first; k < b->entries; k++)
        b->entry[k].value /= g;
    if (row->low != SEARCH_MINUS_INFINITY)
        row->low = (int64_t)ceil_div(row->low, g);
    if (row->high != SEARCH_PLUS_INFINITY)
        row->high = (int64_t)floor_div(row->high, g);
    row->about.divisor = g;
}

void builder_cards(Builder *b)
{
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        builder_entry(b, b->first_column[c], b->coefficient[2 * c]);
        builder_entry(b, b->second_column[c], b->coefficient[2 * c + 1]);
        builder_entry(b, b->in_column[c], b->in_coefficient[c]);
    }
}

void builder_clear(Builder *b)
{
    memset(b->coefficient, 0, 2 * b->instance->cards->count * sizeof *b->coefficient);
    memset(b->in_coefficient, 0, b->instance->cards->count * sizeof *b->in_coefficient);
}

void builder_copies(Builder *b, size_t card, int64_t value)
{
    builder_entry(b, b->first_column[card], value);
    builder_entry(b, b->second_column[card], value);
}

int64_t builder_reach(const Builder *b, bool greatest)
{
    const SearchProblem *p = &b->programme->problem;
    int128 sum = 0;
    for (size_t k = 0; k < 2 * b->instance->cards->count; k++) {
        int column = k % 2 == 0 ? b->first_column[k / 2] : b->second_column[k / 2];
        int64_t a = b->coefficient[k];
        if (column < 0 || a == 0)
            continue;
        sum += (int128)a * ((a > 0) == greatest ? p->high[column] : p->low[column]);
    }
    for (size_t c = 0; c < b->instance->cards->count; c++) {
        const int64_t a = b->in_coefficient[c];
        sum += (a > 0) == greatest ? a : b->instance->least[c] > 0 ? a : 0;
    }
    const int128 limit = INT64_MAX / 2;
    return sum > limit ? INT64_MAX / 2 : sum < -limit ? -(INT64_MAX / 2) : (int64_t)sum;
}

int builder_in(Builder *b, size_t card)
{
    const int most = b->instance->most[card];
    if (most <= 1)
        return b->first_column[card];
    if (b->in_column[card] >= 0)
        return b->in_column[card];
    int in = builder_column(b, (ProgrammeColumn){.role = COLUMN_IN, .card = (long)card, .form = -1, .theme = -1},
                            SEARCH_BINARY, 0, 0, 1);
    b->in_column[card] = in;
    ProgrammeRow about = {.role = ROW_IN, .card = (long)card, .form = -1};
    BuiltRow *row = builder_begin(b, about, 0, SEARCH_PLUS_INFINITY); /* in only with a copy */
    builder_copies(b, card, 1);
    builder_entry(b, in, -1);
    builder_end(b, row);
    row = builder_begin(b, about, SEARCH_MINUS_INFINITY, 0); /* no copy without being in */
    builder_copies(b, card, 1);
    builder_entry(b, in, -most);
    builder_end(b, row);
    return in;
}

void builder_count_in(Builder *b, size_t card, int64_t value)
{
    const int column = builder_in(b, card);
    if (column < 0)
        return;
    int64_t *sum = column == b->first_column[card] ? &b->coefficient[2 * card] : &b->in_coefficient[card];
    if (__builtin_add_overflow(*sum, value, sum))
        b->too_large = true;
}

static int by_column(const void *a, const void *b)
{
    const Entry *x = a, *y = b;
    return (x->column > y->column) - (x->column < y->column);
}

/* Entries of one column in one row are added up: structures may name a card twice. */
static void merge_entries(Builder *b, BuiltRow *row)
{
    Entry *entry = b->entry + row->first;
    bool ordered = true;
    for (size_t k = 1; k < row->count; k++)
        ordered = ordered && entry[k - 1].column < entry[k].column;
    if (ordered || row->count == 0)
        return;
    sort_stable(entry, row->count, sizeof *entry, by_column);
    size_t kept = 0;
    for (size_t k = 0; k < row->count; k++) {
        if (kept > 0 && entry[kept - 1].column == entry[k].column)
            entry[kept - 1].value += entry[k].value;
        else
            entry[kept++] = entry[k];
    }
    row->count = 0;
    for (size_t k = 0; k < kept; k++)
        if (entry[k].value != 0)
            entry[row->count++] = entry[k];
}

/* Thresholds, and the protections of the rows that have rises. */
static void add_protections(Builder *b)
{
    SearchProblem *p = &b->programme->problem;
    const int64_t protect = b->instance->model->protect, common = gcd64(protect, 1000);
    int *column = mem_new(b->rises + 1, sizeof *column);
    int64_t *rise = mem_new(b->rises + 1, sizeof *rise);
    for (size_t k = 0; k < b->protections; k++) {
        const BuiltProtection *built = &b->protection[k];
        int64_t most = 0;
        for (size_t e = 0; e < built->count; e++) {
            column[e] = b->rise[built->first + e].column;
            rise[e] = b->rise[built->first + e].value;
            const int64_t all = rise[e] * p->high[column[e]];
            most = all > most ? all : most;
        }
        const Limit *limit = b->row[built->row].about.limit;
        const int threshold = builder_column(
            b, (ProgrammeColumn){.role = COLUMN_THRESHOLD, .card = -1, .limit = limit, .form = -1, .theme = -1},
            SEARCH_CONTINUOUS, 0, 0, most);
        if (p->protections == NULL)
            p->protections = protections_new();
        protections_add(p->protections, (int)built->row, threshold, protect / common, 1000 / common, (int)built->count,
                        column, rise);
    }
    mem_free(column);
    mem_free(rise);
}

void builder_turn(Builder *b)
{
    SearchProblem *p = &b->programme->problem;
    add_protections(b);
    p->columns = (int)b->columns;
    p->rows = (int)b->rows;
    p->row_low = mem_new(b->rows, sizeof *p->row_low);
    p->row_high = mem_new(b->rows, sizeof *p->row_high);
    b->programme->row = mem_new(b->rows, sizeof *b->programme->row);
    p->start = mem_new(b->columns + 1, sizeof *p->start);
    p->row = mem_new(b->entries, sizeof *p->row);
    p->value = mem_new(b->entries, sizeof *p->value);
    for (size_t i = 0; i < b->rows; i++) {
        BuiltRow *row = &b->row[i];
        merge_entries(b, row);
        for (size_t k = row->first; k < row->first + row->count; k++)
            p->start[b->entry[k].column + 1]++;
    }
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
