/* first.c - the fast engine's beginning: the relaxation of the whole, and first solutions.
 *
 * A programme that was solved before with about the same objective begins from the basis of then, and from the
 * solutions of then: the best that is still feasible, or the nearest that is not, around which a small box is searched.
 * A programme that is new begins with boxes around the relaxation. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/cuts/cut_rows.h"
#include "search/core/exchange.h"
#include "search/fast.h"
#include "search/linear/glpk.h"
#include "search/core/neighbourhood.h"
#include "search/risk/protection.h"

#define ROOT_ROUNDS 60 /* of rows of orders */
#define LOOSE_MOST 8   /* of them, from this run and earlier ones, that stay */
#define ROOT_MISS 1e-5 /* of the side, for a row of an order to be added */
#define FIRST_PIVOTS 3000
#define FIRST_BOX 80
#define MOST_FIRST_BOXES 16
#define SMALL_GAP 0.0005
#define EXCHANGE_COLUMNS 1350 /* boxes up to this size are followed by an exchange search */
#define MEND_COLUMNS 70       /* boxes around solutions of earlier runs */
#define MEND_PIVOTS 600
#define MEND_GAP 1.25 /* times the usual gap: farther from the relaxation, a solution is not near enough */

/* --- the root --- */

static void root_by_glpk(void *argument)
{
    Fast *f = argument;
    GlpkRelaxation lp;
    glpk_relaxation_init(&lp, f->run->matrix);
    glpk_relaxation_box(&lp, f->run->low, f->run->high);
    const RelaxationStatus status = glpk_relaxation_solve(&lp, f->run->options->effort, f->run->options->cancel);
    f->run->statistics.pivots += lp.pivots;
    memcpy(f->root_x, lp.x, (size_t)f->run->problem->columns * sizeof *f->root_x);
    memcpy(f->root_y, lp.y, (size_t)f->run->matrix->p.rows * sizeof *f->root_y);
    if (status == RELAXATION_INFEASIBLE && exact_evaluate(&f->exact, f->run->low, f->run->high, lp.y, false) &&
        exact_infeasible(&f->exact))
        f->run->empty = true;
    glpk_relaxation_release(&lp);
}

static void take_root_bound(Fast *f)
{
    Run *run = f->run;
    if (run->empty || !exact_evaluate(&f->exact, run->low, run->high, f->root_y, true))
        return;
    run_lower_bound(run, exact_bound(&f->exact));
    run->statistics.root_bound = run->bound;
    for (int i = 0; i < run->problem->rows; i++)
        run->row_dual[i] = f->root_y[i] / (double)run->matrix->divisor[i];
    protections_add_duals(run->matrix, f->root_y, run->row_dual);
    for (int j = 0; j < run->problem->columns; j++)
        run->reduced_cost[j] = exact_reduced_cost(&f->exact, j);
    if (run_wanted(run) > SEARCH_MINUS_INFINITY + 1)
        exact_tighten(&f->exact, run->low, run->high, run_wanted(run));
}

/* The simplex of the whole, at the basis that suits this objective. */
static Simplex *whole_simplex(Fast *f)
{
    Warm *warm = f->run->warm;
    if (warm->simplex == NULL)
        warm->simplex = simplex_new(f->run->matrix);
    if (warm->in_simplex != f->memory)
        simplex_start_from(warm->simplex, f->memory->basis);
    warm->in_simplex = f->memory;
    return warm->simplex;
}

/* The whole's matrix has other rows of orders: what belongs to it is made anew. */
static void take_rows(Fast *f)
{
    exact_release(&f->exact);
    exact_init(&f->exact, f->run->matrix);
    f->root_y = mem_resize(f->root_y, (size_t)f->run->matrix->p.rows + 1, sizeof *f->root_y);
}

/* Rows of orders that the relaxation's point breaks. */
static bool add_orders(Fast *f)
{
    Warm *warm = f->run->warm;
    if (protections_add_orders(&warm->matrix, f->root_x, ROOT_MISS) == 0)
        return false;
    simplex_grow(warm->simplex);
    take_rows(f);
    return true;
}

static int loose_orders(const Fast *f)
{
    int loose = 0;
    for (int i = f->run->problem->rows; i < f->run->matrix->p.rows; i++)
        loose += f->root_y[i] == 0;
    return loose;
}

/* Most of them only showed the way: those that are not tight at the end leave. They have entries everywhere, and every
 * job would take them along. */
static void drop_loose_orders(Fast *f)
{
    Warm *warm = f->run->warm;
    const int first = f->run->problem->rows, rows = warm->matrix.p.rows;
    bool *drop = mem_new((size_t)rows + 1, sizeof *drop);
    for (int i = first; i < rows; i++)
        drop[i] = f->root_y[i] == 0;
    Basis *basis = simplex_basis(warm->simplex);
    basis_forget_rows(basis, first); /* their numbers change */
    if (matrix_change_rows(&warm->matrix, NULL, drop)) {
        simplex_free(warm->simplex);
        warm->simplex = simplex_new(&warm->matrix);
        simplex_start_from(warm->simplex, basis);
        take_rows(f);
        for (int k = 0; k < WARM_MEMORIES; k++)
            basis_forget_rows(warm->memory[k].basis, first);
    }
    mem_free(basis);
    mem_free(drop);
}

static RelaxationStatus solve_root(Fast *f)
{
    Run *run = f->run;
    Simplex *simplex = whole_simplex(f);
    const int64_t before = simplex_pivots(simplex);
    simplex_box(simplex, run->low, run->high);
    const RelaxationStatus status = simplex_solve(simplex, run->options->effort, -INFINITY, run->options->cancel);
    run->statistics.pivots += simplex_pivots(simplex) - before;
    memcpy(f->root_x, simplex_x(simplex), (size_t)run->problem->columns * sizeof *f->root_x);
    memcpy(f->root_y, simplex_y(simplex), (size_t)run->matrix->p.rows * sizeof *f->root_y);
    return status;
}

/* The relaxation, and again with the rows of orders that it breaks. */
static RelaxationStatus solve_root_with_orders(Fast *f)
{
    RelaxationStatus status = solve_root(f);
    int rounds = 0;
    while (f->run->problem->protections != NULL && rounds < ROOT_ROUNDS && status == RELAXATION_OPTIMAL &&
           !run_out_of_effort(f->run) && add_orders(f)) {
        status = solve_root(f);
        rounds++;
    }
    const bool many = loose_orders(f) > LOOSE_MOST || (rounds > 0 && !f->again);
    if (many && status == RELAXATION_OPTIMAL && !run_out_of_effort(f->run)) {
        drop_loose_orders(f);
        status = solve_root(f);
    }
    return status;
}

void fast_root(Fast *f)
{
    Run *run = f->run;
    const RelaxationStatus status = solve_root_with_orders(f);
    const Simplex *simplex = run->warm->simplex;
    bool settled = status == RELAXATION_OPTIMAL || status == RELAXATION_LIMIT;
    if (status == RELAXATION_INFEASIBLE && exact_evaluate(&f->exact, run->low, run->high, f->root_y, false))
        settled = run->empty = exact_infeasible(&f->exact);
    mem_free(f->memory->basis);
    f->memory->basis = settled ? simplex_basis(simplex) : NULL;
    if (!settled) {
        run->warm->in_simplex = NULL; /* its basis may be what was wrong */
        glpk_guarded(root_by_glpk, f);
    }
    if (run->empty) {
        proof_tree_begin(&f->chain);
        proof_tree_multipliers(&f->chain, 0, true, f->root_y, run->matrix);
    }
    take_root_bound(f);
    f->root_bound = run->bound;
}

/* --- boxes --- */

typedef struct {
    const double *centre, *other;
    int size;
    uint64_t seed;
    int64_t pivots;
    bool first_only;
    const Basis *basis;
} BoxPlan;

/* What is proven about the whole holds in the box, too. */
static void box_around(const Fast *f, const BoxPlan *plan, int64_t *low, int64_t *high)
{
    const Run *run = f->run;
    neighbourhood_box(run->matrix, plan->centre, plan->other, run->reduced_cost, plan->size, plan->seed, low, high);
    box_clamp(run->problem->columns, run->low, run->high, low, high);
}

/* One box of the whole; true when it brought a better solution. *exhausted: it holds nothing better than that. */
static bool try_box(Fast *f, const BoxPlan *plan, bool *exhausted)
{
    Run *run = f->run;
    const size_t n = (size_t)run->problem->columns + 1;
    Job job = {.from = run->matrix,
               .basis = plan->basis,
               .low = mem_new(n, sizeof(int64_t)),
               .high = mem_new(n, sizeof(int64_t))};
    box_around(f, plan, job.low, job.high);
    job.task.wanted = run_wanted(run);
    job.task.threshold = SEARCH_MINUS_INFINITY;
    job.task.bound = SEARCH_PLUS_INFINITY;
    job.task.limit = fast_job_limit(run, plan->pivots, 1);
    job.task.first_only = plan->first_only || run_asks_any(run);
    job.task.each = run->least != NULL;
    job.held = run->least != NULL ? run->least->held : NULL;
    batch_run(&job, 1, 1, run->options->cancel);
    fast_count_job(run, &job);
    *exhausted = job.exhausted;
    const bool better = job.x && run_offer(run, job.x);
    fast_use_units(f);
    job_release(&job);
    return better;
}

/* An exchange search of the box in `from`, which has no protected rows. */
static void exchange_in(Fast *f, const Matrix *from, const double *start, const double *row_dual, const int64_t *low,
                        const int64_t *high, int64_t pivots)
{
    Run *run = f->run;
    const size_t n = (size_t)from->p.columns + 1, m = (size_t)from->p.rows + 1;
    int *map = mem_new(n, sizeof *map);
    int64_t *x = mem_new(n, sizeof *x), *moved = mem_new(n, sizeof *moved), offset = 0;
    double *begin = mem_new(n, sizeof *begin), *dual = mem_new(m, sizeof *dual);
    Matrix part; /* its divisors are those that its rows have beyond the others' */
    const bool possible = matrix_restrict(&part, from, low, high, map, &offset);
    for (int j = 0; j < part.p.columns; j++)
        begin[j] = start[map[j]];
    for (int i = 0; i < part.p.rows; i++)
        dual[i] = row_dual[i] * (double)from->divisor[i] * (double)part.divisor[i];
    ExchangeSearch e = {&part, begin, dual, fast_job_limit(run, pivots, 1), run->options->cancel};
    if (possible && exchange_search(&e, moved, &e.pivots)) {
        memcpy(x, low, (n - 1) * sizeof *x);
        for (int j = 0; j < part.p.columns; j++)
            x[map[j]] = moved[j];
        run_offer(run, x);
    }
    run->statistics.pivots += possible ? e.pivots : 0;
    matrix_release(&part);
    mem_free(map);
    mem_free(x);
    mem_free(moved);
    mem_free(begin);
    mem_free(dual);
}

/* An exchange search among `size` columns. Protected rows are stated with thresholds where `start` has them, so that
 * rows are all there is to keep. */
static void exchange(Fast *f, const double *start, int size, int64_t pivots)
{
    const Run *run = f->run;
    const SearchProblem *p = run->problem;
    const size_t n = (size_t)p->columns + 1;
    int64_t *low = mem_new(n, sizeof *low), *high = mem_new(n, sizeof *high);
    double *dual = mem_new((size_t)p->rows + 1, sizeof *dual);
    memcpy(dual, run->row_dual, (size_t)p->rows * sizeof *dual);
    box_around(f, &(BoxPlan){.centre = start, .size = size}, low, high);
    if (p->protections == NULL) {
        exchange_in(f, run->matrix, start, dual, low, high, pivots);
    } else {
        for (int r = 0; r < p->protections->count; r++)
            dual[p->protections->row[r].row] /= (double)p->protections->row[r].weight;
        SearchProblem *plain = protections_plain(p, start);
        if (search_problem_trouble(plain) == NULL) {
            Matrix matrix;
            matrix_init(&matrix, plain);
            exchange_in(f, &matrix, start, dual, low, high, pivots);
            matrix_release(&matrix);
        }
        problem_free(plain);
    }
    mem_free(low);
    mem_free(high);
    mem_free(dual);
}

/* --- solutions of earlier runs --- */

/* Is what there is about as close to the relaxation as solutions have been before? */
static bool good_enough(const Fast *f)
{
    const Run *run = f->run;
    return run->has_solution && (double)f->root_bound - (double)run->value <= MEND_GAP * f->memory->gap;
}

/* A box around the best solution, or else around the kept one that is nearest; false when there is none of either. */
static bool mend_nearest(Fast *f)
{
    Run *run = f->run;
    const size_t n = (size_t)run->problem->columns;
    int64_t *x = mem_new(n + 1, sizeof *x);
    double *centre = mem_new(n + 1, sizeof *centre);
    bool all = false;
    if (run->has_solution)
        memcpy(x, run->x, n * sizeof *x);
    const bool any = run->has_solution || warm_nearest(run->warm, run->problem, run->row_dual, x);
    for (size_t j = 0; j < n; j++)
        centre[j] = (double)x[j];
    if (any)
        try_box(f, &(BoxPlan){centre, f->root_x, MEND_COLUMNS, 0, MEND_PIVOTS, false, f->memory->basis}, &all);
    if (any && !run->has_solution && !run_over(run) && !run_asks_any(run)) /* the next box finds it sooner */
        exchange(f, centre, 2 * MEND_COLUMNS, MEND_PIVOTS);
    mem_free(x);
    mem_free(centre);
    return any;
}

static void mend(Fast *f)
{
    bool all = false;
    if (!mend_nearest(f))
        return;
    if (!run_over(f->run) && !good_enough(f))
        try_box(f, &(BoxPlan){f->root_x, NULL, MEND_COLUMNS, 0, MEND_PIVOTS, false, f->memory->basis}, &all);
}

/* Boxes around the relaxation and the best solution so far, larger ones where nothing is left in them, while they gain
 * much. */
static void improve_first(Fast *f)
{
    Run *run = f->run;
    const size_t n = (size_t)run->problem->columns;
    double *centre = mem_new(n + 1, sizeof *centre);
    int idle = 0, size = FIRST_BOX;
    for (int k = 0; k < MOST_FIRST_BOXES && run->has_solution && !run_over(run) && idle < 3; k++) {
        const int64_t before = run->value, gap = run->bound - before;
        if (k > 0 && (double)gap < SMALL_GAP * fabs((double)before))
            break;
        bool exhausted = false;
        for (size_t j = 0; j < n; j++)
            centre[j] = (double)run->x[j];
        try_box(f,
                &(BoxPlan){k > 0 ? centre : f->root_x, k > 0 ? f->root_x : NULL, size, (uint64_t)k, FIRST_PIVOTS, false,
                           NULL},
                &exhausted);
        size += exhausted ? size / 2 : 0;
        idle = (run->value - before) * 20 > gap ? 0 : idle + 1;
        run_progress(run);
    }
    mem_free(centre);
}

void fast_first_solutions(Fast *f)
{
    Run *run = f->run;
    const int columns = run->problem->columns;
    if (f->again && !run_over(run))
        mend(f);
    const bool mended = run->has_solution;
    bool whole = false, searched = false; /* through */
    for (int64_t size = 150; !whole && !run->has_solution && !run_over(run); size *= 3) {
        whole = size >= columns;
        try_box(f, &(BoxPlan){f->root_x, NULL, whole ? columns : (int)size, 0, FIRST_PIVOTS, true, NULL}, &searched);
        if (run->has_solution || run_over(run))
            continue;
        if (whole && searched)
            run_close(run);
        else if (!searched && size <= EXCHANGE_COLUMNS)
            exchange(f, f->root_x, 2 * (int)size, FIRST_PIVOTS);
    }
    run_progress(run);
    if (!mended)
        improve_first(f);
}
