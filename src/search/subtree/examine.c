/* examine.c - one node: propagation, the relaxation from the basis at hand, its exact bound, reduced-cost fixing by the
 * exact evaluation, propagation of that, again while something that matters moves. Where our own simplex is in doubt,
 * GLPK's multipliers may still close the node. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/linear/glpk.h"
#include "search/risk/protection.h"
#include "search/subtree/subtree_inner.h"

#define MOST_ROUNDS 4
#define FIRST_ORDERS 4 /* rounds of rows of orders at the first node */
#define LATER_ORDERS 1 /* at later ones, where they are asked for and there are not MANY_ORDERS rows of them */
#define MANY_ORDERS 100
#define MOST_ORDERS 60       /* rounds at any, where the point would be a solution */
#define ORDER_MISS 3e-4      /* of the side, for a row of an order to be added */
#define FALLBACK_PIVOTS 1000 /* GLPK's simplex may cycle, too */

static bool point_outside(const Worker *w, const Level *l)
{
    const double *x = simplex_x(w->simplex);
    for (int j = 0; j < w->core->matrix.p.columns; j++)
        if (x[j] < (double)l->low[j] - 1e-7 || x[j] > (double)l->high[j] + 1e-7)
            return true;
    return false;
}

/* Tightens by the last evaluation, and propagates what that brings. */
static bool tighten(Worker *w, Level *l, int64_t wanted)
{
    const int n = w->core->matrix.p.columns;
    int64_t *width = w->point;
    for (int j = 0; j < n; j++)
        width[j] = l->high[j] - l->low[j];
    if (exact_tighten(&w->exact, l->low, l->high, wanted) == 0)
        return true;
    for (int j = 0; j < n; j++)
        if (l->high[j] - l->low[j] < width[j])
            propagator_touch_column(&w->propagator, j);
    return propagate(&w->propagator, l->low, l->high);
}

typedef struct {
    Worker *worker;
    const Level *level;
    double *y;
    RelaxationStatus status;
    int64_t pivots;
} Fallback;

static void solve_by_glpk(void *argument)
{
    Fallback *f = argument;
    const Matrix *m = &f->worker->core->matrix;
    GlpkRelaxation lp;
    glpk_relaxation_init(&lp, m);
    glpk_relaxation_box(&lp, f->level->low, f->level->high);
    f->status = glpk_relaxation_solve(&lp, FALLBACK_PIVOTS, f->worker->cancel);
    f->pivots = lp.pivots;
    memcpy(f->y, lp.y, (size_t)m->p.rows * sizeof *f->y);
    glpk_relaxation_release(&lp);
}

/* When our own simplex is in doubt: GLPK's multipliers may still close the node. */
static Fate by_fallback(Task *task, Worker *w, const Level *l, int64_t *bound)
{
    Fallback f = {.worker = w, .level = l, .status = RELAXATION_TROUBLE};
    f.y = mem_new((size_t)w->core->matrix.p.rows + 1, sizeof *f.y);
    Fate fate = UNSETTLED;
    if (glpk_guarded(solve_by_glpk, &f)) {
        const bool farkas = f.status == RELAXATION_INFEASIBLE;
        if (exact_evaluate(&w->exact, l->low, l->high, f.y, !farkas)) {
            if (farkas && exact_infeasible(&w->exact))
                fate = CLOSED;
            const int64_t own = farkas ? *bound : grain_floor(w->core->grain, exact_bound(&w->exact));
            *bound = own < *bound ? own : *bound;
            if (*bound < task->wanted)
                fate = CLOSED;
            w->place = task_note(task, w, w->place, f.y, farkas);
        }
    }
    mem_free(f.y);
    task->pivots += f.pivots;
    if (fate == UNSETTLED)
        task->unsettled++;
    return fate;
}

static Fate relax(Task *task, Worker *w, Level *l, int64_t *bound)
{
    /* The first node of a task may take more, or a task whose first node is hard would never get anywhere. */
    const int64_t limit = task->nodes == 1 && task->first_limit > task->limit ? task->first_limit : task->limit;
    simplex_box(w->simplex, l->low, l->high);
    for (int attempt = 0;; attempt++) {
        const int64_t before = simplex_pivots(w->simplex), left = limit - task->pivots;
        const double cutoff = attempt == 0 ? (double)task->wanted - 0.5 : -INFINITY;
        const RelaxationStatus status =
            left > 0 ? simplex_solve(w->simplex, left, cutoff, w->cancel) : RELAXATION_LIMIT;
        task->pivots += simplex_pivots(w->simplex) - before;
        if (status == RELAXATION_LIMIT)
            return INTERRUPTED;
        if (status == RELAXATION_TROUBLE)
            return by_fallback(task, w, l, bound);
        const bool farkas = status == RELAXATION_INFEASIBLE;
        const bool valid = exact_evaluate(&w->exact, l->low, l->high, simplex_y(w->simplex), !farkas);
        const bool closed = valid && farkas && exact_infeasible(&w->exact);
        if (closed || (valid && !farkas))
            w->place = task_note(task, w, w->place, simplex_y(w->simplex), farkas);
        if (closed)
            return CLOSED;
        if (farkas && simplex_refresh(w->simplex))
            continue;
        if (farkas)
            return by_fallback(task, w, l, bound);
        if (valid) {
            const int64_t own = grain_floor(w->core->grain, exact_bound(&w->exact));
            *bound = own < *bound ? own : *bound;
        }
        if (*bound < task->wanted)
            return CLOSED;
        if (!valid)
            return by_fallback(task, w, l, bound);
        if (!simplex_was_cut_off(w->simplex))
            return SOLVED;
    }
}

static bool is_integral(const Worker *w)
{
    const SearchProblem *p = &w->core->matrix.p;
    const double *x = simplex_x(w->simplex);
    for (int j = 0; j < p->columns; j++)
        if (p->kind[j] != SEARCH_CONTINUOUS && fabs(x[j] - floor(x[j] + 0.5)) > 1e-6)
            return false;
    return true;
}

static int usual_rounds(const Task *task, const Worker *w)
{
    const bool often = task->order_often && w->core->matrix.p.protections->orders <= MANY_ORDERS;
    return w->at_first ? FIRST_ORDERS : often ? LATER_ORDERS : 0;
}

/* Rows of orders that the relaxation's point breaks: some at the first node, few later, and as many as it takes where
 * the point would be a solution without them. They hold in all of the core. */
static bool add_orders(const Task *task, Worker *w, int round)
{
    if (w->core->matrix.p.protections == NULL)
        return false;
    const bool needed = is_integral(w);
    if (round >= (needed ? MOST_ORDERS : usual_rounds(task, w)) ||
        protections_add_orders(&w->core->matrix, simplex_x(w->simplex), needed ? 0 : ORDER_MISS) == 0)
        return false;
    worker_grow(w);
    return true;
}

Fate node_examine(Task *task, Worker *w, Level *l, int64_t *bound)
{
    if (!propagate(&w->propagator, l->low, l->high))
        return CLOSED;
    for (int round = 0, orders = 0;; round++) {
        const Fate fate = relax(task, w, l, bound);
        if (fate != SOLVED)
            return fate;
        if (add_orders(task, w, orders++)) {
            round--;
            continue;
        }
        if (!tighten(w, l, task->wanted))
            return CLOSED;
        if (round >= MOST_ROUNDS || !point_outside(w, l))
            break;
    }
    const int64_t wanted = task->wanted;
    worker_round(w, l);
    task_offer(task, w, w->point);
    if (*bound < task->wanted)
        return CLOSED;
    if (task->wanted > wanted && !tighten(w, l, task->wanted))
        return CLOSED;
    return SOLVED;
}
