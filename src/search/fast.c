/* fast.c - the fast engine.
 *
 * 1. The relaxation of the whole by simplex.c; its exact bound and reduced costs.
 * 2. First solutions: boxes of the columns with least |reduced cost| around the relaxation, searched depth first.
 * 3. Reduced costs and the incumbent fix most columns by exact evaluation: what is open is the core. It is made anew when better incumbents shrink it.
 * 4. What is not done after some rounds is hard: rounding cuts on the core. Their bound and the fixings that follow from it are used in any case; the rows stay,
 *    and the tree begins anew with them, only where they close much of the gap, since dense rows make every node dearer.
 * 5. Rounds of jobs: the open nodes with the highest bounds, each searched depth first for a number of pivots down to a threshold, and boxes around incumbents
 *    and the relaxation. All jobs of a round see the same state; their results are merged in order. So neither the number of threads nor time matters.
 * A bound is taken from open nodes only, and every node is closed by exact.c or propagate.c. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/batch.h"
#include "search/engine.h"
#include "search/exchange.h"
#include "search/glpk.h"
#include "search/neighbourhood.h"
#include "search/open.h"
#include "search/propagate.h"
#include "search/strengthen.h"

#define TREE_JOBS 6
#define BOX_JOBS 2
#define JOBS (TREE_JOBS + BOX_JOBS)
#define TREE_PIVOTS 600
#define FIRST_NODE_PIVOTS 100000
#define BOX_PIVOTS 4000
#define FIRST_PIVOTS 3000
#define CUT_AFTER 1000       /* pivots: what is easy is done by then */
#define CUT_COLUMNS 4000     /* with more open columns separation takes too long */
#define CUT_SHARE 0.4        /* of the gap between the core's relaxation and the incumbent that cuts must close to stay */
#define FIRST_BOX 80
#define MOST_FIRST_BOXES 16
#define SMALL_GAP 0.0005
#define EXCHANGE_STEPS 800
#define EXCHANGE_COST 20      /* pivots that take as long as one step */
#define EXCHANGE_COLUMNS 1350 /* boxes up to this size are followed by an exchange search */
#define EXCHANGE_PATIENCE 200

typedef struct {
    Run *run;
    Exact exact;             /* of the whole */
    Core *core;
    int threads;
    OpenSet open;
    PseudoCost *known;       /* [core columns] */
    double *root_x, *root_y; /* of the whole */
    int64_t first_wanted;
    uint64_t rounds, boxes;
    bool cuts_tried, cuts_kept;
    int idle_boxes;          /* box jobs since the last that improved */
    int box_size;
} Fast;

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
    if (status == RELAXATION_INFEASIBLE && exact_evaluate(&f->exact, f->run->low, f->run->high, lp.y, false) && exact_infeasible(&f->exact))
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
    for (int j = 0; j < run->problem->columns; j++)
        run->reduced_cost[j] = exact_reduced_cost(&f->exact, j);
    if (run->has_solution)
        exact_tighten(&f->exact, run->low, run->high, run_wanted(run));
}

static void root(Fast *f)
{
    Run *run = f->run;
    Simplex *simplex = simplex_new(run->matrix);
    simplex_box(simplex, run->low, run->high);
    const RelaxationStatus status = simplex_solve(simplex, run->options->effort, -INFINITY, run->options->cancel);
    run->statistics.pivots += simplex_pivots(simplex);
    memcpy(f->root_x, simplex_x(simplex), (size_t)run->problem->columns * sizeof *f->root_x);
    memcpy(f->root_y, simplex_y(simplex), (size_t)run->matrix->p.rows * sizeof *f->root_y);
    bool settled = status == RELAXATION_OPTIMAL || status == RELAXATION_LIMIT;
    if (status == RELAXATION_INFEASIBLE && exact_evaluate(&f->exact, run->low, run->high, f->root_y, false))
        settled = run->empty = exact_infeasible(&f->exact);
    simplex_free(simplex);
    if (!settled)
        glpk_guarded(root_by_glpk, f);
    take_root_bound(f);
}

/* --- boxes --- */

static int64_t job_limit(const Run *run, int64_t usual, int jobs)
{
    if (run->options->effort == 0)
        return usual;
    const int64_t share = (run->options->effort - run->statistics.pivots) / jobs + 1;
    return share < usual ? share : usual;
}

static void count_job(Run *run, const Job *job)
{
    run->statistics.pivots += job->task.pivots;
    run->statistics.nodes += job->task.nodes;
    run->statistics.unsettled += job->task.unsettled;
}

/* One box of the whole, around the relaxation or (around) the best solution; true when it brought a better one. */
static bool try_first_box(Fast *f, int size, bool first_only, bool around, uint64_t seed, bool *exhausted)
{
    Run *run = f->run;
    const size_t n = (size_t)run->problem->columns + 1;
    Job job = {.from = run->matrix, .low = mem_new(n, sizeof(int64_t)), .high = mem_new(n, sizeof(int64_t))};
    double *centre = NULL;
    if (around) {
        centre = mem_new(n, sizeof *centre);
        for (size_t j = 0; j + 1 < n; j++)
            centre[j] = (double)run->x[j];
    }
    neighbourhood_box(run->matrix, around ? centre : f->root_x, around ? f->root_x : NULL, run->reduced_cost, size, seed, job.low, job.high);
    mem_free(centre);
    for (size_t j = 0; j + 1 < n; j++) { /* what is proven about the whole holds here too */
        job.low[j] = job.low[j] < run->low[j] ? run->low[j] : job.low[j] > run->high[j] ? run->high[j] : job.low[j];
        job.high[j] = job.high[j] > run->high[j] ? run->high[j] : job.high[j] < run->low[j] ? run->low[j] : job.high[j];
    }
    job.task.wanted = run_wanted(run);
    job.task.threshold = SEARCH_MINUS_INFINITY;
    job.task.bound = SEARCH_PLUS_INFINITY;
    job.task.limit = job_limit(run, FIRST_PIVOTS, 1);
    job.task.first_only = first_only;
    batch_run(&job, 1, 1, run->options->cancel);
    count_job(run, &job);
    *exhausted = job.exhausted;
    const bool better = job.x && run_offer(run, job.x);
    job_release(&job);
    return better;
}

static void exchange(Fast *f, int size)
{
    Run *run = f->run;
    int64_t *x = mem_new((size_t)run->problem->columns + 1, sizeof *x), value = 0, steps = 0;
    double *dual = mem_new((size_t)run->matrix->p.rows + 1, sizeof *dual);
    memcpy(dual, f->root_y, (size_t)run->matrix->p.rows * sizeof *dual);
    const Exchange e = {.matrix = run->matrix, .low = run->low, .high = run->high, .start = f->root_x, .row_dual = dual,
                        .reduced_cost = run->reduced_cost, .size = size, .steps = job_limit(run, EXCHANGE_STEPS * EXCHANGE_COST, 4) / EXCHANGE_COST, .patience = EXCHANGE_PATIENCE,
                        .cancel = run->options->cancel};
    if (exchange_search(&e, x, &value, &steps))
        run_offer(run, x);
    run->statistics.pivots += steps * EXCHANGE_COST;
    mem_free(x);
    mem_free(dual);
}

/* Boxes around the relaxation and the best solution so far, larger ones where nothing is left in them, while they gain much. */
static void improve_first(Fast *f)
{
    Run *run = f->run;
    int idle = 0, size = FIRST_BOX;
    for (int k = 0; k < MOST_FIRST_BOXES && run->has_solution && !run_over(run) && idle < 3; k++) {
        const int64_t before = run->value, gap = run->bound - before;
        if (k > 0 && (double)gap < SMALL_GAP * fabs((double)before))
            return;
        bool exhausted = false;
        try_first_box(f, size, false, k > 0, (uint64_t)k, &exhausted);
        size += exhausted ? size / 2 : 0;
        idle = (run->value - before) * 20 > gap ? 0 : idle + 1;
        run_progress(run);
    }
}

static void first_solutions(Fast *f)
{
    Run *run = f->run;
    bool all = false;
    const int columns = run->problem->columns;
    for (int64_t size = 150; !run->has_solution && !run_over(run) && !all; size *= 3) {
        try_first_box(f, size < columns ? (int)size : columns, true, false, 0, &all);
        all = all && size >= columns;
        if (all && !run->has_solution)
            run->empty = true;
        if (!run->has_solution && !run_over(run) && size <= EXCHANGE_COLUMNS)
            exchange(f, 2 * (int)size);
        if (size >= columns)
            break;
    }
    run_progress(run);
    improve_first(f);
}

/* --- the core --- */

static void tighten_whole(Fast *f)
{
    Run *run = f->run;
    /* the fixings of the root are taken from the box it was evaluated in: run->low and high only ever shrink, so the evaluation is redone */
    if (run->has_solution && exact_evaluate(&f->exact, run->low, run->high, f->root_y, true)) {
        run_lower_bound(run, exact_bound(&f->exact) > run->value ? exact_bound(&f->exact) : run->value);
        exact_tighten(&f->exact, run->low, run->high, run_wanted(run));
    }
}

static int open_columns(const Run *run)
{
    int open = 0;
    for (int j = 0; j < run->problem->columns; j++)
        open += run->low[j] != run->high[j];
    return open;
}

static void make_core(Fast *f)
{
    Run *run = f->run;
    Core *core = core_new(run->matrix, run->low, run->high);
    PseudoCost *known = core ? mem_new((size_t)core->matrix.p.columns + 1, sizeof *known) : NULL;
    if (core && f->core) {
        for (int j = 0; j < core->matrix.p.columns; j++)
            if (f->core->place[core->map[j]] >= 0)
                known[j] = f->known[f->core->place[core->map[j]]];
        open_set_move(&f->open, f->core, core);
    } else if (core) {
        open_set_push(&f->open, open_node_new(run->bound - core->offset, 0));
    } else {
        open_set_release(&f->open);
    }
    mem_free(f->known);
    f->known = known;
    core_free(f->core);
    f->core = core;
    run->statistics.fixed_columns = run->problem->columns - open_columns(run);
}

/* --- cuts --- */

/* Bound, fixings and share of the gap closed by the relaxation of a matrix with the core's columns. */
static double judge(Fast *f, const Matrix *strong, double before)
{
    Run *run = f->run;
    Exact exact;
    exact_init(&exact, strong);
    Simplex *simplex = simplex_new(strong);
    const RelaxationStatus status = simplex_solve(simplex, job_limit(run, INT64_MAX, 1), -INFINITY, run->options->cancel);
    run->statistics.pivots += simplex_pivots(simplex);
    double share = 0;
    const size_t n = (size_t)strong->p.columns;
    int64_t *low = mem_new(n + 1, sizeof *low), *high = mem_new(n + 1, sizeof *high);
    memcpy(low, strong->p.low, n * sizeof *low);
    memcpy(high, strong->p.high, n * sizeof *high);
    if (status == RELAXATION_OPTIMAL && exact_evaluate(&exact, low, high, simplex_y(simplex), true)) {
        const int64_t bound = exact_bound(&exact) + f->core->offset;
        share = (before - (double)bound) / fmax(1.0, before - (double)run->value);
        run_lower_bound(run, bound > run->value ? bound : run->value);
        if (run->bound < run->statistics.root_bound)
            run->statistics.root_bound = run->bound;
        exact_tighten(&exact, low, high, run_wanted(run) - f->core->offset);
        for (size_t j = 0; j < n; j++) {
            int64_t *l = &run->low[f->core->map[j]], *h = &run->high[f->core->map[j]];
            *l = low[j] > *l ? low[j] : *l;
            *h = high[j] < *h ? high[j] : *h;
        }
    }
    mem_free(low);
    mem_free(high);
    simplex_free(simplex);
    exact_release(&exact);
    return share;
}

static double core_relaxation(Fast *f)
{
    Simplex *simplex = simplex_new(&f->core->matrix);
    simplex_solve(simplex, job_limit(f->run, INT64_MAX, 1), -INFINITY, f->run->options->cancel);
    f->run->statistics.pivots += simplex_pivots(simplex);
    const double value = simplex_value(simplex) + (double)f->core->offset;
    simplex_free(simplex);
    return value;
}

/* Rows of cuts for the core, if they are worth it. The core's own rows keep their numbers. */
static void add_cuts(Fast *f)
{
    Run *run = f->run;
    Matrix strong;
    StrengthenCount count;
    const double before = core_relaxation(f);
    matrix_init(&strong, &f->core->matrix.p);
    strengthen(&strong, run->options, &count);
    run->statistics.pivots += count.pivots;
    const bool keep = count.cuts > 0 && judge(f, &strong, before) >= CUT_SHARE;
    if (keep) {
        matrix_release(&f->core->matrix);
        f->core->matrix = strong;
        run->statistics.cuts = count.cuts;
    } else {
        matrix_release(&strong);
    }
    f->cuts_kept = keep;
}

/* --- rounds --- */

static int64_t core_value(const Fast *f, int64_t value)
{
    return value <= SEARCH_MINUS_INFINITY + 1 ? SEARCH_MINUS_INFINITY + 1 : value - f->core->offset;
}

static void plan_box(Fast *f, Job *job, int jobs)
{
    Run *run = f->run;
    const Matrix *m = &f->core->matrix;
    const size_t n = (size_t)m->p.columns + 1;
    double *centre = mem_new(n, sizeof *centre), *other = mem_new(n, sizeof *other), *cost = mem_new(n, sizeof *cost);
    for (int j = 0; j < m->p.columns; j++) {
        const int whole = f->core->map[j];
        centre[j] = (double)run->x[whole];
        other[j] = f->root_x[whole];
        cost[j] = run->reduced_cost[whole];
    }
    *job = (Job){.from = m, .known = f->known, .low = mem_new(n, sizeof(int64_t)), .high = mem_new(n, sizeof(int64_t))};
    const uint64_t number = f->boxes++;
    const int size = f->box_size;
    if (number % 4 == 0)
        neighbourhood_box(m, other, NULL, cost, size, number / 4, job->low, job->high);
    else
        neighbourhood_box(m, centre, other, cost, size, number, job->low, job->high);
    job->task.wanted = core_value(f, run_wanted(run));
    job->task.threshold = SEARCH_MINUS_INFINITY;
    job->task.bound = SEARCH_PLUS_INFINITY;
    job->task.limit = job_limit(run, BOX_PIVOTS, jobs);
    mem_free(centre);
    mem_free(other);
    mem_free(cost);
}

/* False when the node turns out to be empty. */
static bool plan_tree(Fast *f, Job *job, int jobs, int64_t threshold)
{
    const SearchProblem *p = &f->core->matrix.p;
    const size_t n = (size_t)p->columns;
    *job = (Job){.from = &f->core->matrix, .node = open_set_pop(&f->open), .known = f->known};
    job->low = mem_new(n + 1, sizeof *job->low);
    job->high = mem_new(n + 1, sizeof *job->high);
    memcpy(job->low, p->low, n * sizeof *job->low);
    memcpy(job->high, p->high, n * sizeof *job->high);
    job->task.wanted = core_value(f, run_wanted(f->run));
    job->task.threshold = threshold;
    job->task.bound = job->node->bound;
    job->task.limit = job_limit(f->run, TREE_PIVOTS, jobs);
    job->task.first_limit = job_limit(f->run, FIRST_NODE_PIVOTS, jobs);
    if (open_node_box(job->node, p->columns, job->low, job->high))
        return true;
    job_release(job);
    return false;
}

/* Nodes above this are worked on: a little below the highest, all when there is no room for more open nodes. */
static int64_t threshold_now(const Fast *f)
{
    const Run *run = f->run;
    const int64_t top = open_set_bound(&f->open), wanted = core_value(f, run_wanted(run));
    int64_t threshold = wanted;
    if (run->has_solution && !open_set_full(&f->open))
        threshold = top - (top - wanted) / 5;
    const int64_t enough = core_value(f, run_enough(run));
    if (run->has_solution && enough + 1 > threshold && enough < top)
        threshold = enough + 1;
    return threshold < top ? threshold : top;
}

static bool merge(Fast *f, Job *job)
{
    Run *run = f->run;
    bool better = false;
    count_job(run, job);
    if (job->x) {
        int64_t *whole = mem_new((size_t)run->problem->columns + 1, sizeof *whole);
        core_expand(f->core, job->x, whole);
        better = run_offer(run, whole);
        mem_free(whole);
    }
    if (!job->node) {
        f->idle_boxes = better ? 0 : f->idle_boxes + 1;
        if (job->exhausted && f->box_size < 400 && !better)
            f->box_size += f->box_size / 5;
        else if (!job->exhausted && f->box_size > 50)
            f->box_size -= f->box_size / 20;
        return better;
    }
    const size_t left = job->open_count;
    const bool on_stack = open_set_full(&f->open); /* the deepest come first in the list, and have to come last there */
    for (size_t k = 0; k < left; k++)
        open_set_push(&f->open, job->open[on_stack ? left - 1 - k : k]);
    job->open_count = 0;
    for (int j = 0; job->learned && j < f->core->matrix.p.columns; j++)
        for (int up = 0; up < 2; up++) {
            f->known[j].sum[up] += job->learned[j].sum[up];
            f->known[j].count[up] += job->learned[j].count[up];
        }
    return better;
}

static void lower_run_bound(Fast *f)
{
    Run *run = f->run;
    if (open_set_empty(&f->open)) {
        run->empty = true;
        return;
    }
    const int64_t open = open_set_bound(&f->open) + f->core->offset;
    run_lower_bound(run, run->has_solution && run->value > open ? run->value : open);
}

static void renew_core(Fast *f)
{
    make_core(f);
    if (f->core && f->cuts_kept)
        add_cuts(f);
    if (open_set_empty(&f->open))
        f->run->empty = true;
}

/* Once, when the search turns out to be hard. */
static void try_cuts(Fast *f)
{
    Run *run = f->run;
    if (f->cuts_tried || !run->has_solution || run->statistics.pivots < CUT_AFTER || f->core->matrix.p.columns > CUT_COLUMNS)
        return;
    f->cuts_tried = true;
    add_cuts(f);
    if (run_over(run))
        return;
    if (f->cuts_kept) { /* the tree so far was grown without them */
        open_set_release(&f->open);
        open_set_push(&f->open, open_node_new(run->bound - f->core->offset, 0));
    }
    if (open_columns(run) < f->core->matrix.p.columns * 9 / 10)
        renew_core(f);
}

static void one_round(Fast *f)
{
    Run *run = f->run;
    Job job[JOBS];
    int count = 0;
    const int64_t threshold = threshold_now(f);
    const bool early = f->idle_boxes < 24, boxes = run->has_solution && (early || f->rounds % 6 == 0);
    const int want_boxes = boxes ? (early ? BOX_JOBS : 1) : 0;
    int trees = 0;
    while (trees < TREE_JOBS && !open_set_empty(&f->open) && (trees == 0 || open_set_bound(&f->open) >= threshold))
        trees += plan_tree(f, &job[trees], TREE_JOBS + want_boxes, threshold);
    count = trees;
    for (int k = 0; k < want_boxes; k++)
        plan_box(f, &job[count++], TREE_JOBS + want_boxes);
    batch_run(job, count, f->threads, run->options->cancel);
    bool better = false;
    for (int k = 0; k < count; k++) {
        better = merge(f, &job[k]) || better;
        job_release(&job[k]);
    }
    f->rounds++;
    if (better) {
        open_set_prune(&f->open, core_value(f, run_wanted(run)));
        tighten_whole(f);
    }
    lower_run_bound(f);
    if (better && !open_set_empty(&f->open) && open_columns(run) < f->core->matrix.p.columns * 9 / 10)
        renew_core(f);
    run_progress(run);
}

void fast_run(Run *run)
{
    Fast f = {.run = run, .box_size = 100};
    const size_t n = (size_t)run->problem->columns + 1, m = (size_t)run->matrix->p.rows + 1;
    f.threads = run->options->threads > 1 ? (run->options->threads < JOBS ? run->options->threads : JOBS) : 1;
    f.root_x = mem_new(n, sizeof *f.root_x);
    f.root_y = mem_new(m, sizeof *f.root_y);
    exact_init(&f.exact, run->matrix);
    Propagator propagator;
    propagator_init(&propagator, run->matrix);
    propagator_touch_all(&propagator);
    if (!propagate(&propagator, run->low, run->high))
        run->empty = true;
    propagator_release(&propagator);
    if (!run_over(run))
        root(&f);
    if (!run_over(run))
        first_solutions(&f);
    if (!run_over(run)) {
        tighten_whole(&f);
        make_core(&f);
        if (!f.core)
            run->empty = true;
    }
    while (!run_over(run) && f.core) {
        one_round(&f);
        if (!run_over(run) && f.core)
            try_cuts(&f);
    }
    open_set_release(&f.open);
    core_free(f.core);
    exact_release(&f.exact);
    mem_free(f.known);
    mem_free(f.root_x);
    mem_free(f.root_y);
}
