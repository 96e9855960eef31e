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
#define EXCHANGE_STEPS 800
#define EXCHANGE_COST 20      /* pivots that take as long as one step */
#define EXCHANGE_COLUMNS 1350 /* boxes up to this size are followed by an exchange search */
#define EXCHANGE_PATIENCE 200
#define MEND_COLUMNS 70 /* boxes around solutions of earlier runs */
#define MEND_PIVOTS 600
#define MEND_GAP 1.25 /* times the usual gap: farther from the relaxation, a solution is not near enough */
#define MEND_EXCHANGE_COLUMNS 150
#define MEND_EXCHANGE_STEPS 40

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
    if (matrix_replace(&warm->matrix, cut_rows_change(&warm->matrix.p, NULL, first, drop), first)) {
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

/* One box of the whole; true when it brought a better solution. *exhausted: it holds nothing better than that. */
static bool try_box(Fast *f, const BoxPlan *plan, bool *exhausted)
{
    Run *run = f->run;
    const size_t n = (size_t)run->problem->columns + 1;
    Job job = {.from = run->matrix,
               .basis = plan->basis,
               .low = mem_new(n, sizeof(int64_t)),
               .high = mem_new(n, sizeof(int64_t))};
    neighbourhood_box(run->matrix, plan->centre, plan->other, run->reduced_cost, plan->size, plan->seed, job.low,
                      job.high);
    for (size_t j = 0; j + 1 < n; j++) { /* what is proven about the whole holds here too */
        job.low[j] = job.low[j] < run->low[j] ? run->low[j] : job.low[j] > run->high[j] ? run->high[j] : job.low[j];
        job.high[j] = job.high[j] > run->high[j] ? run->high[j] : job.high[j] < run->low[j] ? run->low[j] : job.high[j];
    }
    job.task.wanted = run_wanted(run);
    job.task.threshold = SEARCH_MINUS_INFINITY;
    job.task.bound = SEARCH_PLUS_INFINITY;
    job.task.limit = fast_job_limit(run, plan->pivots, 1);
    job.task.first_only = plan->first_only;
    batch_run(&job, 1, 1, run->options->cancel);
    fast_count_job(run, &job);
    *exhausted = job.exhausted;
    const bool better = job.x && run_offer(run, job.x);
    job_release(&job);
    return better;
}

/* One exchange search; x[columns of the matrix] is as in exchange.h. */
static bool exchange_in(Fast *f, Exchange *e, int64_t most, int64_t *x)
{
    const Run *run = f->run;
    int64_t value = 0, steps = 0;
    e->steps = fast_job_limit(run, most * EXCHANGE_COST, 4) / EXCHANGE_COST;
    e->patience = EXCHANGE_PATIENCE < most / 4 ? EXCHANGE_PATIENCE : most / 4;
    e->cancel = run->options->cancel;
    const bool found = exchange_search(e, x, &value, &steps);
    f->run->statistics.pivots += steps * EXCHANGE_COST;
    return found;
}

/* The same with thresholds where `start` has them, so that rows are all there is to keep. */
static bool exchange_protected(Fast *f, const Exchange *plan, int64_t most, int64_t *x)
{
    const SearchProblem *p = f->run->problem;
    SearchProblem *plain = protections_plain(p, plan->start);
    bool found = false;
    if (search_problem_trouble(plain) == NULL) {
        Matrix matrix;
        matrix_init(&matrix, plain);
        double *dual = mem_new((size_t)p->rows + 1, sizeof *dual);
        for (int i = 0; i < p->rows; i++)
            dual[i] = f->run->row_dual[i] * (double)matrix.divisor[i];
        for (int r = 0; r < p->protections->count; r++)
            dual[p->protections->row[r].row] /= (double)p->protections->row[r].weight;
        Exchange e = *plan;
        e.matrix = &matrix;
        e.row_dual = dual;
        found = exchange_in(f, &e, most, x);
        mem_free(dual);
        matrix_release(&matrix);
    }
    problem_free(plain);
    return found;
}

static void exchange(Fast *f, const double *start, int size, int64_t most)
{
    Run *run = f->run;
    int64_t *x = mem_new((size_t)run->problem->columns + 1, sizeof *x);
    double *dual = mem_new((size_t)run->matrix->p.rows + 1, sizeof *dual);
    memcpy(dual, f->root_y, (size_t)run->matrix->p.rows * sizeof *dual);
    Exchange e = {.matrix = run->matrix,
                  .low = run->low,
                  .high = run->high,
                  .start = start,
                  .row_dual = dual,
                  .reduced_cost = run->reduced_cost,
                  .size = size};
    if (run->problem->protections != NULL ? exchange_protected(f, &e, most, x) : exchange_in(f, &e, most, x))
        run_offer(run, x);
    mem_free(x);
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
    if (any && !run->has_solution && !run_over(run))
        exchange(f, centre, MEND_EXCHANGE_COLUMNS, MEND_EXCHANGE_STEPS);
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
    bool all = false;
    const int columns = run->problem->columns;
    if (f->again && !run_over(run))
        mend(f);
    const bool mended = run->has_solution;
    for (int64_t size = 150; !run->has_solution && !run_over(run) && !all; size *= 3) {
        try_box(f, &(BoxPlan){f->root_x, NULL, size < columns ? (int)size : columns, 0, FIRST_PIVOTS, true, NULL},
                &all);
        all = all && size >= columns;
        if (all && !run->has_solution)
            run_close(run);
        if (!run->has_solution && !run_over(run) && size <= EXCHANGE_COLUMNS)
            exchange(f, f->root_x, 2 * (int)size, EXCHANGE_STEPS);
        if (size >= columns)
            break;
    }
    run_progress(run);
    if (!mended)
        improve_first(f);
}
