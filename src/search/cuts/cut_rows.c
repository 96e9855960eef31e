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

SearchProblem *cut_rows_change(const SearchProblem *p, const CutPool *pool, int first, const bool *drop)
{
    int *number = mem_new((size_t)p->rows + 1, sizeof *number), rows = 0;
    for (int i = 0; i < p->rows; i++)
        number[i] = i >= first && drop != NULL && drop[i] ? -1 : rows++;
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

bool matrix_replace(Matrix *matrix, SearchProblem *problem, int first)
{
    const bool good = search_problem_trouble(problem) == NULL;
    if (good) {
        Matrix fresh;
        matrix_init(&fresh, problem);
        for (int i = 0; i < first; i++)
            fresh.divisor[i] *= matrix->divisor[i];
        matrix_release(matrix);
        *matrix = fresh;
    }
    problem_free(problem);
    return good;
}
