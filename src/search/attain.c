/* attain.c - see attain.h. The boxes are first narrowed by single rows (search/tree/propagate.h), which sees what
 * multipliers do not: a card that is the last of its kind, one that others need. Any change of bounds is a warm start
 * of the dual simplex method. Cutting planes (search/cuts/mir.h) are made at the points of single boxes but hold in the
 * whole of the problem's box, so that what one question paid for serves all that follow. */
#include "search/attain.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/linear/exact.h"
#include "search/cuts/cut_rows.h"
#include "search/tree/propagate.h"
#include "search/risk/protection.h"
#include "search/linear/simplex.h"

#define MOST_CUTS 240    /* beyond this those that are not tight are dropped */
#define MOST_ORDERS 600  /* rows beyond the problem's, with cuts */
#define ORDER_MISS 1e-4  /* of the side, for a row of an order to be added */
#define MOST_PIVOTS 5000 /* of one relaxation; what y is by then still bounds */

struct Attain {
    Matrix matrix; /* the problem's rows and behind them cuts */
    int rows;      /* of the problem */
    Simplex *simplex;
    Exact exact;
    Propagator propagator;
    double *y;                       /* [rows] of the matrix */
    double *dual;                    /* [rows] of the problem */
    int64_t *asked_low, *asked_high; /* [columns] the box asked about */
    int64_t *low, *high;             /* [columns] the same, narrowed */
    PseudoCost *known;               /* [columns] what branching has brought in all searches */
    bool empty;
};

static void begin(Attain *a)
{
    a->simplex = simplex_new(&a->matrix);
    exact_init(&a->exact, &a->matrix);
    propagator_init(&a->propagator, &a->matrix);
    a->y = mem_new((size_t)a->matrix.p.rows + 1, sizeof *a->y);
}

/* The matrix has more rows behind those it had. */
static void grow(Attain *a)
{
    simplex_grow(a->simplex);
    exact_release(&a->exact);
    exact_init(&a->exact, &a->matrix);
    propagator_release(&a->propagator);
    propagator_init(&a->propagator, &a->matrix);
    a->y = mem_resize(a->y, (size_t)a->matrix.p.rows + 1, sizeof *a->y);
}

static void end(Attain *a)
{
    simplex_free(a->simplex);
    exact_release(&a->exact);
    propagator_release(&a->propagator);
    mem_free(a->y);
}

/* Rows without sides (the fit, the weights of all loosening) ask for nothing, but have entries everywhere: they stay as
 * empty rows. */
static void init_matrix(Attain *a, const SearchProblem *problem)
{
    SearchProblem p = *problem;
    const size_t entries = p.start[p.columns];
    size_t at = 0;
    p.start = mem_new((size_t)p.columns + 1, sizeof *p.start);
    p.row = mem_new(entries + 1, sizeof *p.row);
    p.value = mem_new(entries + 1, sizeof *p.value);
    for (int j = 0; j < p.columns; j++) {
        p.start[j] = at;
        for (size_t k = problem->start[j]; k < problem->start[j + 1]; k++) {
            const int i = problem->row[k];
            if (p.row_low[i] == SEARCH_MINUS_INFINITY && p.row_high[i] == SEARCH_PLUS_INFINITY)
                continue;
            p.row[at] = i;
            p.value[at++] = problem->value[k];
        }
    }
    p.start[p.columns] = at;
    matrix_init(&a->matrix, &p);
    mem_free(p.start);
    mem_free(p.row);
    mem_free(p.value);
}

Attain *attain_new(const SearchProblem *problem)
{
    Attain *a = mem_new(1, sizeof *a);
    const size_t n = (size_t)problem->columns + 1, m = (size_t)problem->rows + 1;
    init_matrix(a, problem);
    a->rows = problem->rows;
    begin(a);
    a->dual = mem_new(m, sizeof *a->dual);
    a->asked_low = mem_new(n, sizeof *a->asked_low);
    a->asked_high = mem_new(n, sizeof *a->asked_high);
    a->low = mem_new(n, sizeof *a->low);
    a->high = mem_new(n, sizeof *a->high);
    a->known = mem_new(n, sizeof *a->known);
    memcpy(a->low, problem->low, (n - 1) * sizeof *a->low);
    memcpy(a->high, problem->high, (n - 1) * sizeof *a->high);
    return a;
}

void attain_free(Attain *a)
{
    if (a == NULL)
        return;
    end(a);
    matrix_release(&a->matrix);
    mem_free(a->dual);
    mem_free(a->asked_low);
    mem_free(a->asked_high);
    mem_free(a->low);
    mem_free(a->high);
    mem_free(a->known);
    mem_free(a);
}

/* False: a row can't hold in the box. */
static bool narrow(Attain *a, int64_t *low, int64_t *high)
{
    for (int j = 0; j < a->matrix.p.columns; j++)
        if (low[j] > high[j])
            return false;
    propagator_clear(&a->propagator);
    propagator_touch_all(&a->propagator);
    return propagate(&a->propagator, low, high);
}

static int64_t evaluate(Attain *a, const int64_t *low, const int64_t *high)
{
    return exact_evaluate(&a->exact, low, high, a->y, true) ? exact_bound(&a->exact) : SEARCH_PLUS_INFINITY;
}

/* Rows of orders that the relaxation's point breaks (search/risk/protection.h); they stay for later boxes. */
static bool add_orders(Attain *a)
{
    if (a->matrix.p.rows > a->rows + MOST_ORDERS)
        return false;
    double *x = mem_new((size_t)a->matrix.p.columns + 1, sizeof *x);
    memcpy(x, simplex_x(a->simplex), (size_t)a->matrix.p.columns * sizeof *x);
    const bool added = protections_add_orders(&a->matrix, x, ORDER_MISS) > 0;
    if (added)
        grow(a);
    mem_free(x);
    return added;
}

int64_t attain_bound(Attain *a, const int64_t *low, const int64_t *high, const atomic_int *cancel, int64_t *pivots)
{
    const size_t n = (size_t)a->matrix.p.columns;
    memcpy(a->asked_low, low, n * sizeof *low);
    memcpy(a->asked_high, high, n * sizeof *high);
    memcpy(a->low, low, n * sizeof *low);
    memcpy(a->high, high, n * sizeof *high);
    a->empty = !narrow(a, a->low, a->high);
    if (a->empty)
        return SEARCH_MINUS_INFINITY;
    simplex_box(a->simplex, a->low, a->high);
    RelaxationStatus status;
    do {
        const int64_t before = simplex_pivots(a->simplex);
        status = simplex_solve(a->simplex, MOST_PIVOTS, -INFINITY, cancel);
        *pivots += simplex_pivots(a->simplex) - before;
    } while (a->matrix.p.protections != NULL && status == RELAXATION_OPTIMAL && add_orders(a));
    if (status == RELAXATION_TROUBLE) {
        simplex_start_from(a->simplex, NULL);
        return SEARCH_PLUS_INFINITY;
    }
    if (status == RELAXATION_INFEASIBLE) {
        a->empty =
            exact_evaluate(&a->exact, a->low, a->high, simplex_y(a->simplex), false) && exact_infeasible(&a->exact);
        return a->empty ? SEARCH_MINUS_INFINITY : SEARCH_PLUS_INFINITY;
    }
    memcpy(a->y, simplex_y(a->simplex), (size_t)a->matrix.p.rows * sizeof *a->y);
    for (int i = 0; i < a->rows; i++)
        a->dual[i] = a->y[i] / (double)a->matrix.divisor[i];
    protections_add_duals(&a->matrix, a->y, a->dual);
    return evaluate(a, a->low, a->high);
}

int64_t attain_bound_column(Attain *a, int column, int64_t low, int64_t high)
{
    if (a->empty)
        return SEARCH_MINUS_INFINITY;
    const size_t n = (size_t)a->matrix.p.columns;
    int64_t *lows = mem_new(n + 1, sizeof *lows), *highs = mem_new(n + 1, sizeof *highs);
    memcpy(lows, a->low, n * sizeof *lows);
    memcpy(highs, a->high, n * sizeof *highs);
    lows[column] = low > lows[column] ? low : lows[column];
    highs[column] = high < highs[column] ? high : highs[column];
    bool possible = lows[column] <= highs[column];
    if (possible) {
        propagator_clear(&a->propagator);
        propagator_touch_column(&a->propagator, column);
        possible = propagate(&a->propagator, lows, highs);
    }
    const int64_t bound = possible ? evaluate(a, lows, highs) : SEARCH_MINUS_INFINITY;
    mem_free(lows);
    mem_free(highs);
    return bound;
}

int64_t attain_line(Attain *a, int column, int64_t most, int64_t target)
{
    const size_t n = (size_t)a->matrix.p.columns;
    int64_t *low = mem_new(n + 1, sizeof *low), *high = mem_new(n + 1, sizeof *high), from = a->asked_low[column],
            to = most + 1;
    memcpy(low, a->asked_low, n * sizeof *low);
    memcpy(high, a->asked_high, n * sizeof *high);
    high[column] = most;
    if (!narrow(a, low, high))
        from = to;
    low[column] = a->asked_low[column];
    while (from < to) {
        const int64_t middle = from + (to - from) / 2;
        high[column] = middle;
        if (evaluate(a, low, high) < target)
            from = middle + 1;
        else
            to = middle;
    }
    mem_free(low);
    mem_free(high);
    return from;
}

bool attain_tighten(Attain *a, int64_t wanted, int64_t *low, int64_t *high)
{
    const size_t n = (size_t)a->matrix.p.columns;
    if (a->empty)
        return false;
    memcpy(low, a->low, n * sizeof *low);
    memcpy(high, a->high, n * sizeof *high);
    const int64_t bound = evaluate(a, low, high);
    if (bound == SEARCH_PLUS_INFINITY)
        return true;
    if (bound < wanted)
        return false;
    exact_tighten(&a->exact, low, high, wanted);
    return narrow(a, low, high);
}

/* --- cuts --- */

/* With a pool's cuts and without those rows, unless numbers are too large to be exact. */
static void change_rows(Attain *a, const CutPool *pool, const bool *drop, bool warm)
{
    Basis *basis = warm ? simplex_basis(a->simplex) : NULL;
    end(a);
    matrix_change_rows(&a->matrix, pool, drop);
    begin(a);
    if (basis != NULL)
        simplex_start_from(a->simplex, basis);
    mem_free(basis);
}

void attain_strengthen(Attain *a, const atomic_int *cancel, int64_t *pivots)
{
    if (a->empty || a->matrix.p.columns == 0)
        return;
    const size_t n = (size_t)a->matrix.p.columns, m = (size_t)a->matrix.p.rows;
    CutPool pool = {0};
    mir_separate(&a->matrix, a->matrix.p.low, a->matrix.p.high, simplex_x(a->simplex), &pool);
    cut_pool_choose(&pool, a->matrix.p.columns);
    if (pool.count > 0) {
        bool *drop = mem_new(m + 1, sizeof *drop);
        const bool full = m + pool.count > (size_t)a->rows + MOST_CUTS;
        for (size_t i = (size_t)a->rows; full && i < m; i++)
            drop[i] = a->y[i] == 0;
        int64_t *low = mem_new(n + 1, sizeof *low), *high = mem_new(n + 1, sizeof *high);
        memcpy(low, a->asked_low, n * sizeof *low);
        memcpy(high, a->asked_high, n * sizeof *high);
        change_rows(a, &pool, drop, !full);
        attain_bound(a, low, high, cancel, pivots);
        mem_free(low);
        mem_free(high);
        mem_free(drop);
    }
    cut_pool_release(&pool);
}

/* --- points --- */

/* Cuts that are not tight at the last point only make nodes dearer. */
static void lean_matrix(const Attain *a, Matrix *lean)
{
    bool *drop = mem_new((size_t)a->matrix.p.rows + 1, sizeof *drop);
    for (int i = a->rows; i < a->matrix.p.rows; i++)
        drop[i] = a->y[i] == 0;
    SearchProblem *p = cut_rows_change(&a->matrix.p, NULL, drop);
    matrix_init(lean, p);
    problem_free(p);
    mem_free(drop);
}

bool attain_search(Attain *a, const int64_t *low, const int64_t *high, BoxSearch *search, int64_t *pivots)
{
    Matrix lean;
    lean_matrix(a, &lean);
    search->known = a->known;
    box_search_run(search, &lean, low, high);
    *pivots += search->pivots;
    matrix_release(&lean);
    return search->x != NULL;
}

const double *attain_duals(const Attain *a)
{
    return a->dual;
}
