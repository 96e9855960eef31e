/* load.c - the simplex's storage: made, loaded from the matrix, grown with it, freed. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/linear/simplex_inner.h"

#define PERTURBATION 1e-6
#define DENSE_SHARE 8 /* one entry in so many columns makes a row dense */

static double noise(int j)
{
    uint64_t z = (uint64_t)(j + 1) * UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z ^= z >> 27;
    return 0.5 + (double)(z >> 12) / (double)(UINT64_C(1) << 53); /* 0.5 to 1 */
}

double simplex_perturbed(const Simplex *s, int j)
{
    const int name = s->name != NULL ? s->name[j] : j;
    return s->cost[j] + PERTURBATION * noise(name) * (name % 2 == 0 ? 1.0 : -1.0);
}

static double power_of_two_near(double largest)
{
    int exponent = 0;
    frexp(largest, &exponent);
    return ldexp(1.0, -exponent);
}

/* Where a row has so many entries that adding its noughts, too, takes less time than to look where they are. */
static void load_dense_rows(Simplex *s)
{
    const Matrix *m = s->matrix;
    size_t dense = 0;
    for (int i = 0; i < s->rows; i++) {
        const size_t entries = m->row_start[i + 1] - m->row_start[i];
        s->dense_at[i] = entries * DENSE_SHARE >= (size_t)s->columns ? (int)dense++ : -1;
    }
    mem_free(s->dense);
    s->dense = mem_new(dense * (size_t)s->columns + 1, sizeof *s->dense);
    for (int i = 0; i < s->rows; i++)
        for (size_t e = m->row_start[i]; s->dense_at[i] >= 0 && e < m->row_start[i + 1]; e++)
            s->dense[(size_t)s->dense_at[i] * (size_t)s->columns + (size_t)m->column[e]] = s->by_row[e];
}

static void load_entries(Simplex *s)
{
    const Matrix *m = s->matrix;
    const size_t entries = m->p.start[m->p.columns];
    s->by_column = mem_resize(s->by_column, entries + 1, sizeof *s->by_column);
    s->by_row = mem_resize(s->by_row, entries + 1, sizeof *s->by_row);
    for (int i = 0; i < s->rows; i++)
        s->row_scale[i] = m->row_largest[i] > 0 ? power_of_two_near((double)m->row_largest[i]) : 1.0;
    for (size_t e = 0; e < entries; e++)
        s->by_column[e] = (double)m->p.value[e] * s->row_scale[m->p.row[e]];
    for (int i = 0; i < s->rows; i++)
        for (size_t e = m->row_start[i]; e < m->row_start[i + 1]; e++)
            s->by_row[e] = (double)m->row_value[e] * s->row_scale[i];
    load_dense_rows(s);
}

void simplex_load_costs(Simplex *s)
{
    double largest = 0;
    for (int j = 0; j < s->columns; j++)
        largest = fmax(largest, fabs((double)s->matrix->p.objective[j]));
    s->cost_scale = largest > 0 ? power_of_two_near(largest) : 1.0;
    for (int j = 0; j < s->columns; j++) {
        s->cost[j] = (double)s->matrix->p.objective[j] * s->cost_scale;
        s->c[j] = simplex_perturbed(s, j);
    }
}

void simplex_name_columns(Simplex *s, const int *name)
{
    s->name = name;
    simplex_load_costs(s);
}

/* What the row can come to in the matrix's box, added to *least and *most. */
static void add_reach(const Simplex *s, int row, double *least, double *most)
{
    const Matrix *m = s->matrix;
    for (size_t e = m->row_start[row]; e < m->row_start[row + 1]; e++) {
        const double low = s->by_row[e] * (double)m->p.low[m->column[e]],
                     high = s->by_row[e] * (double)m->p.high[m->column[e]];
        *least += low < high ? low : high;
        *most += low < high ? high : low;
    }
}

/* A side that is missing is set where the row can't come to, so that every slack is boxed and any basis can be made
 * dual feasible. Rows without sides keep none and never take part. */
void simplex_load_sides(Simplex *s, int first)
{
    const Matrix *m = s->matrix;
    for (int i = first; i < s->rows; i++) {
        const int v = s->columns + i;
        const bool has_low = m->p.row_low[i] != SEARCH_MINUS_INFINITY,
                   has_high = m->p.row_high[i] != SEARCH_PLUS_INFINITY;
        s->low[v] = -INFINITY;
        s->high[v] = INFINITY;
        if (!has_low && !has_high)
            continue;
        double least = -1.0, most = 1.0;
        add_reach(s, i, &least, &most);
        s->low[v] = has_high ? -(double)m->p.row_high[i] * s->row_scale[i] : -most;
        s->high[v] = has_low ? -(double)m->p.row_low[i] * s->row_scale[i] : -least;
    }
}

void simplex_bound_idle_rows(Simplex *s, const Basis *basis)
{
    const size_t *start = s->matrix->row_start;
    for (int k = 0; basis != NULL && k < basis->rows; k++) {
        const int i = basis->at[basis->columns + k], v = s->columns + i;
        if (i >= s->rows || start[i] == start[i + 1] || s->low[v] != -INFINITY || s->high[v] != INFINITY)
            continue;
        double least = 0, most = 0;
        add_reach(s, i, &least, &most);
        s->low[v] = -most;
        s->high[v] = -least;
    }
}

static void *longer(void *old, size_t had, size_t count, size_t size)
{
    char *grown = mem_resize(old, count + 1, size);
    memset(grown + had * size, 0, (count + 1 - had) * size);
    return grown;
}

/* Room for the matrix's rows, of which `old` had it, and for `had` columns and rows together. */
static void lengthen(Simplex *s, size_t old, size_t had)
{
    const size_t rows = (size_t)s->matrix->p.rows, all = (size_t)s->columns + rows;
    s->rows = s->matrix->p.rows;
    s->row_scale = longer(s->row_scale, old, rows, sizeof *s->row_scale);
    s->dense_at = longer(s->dense_at, old, rows, sizeof *s->dense_at);
    s->dense_row = longer(s->dense_row, old, rows, sizeof *s->dense_row);
    s->dense_factor = longer(s->dense_factor, old, rows, sizeof *s->dense_factor);
    s->entry_at = longer(s->entry_at, old, rows, sizeof *s->entry_at);
    s->entry = longer(s->entry, old, rows, sizeof *s->entry);
    s->place = longer(s->place, old, rows, sizeof *s->place);
    s->y = longer(s->y, old, rows, sizeof *s->y);
    s->c = longer(s->c, had, all, sizeof *s->c);
    s->low = longer(s->low, had, all, sizeof *s->low);
    s->high = longer(s->high, had, all, sizeof *s->high);
    s->x = longer(s->x, had, all, sizeof *s->x);
    s->d = longer(s->d, had, all, sizeof *s->d);
    s->side = longer(s->side, had, all, sizeof *s->side);
    s->sign = longer(s->sign, had, all, sizeof *s->sign);
    s->alpha = longer(s->alpha, had, all, sizeof *s->alpha);
    s->heap = longer(s->heap, had, all, sizeof *s->heap);
    s->ratio = longer(s->ratio, had, all, sizeof *s->ratio);
    s->passed = longer(s->passed, had, all, sizeof *s->passed);
}

Simplex *simplex_new(const Matrix *matrix)
{
    Simplex *s = mem_new(1, sizeof *s);
    s->matrix = matrix;
    s->columns = matrix->p.columns;
    s->kernels = kernels_for_this_processor();
    s->cost = mem_new((size_t)s->columns + 1, sizeof *s->cost);
    s->dirty = mem_new((size_t)s->columns + 1, sizeof *s->dirty);
    s->is_dirty = mem_new((size_t)s->columns + 1, sizeof *s->is_dirty);
    lengthen(s, 0, 0);
    simplex_make_room(s, 16);
    load_entries(s);
    simplex_load_costs(s);
    simplex_box(s, matrix->p.low, matrix->p.high);
    simplex_load_sides(s, 0);
    simplex_start_from(s, NULL);
    return s;
}

void simplex_grow(Simplex *s)
{
    const int before = s->rows;
    lengthen(s, (size_t)before, (size_t)s->columns + (size_t)before);
    load_entries(s);
    simplex_load_sides(s, before);
    for (int i = before; i < s->rows; i++) {
        s->side[s->columns + i] = BASIC;
        s->place[i] = -1;
    }
}

void simplex_free(Simplex *s)
{
    if (!s)
        return;
    void *const all[] = {s->row_scale,
                         s->by_column,
                         s->by_row,
                         s->cost,
                         s->c,
                         s->low,
                         s->high,
                         s->x,
                         s->d,
                         s->side,
                         s->sign,
                         s->dense,
                         s->dense_at,
                         (void *)s->dense_row,
                         s->dense_factor,
                         s->entry_at,
                         s->entry,
                         s->dirty,
                         s->is_dirty,
                         s->head,
                         s->row_at,
                         s->place,
                         s->inverse,
                         s->weight,
                         s->rho,
                         s->column,
                         s->tau,
                         s->moved,
                         s->alpha,
                         s->y,
                         s->heap,
                         s->ratio,
                         s->passed};
    for (size_t k = 0; k < sizeof all / sizeof *all; k++)
        mem_free(all[k]);
    mem_free(s);
}
