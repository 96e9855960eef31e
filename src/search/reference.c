/* reference.c - the reference engine: GLPK throughout.
 *
 * 1. The relaxation by glp_simplex; its duals give the exact root bound.
 * 2. glp_intopt with all its cuts and its feasibility pump, for a share of the effort, to find solutions. Its own
 * bounds come from floating point and are not believed. Its node simplex can't be interrupted and was seen to cycle for
 * ever on tiny programmes with large coefficients: it is left out where the tree alone will do, and where coefficients
 * are large.
 * 3. A tree of our own on glp_simplex: depth first into the side that the relaxation leans to, the other side kept, the
 * next start from the open node with the highest bound. A node is closed only by exact.c or propagate.c; what floating
 * point can't settle is branched on until all columns are fixed, where the exact test of the point decides. Columns
 * that are continuous are branched on last (matrix.h). Source: A. H. Land and A. G. Doig, Econometrica 28, 1960; GLPK
 * reference manual, version 5.0. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/engine.h"
#include "search/linear/glpk.h"
#include "search/tree/propagate.h"

#define INTEGRAL 1e-6
#define PROGRESS_EVERY 64
#define INTOPT_COLUMNS 35          /* with fewer the tree alone will do */
#define INTOPT_COEFFICIENT 4000000 /* with larger ones GLPK's node simplex may cycle */

typedef struct Node Node;
struct Node { /* an open node: the change that made it, and those above */
    Node *parent;
    int references;
    int column;
    int64_t low, high;
    int64_t bound;
};

typedef struct {
    Run *run;
    GlpkRelaxation lp;
    Exact exact;
    Propagator propagator;
    Node **heap; /* by bound, highest first */
    size_t count, capacity;
    int64_t *low, *high, *point;
} Reference;

/* --- open nodes --- */

static void node_drop(Node *node)
{
    while (node && --node->references == 0) {
        Node *parent = node->parent;
        mem_free(node);
        node = parent;
    }
}

static void heap_push(Reference *r, Node *node)
{
    mem_reserve((void **)&r->heap, &r->capacity, r->count + 1, sizeof *r->heap);
    size_t at = r->count++;
    for (; at > 0 && r->heap[(at - 1) / 2]->bound < node->bound; at = (at - 1) / 2)
        r->heap[at] = r->heap[(at - 1) / 2];
    r->heap[at] = node;
}

static Node *heap_pop(Reference *r)
{
    Node *top = r->heap[0], *last = r->heap[--r->count];
    size_t at = 0;
    for (;;) {
        size_t child = 2 * at + 1;
        if (child >= r->count)
            break;
        if (child + 1 < r->count && r->heap[child + 1]->bound > r->heap[child]->bound)
            child++;
        if (r->heap[child]->bound <= last->bound)
            break;
        r->heap[at] = r->heap[child];
        at = child;
    }
    r->heap[at] = last;
    return top;
}

static Node *node_new(Node *parent, int column, int64_t low, int64_t high, int64_t bound)
{
    Node *node = mem_new(1, sizeof *node);
    if (parent)
        parent->references++;
    *node = (Node){.parent = parent, .references = 1, .column = column, .low = low, .high = high, .bound = bound};
    return node;
}

/* --- points from the relaxation --- */

static void round_and_offer(Reference *r, const double *x)
{
    const SearchProblem *p = r->run->problem;
    for (int j = 0; j < p->columns; j++)
        r->point[j] = whole_within(x[j], p->low[j], p->high[j]);
    run_offer(r->run, r->point);
}

/* --- step 2 --- */

typedef struct {
    Reference *reference;
    glp_prob *lp;
    int64_t most;
    double *x;
} Intopt;

static void take_intopt_point(Intopt *intopt, glp_prob *lp)
{
    for (int j = 0; j < intopt->reference->run->problem->columns; j++)
        intopt->x[j] = glp_mip_col_val(lp, j + 1);
    round_and_offer(intopt->reference, intopt->x);
}

static void intopt_callback(glp_tree *tree, void *info)
{
    Intopt *intopt = info;
    const Run *run = intopt->reference->run;
    if (glp_ios_reason(tree) == GLP_IBINGO)
        take_intopt_point(intopt, glp_ios_get_prob(tree));
    const int64_t used = glp_get_it_cnt(intopt->lp);
    const bool effort = run->options->effort > 0 && run->statistics.pivots + used >= run->options->effort;
    if (used >= intopt->most || effort || run_over(run))
        glp_ios_terminate(tree);
}

static bool fit_for_intopt(const Matrix *m)
{
    for (int i = 0; i < m->p.rows; i++)
        if (m->row_largest[i] > INTOPT_COEFFICIENT)
            return false;
    return m->p.columns >= INTOPT_COLUMNS;
}

static void first_solutions(Reference *r)
{
    Run *run = r->run;
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.gmi_cuts = control.mir_cuts = control.cov_cuts = control.clq_cuts = GLP_ON;
    control.fp_heur = GLP_ON;
    Intopt intopt = {.reference = r, .lp = r->lp.lp, .most = 20000 + 20 * (int64_t)run->problem->rows};
    if (run->options->effort > 0)
        intopt.most = (run->options->effort - run->statistics.pivots) / 2;
    control.cb_func = intopt_callback;
    control.cb_info = &intopt;
    intopt.x = mem_new((size_t)run->problem->columns + 1, sizeof *intopt.x);
    const int before = glp_get_it_cnt(r->lp.lp);
    intopt.most += before;
    run->statistics.pivots -= before; /* the callback adds the programme's own count */
    glp_intopt(r->lp.lp, &control);
    run->statistics.pivots += glp_get_it_cnt(r->lp.lp);
    const int status = glp_mip_status(r->lp.lp);
    if (status == GLP_OPT || status == GLP_FEAS)
        take_intopt_point(&intopt, r->lp.lp);
    mem_free(intopt.x);
}

/* --- step 3 --- */

static void apply(Reference *r, const Node *node)
{
    const size_t n = (size_t)r->run->problem->columns;
    memcpy(r->low, r->run->low, n * sizeof *r->low);
    memcpy(r->high, r->run->high, n * sizeof *r->high);
    for (; node; node = node->parent)
        if (node->column >= 0) {
            int64_t *low = &r->low[node->column], *high = &r->high[node->column];
            *low = node->low > *low ? node->low : *low;
            *high = node->high < *high ? node->high : *high;
            propagator_touch_column(&r->propagator, node->column);
        }
}

static bool box_empty(const Reference *r)
{
    for (int j = 0; j < r->run->problem->columns; j++)
        if (r->low[j] > r->high[j])
            return true;
    return false;
}

/* The most fractional column, integer ones first; with none, the widest. -1 when all are fixed. */
static int branching_column(const Reference *r, bool trusted)
{
    const SearchProblem *p = &r->run->matrix->p;
    int best = -1;
    double best_score = -1;
    for (int j = 0; j < p->columns; j++) {
        if (r->low[j] == r->high[j])
            continue;
        const double off = trusted ? fabs(r->lp.x[j] - floor(r->lp.x[j] + 0.5)) : 0.0;
        double score = off > INTEGRAL ? 10.0 + off : 0.0;
        if (p->kind[j] != SEARCH_CONTINUOUS)
            score += 100.0;
        if (off <= INTEGRAL)
            score = (p->kind[j] != SEARCH_CONTINUOUS ? 1.0 : 0.0) + 0.5 / (1.0 + (double)(r->high[j] - r->low[j]));
        if (score > best_score) {
            best_score = score;
            best = j;
        }
    }
    return best;
}

typedef enum { NODE_CLOSED, NODE_BRANCH, NODE_INTERRUPTED } NodeFate;

/* Solves the relaxation in the box r->low..high; *bound is lowered to what is proven, *column is what to branch on. */
static NodeFate examine(Reference *r, int64_t *bound, int *column, double *lean)
{
    Run *run = r->run;
    if (box_empty(r) || !propagate(&r->propagator, r->low, r->high))
        return NODE_CLOSED;
    glpk_relaxation_box(&r->lp, r->low, r->high);
    int64_t left = 0;
    if (run->options->effort > 0) {
        left = run->options->effort - run->statistics.pivots;
        if (left <= 0)
            return NODE_INTERRUPTED;
    }
    const int64_t before = r->lp.pivots;
    const RelaxationStatus status = glpk_relaxation_solve(&r->lp, left, run->options->cancel);
    run->statistics.pivots += r->lp.pivots - before;
    const bool farkas = status == RELAXATION_INFEASIBLE;
    const bool valid = exact_evaluate(&r->exact, r->low, r->high, r->lp.y, !farkas);
    if (farkas && valid && exact_infeasible(&r->exact))
        return NODE_CLOSED;
    if (!farkas && valid) {
        const int64_t own = grain_floor(run->grain, exact_bound(&r->exact));
        *bound = own < *bound ? own : *bound;
        if (*bound < run_wanted(run))
            return NODE_CLOSED;
        if (run->has_solution)
            exact_tighten(&r->exact, r->low, r->high, run_wanted(run));
    }
    if (status == RELAXATION_LIMIT)
        return NODE_INTERRUPTED;
    const bool trusted = status == RELAXATION_OPTIMAL;
    if (!trusted)
        run->statistics.unsettled++;
    else
        round_and_offer(r, r->lp.x);
    if (*bound < run_wanted(run))
        return NODE_CLOSED;
    *column = branching_column(r, trusted);
    if (*column < 0) {
        run_offer(run, r->low);
        return NODE_CLOSED;
    }
    *lean = trusted ? r->lp.x[*column] : (double)r->low[*column];
    return NODE_BRANCH;
}

static Node *branch(Reference *r, Node *node, int64_t bound, int column, double lean)
{
    const int64_t low = r->low[column], high = r->high[column];
    int64_t down = lean <= (double)low ? low : lean >= (double)high ? high - 1 : (int64_t)floor(lean);
    if (down >= high)
        down = high - 1;
    Node *below = node_new(node, column, low, down, bound), *above = node_new(node, column, down + 1, high, bound);
    const bool up_first = lean - (double)down > 0.5;
    node_drop(node);
    heap_push(r, up_first ? below : above);
    return up_first ? above : below;
}

static void lower_run_bound(Reference *r, const Node *current)
{
    int64_t open = SEARCH_MINUS_INFINITY;
    if (r->count > 0)
        open = r->heap[0]->bound;
    if (current && current->bound > open)
        open = current->bound;
    run_open_bound(r->run, open);
}

static void grow_tree(Reference *r)
{
    Run *run = r->run;
    Node *node = node_new(NULL, -1, 0, 0, run->bound);
    while (!run_over(run)) {
        if (!node) {
            if (r->count == 0)
                break;
            node = heap_pop(r);
        }
        int column = -1;
        double lean = 0;
        NodeFate fate = NODE_CLOSED;
        if (node->bound >= run_wanted(run)) {
            apply(r, node);
            fate = examine(r, &node->bound, &column, &lean);
            run->statistics.nodes++;
        }
        if (fate == NODE_INTERRUPTED)
            break;
        if (fate == NODE_BRANCH) {
            node = branch(r, node, node->bound, column, lean);
        } else {
            node_drop(node);
            node = NULL;
        }
        lower_run_bound(r, node);
        if (run->statistics.nodes % PROGRESS_EVERY == 0)
            run_progress(run);
    }
    node_drop(node);
}

static void root_relaxation(Reference *r)
{
    Run *run = r->run;
    const RelaxationStatus status = glpk_relaxation_solve(&r->lp, run->options->effort, run->options->cancel);
    run->statistics.pivots += r->lp.pivots;
    const bool farkas = status == RELAXATION_INFEASIBLE;
    if (!exact_evaluate(&r->exact, run->low, run->high, r->lp.y, !farkas))
        return;
    if (farkas) {
        run->empty = exact_infeasible(&r->exact);
        return;
    }
    run_lower_bound(run, exact_bound(&r->exact));
    run->statistics.root_bound = run->bound;
    for (int i = 0; i < run->problem->rows; i++)
        run->row_dual[i] = r->lp.y[i] / (double)run->matrix->divisor[i];
    for (int j = 0; j < run->problem->columns; j++)
        run->reduced_cost[j] = exact_reduced_cost(&r->exact, j);
    if (status == RELAXATION_OPTIMAL) {
        round_and_offer(r, r->lp.x);
        run_progress(run);
    }
}

static void work(void *argument)
{
    Reference *r = argument;
    glpk_relaxation_init(&r->lp, r->run->matrix);
    root_relaxation(r);
    if (!run_over(r->run) && glp_get_status(r->lp.lp) == GLP_OPT && fit_for_intopt(r->run->matrix))
        first_solutions(r);
    if (!run_over(r->run))
        grow_tree(r);
    glpk_relaxation_release(&r->lp);
}

void reference_run(Run *run)
{
    Reference r = {.run = run};
    const size_t n = (size_t)run->problem->columns + 1;
    exact_init(&r.exact, run->matrix);
    propagator_init(&r.propagator, run->matrix);
    propagator_touch_all(&r.propagator);
    r.low = mem_new(n, sizeof *r.low);
    r.high = mem_new(n, sizeof *r.high);
    r.point = mem_new(n, sizeof *r.point);
    if (!propagate(&r.propagator, run->low, run->high))
        run->empty = true;
    else if (!glpk_guarded(work, &r))
        run->failure = "the simplex library gave up";
    for (size_t k = 0; k < r.count; k++)
        node_drop(r.heap[k]);
    mem_free(r.heap);
    mem_free(r.low);
    mem_free(r.high);
    mem_free(r.point);
    propagator_release(&r.propagator);
    exact_release(&r.exact);
}
