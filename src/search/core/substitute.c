/* substitute.c - fewer columns and no tight equality per card where each chosen card is given one of several places.
 *
 * With x = z1 + z2 + ... the relaxation is the same, but the row need only be looked at when x's bounds are broken, the
 * basis is smaller by one for every such card, and a swap is two columns instead of four. All in integers; the points
 * of the two problems correspond one to one. */
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/sort.h"
#include "search/linear/matrix.h"
#include "search/risk/protection.h"
#include "search/core/substitute.h"

#define MOST_TERMS 12

/* The column of row i that equals the sum of the others, or -1. */
static int sum_column(const Matrix *m, const SearchProblem *p, int i)
{
    const size_t from = m->row_start[i], to = m->row_start[i + 1];
    if (p->row_low[i] != 0 || p->row_high[i] != 0 || to - from < 3 || to - from > MOST_TERMS + 1)
        return -1;
    const int64_t size = llabs((long long)m->row_value[from]);
    int positive = 0, last[2] = {-1, -1};
    for (size_t k = from; k < to; k++) {
        const int64_t a = m->row_value[k];
        if (llabs((long long)a) != size)
            return -1;
        positive += a > 0;
        last[a > 0] = m->column[k];
    }
    const int negative = (int)(to - from) - positive;
    return positive == 1 ? last[1] : negative == 1 ? last[0] : -1;
}

static bool usable(const Matrix *m, const SearchProblem *p, int i, int x, const int *by_row, const bool *term)
{
    if (by_row[x] >= 0 || term[x] || p->low[x] > p->high[x])
        return false;
    for (size_t k = m->row_start[i]; k < m->row_start[i + 1]; k++) {
        const int z = m->column[k];
        if (z != x && (by_row[z] >= 0 || (p->kind[z] == SEARCH_CONTINUOUS && p->kind[x] != SEARCH_CONTINUOUS)))
            return false;
    }
    return true;
}

static int choose(const Matrix *m, const SearchProblem *p, int *by_row)
{
    bool *term = mem_new((size_t)p->columns + 1, sizeof *term);
    int chosen = 0;
    if (p->protections != NULL) /* what may rise rises as a whole */
        protections_mark_columns(p->protections, term);
    for (int j = 0; j < p->columns; j++)
        by_row[j] = -1;
    for (int i = 0; i < p->rows; i++) {
        const int x = sum_column(m, p, i);
        if (x < 0 || !usable(m, p, i, x, by_row, term))
            continue;
        by_row[x] = i;
        chosen++;
        for (size_t k = m->row_start[i]; k < m->row_start[i + 1]; k++)
            term[m->column[k]] = true;
    }
    mem_free(term);
    return chosen;
}

typedef struct {
    int64_t *sum; /* [rows] */
    bool *seen;   /* [rows] */
    int *touched;
    int count;
} Gather;

static void add(Gather *g, const SearchProblem *p, int column, int except)
{
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++) {
        const int i = p->row[k];
        if (i == except)
            continue;
        if (!g->seen[i]) {
            g->seen[i] = true;
            g->touched[g->count++] = i;
        }
        g->sum[i] += p->value[k];
    }
}

static int by_number(const void *a, const void *b)
{
    return *(const int *)a - *(const int *)b;
}

/* Columns of the new problem: each term takes over what its sums have. */
static void fill(SearchProblem *q, const SearchProblem *p, const Matrix *m, const int *by_row)
{
    const size_t rows = (size_t)p->rows + 1;
    Gather g = {mem_new(rows, sizeof(int64_t)), mem_new(rows, sizeof(bool)), mem_new(rows, sizeof(int)), 0};
    size_t at = 0, row_capacity = 0, value_capacity = 0;
    q->row = NULL;
    q->value = NULL;
    int **owner = mem_new((size_t)p->columns + 1, sizeof *owner);
    int *owners = mem_new((size_t)p->columns + 1, sizeof *owners);
    for (int x = 0; x < p->columns; x++)
        for (size_t k = by_row[x] >= 0 ? m->row_start[by_row[x]] : 0; by_row[x] >= 0 && k < m->row_start[by_row[x] + 1];
             k++) {
            const int z = m->column[k];
            if (z == x)
                continue;
            owner[z] = mem_resize(owner[z], (size_t)owners[z] + 1, sizeof **owner);
            owner[z][owners[z]++] = x;
        }
    for (int j = 0; j < p->columns; j++) {
        q->start[j] = at;
        g.count = 0;
        if (by_row[j] < 0)
            add(&g, p, j, -1);
        for (int k = 0; k < owners[j]; k++) {
            q->objective[j] += p->objective[owner[j][k]];
            add(&g, p, owner[j][k], by_row[owner[j][k]]);
        }
        sort_stable(g.touched, (size_t)g.count, sizeof *g.touched, by_number);
        mem_reserve((void **)&q->row, &row_capacity, at + (size_t)g.count + 1, sizeof *q->row);
        mem_reserve((void **)&q->value, &value_capacity, at + (size_t)g.count + 1, sizeof *q->value);
        for (int k = 0; k < g.count; k++) {
            const int i = g.touched[k];
            if (g.sum[i] != 0) {
                q->row[at] = i;
                q->value[at++] = g.sum[i];
            }
            g.sum[i] = 0;
            g.seen[i] = false;
        }
        mem_free(owner[j]);
    }
    q->start[p->columns] = at;
    mem_free(owner);
    mem_free(owners);
    mem_free(g.sum);
    mem_free(g.seen);
    mem_free(g.touched);
}

static int64_t coefficient(const SearchProblem *p, int column, int row)
{
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++)
        if (p->row[k] == row)
            return p->value[k];
    return 0;
}

static bool has_sums(const SearchProblem *p)
{
    for (int i = 0; i < p->rows; i++)
        if (p->row_low[i] == 0 && p->row_high[i] == 0)
            return true;
    return false;
}

SearchProblem *substitute(const SearchProblem *p, int *by_row)
{
    Matrix m;
    if (!has_sums(p))
        return NULL;
    matrix_init(&m, p);
    SearchProblem *q = NULL;
    if (choose(&m, p, by_row) > 0) {
        q = problem_copy(p);
        mem_free(q->row);
        mem_free(q->value);
        fill(q, p, &m, by_row);
        for (int x = 0; x < p->columns; x++) {
            if (by_row[x] < 0)
                continue;
            const int64_t a = -coefficient(p, x, by_row[x]), low = a * p->low[x], high = a * p->high[x];
            q->row_low[by_row[x]] = low < high ? low : high;
            q->row_high[by_row[x]] = low < high ? high : low;
            q->low[x] = q->high[x] = q->objective[x] = 0;
        }
    }
    matrix_release(&m);
    return q;
}

void substitute_into(const SearchProblem *p, const int *by_row, int64_t *x)
{
    for (int j = 0; j < p->columns; j++)
        if (by_row[j] >= 0)
            x[j] = 0;
}

void substitute_back(const SearchProblem *p, const int *by_row, int64_t *x)
{
    int *column = mem_new((size_t)p->rows + 1, sizeof *column);
    for (int i = 0; i < p->rows; i++)
        column[i] = -1;
    for (int j = 0; j < p->columns; j++)
        if (by_row[j] >= 0)
            column[by_row[j]] = j;
    for (int z = 0; z < p->columns; z++)
        for (size_t k = p->start[z]; by_row[z] < 0 && x[z] != 0 && k < p->start[z + 1]; k++)
            if (column[p->row[k]] >= 0)
                x[column[p->row[k]]] += x[z];
    mem_free(column);
}
