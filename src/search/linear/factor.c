/* factor.c - the explicit inverse of the tight rows' basis, and what is computed afresh from it.
 *
 * The inverse is dense, of as many rows as take part; a pivot changes it by the product form. It is rebuilt by bringing
 * the basic columns in one by one, each at the free position with the largest entry (Gauss-Jordan with partial
 * pivoting). */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/linear/simplex_inner.h"

#define SINGULAR 1e-8
#define LEAST_WEIGHT 1e-4

void simplex_make_room(Simplex *s, int rows)
{
    if (rows <= s->room)
        return;
    const int old = s->room;
    const size_t room = (size_t)rows + (size_t)rows / 2 + 16;
    double *inverse = mem_new(room * room, sizeof *inverse);
    for (int p = 0; p < s->k; p++)
        memcpy(inverse + (size_t)p * room, s->inverse + (size_t)p * (size_t)old, (size_t)s->k * sizeof *inverse);
    mem_free(s->inverse);
    s->inverse = inverse;
    s->room = (int)room;
    s->head = mem_resize(s->head, room, sizeof *s->head);
    s->row_at = mem_resize(s->row_at, room, sizeof *s->row_at);
    s->weight = mem_resize(s->weight, room, sizeof *s->weight);
    s->rho = mem_resize(s->rho, room, sizeof *s->rho);
    s->column = mem_resize(s->column, room, sizeof *s->column);
    s->tau = mem_resize(s->tau, room, sizeof *s->tau);
    s->moved = mem_resize(s->moved, room, sizeof *s->moved);
}

void simplex_ftran(const Simplex *s, int variable, double *result)
{
    const size_t room = (size_t)s->room;
    if (variable >= s->columns) {
        const int at = s->place[variable - s->columns];
        for (int p = 0; p < s->k; p++)
            result[p] = s->inverse[(size_t)p * room + (size_t)at];
        return;
    }
    const SearchProblem *m = &s->matrix->p;
    int entries = 0;
    for (size_t e = m->start[variable]; e < m->start[variable + 1]; e++) {
        const int at = s->place[m->row[e]];
        s->entry_at[entries] = at;
        s->entry[entries] = s->by_column[e];
        entries += at >= 0;
    }
    for (int p = 0; p < s->k; p++) {
        const double *row = s->inverse + (size_t)p * room;
        double sum = 0;
        for (int e = 0; e < entries; e++)
            sum += s->entry[e] * row[s->entry_at[e]];
        result[p] = sum;
    }
}

void simplex_product(Simplex *s, int position, const double *x, double *products)
{
    s->kernels->pivot(s->inverse, s->room, s->k, position, s->column, x, products);
}

static double activity(const Simplex *s, int row)
{
    const Matrix *m = s->matrix;
    double sum = 0;
    for (size_t e = m->row_start[row]; e < m->row_start[row + 1]; e++)
        sum += s->by_row[e] * s->x[m->column[e]];
    return sum;
}

void simplex_add_row(Simplex *s, int row)
{
    const Matrix *m = s->matrix;
    simplex_make_room(s, s->k + 1);
    const int at = s->k;
    const size_t room = (size_t)s->room;
    double *last = s->inverse + (size_t)at * room;
    memset(last, 0, ((size_t)at + 1) * sizeof *last);
    for (int p = 0; p < at; p++)
        s->inverse[(size_t)p * room + (size_t)at] = 0.0;
    for (int j = 0; j < at; j++)
        s->moved[j] = 0.0;
    /* the row's entries at basic columns, by position */
    for (int p = 0; p < at; p++)
        if (s->head[p] < s->columns)
            s->alpha[s->head[p]] = 0.0;
    for (size_t e = m->row_start[row]; e < m->row_start[row + 1]; e++)
        if (s->side[m->column[e]] == BASIC)
            s->alpha[m->column[e]] = s->by_row[e];
    for (int p = 0; p < at; p++) {
        const double a = s->head[p] < s->columns ? s->alpha[s->head[p]] : 0.0;
        if (a == 0.0)
            continue;
        s->kernels->subtract(last, s->inverse + (size_t)p * room, a, at);
    }
    last[at] = 1.0;
    double weight = 0;
    for (int r = 0; r <= at; r++)
        weight += last[r] * last[r];
    s->weight[at] = weight;
    s->head[at] = s->columns + row;
    s->row_at[at] = row;
    s->place[row] = at;
    s->side[s->columns + row] = BASIC;
    s->x[s->columns + row] = -activity(s, row);
    s->d[s->columns + row] = 0.0;
    s->k++;
}

static void compute_x(Simplex *s)
{
    const SearchProblem *m = &s->matrix->p;
    for (int r = 0; r < s->k; r++) {
        const int slack = s->columns + s->row_at[r];
        s->moved[r] = s->side[slack] == BASIC ? 0.0 : s->x[slack];
    }
    for (int j = 0; j < s->columns; j++)
        if (s->side[j] != BASIC && s->x[j] != 0.0)
            for (size_t e = m->start[j]; e < m->start[j + 1]; e++)
                if (s->place[m->row[e]] >= 0)
                    s->moved[s->place[m->row[e]]] += s->by_column[e] * s->x[j];
    s->kernels->products(s->inverse, s->room, s->k, s->moved, s->tau);
    for (int p = 0; p < s->k; p++)
        s->x[s->head[p]] = -s->tau[p];
}

void simplex_shift_basic(Simplex *s)
{
    s->kernels->products(s->inverse, s->room, s->k, s->moved, s->tau);
    for (int p = 0; p < s->k; p++)
        s->x[s->head[p]] -= s->tau[p];
}

static void choose_side(Simplex *s, int v)
{
    const bool has_low = s->low[v] > -INFINITY, has_high = s->high[v] < INFINITY;
    if (has_low && has_high) {
        if (s->d[v] > 0)
            s->side[v] = AT_HIGH;
        else if (s->d[v] < 0 || s->side[v] == FREE)
            s->side[v] = AT_LOW;
    } else {
        s->side[v] = has_low ? AT_LOW : has_high ? AT_HIGH : FREE;
        if ((has_low && s->d[v] > 0) || (has_high && s->d[v] < 0) || (!has_low && !has_high)) {
            s->c[v] -= s->d[v]; /* the cost is shifted so that the basis is dual feasible */
            s->d[v] = 0.0;
        }
    }
    s->x[v] = s->side[v] == AT_HIGH ? s->high[v] : s->side[v] == AT_LOW ? s->low[v] : 0.0;
    s->sign[v] = simplex_sign(s, v);
    s->value += s->d[v] * s->x[v];
}

static void compute_d(Simplex *s)
{
    const Matrix *m = s->matrix;
    for (int r = 0; r < s->k; r++)
        s->rho[r] = 0.0;
    for (int p = 0; p < s->k; p++) {
        const double c = s->c[s->head[p]];
        if (c == 0.0)
            continue;
        s->kernels->subtract(s->rho, s->inverse + (size_t)p * (size_t)s->room, -c, s->k);
    }
    memcpy(s->d, s->c, (size_t)s->columns * sizeof *s->d);
    for (int r = 0; r < s->k; r++) {
        const int i = s->row_at[r];
        s->d[s->columns + i] = s->c[s->columns + i] - s->rho[r];
        if (s->rho[r] != 0.0)
            for (size_t e = m->row_start[i]; e < m->row_start[i + 1]; e++)
                s->d[m->column[e]] -= s->rho[r] * s->by_row[e];
    }
    s->value = 0.0;
    for (int p = 0; p < s->k; p++)
        s->d[s->head[p]] = s->sign[s->head[p]] = 0.0;
    for (int j = 0; j < s->columns; j++)
        if (s->side[j] != BASIC)
            choose_side(s, j);
    for (int r = 0; r < s->k; r++)
        if (s->side[s->columns + s->row_at[r]] != BASIC)
            choose_side(s, s->columns + s->row_at[r]);
}

void simplex_clear_dirty(Simplex *s)
{
    for (int k = 0; k < s->dirty_count; k++)
        s->is_dirty[s->dirty[k]] = false;
    s->dirty_count = 0;
}

void simplex_take_in_bounds(Simplex *s)
{
    const SearchProblem *m = &s->matrix->p;
    bool any = false;
    for (int k = 0; k < s->dirty_count; k++) {
        const int j = s->dirty[k];
        if (s->side[j] == BASIC)
            continue;
        const double before = s->x[j];
        s->value -= s->d[j] * before;
        choose_side(s, j);
        const double step = s->x[j] - before;
        if (step == 0.0)
            continue;
        if (!any)
            memset(s->moved, 0, (size_t)s->k * sizeof *s->moved);
        any = true;
        for (size_t e = m->start[j]; e < m->start[j + 1]; e++)
            if (s->place[m->row[e]] >= 0)
                s->moved[s->place[m->row[e]]] += s->by_column[e] * step;
    }
    simplex_clear_dirty(s);
    if (any)
        simplex_shift_basic(s);
}

/* Tight rows first come in with their slacks basic; each basic column then takes the place of one. */
static int bring_in_columns(Simplex *s)
{
    bool *taken = mem_new((size_t)s->k + 1, sizeof *taken);
    int brought = 0;
    for (int j = 0; j < s->columns; j++) {
        if (s->side[j] != BASIC)
            continue;
        simplex_ftran(s, j, s->column);
        int best = -1;
        for (int p = 0; p < s->k; p++)
            if (!taken[p] && (best < 0 || fabs(s->column[p]) > fabs(s->column[best])))
                best = p;
        if (best < 0 || fabs(s->column[best]) < SINGULAR) {
            s->side[j] = AT_LOW;
            continue;
        }
        taken[best] = true;
        simplex_product(s, best, NULL, NULL);
        s->head[best] = j;
        brought++;
    }
    for (int p = 0; p < s->k; p++)
        s->side[s->head[p]] = BASIC; /* a tight row that found no column keeps its slack */
    mem_free(taken);
    return brought;
}

void simplex_refactor(Simplex *s)
{
    int tight = 0;
    for (int i = 0; i < s->rows; i++) {
        s->place[i] = -1;
        tight += s->side[s->columns + i] != BASIC;
    }
    simplex_make_room(s, tight);
    s->k = 0;
    for (int i = 0; i < s->rows; i++)
        if (s->side[s->columns + i] != BASIC) {
            s->row_at[s->k] = i;
            s->head[s->k] = s->columns + i;
            s->place[i] = s->k++;
        }
    for (int p = 0; p < s->k; p++) {
        double *row = s->inverse + (size_t)p * (size_t)s->room;
        memset(row, 0, (size_t)s->k * sizeof *row);
        row[p] = 1.0;
    }
    bring_in_columns(s);
    for (int p = 0; p < s->k; p++) {
        const double *row = s->inverse + (size_t)p * (size_t)s->room;
        double weight = 0;
        for (int r = 0; r < s->k; r++)
            weight += row[r] * row[r];
        s->weight[p] = weight > LEAST_WEIGHT ? weight : LEAST_WEIGHT;
    }
    compute_d(s);
    compute_x(s);
    simplex_clear_dirty(s);
    s->since_refactor = 0;
}
