/* cut_rows.c - see cut_rows.h. */
#include "search/cuts/cut_rows.h"
#include "search/risk/protection.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/sort.h"

#define MOST_CUTS_A_ROUND 60
#define PARALLEL 0.95

static int by_efficacy(const void *a, const void *b)
{
    const Cut *x = a, *y = b;
    if (x->efficacy != y->efficacy)
        return x->efficacy < y->efficacy ? 1 : -1;
    if (x->count != y->count)
        return x->count > y->count ? 1 : -1;
    const int columns = memcmp(x->column, y->column, x->count * sizeof *x->column);
    return columns != 0 ? columns : memcmp(x->value, y->value, x->count * sizeof *x->value);
}

static double length(const Cut *cut)
{
    double sum = 0;
    for (size_t k = 0; k < cut->count; k++)
        sum += (double)cut->value[k] * (double)cut->value[k];
    return sqrt(sum);
}

static void spread(const Cut *cut, double *dense, bool clear)
{
    for (size_t k = 0; k < cut->count; k++)
        dense[cut->column[k]] = clear ? 0.0 : (double)cut->value[k];
}

static double product(const Cut *cut, const double *dense)
{
    double sum = 0;
    for (size_t k = 0; k < cut->count; k++)
        sum += (double)cut->value[k] * dense[cut->column[k]];
    return sum;
}

void cut_pool_choose(CutPool *pool, int columns)
{
    size_t kept = 0;
    double kept_length[MOST_CUTS_A_ROUND], *dense = mem_new((size_t)columns + 1, sizeof *dense);
    sort_stable(pool->cut, pool->count, sizeof *pool->cut, by_efficacy);
    for (size_t k = 0; k < pool->count; k++) {
        const Cut cut = pool->cut[k];
        const double own = length(&cut);
        bool good = kept < MOST_CUTS_A_ROUND;
        if (good)
            spread(&cut, dense, false);
        for (size_t i = 0; good && i < kept; i++)
            good = product(&pool->cut[i], dense) < PARALLEL * own * kept_length[i];
        if (kept < MOST_CUTS_A_ROUND)
            spread(&cut, dense, true);
        pool->cut[k] = (Cut){0};
        if (good) {
            kept_length[kept] = own;
            pool->cut[kept++] = cut;
        } else {
            Cut left_out = cut;
            cut_release(&left_out);
        }
    }
    pool->count = kept;
    mem_free(dense);
}

SearchProblem *cut_rows_change(const SearchProblem *p, const CutPool *pool, const bool *drop)
{
    int *number = mem_new((size_t)p->rows + 1, sizeof *number), rows = 0;
    for (int i = 0; i < p->rows; i++)
        number[i] = drop != NULL && drop[i] ? -1 : rows++;
    const size_t added = pool != NULL ? pool->count : 0, all = (size_t)rows + added;
    size_t entries = p->start[p->columns];
    for (size_t c = 0; c < added; c++)
        entries += pool->cut[c].count;
    SearchProblem *q = problem_copy(p);
    mem_free(q->row);
    mem_free(q->value);
    q->row = mem_new(entries + 1, sizeof *q->row);
    q->value = mem_new(entries + 1, sizeof *q->value);
    q->row_low = mem_resize(q->row_low, all + (size_t)p->rows + 1, sizeof *q->row_low);
    q->row_high = mem_resize(q->row_high, all + (size_t)p->rows + 1, sizeof *q->row_high);
    for (int i = 0; i < p->rows; i++)
        if (number[i] >= 0) {
            q->row_low[number[i]] = p->row_low[i];
            q->row_high[number[i]] = p->row_high[i];
        }
    for (size_t c = 0; c < added; c++) {
        q->row_low[(size_t)rows + c] = SEARCH_MINUS_INFINITY;
        q->row_high[(size_t)rows + c] = pool->cut[c].high;
    }
    size_t *next = mem_new(added + 1, sizeof *next), at = 0;
    for (int j = 0; j < p->columns; j++) {
        q->start[j] = at;
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            if (number[p->row[k]] < 0)
                continue;
            q->row[at] = number[p->row[k]];
            q->value[at++] = p->value[k];
        }
        for (size_t c = 0; c < added; c++) {
            const Cut *cut = &pool->cut[c];
            if (next[c] == cut->count || cut->column[next[c]] != j)
                continue;
            q->row[at] = rows + (int)c;
            q->value[at++] = cut->value[next[c]++];
        }
    }
    q->start[p->columns] = at;
    q->rows = (int)all;
    if (q->protections != NULL)
        protections_renumber(q->protections, number);
    mem_free(next);
    mem_free(number);
    return q;
}

bool matrix_change_rows(Matrix *matrix, const CutPool *pool, const bool *drop)
{
    SearchProblem *problem = cut_rows_change(&matrix->p, pool, drop);
    const bool good = search_problem_trouble(problem) == NULL;
    if (good) {
        Matrix fresh;
        matrix_init(&fresh, problem);
        for (int i = 0, now = 0; i < matrix->p.rows; i++)
            if (drop == NULL || !drop[i])
                fresh.divisor[now++] *= matrix->divisor[i];
        matrix_release(matrix);
        *matrix = fresh;
    }
    problem_free(problem);
    return good;
}

static bool is_exact(const SearchProblem *p, const Cut *cut)
{
    int128 sum = 0;
    for (size_t k = 0; k < cut->count; k++) {
        if (magnitude64(cut->value[k]) > MATRIX_LARGEST)
            return false;
        sum += (int128)magnitude64(cut->value[k]) * problem_reach(p, cut->column[k]);
    }
    return sum <= MATRIX_LARGEST_SUM && magnitude64(cut->high) <= MATRIX_LARGEST_SUM;
}

/* The columns' entries move apart, from the last on, and those of the cuts come behind them. */
static void append_by_column(SearchProblem *p, const CutPool *pool, const int64_t *divisor, size_t entries)
{
    size_t *left = mem_new(pool->count + 1, sizeof *left), end = p->start[p->columns], at = end + entries;
    p->row = mem_resize(p->row, at + 1, sizeof *p->row);
    p->value = mem_resize(p->value, at + 1, sizeof *p->value);
    for (size_t c = 0; c < pool->count; c++)
        left[c] = pool->cut[c].count;
    for (int j = p->columns - 1; j >= 0; j--) {
        const size_t start = p->start[j];
        p->start[j + 1] = at;
        for (size_t c = pool->count; c-- > 0;) {
            const Cut *cut = &pool->cut[c];
            if (left[c] == 0 || cut->column[left[c] - 1] != j)
                continue;
            left[c]--;
            p->row[--at] = p->rows + (int)c;
            p->value[at] = cut->value[left[c]] / divisor[c];
        }
        at -= end - start;
        memmove(p->row + at, p->row + start, (end - start) * sizeof *p->row);
        memmove(p->value + at, p->value + start, (end - start) * sizeof *p->value);
        end = start;
    }
    mem_free(left);
}

static void append_by_row(Matrix *m, const CutPool *pool, const int64_t *divisor, size_t entries)
{
    SearchProblem *p = &m->p;
    const size_t rows = (size_t)p->rows + pool->count;
    size_t at = m->row_start[p->rows];
    m->row_start = mem_resize(m->row_start, rows + 2, sizeof *m->row_start);
    m->column = mem_resize(m->column, at + entries + 1, sizeof *m->column);
    m->row_value = mem_resize(m->row_value, at + entries + 1, sizeof *m->row_value);
    m->divisor = mem_resize(m->divisor, rows + 1, sizeof *m->divisor);
    m->row_largest = mem_resize(m->row_largest, rows + 1, sizeof *m->row_largest);
    p->row_low = mem_resize(p->row_low, rows + 1, sizeof *p->row_low);
    p->row_high = mem_resize(p->row_high, rows + 1, sizeof *p->row_high);
    for (size_t c = 0; c < pool->count; c++) {
        const Cut *cut = &pool->cut[c];
        const int i = p->rows + (int)c;
        m->row_largest[i] = 0;
        for (size_t k = 0; k < cut->count; k++, at++) {
            const int64_t value = cut->value[k] / divisor[c];
            m->column[at] = cut->column[k];
            m->row_value[at] = value;
            m->row_largest[i] = magnitude64(value) > m->row_largest[i] ? magnitude64(value) : m->row_largest[i];
        }
        m->divisor[i] = divisor[c];
        m->row_start[i + 1] = at;
        p->row_low[i] = SEARCH_MINUS_INFINITY;
        p->row_high[i] = (int64_t)floor_div(cut->high, divisor[c]);
    }
    p->rows = (int)rows;
}

bool matrix_append(Matrix *matrix, const CutPool *pool)
{
    SearchProblem *p = &matrix->p;
    if (pool->count == 0 || p->rows + (int)pool->count > MATRIX_MOST_ROWS)
        return false;
    int64_t *divisor = mem_new(pool->count + 1, sizeof *divisor);
    size_t entries = 0;
    bool good = true;
    for (size_t c = 0; c < pool->count && good; c++) {
        const Cut *cut = &pool->cut[c];
        good = is_exact(p, cut);
        entries += cut->count;
        for (size_t k = 0; k < cut->count; k++)
            divisor[c] = gcd64(divisor[c], magnitude64(cut->value[k]));
        divisor[c] = divisor[c] > 0 ? divisor[c] : 1;
    }
    if (good) {
        append_by_column(p, pool, divisor, entries);
        append_by_row(matrix, pool, divisor, entries);
    }
    mem_free(divisor);
    return good;
}
