/* exact.c - bounds, infeasibility and fixings evaluated in integers.
 *
 * Sizes. |y| is held to largest_y <= 2^61 and sides are within 2^61, coefficients within 2^40, rows within 2^12;
 * largest_y is chosen so that the sum of y b stays below 2^125, and a reduced cost beyond largest_d = 2^125 / sum of
 * |x| makes the evaluation fail. Where all reduced costs are known to stay below 2^62 they are summed in 64 bits, which
 * is the usual case.
 *
 * Fixing: a solution with x_j one unit away from the side that the bound counts loses |d_j| of the bound; if what is
 * left is below the value wanted, that solution is of no use. (Reduced-cost fixing, common practice since R. J. Dakin
 * and E. Balas' day; here exact.) */
#include <math.h>

#include "base/memory.h"
#include "search/linear/exact.h"

#define GRID_LEAST 30
#define GRID_MOST 52
#define COEFFICIENT_BITS 20 /* up to this size of coefficients the least grid is fine enough */

static int128 bits(int n)
{
    return (int128)1 << n;
}

void exact_init(Exact *exact, const Matrix *matrix)
{
    const SearchProblem *p = &matrix->p;
    int64_t coefficient = 1, side = 1, cost = 1;
    int128 sum = 1;
    for (int i = 0; i < p->rows; i++) {
        coefficient = matrix->row_largest[i] > coefficient ? matrix->row_largest[i] : coefficient;
        if (p->row_high[i] != SEARCH_PLUS_INFINITY && magnitude64(p->row_high[i]) > side)
            side = magnitude64(p->row_high[i]);
        if (p->row_low[i] != SEARCH_MINUS_INFINITY && magnitude64(p->row_low[i]) > side)
            side = magnitude64(p->row_low[i]);
    }
    for (int j = 0; j < p->columns; j++) {
        cost = magnitude64(p->objective[j]) > cost ? magnitude64(p->objective[j]) : cost;
        sum += problem_reach(p, j);
    }
    exact->matrix = matrix;
    exact->grid = GRID_LEAST;
    for (int64_t c = coefficient >> COEFFICIENT_BITS; c > 0 && exact->grid < GRID_MOST; c >>= 1)
        exact->grid++;
    const int128 y = bits(113) / side;
    exact->largest_y = y > bits(61) ? (int64_t)bits(61) : (int64_t)y;
    exact->largest_d = bits(125) / sum;
    exact->largest_c = cost;
    exact->largest_sum = sum < INT64_MAX ? (int64_t)sum : INT64_MAX;
    exact->y = mem_new((size_t)p->rows + 1, sizeof *exact->y);
    exact->slim = mem_new((size_t)p->columns + 1, sizeof *exact->slim);
    exact->wide = NULL;
    exact->narrow = true;
    exact->bound = 0;
}

void exact_release(Exact *exact)
{
    mem_free(exact->y);
    mem_free(exact->slim);
    mem_free(exact->wide);
}

/* Rounds the multipliers; returns the largest |reduced cost| that can come of them, as a double with room to spare. */
static double take_multipliers(Exact *exact, const double *y)
{
    const SearchProblem *p = &exact->matrix->p;
    const double limit = (double)exact->largest_y;
    double largest = 0;
    for (int i = 0; i < p->rows; i++) {
        const double scaled = ldexp(y[i], exact->grid);
        exact->y[i] = 0;
        if (!(fabs(scaled) < limit) ||
            (scaled > 0 ? p->row_high[i] == SEARCH_PLUS_INFINITY : p->row_low[i] == SEARCH_MINUS_INFINITY))
            continue;
        exact->y[i] = (int64_t)llrint(scaled);
        largest += fabs((double)exact->y[i]) * (double)exact->matrix->row_largest[i];
    }
    return largest;
}

static void reduced_narrow(Exact *exact, bool with_objective)
{
    const Matrix *m = exact->matrix;
    const int64_t scale = with_objective ? INT64_C(1) << exact->grid : 0;
    for (int j = 0; j < m->p.columns; j++)
        exact->slim[j] = m->p.objective[j] * scale;
    for (int i = 0; i < m->p.rows; i++) {
        const int64_t y = exact->y[i];
        if (y != 0)
            for (size_t k = m->row_start[i]; k < m->row_start[i + 1]; k++)
                exact->slim[m->column[k]] -= y * m->row_value[k];
    }
}

static void reduced_wide(Exact *exact, bool with_objective)
{
    const Matrix *m = exact->matrix;
    const int128 scale = with_objective ? bits(exact->grid) : 0;
    if (!exact->wide)
        exact->wide = mem_new((size_t)m->p.columns + 1, sizeof *exact->wide);
    for (int j = 0; j < m->p.columns; j++)
        exact->wide[j] = m->p.objective[j] * scale;
    for (int i = 0; i < m->p.rows; i++) {
        const int128 y = exact->y[i];
        if (y != 0)
            for (size_t k = m->row_start[i]; k < m->row_start[i + 1]; k++)
                exact->wide[m->column[k]] -= y * m->row_value[k];
    }
}

static int128 reduced(const Exact *exact, int j)
{
    return exact->narrow ? (int128)exact->slim[j] : exact->wide[j];
}

/* All columns' part of the bound, when reduced costs are so small that it fits 64 bits. */
static int64_t narrow_sum(const Exact *exact, const int64_t *low, const int64_t *high)
{
    const int columns = exact->matrix->p.columns;
    int64_t sum = 0;
    for (int j = 0; j < columns; j++) {
        const int64_t d = exact->slim[j];
        sum += d * (d > 0 ? high[j] : low[j]);
    }
    return sum;
}

static bool wide_sum(const Exact *exact, const int64_t *low, const int64_t *high, int128 *sum)
{
    for (int j = 0; j < exact->matrix->p.columns; j++) {
        const int128 d = reduced(exact, j);
        if (d > exact->largest_d || d < -exact->largest_d)
            return false;
        *sum += d * (d > 0 ? high[j] : low[j]);
    }
    return true;
}

bool exact_evaluate(Exact *exact, const int64_t *low, const int64_t *high, const double *y, bool with_objective)
{
    const SearchProblem *p = &exact->matrix->p;
    const double largest =
        take_multipliers(exact, y) + (with_objective ? ldexp((double)exact->largest_c, exact->grid) : 0.0);
    exact->narrow = largest < 4e18; /* below 2^62 */
    if (exact->narrow)
        reduced_narrow(exact, with_objective);
    else
        reduced_wide(exact, with_objective);
    int128 bound = 0;
    for (int i = 0; i < p->rows; i++)
        if (exact->y[i] != 0)
            bound += (int128)exact->y[i] * (exact->y[i] > 0 ? p->row_high[i] : p->row_low[i]);
    if (exact->narrow && largest * (double)exact->largest_sum < 4e18)
        bound += narrow_sum(exact, low, high);
    else if (!wide_sum(exact, low, high, &bound))
        return false;
    exact->bound = bound;
    return true;
}

int64_t exact_bound(const Exact *exact)
{
    const int128 whole = exact->bound >> exact->grid; /* rounds towards minus infinity */
    if (whole >= SEARCH_PLUS_INFINITY)
        return SEARCH_PLUS_INFINITY;
    return whole <= INT64_MIN ? INT64_MIN + 1 : (int64_t)whole;
}

bool exact_infeasible(const Exact *exact)
{
    return exact->bound < 0;
}

double exact_reduced_cost(const Exact *exact, int column)
{
    return ldexp((double)reduced(exact, column), -exact->grid);
}

/* The same in 64 bits. The product of size and width may not fit them, so room is divided. */
static int tighten_narrow(const Exact *exact, int64_t *low, int64_t *high, int64_t room)
{
    int changed = 0;
    for (int j = 0; j < exact->matrix->p.columns; j++) {
        const int64_t size = magnitude64(exact->slim[j]), width = high[j] - low[j];
        if (width == 0 || size == 0 || (width == 1 && size <= room))
            continue;
        const int64_t steps = room / size;
        if (steps >= width)
            continue;
        if (exact->slim[j] > 0)
            low[j] = high[j] - steps;
        else
            high[j] = low[j] + steps;
        changed++;
    }
    return changed;
}

int exact_tighten(const Exact *exact, int64_t *low, int64_t *high, int64_t wanted)
{
    const SearchProblem *p = &exact->matrix->p;
    const int128 room = exact->bound - (int128)wanted * bits(exact->grid);
    int changed = 0;
    if (room < 0)
        return 0;
    if (exact->narrow && room < bits(62))
        return tighten_narrow(exact, low, high, (int64_t)room);
    for (int j = 0; j < p->columns; j++) {
        if (low[j] == high[j])
            continue;
        const int128 d = reduced(exact, j), size = d < 0 ? -d : d, width = (int128)high[j] - low[j];
        if (size * width <= room)
            continue;
        const int64_t steps = (int64_t)(room / size);
        if (d > 0)
            low[j] = high[j] - steps;
        else
            high[j] = low[j] + steps;
        changed++;
    }
    return changed;
}

int64_t search_exact_bound(const SearchProblem *problem, const double *y, int objective_scale)
{
    Matrix matrix;
    Exact exact;
    matrix_init(&matrix, problem);
    exact_init(&exact, &matrix);
    double *scaled = mem_new((size_t)problem->rows + 1, sizeof *scaled);
    for (int i = 0; i < problem->rows; i++)
        scaled[i] = y[i] * (double)matrix.divisor[i];
    const bool good = exact_evaluate(&exact, matrix.p.low, matrix.p.high, scaled, objective_scale != 0);
    int64_t bound = SEARCH_PLUS_INFINITY;
    if (good)
        bound = objective_scale != 0 ? exact_bound(&exact) : exact_infeasible(&exact) ? -1 : 0;
    mem_free(scaled);
    exact_release(&exact);
    matrix_release(&matrix);
    return bound;
}
