/* protected_rows.c - the rows that follow from protected rows in a box (see protection.h): written, made anew for a
 * part, and found for a relaxation's point. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/sort.h"
#include "search/cuts/cut_rows.h"
#include "search/risk/protection.h"

#define LEAST_MISS 1e-6

typedef struct {
    int row, column;
    int64_t value;
} Written;

typedef struct {
    Written *entry;
    size_t count, capacity;
} Writing;

static void put(Writing *w, int row, int column, int64_t value)
{
    if (value == 0)
        return;
    mem_reserve((void **)&w->entry, &w->capacity, w->count + 1, sizeof *w->entry);
    w->entry[w->count++] = (Written){row, column, value};
}

static int64_t above(int64_t value, int64_t level)
{
    return value > level ? value - level : 0;
}

/* What is taken off a member's threshold. */
static int64_t level_of(const Protection *p, const RisingEntry *e, const int64_t *column_high)
{
    return e->column < 0 || column_high[e->column] <= 1 ? p->low : 0;
}

static bool is_member(const Protection *p, const RisingEntry *e, const bool *member, int k, const int64_t *column_high)
{
    return member != NULL && member[k] && e->rise > level_of(p, e, column_high);
}

/* The row of a set says more than the base row. */
static bool says_more(const Protection *p, const bool *member, const int64_t *column_high)
{
    for (int k = 0; k < p->entries; k++) {
        const RisingEntry *e = &p->entry[k];
        if (is_member(p, e, member, k, column_high) &&
            (p->threshold >= 0 || (e->column >= 0 && column_high[e->column] > 1)))
            return true;
    }
    return false;
}

/* The base row (member NULL) or a set's row. Returns its side. w may be NULL. */
static int64_t state_row(const Protection *p, const bool *member, const int64_t *column_high, int row, Writing *w)
{
    const bool has_side = p->side != SEARCH_PLUS_INFINITY;
    int64_t side = has_side ? p->side : 0, threshold = p->gamma;
    for (int k = 0; k < p->entries; k++) {
        const RisingEntry *e = &p->entry[k];
        int64_t risen = above(e->rise, p->high);
        if (is_member(p, e, member, k, column_high)) {
            const int64_t level = e->column < 0 ? 0 : level_of(p, e, column_high);
            risen = e->rise - level;
            side -= p->weight * level;
            threshold -= p->weight;
        }
        if (e->column < 0)
            side -= p->weight * risen;
        else if (w != NULL)
            put(w, row, e->column, p->weight * (e->price + risen));
    }
    if (p->threshold < 0)
        side -= threshold * p->low;
    else if (w != NULL)
        put(w, row, p->threshold, threshold);
    return has_side ? side : SEARCH_PLUS_INFINITY;
}

typedef struct {
    int row, of;        /* of: which protection */
    const bool *member; /* NULL: the base row */
} SpecialRow;

static int by_row(const void *a, const void *b)
{
    return ((const SpecialRow *)a)->row - ((const SpecialRow *)b)->row;
}

static SpecialRow *list_rows(const Protections *all)
{
    SpecialRow *row = mem_new((size_t)(all->count + all->sets) + 1, sizeof *row);
    for (int r = 0; r < all->count; r++)
        row[r] = (SpecialRow){all->row[r].row, r, NULL};
    for (int s = 0; s < all->sets; s++)
        row[all->count + s] = (SpecialRow){all->set[s].row, all->set[s].of, all->set[s].member};
    sort_stable(row, (size_t)(all->count + all->sets), sizeof *row, by_row);
    return row;
}

/* All special rows, ascending: their sides, and into w, if it is there, their entries. */
static void write_rows(SearchProblem *p, Writing *w)
{
    const Protections *all = p->protections;
    SpecialRow *list = list_rows(all);
    for (int k = 0; k < all->count + all->sets; k++) {
        const SpecialRow *own = &list[k];
        const Protection *of = &all->row[own->of];
        p->row_low[own->row] = SEARCH_MINUS_INFINITY;
        p->row_high[own->row] = SEARCH_PLUS_INFINITY;
        if (own->member == NULL || says_more(of, own->member, p->high))
            p->row_high[own->row] = state_row(of, own->member, p->high, own->row, w);
    }
    mem_free(list);
}

/* By column; rows stay ascending in each. */
static void sort_by_column(Writing *w, int columns)
{
    size_t *next = mem_new((size_t)columns + 2, sizeof *next);
    Written *sorted = mem_new(w->count + 1, sizeof *sorted);
    for (size_t k = 0; k < w->count; k++)
        next[w->entry[k].column + 1]++;
    for (int j = 0; j < columns; j++)
        next[j + 1] += next[j];
    for (size_t k = 0; k < w->count; k++)
        sorted[next[w->entry[k].column]++] = w->entry[k];
    mem_free(next);
    mem_free(w->entry);
    w->entry = sorted;
}

/* The problem's entries without those of special rows, and the written ones in their places. */
static void merge(SearchProblem *p, const bool *special, const Writing *w)
{
    const size_t all = p->start[p->columns] + w->count;
    int *row = mem_new(all + 1, sizeof *row);
    int64_t *value = mem_new(all + 1, sizeof *value);
    size_t at = 0, next = 0, from = 0;
    for (int j = 0; j < p->columns; j++) {
        const size_t end = p->start[j + 1];
        p->start[j] = at;
        for (; from < end || (next < w->count && w->entry[next].column == j); at++) {
            if (from < end && special[p->row[from]]) {
                from++;
                at--;
                continue;
            }
            const bool written =
                next < w->count && w->entry[next].column == j && (from == end || w->entry[next].row < p->row[from]);
            row[at] = written ? w->entry[next].row : p->row[from];
            value[at] = written ? w->entry[next].value : p->value[from];
            next += written;
            from += !written;
        }
    }
    p->start[p->columns] = at;
    mem_free(p->row);
    mem_free(p->value);
    p->row = row;
    p->value = value;
}

void protections_write(SearchProblem *p)
{
    const Protections *all = p->protections;
    bool *special = mem_new((size_t)p->rows + 1, sizeof *special);
    Writing w = {0};
    protections_mark_rows(all, special);
    write_rows(p, &w);
    sort_by_column(&w, p->columns);
    merge(p, special, &w);
    mem_free(w.entry);
    mem_free(special);
}

static int64_t scaled_side(int64_t side, int64_t weight)
{
    return side == SEARCH_PLUS_INFINITY ? side : side * weight;
}

/* Entries for all columns of the row, in their order. */
static void prepare(Protection *own, const SearchProblem *p, int64_t *rise)
{
    for (int k = 0; k < own->entries; k++)
        rise[own->entry[k].column] = own->entry[k].rise;
    int count = 0;
    RisingEntry *entry = mem_new((size_t)p->columns + 1, sizeof *entry);
    for (int j = 0; j < p->columns; j++) {
        int64_t price = 0;
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            if (p->row[k] == own->row)
                price = p->value[k];
        if (price != 0 || rise[j] > 0)
            entry[count++] = (RisingEntry){j, price, rise[j]};
        rise[j] = 0;
    }
    mem_free(own->entry);
    own->entry = entry;
    own->entries = count;
    own->low = 0;
    own->high = p->high[own->threshold];
    own->side = scaled_side(p->row_high[own->row], own->weight);
}

void protections_prepare(SearchProblem *p)
{
    Protections *all = p->protections;
    if (all == NULL || all->prepared)
        return;
    int64_t *rise = mem_new((size_t)p->columns + 1, sizeof *rise);
    for (int r = 0; r < all->count; r++)
        prepare(&all->row[r], p, rise);
    all->prepared = true;
    mem_free(rise);
    protections_write(p);
}

void protections_reload(SearchProblem *p, const int64_t *row_high)
{
    Protections *all = p->protections;
    for (int r = 0; r < all->count; r++)
        all->row[r].side = scaled_side(row_high[all->row[r].row], all->row[r].weight);
    write_rows(p, NULL);
}

/* --- parts --- */

static void restrict_one(Protection *to, const Protection *from, const int *place, const int64_t *low,
                         const int64_t *high, int *kept)
{
    *to = *from;
    to->entry = mem_new((size_t)from->entries + 1, sizeof *to->entry);
    to->entries = 0;
    if (from->threshold >= 0) {
        to->low = low[from->threshold];
        to->high = high[from->threshold];
        to->threshold = place[from->threshold];
    }
    for (int k = 0; k < from->entries; k++) {
        RisingEntry e = from->entry[k];
        kept[k] = -1;
        if (e.column >= 0 && low[e.column] == high[e.column]) {
            if (to->side != SEARCH_PLUS_INFINITY)
                to->side -= from->weight * e.price * low[e.column];
            e = (RisingEntry){-1, 0, e.rise * low[e.column]};
        } else if (e.column >= 0) {
            e.column = place[e.column];
        }
        if (e.column < 0 && e.rise <= 0)
            continue;
        kept[k] = to->entries;
        to->entry[to->entries++] = e;
    }
}

Protections *protections_restrict(const Protections *from, const int *place, const int64_t *low, const int64_t *high)
{
    Protections *to = mem_new(1, sizeof *to);
    *to = *from;
    to->row = mem_new((size_t)from->count + 1, sizeof *to->row);
    to->set = mem_new((size_t)from->sets + 1, sizeof *to->set);
    for (int r = 0; r < from->count; r++) {
        const int entries = from->row[r].entries;
        int *kept = mem_new((size_t)entries + 1, sizeof *kept);
        restrict_one(&to->row[r], &from->row[r], place, low, high, kept);
        for (int s = 0; s < from->sets; s++) {
            if (from->set[s].of != r)
                continue;
            to->set[s] = from->set[s];
            to->set[s].member = mem_new((size_t)to->row[r].entries + 1, sizeof(bool));
            for (int k = 0; k < entries; k++)
                if (kept[k] >= 0)
                    to->set[s].member[kept[k]] = from->set[s].member[k];
        }
        mem_free(kept);
    }
    return to;
}

/* --- points of relaxations --- */

static double value_at(const RisingEntry *e, const double *x)
{
    return e->column < 0 ? 1.0 : x[e->column];
}

double protection_miss(const Protection *p, const double *x, int64_t threshold)
{
    double sum = (double)p->gamma * (double)threshold - (double)p->side;
    for (int k = 0; k < p->entries; k++) {
        const RisingEntry *e = &p->entry[k];
        sum += (double)p->weight * (double)(e->price + above(e->rise, threshold)) * value_at(e, x);
    }
    return sum;
}

/* The set that the point breaks most; returns by how much, in units of side. */
static double worst_set(const Protection *p, const double *x, const int64_t *column_high, bool *member)
{
    const double threshold = p->threshold < 0 ? (double)p->low : x[p->threshold], weight = (double)p->weight;
    double sum = (double)p->gamma * threshold - (double)p->side;
    for (int k = 0; k < p->entries; k++) {
        const RisingEntry *e = &p->entry[k];
        const double at = value_at(e, x), base = (double)above(e->rise, p->high) * at;
        const int64_t level = level_of(p, e, column_high), counted = e->column < 0 ? 0 : level;
        const double own = (double)(e->rise - counted) * at + (double)counted - threshold;
        member[k] = e->rise > level && own > base;
        sum += weight * ((double)e->price * at + (member[k] ? own : base));
    }
    return sum;
}

/* The rows' bounds are made, but not yet their entries. Returns how many. */
static int protections_separate(SearchProblem *p, const double *x, double least)
{
    Protections *all = p->protections;
    int added = 0;
    for (int r = 0; r < all->count; r++) {
        const Protection *of = &all->row[r];
        if (of->side == SEARCH_PLUS_INFINITY)
            continue;
        bool *member = mem_new((size_t)of->entries + 1, sizeof *member);
        const double miss = worst_set(of, x, p->high, member);
        if (miss <= fmax(LEAST_MISS, least * fabs((double)of->side)) || !says_more(of, member, p->high)) {
            mem_free(member);
            continue;
        }
        const size_t rows = (size_t)p->rows + 1;
        p->row_low = mem_resize(p->row_low, rows + 1, sizeof *p->row_low);
        p->row_high = mem_resize(p->row_high, rows + 1, sizeof *p->row_high);
        all->set = mem_resize(all->set, (size_t)all->sets + 2, sizeof *all->set);
        all->set[all->sets++] = (ProtectedSet){p->rows++, r, member};
        added++;
    }
    return added;
}

int protections_add_sets(Matrix *matrix, const double *x, double least)
{
    if (matrix->p.protections == NULL)
        return 0;
    SearchProblem *p = problem_copy(&matrix->p);
    const int added = protections_separate(p, x, least), rows = matrix->p.rows;
    if (added == 0) {
        problem_free(p);
        return 0;
    }
    protections_write(p);
    return matrix_replace(matrix, p, rows) ? added : 0;
}
