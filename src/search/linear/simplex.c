/* simplex.c - the bounded dual simplex: pivoting, warm starts, rows taken in when violated.
 *
 * Maximise c x with A x + s = 0. Every pivot: the basic variable with the largest squared violation over its
 * steepest-edge weight leaves; the row of the tableau is made from the non-zeros of one row of the inverse; the ratio
 * test passes breakpoints while the dual value still falls, flipping the columns passed to their other side, and
 * prefers large pivots among the last ones passed; x, d, weights and the inverse are updated. Costs are perturbed by a
 * fixed amount per column against ties. When no breakpoint stops the step, the row of the inverse is a Farkas ray.
 * Sources: J. J. Forrest and D. Goldfarb, "Steepest-edge simplex algorithms for linear programming", Mathematical
 * Programming 57, 1992; I. Maros, "A generalized dual phase-2 simplex algorithm", European J. of Operational Research
 * 149, 2003; A. Koberstein, "The dual simplex method, techniques for a fast and stable implementation", thesis,
 * Paderborn, 2005. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/linear/simplex_inner.h"

#define FEASIBLE 1e-8
#define PIVOT 1e-9 /* smaller entries of the tableau's row never stop a step */
#define GOOD_PIVOT 1e-5
#define NEAR 1e-6 /* breakpoints this close count as ties */
#define REFACTOR_EVERY 120
#define DRIFT 1e-6
#define ROWS_AT_ONCE 40
#define LOOSE_SHARE 8 /* with more than one in so many rows loose, a start is made without them */
#define LEAST_WEIGHT 1e-4

void simplex_box_column(Simplex *s, int column, int64_t low, int64_t high)
{
    if (s->low[column] == (double)low && s->high[column] == (double)high)
        return;
    s->low[column] = (double)low;
    s->high[column] = (double)high;
    if (!s->is_dirty[column])
        s->dirty[s->dirty_count++] = column;
    s->is_dirty[column] = true;
}

void simplex_box(Simplex *s, const int64_t *low, const int64_t *high)
{
    for (int j = 0; j < s->columns; j++)
        simplex_box_column(s, j, low[j], high[j]);
}

void simplex_reload(Simplex *s)
{
    simplex_load_costs(s);
    memset(s->c + s->columns, 0, (size_t)s->rows * sizeof *s->c);
    simplex_box(s, s->matrix->p.low, s->matrix->p.high);
    simplex_load_sides(s, 0);
    for (int v = s->columns; v < s->columns + s->rows; v++) /* a row without sides can't be tight */
        if (s->low[v] == -INFINITY && s->high[v] == INFINITY)
            s->side[v] = BASIC;
    simplex_refactor(s);
}

/* --- one pivot --- */

static double violation(const Simplex *s, int v)
{
    if (s->x[v] < s->low[v])
        return s->x[v] - s->low[v];
    return s->x[v] > s->high[v] ? s->x[v] - s->high[v] : 0.0;
}

static int leaving_position(const Simplex *s)
{
    int best = -1;
    double best_score = -1.0;
    for (int p = 0; p < s->k; p++) {
        const double off = violation(s, s->head[p]);
        if (fabs(off) <= FEASIBLE)
            continue;
        const double score = off * off / s->weight[p];
        if (score > best_score) {
            best_score = score;
            best = p;
        }
    }
    return best;
}

static void tableau_row(Simplex *s, int position)
{
    const Matrix *m = s->matrix;
    memcpy(s->rho, s->inverse + (size_t)position * (size_t)s->room, (size_t)s->k * sizeof *s->rho);
    memset(s->alpha, 0, (size_t)s->columns * sizeof *s->alpha);
    int dense = 0;
    for (int r = 0; r < s->k; r++) {
        const double a = s->rho[r];
        const int i = s->row_at[r];
        s->alpha[s->columns + i] = a;
        if (fabs(a) < 1e-13)
            continue;
        if (s->dense_at[i] >= 0) {
            s->dense_row[dense] = s->dense + (size_t)s->dense_at[i] * (size_t)s->columns;
            s->dense_factor[dense++] = a;
            continue;
        }
        const double *value = s->by_row;
        const int *column = m->column;
        for (size_t e = m->row_start[i]; e < m->row_start[i + 1]; e++)
            s->alpha[column[e]] += a * value[e];
    }
    s->kernels->add_rows(s->alpha, s->dense_row, s->dense_factor, dense, s->columns);
}

static void sift_down(Simplex *s, int count, int at)
{
    const int moving = s->heap[at];
    const double key = s->ratio[moving];
    for (;;) {
        int child = 2 * at + 1;
        if (child >= count)
            break;
        if (child + 1 < count && s->ratio[s->heap[child + 1]] < s->ratio[s->heap[child]])
            child++;
        if (s->ratio[s->heap[child]] >= key)
            break;
        s->heap[at] = s->heap[child];
        at = child;
    }
    s->heap[at] = moving;
}

static bool stops(const Simplex *s, int v, double sign)
{
    const double a = sign * s->alpha[v];
    if (fabs(a) < PIVOT || s->side[v] == BASIC || s->low[v] == s->high[v])
        return false;
    return s->side[v] == FREE || (s->side[v] == AT_LOW ? a < 0 : a > 0);
}

/* Fills the heap with the breakpoints that can matter: a single one that would use up the slope bounds all others. */
static int gather(Simplex *s, double sign, double slope)
{
    int found = s->kernels->greater(s->alpha, s->sign, sign, PIVOT, s->columns, s->passed), count = 0;
    double end = INFINITY;
    for (int r = 0; r < s->k; r++) {
        const int v = s->columns + s->row_at[r];
        s->passed[found] = v;
        found += stops(s, v, sign);
    }
    for (int k = 0; k < found; k++) {
        const int v = s->passed[k];
        const double size = fabs(s->alpha[v]), d = fabs(s->d[v]);
        if (d > end * size)
            continue;
        s->ratio[v] = d / size;
        s->heap[count++] = v;
        if (size * (s->high[v] - s->low[v]) >= slope && s->ratio[v] + NEAR < end)
            end = s->ratio[v] + NEAR;
    }
    for (int at = count / 2 - 1; at >= 0; at--)
        sift_down(s, count, at);
    return count;
}

/* Passes breakpoints while the slope stays positive. Returns which of `passed` enters (-1: nothing stops the step); the
 * first *flips of them change sides. Near ties after the breakpoint that turns the slope may enter too, being larger
 * pivots, but do not make it flip. */
static int ratio_test(Simplex *s, double sign, double slope, int *flips)
{
    int count = gather(s, sign, slope), passed = 0, turned = -1;
    double margin = 0, end = INFINITY;
    while (count > 0) {
        const int v = s->heap[0];
        if (s->ratio[v] > end)
            break;
        s->heap[0] = s->heap[--count];
        if (count > 0)
            sift_down(s, count, 0);
        s->passed[passed++] = v;
        slope -= fabs(s->alpha[v]) * (s->high[v] - s->low[v]);
        if (!(slope > 0) && turned < 0) {
            turned = passed - 1;
            margin = 1e-9 / fabs(s->alpha[v]);
            end = s->ratio[v] + (margin < NEAR ? margin : NEAR); /* near ties may be the better pivot */
        }
    }
    if (turned < 0)
        return -1;
    int largest = passed - 1;
    for (int at = passed - 1; at >= 0; at--) {
        if (fabs(s->alpha[s->passed[at]]) > fabs(s->alpha[s->passed[largest]]))
            largest = at;
        if (fabs(s->alpha[s->passed[largest]]) >= GOOD_PIVOT && at <= turned)
            break;
    }
    *flips = largest < turned ? largest : turned;
    return largest;
}

/* The dual value once passed[chosen] enters and the first `flips` have changed sides; slope: by how much the row that
 * leaves is violated. */
static double value_after(const Simplex *s, double slope, int chosen, int flips)
{
    double value = s->value, from = 0;
    for (int at = 0; at <= chosen; at++) {
        const int v = s->passed[at];
        if (at > flips && at < chosen)
            continue;
        value -= slope * (s->ratio[v] - from);
        from = s->ratio[v];
        slope -= fabs(s->alpha[v]) * (s->high[v] - s->low[v]);
    }
    return value;
}

static void flip(Simplex *s, int count)
{
    const SearchProblem *m = &s->matrix->p;
    memset(s->moved, 0, (size_t)s->k * sizeof *s->moved);
    for (int at = 0; at < count; at++) {
        const int v = s->passed[at];
        const double to = s->side[v] == AT_LOW ? s->high[v] : s->low[v], step = to - s->x[v];
        s->side[v] = s->side[v] == AT_LOW ? AT_HIGH : AT_LOW;
        s->sign[v] = -s->sign[v];
        s->x[v] = to;
        if (v >= s->columns) {
            s->moved[s->place[v - s->columns]] += step;
            continue;
        }
        for (size_t e = m->start[v]; e < m->start[v + 1]; e++)
            if (s->place[m->row[e]] >= 0)
                s->moved[s->place[m->row[e]]] += s->by_column[e] * step;
    }
    simplex_shift_basic(s);
}

/* tau: the inverse before the pivot times its row that left. */
static void update_weights(Simplex *s, int position)
{
    const double pivot = s->column[position];
    double own = 0; /* afresh: errors in it would grow from pivot to pivot */
    for (int r = 0; r < s->k; r++)
        own += s->rho[r] * s->rho[r];
    for (int p = 0; p < s->k; p++) {
        if (p == position || fabs(s->column[p]) < NEXT_TO_NOTHING)
            continue;
        const double f = s->column[p] / pivot, w = s->weight[p] - 2.0 * f * s->tau[p] + f * f * own;
        s->weight[p] = w > LEAST_WEIGHT ? w : LEAST_WEIGHT;
    }
    const double w = own / (pivot * pivot);
    s->weight[position] = w > LEAST_WEIGHT ? w : LEAST_WEIGHT;
}

/* Signs that rounding turns are shifted away, so that the next ratio test sees a dual feasible basis. */
static void update_d(Simplex *s, int entering, double step)
{
    const int turned = s->kernels->subtract_and_list(s->d, s->alpha, step, s->sign, s->columns, s->heap);
    for (int k = 0; k < turned; k++) {
        s->c[s->heap[k]] -= s->d[s->heap[k]];
        s->d[s->heap[k]] = 0.0;
    }
    for (int r = 0; r < s->k; r++) {
        const int v = s->columns + s->row_at[r];
        if (s->side[v] == BASIC)
            continue;
        s->d[v] -= step * s->alpha[v];
        if (s->d[v] * s->sign[v] < 0) {
            s->c[v] -= s->d[v];
            s->d[v] = 0.0;
        }
    }
    s->d[entering] = 0.0;
}

typedef enum { PIVOTED, NO_VIOLATION, RAY, DOUBTFUL } Step;

static Step pivot(Simplex *s)
{
    const int position = leaving_position(s);
    if (position < 0)
        return NO_VIOLATION;
    const int leaving = s->head[position];
    const double off = violation(s, leaving), sign = off < 0 ? 1.0 : -1.0;
    tableau_row(s, position);
    int flips = 0;
    const int chosen = ratio_test(s, sign, fabs(off), &flips);
    if (chosen < 0) {
        s->have_ray = true;
        for (int r = 0; r < s->k; r++)
            s->tau[r] = sign * s->rho[r];
        return RAY;
    }
    const int entering = s->passed[chosen];
    simplex_ftran(s, entering, s->column);
    const double alpha = s->column[position];
    if (fabs(alpha) < PIVOT || fabs(alpha - s->alpha[entering]) > DRIFT * (1.0 + fabs(alpha)))
        return DOUBTFUL;
    s->value = value_after(s, fabs(off), chosen, flips);
    if (flips > 0)
        flip(s, flips);
    const double step = s->d[entering] / alpha, bound = sign > 0 ? s->low[leaving] : s->high[leaving];
    const double move = (s->x[leaving] - bound) / alpha;
    s->sign[entering] = 0.0;
    update_d(s, entering, step);
    for (int p = 0; p < s->k; p++)
        s->x[s->head[p]] -= move * s->column[p];
    s->x[entering] += move;
    s->x[leaving] = bound;
    s->d[leaving] = -step;
    s->side[leaving] = sign > 0 ? AT_LOW : AT_HIGH;
    s->sign[leaving] = simplex_sign(s, leaving);
    s->side[entering] = BASIC;
    s->head[position] = entering;
    simplex_product(s, position, s->rho, s->tau);
    update_weights(s, position);
    s->pivots++;
    s->since_refactor++;
    return PIVOTED;
}

void simplex_first_falls(Simplex *s, int column, double fall[2])
{
    int position = 0;
    while (position < s->k && s->head[position] != column)
        position++;
    fall[0] = fall[1] = 0.0;
    if (position == s->k)
        return;
    tableau_row(s, position);
    for (int up = 0; up < 2; up++) {
        const double down = s->x[column] - floor(s->x[column]), off = up ? 1.0 - down : down;
        int flips = 0;
        const int chosen = ratio_test(s, up ? 1.0 : -1.0, off, &flips);
        fall[up] = chosen < 0 ? INFINITY : (s->value - value_after(s, off, chosen, flips)) / s->cost_scale;
    }
}

/* --- solving --- */

/* Of all rows, in y: by columns, of which few are off zero (rows that hold in all pools may have many entries). */
static void find_activities(Simplex *s)
{
    const Matrix *m = s->matrix;
    memset(s->y, 0, (size_t)s->rows * sizeof *s->y);
    for (int j = 0; j < s->columns; j++) {
        const double x = s->x[j];
        for (size_t e = m->p.start[j]; x != 0.0 && e < m->p.start[j + 1]; e++)
            s->y[m->p.row[e]] += s->by_column[e] * x;
    }
}

/* Takes in the most violated of the rows that take no part; false when there is none. */
static bool take_in_rows(Simplex *s)
{
    int count = 0;
    find_activities(s);
    for (int i = 0; i < s->rows; i++) {
        const int v = s->columns + i;
        if (s->place[i] >= 0 || (s->low[v] == -INFINITY && s->high[v] == INFINITY))
            continue;
        s->x[v] = -s->y[i];
        const double off = fabs(violation(s, v));
        if (off <= FEASIBLE)
            continue;
        s->ratio[v] = -off;
        s->heap[count++] = v;
    }
    for (int at = count / 2 - 1; at >= 0; at--)
        sift_down(s, count, at);
    for (int taken = 0; taken < ROWS_AT_ONCE && count > 0; taken++) {
        simplex_add_row(s, s->heap[0] - s->columns);
        s->heap[0] = s->heap[--count];
        if (count > 0)
            sift_down(s, count, 0);
    }
    return s->k > 0 && leaving_position(s) >= 0;
}

RelaxationStatus simplex_solve(Simplex *s, int64_t limit, double cutoff, const atomic_int *cancel)
{
    const int64_t last = limit > 0 ? s->pivots + limit : INT64_MAX, honest = s->pivots + 5000 + 20 * (int64_t)s->rows;
    const double low_value = cutoff * s->cost_scale;
    int doubts = 0;
    s->cut_off = s->have_ray = false;
    simplex_take_in_bounds(s);
    for (;;) {
        if (s->value < low_value) {
            s->cut_off = true;
            return RELAXATION_OPTIMAL;
        }
        if (s->pivots >= last || (cancel && *cancel != 0))
            return RELAXATION_LIMIT;
        if (s->pivots >= honest)
            return RELAXATION_TROUBLE;
        if (s->since_refactor >= REFACTOR_EVERY)
            simplex_refactor(s);
        const Step step = pivot(s);
        if (step == RAY)
            return RELAXATION_INFEASIBLE;
        if (step == NO_VIOLATION && !take_in_rows(s))
            return RELAXATION_OPTIMAL;
        if (step == DOUBTFUL) {
            if (++doubts > 5 || s->since_refactor == 0)
                return RELAXATION_TROUBLE;
            s->have_ray = false; /* it was none, or it will come again */
            simplex_refactor(s);
        }
    }
}

bool simplex_refresh(Simplex *s)
{
    if (s->since_refactor == 0)
        return false;
    simplex_refactor(s);
    return true;
}

bool simplex_was_cut_off(const Simplex *s)
{
    return s->cut_off;
}
const double *simplex_x(const Simplex *s)
{
    return s->x;
}
double simplex_value(const Simplex *s)
{
    return s->value / s->cost_scale;
}
int64_t simplex_pivots(const Simplex *s)
{
    return s->pivots;
}

const double *simplex_y(Simplex *s)
{
    memset(s->y, 0, (size_t)s->rows * sizeof *s->y);
    double *sum = s->moved;
    if (s->have_ray) {
        double largest = 0;
        for (int r = 0; r < s->k; r++)
            largest = fmax(largest, fabs(s->tau[r]));
        for (int r = 0; r < s->k; r++) /* a ray may have any length */
            s->y[s->row_at[r]] = s->tau[r] / largest * s->row_scale[s->row_at[r]] * 1024.0;
        return s->y;
    }
    memset(sum, 0, (size_t)s->k * sizeof *sum);
    for (int p = 0; p < s->k; p++) /* costs unperturbed */
        if (s->head[p] < s->columns)
            s->kernels->subtract(sum, s->inverse + (size_t)p * (size_t)s->room, -s->cost[s->head[p]], s->k);
    for (int r = 0; r < s->k; r++)
        s->y[s->row_at[r]] = sum[r] * s->row_scale[s->row_at[r]] / s->cost_scale;
    return s->y;
}

/* --- bases --- */

Basis *simplex_basis(const Simplex *s)
{
    int columns = 0, rows = 0;
    for (int p = 0; p < s->k; p++) {
        columns += s->head[p] < s->columns;
        rows += s->side[s->columns + s->row_at[p]] != BASIC;
    }
    Basis *basis = mem_new(1, sizeof *basis + ((size_t)columns + (size_t)rows) * sizeof basis->at[0]);
    basis->columns = columns;
    basis->rows = rows;
    int at = 0;
    for (int p = 0; p < s->k; p++)
        if (s->head[p] < s->columns)
            basis->at[at++] = s->head[p];
    for (int r = 0; r < s->k; r++)
        if (s->side[s->columns + s->row_at[r]] != BASIC)
            basis->at[at++] = s->row_at[r];
    return basis;
}

Basis *basis_copy(const Basis *basis)
{
    if (!basis)
        return NULL;
    const size_t size = sizeof *basis + ((size_t)basis->columns + (size_t)basis->rows) * sizeof basis->at[0];
    Basis *copy = mem_new(1, size);
    memcpy(copy, basis, size);
    return copy;
}

void basis_forget_rows(Basis *basis, int first)
{
    int kept = 0;
    int *row = basis != NULL ? basis->at + basis->columns : NULL;
    for (int k = 0; basis != NULL && k < basis->rows; k++)
        if (row[k] < first)
            row[kept++] = row[k];
    if (basis != NULL)
        basis->rows = kept;
}

void basis_rename_columns(Basis *basis, const int *name)
{
    int kept = 0;
    if (basis == NULL)
        return;
    for (int k = 0; k < basis->columns; k++)
        if (name[basis->at[k]] >= 0)
            basis->at[kept++] = name[basis->at[k]];
    memmove(basis->at + kept, basis->at + basis->columns, (size_t)basis->rows * sizeof basis->at[0]);
    basis->columns = kept;
}

void simplex_start_from(Simplex *s, const Basis *basis)
{
    for (int v = 0; v < s->columns; v++)
        s->side[v] = AT_LOW;
    for (int i = 0; i < s->rows; i++)
        s->side[s->columns + i] = BASIC;
    for (int k = 0; basis && k < basis->columns; k++)
        s->side[basis->at[k]] = BASIC;
    for (int k = 0; basis && k < basis->rows; k++) { /* a row that is gone, or has no sides here, can't be tight */
        const int v = s->columns + basis->at[basis->columns + k];
        if (v >= s->columns + s->rows)
            continue;
        s->side[v] = s->low[v] == -INFINITY && s->high[v] == INFINITY ? BASIC : AT_LOW;
    }
    /* shifts of earlier solves are taken back */
    for (int j = 0; j < s->columns; j++)
        s->c[j] = simplex_perturbed(s, j);
    memset(s->c + s->columns, 0, (size_t)s->rows * sizeof *s->c);
    s->k = 0;
    simplex_refactor(s);
    int loose = 0; /* rows that found no column need not take part */
    for (int p = 0; p < s->k; p++)
        loose += s->head[p] >= s->columns;
    if (loose * LOOSE_SHARE > s->k)
        simplex_refactor(s);
}

static void *kept(void *old, const void *from, size_t count, size_t size)
{
    void *to = mem_resize(old, count + 1, size);
    memcpy(to, from, count * size);
    return to;
}

void simplex_save(const Simplex *s, SimplexState **state)
{
    if (*state == NULL)
        *state = mem_new(1, sizeof **state);
    SimplexState *t = *state;
    const size_t k = (size_t)s->k, all = (size_t)s->columns + (size_t)s->rows;
    t->rows = s->rows;
    t->k = s->k;
    t->since_refactor = s->since_refactor;
    t->head = kept(t->head, s->head, k, sizeof *s->head);
    t->row_at = kept(t->row_at, s->row_at, k, sizeof *s->row_at);
    t->weight = kept(t->weight, s->weight, k, sizeof *s->weight);
    t->low = kept(t->low, s->low, (size_t)s->columns, sizeof *s->low);
    t->high = kept(t->high, s->high, (size_t)s->columns, sizeof *s->high);
    t->x = kept(t->x, s->x, all, sizeof *s->x);
    t->d = kept(t->d, s->d, all, sizeof *s->d);
    t->c = kept(t->c, s->c, all, sizeof *s->c);
    t->side = kept(t->side, s->side, all, sizeof *s->side);
    t->inverse = mem_resize(t->inverse, k * k + 1, sizeof *t->inverse);
    for (size_t p = 0; p < k; p++)
        memcpy(t->inverse + p * k, s->inverse + p * (size_t)s->room, k * sizeof *t->inverse);
    t->value = s->value;
}

bool simplex_restore(Simplex *s, const SimplexState *t)
{
    if (t->rows != s->rows)
        return false;
    const size_t k = (size_t)t->k, all = (size_t)s->columns + (size_t)s->rows;
    for (int r = 0; r < s->k; r++)
        s->place[s->row_at[r]] = -1;
    s->k = t->k;
    memcpy(s->head, t->head, k * sizeof *s->head);
    memcpy(s->row_at, t->row_at, k * sizeof *s->row_at);
    memcpy(s->weight, t->weight, k * sizeof *s->weight);
    memcpy(s->low, t->low, (size_t)s->columns * sizeof *s->low);
    memcpy(s->high, t->high, (size_t)s->columns * sizeof *s->high);
    memcpy(s->x, t->x, all * sizeof *s->x);
    memcpy(s->d, t->d, all * sizeof *s->d);
    memcpy(s->c, t->c, all * sizeof *s->c);
    memcpy(s->side, t->side, all * sizeof *s->side);
    for (int r = 0; r < s->k; r++)
        s->place[s->row_at[r]] = r;
    for (int v = 0; v < s->columns + s->rows; v++)
        s->sign[v] = simplex_sign(s, v);
    for (size_t p = 0; p < k; p++)
        memcpy(s->inverse + p * (size_t)s->room, t->inverse + p * k, k * sizeof *t->inverse);
    simplex_clear_dirty(s);
    s->value = t->value;
    s->since_refactor = t->since_refactor;
    s->have_ray = s->cut_off = false;
    return true;
}

void simplex_state_free(SimplexState *state)
{
    if (state == NULL)
        return;
    void *const array[] = {state->head, state->row_at, state->inverse, state->weight, state->low,
                           state->high, state->x,      state->d,       state->c,      state->side};
    for (size_t k = 0; k < sizeof array / sizeof *array; k++)
        mem_free(array[k]);
    mem_free(state);
}
