/* protection.c - protected rows as they are loaded: keeping them, counting the worst case, and other forms of them. */
#include "search/risk/protection.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/number.h"
#include "base/sort.h"

Protections *protections_new(void)
{
    return mem_new(1, sizeof(Protections));
}

void protections_free(Protections *protections)
{
    if (protections == NULL)
        return;
    for (int r = 0; r < protections->count; r++)
        mem_free(protections->row[r].entry);
    mem_free(protections->row);
    mem_free(protections->order);
    mem_free(protections);
}

void protections_add(Protections *protections, int row, int threshold, int64_t gamma, int64_t weight, int columns,
                     const int *column, const int64_t *rise)
{
    const size_t count = (size_t)columns;
    protections->row = mem_resize(protections->row, (size_t)protections->count + 1, sizeof *protections->row);
    Protection *added = &protections->row[protections->count++];
    *added = (Protection){.row = row,
                          .threshold = threshold,
                          .gamma = gamma,
                          .weight = weight,
                          .entries = columns,
                          .entry = mem_new(count + 1, sizeof *added->entry)};
    for (size_t k = 0; k < count; k++)
        added->entry[k] = (RisingEntry){.column = column[k], .rise = rise[k]};
}

Protections *protections_copy(const Protections *from)
{
    if (from == NULL)
        return NULL;
    Protections *to = mem_new(1, sizeof *to);
    *to = *from;
    to->row = mem_copy(from->row, (size_t)from->count, sizeof *to->row);
    to->order = mem_copy(from->order, (size_t)from->orders, sizeof *to->order);
    for (int r = 0; r < to->count; r++)
        to->row[r].entry = mem_copy(from->row[r].entry, (size_t)from->row[r].entries, sizeof *to->row[r].entry);
    return to;
}

void protections_mark_columns(const Protections *protections, bool *column)
{
    for (int r = 0; r < protections->count; r++) {
        const Protection *row = &protections->row[r];
        for (int k = 0; k < row->entries; k++)
            if (row->entry[k].column >= 0)
                column[row->entry[k].column] = true;
        if (row->threshold >= 0)
            column[row->threshold] = true;
    }
}

void protections_renumber(Protections *protections, const int *number)
{
    int kept = 0;
    for (int r = 0; r < protections->count; r++)
        protections->row[r].row = number[protections->row[r].row];
    for (int k = 0; k < protections->orders; k++) {
        OrderRow own = protections->order[k];
        own.row = number[own.row];
        if (own.row >= 0)
            protections->order[kept++] = own;
    }
    protections->orders = kept;
}

/* --- the worst case --- */

static int downwards(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x < y) - (x > y);
}

/* worst(x) times weight, and the threshold that gives it. */
static int128 protection_worst(const Protection *p, const int64_t *x, int64_t *threshold)
{
    int64_t *amount = mem_new((size_t)p->entries + 1, sizeof *amount);
    size_t count = 0;
    for (int k = 0; k < p->entries; k++) {
        const RisingEntry *e = &p->entry[k];
        const int64_t rise = e->column < 0 ? e->rise : e->rise * x[e->column];
        if (rise > 0)
            amount[count++] = rise;
    }
    sort_stable(amount, count, sizeof *amount, downwards);
    int128 sum = 0;
    int64_t left = p->gamma;
    size_t k = 0;
    for (; k < count && left > 0; k++) {
        const int64_t share = left < p->weight ? left : p->weight;
        sum += (int128)share * amount[k];
        left -= share;
    }
    /* Gamma whole: the next amount; else that of which only a part rises */
    const bool in_part = k > 0 && p->gamma % p->weight != 0 && (int64_t)k == p->gamma / p->weight + 1;
    k -= in_part;
    *threshold = k < count ? amount[k] : 0;
    mem_free(amount);
    return sum;
}

void search_settle(const SearchProblem *problem, int64_t *x)
{
    for (int r = 0; problem->protections != NULL && r < problem->protections->count; r++) {
        const Protection *p = &problem->protections->row[r];
        int64_t threshold = 0;
        protection_worst(p, x, &threshold);
        if (p->threshold >= 0)
            x[p->threshold] = threshold;
    }
}

void protections_add_worst(const SearchProblem *problem, const int64_t *x, int64_t *activity)
{
    for (int r = 0; problem->protections != NULL && r < problem->protections->count; r++) {
        const Protection *p = &problem->protections->row[r];
        int64_t threshold = 0;
        activity[p->row] += (int64_t)ceil_div(protection_worst(p, x, &threshold), p->weight);
    }
}

int128 protections_most(const SearchProblem *problem, int row)
{
    int128 sum = 0;
    for (int r = 0; problem->protections != NULL && r < problem->protections->count; r++) {
        const Protection *p = &problem->protections->row[r];
        for (int k = 0; p->row == row && k < p->entries; k++)
            if (p->entry[k].column >= 0)
                sum += (int128)p->entry[k].rise * problem->high[p->entry[k].column];
    }
    return sum;
}

bool protections_hold(const SearchProblem *problem, const int64_t *x, const int128 *activity)
{
    for (int r = 0; problem->protections != NULL && r < problem->protections->count; r++) {
        const Protection *p = &problem->protections->row[r];
        int64_t threshold = 0;
        int128 sum = protection_worst(p, x, &threshold), side = p->side;
        if (!problem->protections->prepared) {
            if (problem->row_high[p->row] == SEARCH_PLUS_INFINITY)
                continue;
            side = (int128)problem->row_high[p->row] * p->weight;
            sum += activity[p->row] * p->weight;
        }
        for (int k = 0; problem->protections->prepared && k < p->entries; k++)
            if (p->entry[k].column >= 0)
                sum += (int128)p->weight * p->entry[k].price * x[p->entry[k].column];
        if (sum > side)
            return false;
    }
    return true;
}

/* --- thresholds where they are --- */

typedef struct {
    int64_t rise;
    double x;
} RisingPart;

static int dearest_first(const void *a, const void *b)
{
    const RisingPart *x = a, *y = b;
    return (x->rise < y->rise) - (x->rise > y->rise);
}

/* Where the columns above it take up Gamma. */
static int64_t threshold_at(const Protection *p, const double *x)
{
    RisingPart *part = mem_new((size_t)p->entries + 1, sizeof *part);
    for (int k = 0; k < p->entries; k++)
        part[k] = (RisingPart){p->entry[k].rise, x[p->entry[k].column]};
    sort_stable(part, (size_t)p->entries, sizeof *part, dearest_first);
    double left = (double)p->gamma / (double)p->weight;
    int k = 0;
    while (k < p->entries && part[k].x <= left)
        left -= part[k++].x;
    const int64_t at = k < p->entries ? part[k].rise : 0;
    mem_free(part);
    return at;
}

/* One column's entries, which are few, by their rows. */
static void sort_entries(SearchProblem *q, size_t first, size_t end)
{
    for (size_t k = first + 1; k < end; k++)
        for (size_t i = k; i > first && q->row[i] < q->row[i - 1]; i--) {
            const int row = q->row[i];
            const int64_t value = q->value[i];
            q->row[i] = q->row[i - 1];
            q->value[i] = q->value[i - 1];
            q->row[i - 1] = row;
            q->value[i - 1] = value;
        }
}

/* Adds the rest of the rises to the protected rows' entries; next[count]: the first entry of each that is not added
 * yet. */
static void add_rises(SearchProblem *q, const Protections *all, const int64_t *threshold, int column, int *next,
                      size_t *end)
{
    const size_t first = q->start[column];
    for (int r = 0; r < all->count; r++) {
        const Protection *p = &all->row[r];
        size_t at = first;
        while (at < *end && q->row[at] != p->row)
            at++;
        if (at < *end)
            q->value[at] *= p->weight;
        if (next[r] == p->entries || p->entry[next[r]].column != column)
            continue;
        const int64_t over = p->entry[next[r]++].rise - threshold[r];
        if (over <= 0)
            continue;
        if (at == *end) {
            q->row[at] = p->row;
            q->value[at] = 0;
            ++*end;
        }
        q->value[at] += p->weight * over;
    }
    sort_entries(q, first, *end);
}

SearchProblem *protections_plain(const SearchProblem *p, const double *x)
{
    const Protections *all = p->protections;
    const size_t count = (size_t)all->count;
    int64_t *threshold = mem_new(count + 1, sizeof *threshold);
    int *next = mem_new(count + 1, sizeof *next);
    size_t entries = p->start[p->columns], end = 0;
    SearchProblem *q = problem_copy(p);
    for (size_t r = 0; r < count; r++) {
        const Protection *own = &all->row[r];
        threshold[r] = threshold_at(own, x);
        entries += (size_t)own->entries;
        if (q->row_high[own->row] != SEARCH_PLUS_INFINITY)
            q->row_high[own->row] = q->row_high[own->row] * own->weight - own->gamma * threshold[r];
    }
    q->row = mem_resize(q->row, entries + 1, sizeof *q->row);
    q->value = mem_resize(q->value, entries + 1, sizeof *q->value);
    for (int j = 0; j < p->columns; j++) {
        q->start[j] = end;
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            q->row[end] = p->row[k];
            q->value[end++] = p->value[k];
        }
        add_rises(q, all, threshold, j, next, &end);
    }
    q->start[p->columns] = end;
    protections_free(q->protections);
    q->protections = NULL;
    mem_free(threshold);
    mem_free(next);
    return q;
}

/* --- the compact form --- */

typedef struct {
    SearchProblem *q;
    size_t at;
    int column, row; /* the next new ones */
} Compact;

static void put(Compact *c, int row, int64_t value)
{
    if (value == 0)
        return;
    c->q->row[c->at] = row;
    c->q->value[c->at++] = value;
}

/* The factor of a row's entries: its weight, or 1. */
static int64_t factor_of(const Protections *protections, int row)
{
    for (int r = 0; r < protections->count; r++)
        if (protections->row[r].row == row)
            return protections->row[r].weight;
    return 1;
}

/* The columns of the problem. New rows are in the order of protections and their entries. */
static void fill_old_columns(Compact *c, const SearchProblem *p)
{
    const Protections *all = p->protections;
    int64_t *factor = mem_new((size_t)p->rows + 1, sizeof *factor);
    for (int i = 0; i < p->rows; i++)
        factor[i] = factor_of(all, i);
    for (int j = 0; j < p->columns; j++) {
        c->q->start[j] = c->at;
        size_t k = p->start[j];
        for (; k < p->start[j + 1]; k++)
            put(c, p->row[k], p->value[k] * factor[p->row[k]]);
        int row = p->rows;
        for (int r = 0; r < all->count; row += all->row[r++].entries) {
            const Protection *own = &all->row[r];
            if (own->threshold == j)
                put(c, own->row, own->gamma);
            for (int e = 0; e < own->entries; e++)
                put(c, row + e, own->threshold == j ? -1 : own->entry[e].column == j ? own->entry[e].rise : 0);
        }
    }
    for (int i = 0; i < p->rows; i++) {
        if (c->q->row_high[i] != SEARCH_PLUS_INFINITY)
            c->q->row_high[i] *= factor[i];
        if (c->q->row_low[i] != SEARCH_MINUS_INFINITY)
            c->q->row_low[i] *= factor[i];
    }
    mem_free(factor);
}

static void fill_new_columns(Compact *c, const SearchProblem *p)
{
    SearchProblem *q = c->q;
    for (int r = 0; r < p->protections->count; r++) {
        const Protection *own = &p->protections->row[r];
        for (int e = 0; e < own->entries; e++, c->column++, c->row++) {
            const int64_t high = p->high[own->entry[e].column];
            q->start[c->column] = c->at;
            q->kind[c->column] = SEARCH_CONTINUOUS;
            q->high[c->column] = own->entry[e].rise * (high > 0 ? high : 0);
            q->row_low[c->row] = SEARCH_MINUS_INFINITY;
            put(c, own->row, own->weight);
            put(c, c->row, -1);
        }
    }
    q->start[c->column] = c->at;
}

static void *longer(void *old, size_t had, size_t count, size_t size)
{
    char *grown = mem_resize(old, count + 1, size);
    memset(grown + had * size, 0, (count - had) * size);
    return grown;
}

SearchProblem *protections_compact(const SearchProblem *p)
{
    size_t more = 0;
    for (int r = 0; r < p->protections->count; r++)
        more += (size_t)p->protections->row[r].entries;
    SearchProblem *q = problem_copy(p);
    protections_free(q->protections);
    q->protections = NULL;
    const size_t n = (size_t)p->columns, m = (size_t)p->rows,
                 entries = p->start[n] + 4 * more + (size_t)p->protections->count;
    q->columns += (int)more;
    q->rows += (int)more;
    q->kind = longer(q->kind, n, n + more, sizeof *q->kind);
    q->objective = longer(q->objective, n, n + more, sizeof *q->objective);
    q->low = longer(q->low, n, n + more, sizeof *q->low);
    q->high = longer(q->high, n, n + more, sizeof *q->high);
    q->row_low = longer(q->row_low, m, m + more, sizeof *q->row_low);
    q->row_high = longer(q->row_high, m, m + more, sizeof *q->row_high);
    q->start = longer(q->start, n + 1, n + 1 + more, sizeof *q->start);
    mem_free(q->row);
    mem_free(q->value);
    q->row = mem_new(entries + 1, sizeof *q->row);
    q->value = mem_new(entries + 1, sizeof *q->value);
    Compact c = {.q = q, .column = p->columns, .row = p->rows};
    fill_old_columns(&c, p);
    fill_new_columns(&c, p);
    return q;
}

void protections_compact_point(const SearchProblem *p, const int64_t *x, int64_t *compact)
{
    memcpy(compact, x, (size_t)p->columns * sizeof *x);
    search_settle(p, compact);
    int column = p->columns;
    for (int r = 0; r < p->protections->count; r++) {
        const Protection *own = &p->protections->row[r];
        for (int e = 0; e < own->entries; e++, column++) {
            const int64_t over = own->entry[e].rise * x[own->entry[e].column] - compact[own->threshold];
            compact[column] = over > 0 ? over : 0;
        }
    }
}
