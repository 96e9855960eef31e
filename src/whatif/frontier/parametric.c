/* parametric.c - see parametric.h.
 *
 * The cap's row gets a slack column that is fixed at what the cap leaves out, so that moving the cap is a change of one
 * column's bounds. The relaxation is solved once and then goes from cap to cap by warm starts, a few pivots each
 * (parametric programming; as in any text on linear programming). Its multipliers, evaluated in whole numbers, bound
 * every pool of that cap. Pools come from small programmes: all columns fixed where the relaxation has them but for
 * those of least reduced cost. What they find is a pool of the whole programme; that none of theirs is better proves
 * nothing, so nothing but pools is taken from them. */
#include "whatif/frontier/parametric.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "programme/extend.h"
#include "search/linear/exact.h"
#include "search/core/neighbourhood.h"
#include "search/linear/simplex.h"
#include "search/risk/protection.h"
#include "search/tree/box_search.h"

#define SLACK_MOST (INT64_C(1) << 40)
#define MOST_ORDERS 300 /* rows of orders, of all caps together */
#define ORDER_MISS 1e-5 /* of what all comes to, for one to be added */

/* Columns left open, and most pivots (never more than the effort), try by try. */
static const int try_columns[] = {80, 120};
static const int64_t try_pivots[] = {1000, 2000};
#define TRIES (sizeof try_columns / sizeof *try_columns)

struct Parametric {
    const Loaded *loaded;
    SearchProblem *problem; /* the programme, without a cap, and the slack column */
    int slack;
    int64_t most;  /* side of the cap's row that no pool reaches */
    Matrix matrix; /* of problem */
    Simplex *simplex;
    Exact exact;
    Grain grain;
    int64_t *low, *high; /* [columns] the box of the step */
    int64_t *part_low, *part_high;
    double *reduced_cost; /* [columns] */
};

/* The greatest sum of the cap's row, with all prices risen; -1: out of range. */
static int64_t most_money(const SearchProblem *p, int row)
{
    int128 sum = protections_most(p, row);
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            if (p->row[k] == row)
                sum += (int128)p->value[k] * (p->value[k] > 0 ? p->high[j] : p->low[j]);
    return sum >= 0 && sum < SLACK_MOST ? (int64_t)sum : -1;
}

Parametric *parametric_new(const Loaded *loaded)
{
    const int64_t most = loaded->cap_row >= 0 ? most_money(&loaded->programme->problem, loaded->cap_row) : -1;
    if (most < 0 || search_problem_trouble(&loaded->programme->problem) != NULL)
        return NULL;
    Parametric *l = mem_new(1, sizeof *l);
    Extension *extension = extension_new(&loaded->programme->problem);
    l->loaded = loaded;
    l->most = most;
    l->slack = extension_column(extension, SEARCH_INTEGER, 0, 0, most + 1);
    extension_entry(extension, loaded->cap_row, l->slack, 1);
    l->problem = extension_build(extension);
    l->problem->row_high[loaded->cap_row] = most;
    const size_t n = (size_t)l->problem->columns + 1;
    matrix_init(&l->matrix, l->problem);
    exact_init(&l->exact, &l->matrix);
    l->simplex = simplex_new(&l->matrix);
    l->low = mem_new(n, sizeof *l->low);
    l->high = mem_new(n, sizeof *l->high);
    l->part_low = mem_new(n, sizeof *l->part_low);
    l->part_high = mem_new(n, sizeof *l->part_high);
    l->reduced_cost = mem_new(n, sizeof *l->reduced_cost);
    l->grain = matrix_grain(&l->matrix, l->problem->low, l->problem->high);
    return l;
}

void parametric_free(Parametric *l)
{
    if (l == NULL)
        return;
    simplex_free(l->simplex);
    exact_release(&l->exact);
    matrix_release(&l->matrix);
    extension_problem_free(l->problem);
    mem_free(l->low);
    mem_free(l->high);
    mem_free(l->part_low);
    mem_free(l->part_high);
    mem_free(l->reduced_cost);
    mem_free(l);
}

/* ---- one step ---- */

/* Moves the cap: what is left out of `most`. */
static void move_cap(Parametric *l, bool has_cap, int64_t cap)
{
    const int64_t side = has_cap ? loaded_cap_side(l->loaded, true, cap) : l->most;
    const int64_t left_out = side < l->most ? l->most - side : 0;
    const size_t n = (size_t)l->problem->columns;
    memcpy(l->low, l->problem->low, n * sizeof *l->low);
    memcpy(l->high, l->problem->high, n * sizeof *l->high);
    l->low[l->slack] = l->high[l->slack] = left_out;
    simplex_box_column(l->simplex, l->slack, left_out, left_out);
}

/* Rows of orders that the relaxation's point breaks (search/risk/protection.h) stay for all caps: the slack column
 * stands in them as in the cap's row. */
static bool add_orders(Parametric *l)
{
    if (l->problem->protections == NULL || l->matrix.p.rows > l->problem->rows + MOST_ORDERS)
        return false;
    double *x = mem_copy(simplex_x(l->simplex), (size_t)l->problem->columns, sizeof *x);
    const bool added = protections_add_orders(&l->matrix, x, ORDER_MISS) > 0;
    if (added) {
        simplex_grow(l->simplex);
        exact_release(&l->exact);
        exact_init(&l->exact, &l->matrix);
    }
    mem_free(x);
    return added;
}

static int64_t relaxation_bound(Parametric *l)
{
    if (!exact_evaluate(&l->exact, l->low, l->high, simplex_y(l->simplex), true))
        return SEARCH_PLUS_INFINITY;
    for (int j = 0; j < l->problem->columns; j++)
        l->reduced_cost[j] = exact_reduced_cost(&l->exact, j);
    return grain_floor(l->grain, exact_bound(&l->exact));
}

static bool within_gap(int64_t value, int64_t bound, int64_t gap_ppm)
{
    const int128 size = value < 0 ? -(int128)value : value;
    return bound != SEARCH_PLUS_INFINITY && ((int128)bound - value) * 1000000 <= (int128)gap_ppm * size;
}

/* The part of the programme that l->part_low and part_high leave open, with what is fixed as a column of its own, so
 * that its values are the programme's. */
static SearchProblem *open_part(const Parametric *l, int *map)
{
    Matrix part;
    int64_t offset;
    if (!matrix_restrict(&part, &l->matrix, l->part_low, l->part_high, map, &offset))
        return NULL;
    Extension *extension = extension_new(&part.p);
    extension_column(extension, SEARCH_INTEGER, offset, 1, 1);
    SearchProblem *problem = extension_build(extension);
    matrix_release(&part);
    return problem;
}

static int64_t pivots_of(size_t number, const SearchOptions *options)
{
    return options->effort > 0 && options->effort < try_pivots[number] ? options->effort : try_pivots[number];
}

/* The same where rows are protected, whose parts are no problems of their own. */
static bool look_in_box(Parametric *l, size_t number, const SearchOptions *options, int64_t *value, int64_t *x)
{
    BoxSearch search = {.wanted = *value + 1,
                        .limit = pivots_of(number, options),
                        .order_often = true,
                        .threads = 1,
                        .cancel = options->cancel};
    box_search_run(&search, &l->matrix, l->part_low, l->part_high);
    const bool better = search.x != NULL;
    if (better) {
        *value = search.value;
        memcpy(x, search.x, (size_t)l->problem->columns * sizeof *x);
    }
    box_search_release(&search);
    return better;
}

/* Looks for a pool better than *value with so many columns open; x[columns] of the parametric run's problem. */
static bool look_near(Parametric *l, size_t number, const SearchOptions *options, int64_t bound, int64_t *value,
                      int64_t *x)
{
    const int columns = l->problem->columns;
    SearchResult result;
    SearchOptions own = {.engine = options->engine,
                         .gap_ppm = options->gap_ppm,
                         .effort = pivots_of(number, options),
                         .threads = 1,
                         .cancel = options->cancel,
                         .known_bound = bound,
                         .target = SEARCH_MINUS_INFINITY};
    neighbourhood_box(&l->matrix, simplex_x(l->simplex), NULL, l->reduced_cost, try_columns[number], 0, l->part_low,
                      l->part_high);
    l->part_low[l->slack] = l->part_high[l->slack] = l->low[l->slack];
    if (l->problem->protections != NULL)
        return look_in_box(l, number, options, value, x);
    int *map = mem_new((size_t)columns + 1, sizeof *map);
    SearchProblem *part = open_part(l, map);
    bool better = false;
    if (part != NULL && search_problem_trouble(part) == NULL) {
        Search *search = search_new(part);
        search_run(search, &own, &result);
        search_free(search);
        better = result.has_solution && result.value > *value;
        if (better) {
            *value = result.value;
            memcpy(x, l->part_low, (size_t)columns * sizeof *x);
            for (int j = 0; j + 1 < part->columns; j++)
                x[map[j]] = result.x[j];
        }
        search_result_release(&result);
    }
    extension_problem_free(part);
    mem_free(map);
    return better;
}

bool parametric_step(Parametric *l, bool has_cap, int64_t cap, const SearchOptions *options, int64_t *bound, int64_t *x,
                     int64_t *value)
{
    bool found = false;
    *value = SEARCH_MINUS_INFINITY;
    move_cap(l, has_cap, cap);
    RelaxationStatus status;
    do
        status = simplex_solve(l->simplex, 0, -INFINITY, options->cancel);
    while (status == RELAXATION_OPTIMAL && add_orders(l));
    *bound = status == RELAXATION_OPTIMAL ? relaxation_bound(l) : SEARCH_PLUS_INFINITY;
    if (*bound == SEARCH_PLUS_INFINITY)
        return false;
    int64_t *all = mem_new((size_t)l->problem->columns + 1, sizeof *all);
    for (size_t k = 0; k < TRIES && !(found && within_gap(*value, *bound, options->gap_ppm)); k++)
        found = look_near(l, k, options, *bound, value, all) || found;
    if (found)
        memcpy(x, all, (size_t)l->slack * sizeof *x); /* the programme's own columns come first */
    mem_free(all);
    return found;
}
