/* subtree.c - depth-first search below a node.
 *
 * Every node: propagation, the relaxation from the basis at hand, its exact bound, reduced-cost fixing by the exact
 * evaluation, propagation of that, again while something that matters moves; then branching. Both children wait on a
 * stack, the likelier on top; the parent's tightened box is theirs. A node whose relaxation could not be settled keeps
 * its parent's bound and is branched on the widest column. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/linear/glpk.h"
#include "search/core/neighbourhood.h"
#include "search/risk/protection.h"
#include "search/cuts/strengthen.h"
#include "search/tree/subtree.h"

#define MOST_ROUNDS 4
#define FIRST_SETS 10        /* rounds of rows of sets at the first node */
#define MOST_SETS 60         /* at any */
#define SET_MISS 1e-4        /* of the side, for a set's row to be added */
#define THRESHOLD_SHARE 0.1  /* of the room, that parting a threshold's box must promise */
#define FALLBACK_PIVOTS 1000 /* GLPK's simplex may cycle, too */

typedef struct {
    int64_t *low, *high;
    Change change; /* the one that made it */
    Basis *basis;  /* after its relaxation */
} Level;

typedef struct {
    int depth; /* of its parent's level */
    bool root;
    Change change;
    int64_t bound;
    double parent_value, distance; /* for pseudo costs; distance 0: nothing to learn */
    size_t proof;                  /* its place in the tree that is noted */
} Pending;

struct Worker {
    Core *core; /* gets rows of sets, if it has protected rows */
    const atomic_int *cancel;
    Simplex *simplex;
    Exact exact;
    Propagator propagator;
    Level *level;
    size_t levels;
    Pending *stack;
    size_t count, capacity;
    int64_t *point;
    double *noted_y; /* [rows] */
    double *trial_y[2];
    size_t place;  /* of the node at work, in the tree that is noted */
    bool at_first; /* the node at work is the task's first */
};

/* All that belongs to the matrix as it is. */
static void begin(Worker *w)
{
    const Matrix *m = &w->core->matrix;
    w->simplex = simplex_new(m);
    exact_init(&w->exact, m);
    propagator_init(&w->propagator, m);
    w->noted_y = mem_new((size_t)m->p.rows + 1, sizeof *w->noted_y);
    for (int up = 0; up < 2; up++)
        w->trial_y[up] = mem_new((size_t)m->p.rows + 1, sizeof *w->trial_y[up]);
}

static void end(Worker *w)
{
    simplex_free(w->simplex);
    exact_release(&w->exact);
    propagator_release(&w->propagator);
    mem_free(w->noted_y);
    mem_free(w->trial_y[0]);
    mem_free(w->trial_y[1]);
}

Worker *worker_new(Core *core, const atomic_int *cancel)
{
    Worker *w = mem_new(1, sizeof *w);
    w->core = core;
    w->cancel = cancel;
    w->point = mem_new((size_t)core->matrix.p.columns + 1, sizeof *w->point);
    begin(w);
    return w;
}

void worker_free(Worker *w)
{
    if (!w)
        return;
    end(w);
    for (size_t k = 0; k < w->levels; k++) {
        mem_free(w->level[k].low);
        mem_free(w->level[k].high);
        mem_free(w->level[k].basis);
    }
    mem_free(w->level);
    mem_free(w->stack);
    mem_free(w->point);
    mem_free(w);
}

static Level *level_at(Worker *w, size_t depth)
{
    const size_t n = (size_t)w->core->matrix.p.columns + 1;
    if (depth >= w->levels) {
        const size_t more = w->levels + 32;
        w->level = mem_resize(w->level, more, sizeof *w->level);
        for (size_t k = w->levels; k < more; k++)
            w->level[k] = (Level){.low = mem_new(n, sizeof(int64_t)), .high = mem_new(n, sizeof(int64_t))};
        w->levels = more;
    }
    return &w->level[depth];
}

static void push(Worker *w, Pending pending)
{
    mem_reserve((void **)&w->stack, &w->capacity, w->count + 1, sizeof *w->stack);
    w->stack[w->count++] = pending;
}

/* With what the rows say that the core's reduction has used up. */
static size_t note(Task *task, Worker *w, size_t place, const double *y, bool farkas)
{
    const Core *core = w->core;
    const Matrix *m = &core->matrix;
    if (!task->noted)
        return place;
    if (core->followers > 0 && !farkas) {
        memcpy(w->noted_y, y, (size_t)m->p.rows * sizeof *y);
        for (int k = 0; k < core->followers; k++)
            w->noted_y[core->follower[k].row] = core->follower[k].y;
        y = w->noted_y;
    }
    return proof_tree_multipliers(&task->proof, place, farkas, y, m->divisor, m->p.rows);
}

/* --- solutions --- */

static void forget_equals(Task *task)
{
    while (task->equals > 0)
        mem_free(task->equal[--task->equals]);
}

/* True: it is taken. */
static bool offer(Task *task, Worker *w, const int64_t *x)
{
    const size_t n = (size_t)w->core->matrix.p.columns;
    int64_t value = 0;
    if (!search_feasible(&w->core->matrix.p, x, &value) || value < task->wanted)
        return false;
    if (task->x != NULL && value > task->value)
        forget_equals(task);
    if (!task->x)
        task->x = mem_new(n + 1, sizeof *task->x);
    memcpy(task->x, x, n * sizeof *x);
    task->value = value;
    const bool ties = task->told != NULL && !task->more_equals;
    task->wanted = ties ? value : value + (w->core->grain.step > 0 ? w->core->grain.step : 1);
    return true;
}

/* The same where the node holds no other point that is wanted: it is one of those as good. */
static bool offer_equal(Task *task, Worker *w, const int64_t *x)
{
    const size_t n = (size_t)w->core->matrix.p.columns;
    if (!offer(task, w, x))
        return false;
    if (task->told == NULL || task->more_equals)
        return true;
    if (task->equal == NULL)
        task->equal = mem_new(task->most_equals + 1, sizeof *task->equal);
    if (task->equals < task->most_equals) {
        task->equal[task->equals] = mem_new(n + 1, sizeof *x);
        memcpy(task->equal[task->equals++], x, n * sizeof *x);
        return true;
    }
    forget_equals(task);
    task->more_equals = true;
    task->wanted = task->value + (w->core->grain.step > 0 ? w->core->grain.step : 1);
    return true;
}

static void round_point(Worker *w, const Level *l)
{
    const double *x = simplex_x(w->simplex);
    for (int j = 0; j < w->core->matrix.p.columns; j++) {
        const double v = floor(x[j] + 0.5);
        w->point[j] = v <= (double)l->low[j] ? l->low[j] : v >= (double)l->high[j] ? l->high[j] : (int64_t)v;
    }
}

/* --- one node --- */

typedef enum { CLOSED, SOLVED, UNSETTLED, INTERRUPTED } Fate;

static bool apply_change(Worker *w, Level *l, const Change *change)
{
    int64_t *low = &l->low[change->column], *high = &l->high[change->column];
    if (change->upper)
        *high = change->bound < *high ? change->bound : *high;
    else
        *low = change->bound > *low ? change->bound : *low;
    propagator_touch_column(&w->propagator, change->column);
    return *low <= *high;
}

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
    int64_t *before = w->point;
    memcpy(before, l->low, (size_t)n * sizeof *before);
    int64_t width = 0, after = 0;
    for (int j = 0; j < n; j++)
        width += l->high[j] - l->low[j];
    if (exact_tighten(&w->exact, l->low, l->high, wanted) == 0)
        return true;
    for (int j = 0; j < n; j++)
        after += l->high[j] - l->low[j];
    if (after != width)
        propagator_touch_all(&w->propagator);
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
            w->place = note(task, w, w->place, f.y, farkas);
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
            w->place = note(task, w, w->place, simplex_y(w->simplex), farkas);
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

/* --- protected rows --- */

static bool is_integral(const Worker *w)
{
    const SearchProblem *p = &w->core->matrix.p;
    const double *x = simplex_x(w->simplex);
    for (int j = 0; j < p->columns; j++)
        if (p->kind[j] != SEARCH_CONTINUOUS && fabs(x[j] - floor(x[j] + 0.5)) > 1e-6)
            return false;
    return true;
}

/* Rows of sets that the relaxation's point breaks: some at the first node, later only where the point would be a
 * solution without them. They hold in all of the core. */
static bool add_sets(Worker *w, int round)
{
    if (w->core->matrix.p.protections == NULL)
        return false;
    const bool needed = is_integral(w);
    if (!needed && (!w->at_first || round >= FIRST_SETS))
        return false;
    if (round >= MOST_SETS || protections_add_sets(&w->core->matrix, simplex_x(w->simplex), needed ? 0 : SET_MISS) == 0)
        return false;
    Basis *basis = simplex_basis(w->simplex);
    end(w);
    begin(w);
    simplex_start_from(w->simplex, basis);
    mem_free(basis);
    return true;
}

/* A threshold that lies in the open, and where to part its box: the point then breaks the rows of both parts. That of
 * the row where this is likely to take most off the bound; false where that is little. */
static bool choose_threshold(const Worker *w, const Level *l, double room, int *column, int64_t *at)
{
    const SearchProblem *p = &w->core->matrix.p;
    const Protections *all = p->protections;
    const double *x = simplex_x(w->simplex), *y = simplex_y(w->simplex);
    double best = THRESHOLD_SHARE * room;
    *column = -1;
    for (int r = 0; all != NULL && r < all->count; r++) {
        const Protection *of = &all->row[r];
        const int j = of->threshold;
        if (j < 0 || l->low[j] == l->high[j] || of->side == SEARCH_PLUS_INFINITY)
            continue;
        double worth = y[of->row];
        for (int s = 0; s < all->sets; s++)
            worth += all->set[s].of == r ? y[all->set[s].row] : 0.0;
        int64_t part = (int64_t)floor(x[j] + 0.5);
        part = part < l->low[j] ? l->low[j] : part >= l->high[j] ? l->high[j] - 1 : part;
        const double gain = worth * protection_miss(of, x, part);
        if (gain > best) {
            best = gain;
            *column = j;
            *at = part;
        }
    }
    return *column >= 0;
}

static Fate examine(Task *task, Worker *w, Level *l, int64_t *bound)
{
    if (!propagate(&w->propagator, l->low, l->high))
        return CLOSED;
    for (int round = 0, sets = 0;; round++) {
        const Fate fate = relax(task, w, l, bound);
        if (fate != SOLVED)
            return fate;
        if (add_sets(w, sets++)) {
            round--;
            continue;
        }
        if (!tighten(w, l, task->wanted))
            return CLOSED;
        if (round >= MOST_ROUNDS || !point_outside(w, l))
            break;
    }
    const int64_t wanted = task->wanted;
    round_point(w, l);
    offer(task, w, w->point);
    if (*bound < task->wanted)
        return CLOSED;
    if (task->wanted > wanted && !tighten(w, l, task->wanted))
        return CLOSED;
    return SOLVED;
}

/* --- branching --- */

static int widest(const Worker *w, const Level *l, const bool *of)
{
    const SearchProblem *p = &w->core->matrix.p;
    int best = -1;
    for (int j = 0; j < p->columns; j++) {
        if (l->low[j] == l->high[j] || (of != NULL && !of[j]))
            continue;
        if (best < 0 || (p->kind[best] == SEARCH_CONTINUOUS && p->kind[j] != SEARCH_CONTINUOUS) ||
            (l->high[j] - l->low[j] > l->high[best] - l->low[best] &&
             (p->kind[best] == SEARCH_CONTINUOUS) == (p->kind[j] == SEARCH_CONTINUOUS)))
            best = j;
    }
    return best;
}

/* The node's place becomes a branch; *place: those of its children. */
static void note_branch(Task *task, const Worker *w, int column, int64_t down, size_t place[2])
{
    place[0] = place[1] = 0;
    if (!task->noted)
        return;
    proof_tree_branch(&task->proof, w->place, w->core->map[column], down);
    for (int up = 0; up < 2; up++)
        place[up] = task->proof.node[w->place].next[up];
}

/* A side that a trial has closed is noted as a child, and the node goes on as the other. */
static void note_trial(Task *task, Worker *w, const Trial *trial, const Choice *choice)
{
    size_t place[2];
    note_branch(task, w, choice->column, (int64_t)floor(choice->at), place);
    for (int up = 0; up < 2; up++)
        if (choice->closed[up])
            note(task, w, place[up], trial->y[up], trial->farkas[up]);
    w->place = place[choice->closed[0]];
}

static void push_children(Task *task, Worker *w, const Level *l, int depth, int column, double at, int64_t bound,
                          double value, bool learn)
{
    const int64_t low = l->low[column], high = l->high[column];
    int64_t down = at <= (double)low ? low : at >= (double)high ? high - 1 : (int64_t)floor(at);
    down = down >= high ? high - 1 : down;
    const double off = at - (double)down;
    size_t place[2];
    note_branch(task, w, column, down, place);
    Pending lower = {.proof = place[0],
                     .depth = depth,
                     .change = {column, true, down},
                     .bound = bound,
                     .parent_value = value,
                     .distance = learn ? off : 0.0};
    Pending upper = {.proof = place[1],
                     .depth = depth,
                     .change = {column, false, down + 1},
                     .bound = bound,
                     .parent_value = value,
                     .distance = learn ? 1.0 - off : 0.0};
    const bool up_first = off > 0.5;
    push(w, up_first ? lower : upper);
    push(w, up_first ? upper : lower);
}

/* Chooses and pushes both children (SOLVED), or says how the node ended after all. */
static Fate branch(Task *task, Worker *w, Level *l, int depth, int64_t *bound, Fate fate)
{
    while (fate == SOLVED) {
        Trial trial = {.simplex = w->simplex,
                       .exact = &w->exact,
                       .low = l->low,
                       .high = l->high,
                       .learned = task->learned,
                       .wanted = task->wanted,
                       .cancel = w->cancel};
        for (int up = 0; task->noted && up < 2; up++)
            trial.y[up] = w->trial_y[up];
        const int64_t before = simplex_pivots(w->simplex);
        const double value = simplex_value(w->simplex);
        const Choice choice = choose_branching(&trial, value);
        task->pivots += simplex_pivots(w->simplex) - before;
        if (choice.column >= 0 && !choice.tightened) {
            mem_free(l->basis);
            l->basis = simplex_basis(w->simplex);
            push_children(task, w, l, depth, choice.column, choice.at, *bound, value, true);
            return SOLVED;
        }
        if (choice.column < 0)
            break;
        note_trial(task, w, &trial, &choice);
        if (l->low[choice.column] > l->high[choice.column])
            return CLOSED;
        propagator_touch_column(&w->propagator, choice.column);
        fate = examine(task, w, l, bound);
        if (fate == CLOSED || fate == INTERRUPTED)
            return fate;
    }
    int column = widest(w, l, fate == SOLVED ? task->told : NULL);
    if (column < 0 && fate == SOLVED && task->told != NULL) { /* the relaxation's point stands for all of the node */
        int64_t value;
        round_point(w, l);
        if (search_feasible(&w->core->matrix.p, w->point, &value) && value >= *bound && offer_equal(task, w, w->point))
            return CLOSED;
        column = widest(w, l, NULL);
    }
    if (column < 0) {
        offer_equal(task, w, l->low);
        return CLOSED;
    }
    const int64_t middle = l->low[column] + (l->high[column] - l->low[column]) / 2;
    push_children(task, w, l, depth, column, (double)middle + 0.5, *bound, 0.0, false);
    return SOLVED;
}

/* --- the task --- */

/* box: the level whose box holds for the node: its parent's, or its own when it was begun. */
static void export(Task *task, const Worker *w, const Pending *pending, const Level *box)
{
    const int depth = pending->root ? 0 : pending->depth + 1;
    mem_reserve((void **)&task->open, &task->open_capacity, task->open_count + 1, sizeof *task->open);
    OpenNode *node = open_node_new(pending->bound, depth);
    node->proof = pending->proof;
    node->basis = basis_copy(pending->root ? task->basis : w->level[pending->depth].basis);
    for (int d = 1; !pending->root && d <= pending->depth; d++)
        node->change[d - 1] = w->level[d].change;
    if (!pending->root)
        node->change[depth - 1] = pending->change;
    if (box)
        node->fixed = column_states_of_box(&w->core->matrix.p, box->low, box->high);
    task->open[task->open_count++] = node;
}

static bool enter(Worker *w, const Pending *pending, Level **level)
{
    const SearchProblem *p = &w->core->matrix.p;
    const size_t n = (size_t)p->columns;
    propagator_clear(&w->propagator);
    if (pending->root) {
        Level *l = level_at(w, 0);
        *level = l;
        memcpy(l->low, p->low, n * sizeof *l->low);
        memcpy(l->high, p->high, n * sizeof *l->high);
        propagator_touch_all(&w->propagator);
        return true;
    }
    level_at(w, (size_t)pending->depth + 1);
    const Level *parent = &w->level[pending->depth];
    Level *l = &w->level[pending->depth + 1];
    *level = l;
    memcpy(l->low, parent->low, n * sizeof *l->low);
    memcpy(l->high, parent->high, n * sizeof *l->high);
    l->change = pending->change;
    return apply_change(w, l, &pending->change);
}

/* The box around the relaxation of the first node that the task asks for. */
static void narrow(Task *task, Worker *w, const Level *l)
{
    const SearchProblem *p = &w->core->matrix.p;
    const size_t n = (size_t)p->columns;
    double *centre = mem_new(n + 1, sizeof *centre), *cost = mem_new(n + 1, sizeof *cost);
    task->box_low = mem_new(n + 1, sizeof *task->box_low);
    task->box_high = mem_new(n + 1, sizeof *task->box_high);
    for (size_t j = 0; j < n; j++) {
        centre[j] = simplex_x(w->simplex)[j];
        cost[j] = exact_reduced_cost(&w->exact, (int)j);
    }
    neighbourhood_box(&w->core->matrix, centre, NULL, cost, task->narrow_to, 0, task->box_low, task->box_high);
    for (size_t j = 0; j < n; j++) { /* nothing is lost where the node's box is tighter */
        task->box_low[j] = task->box_low[j] < l->low[j]    ? l->low[j]
                           : task->box_low[j] > l->high[j] ? l->high[j]
                                                           : task->box_low[j];
        task->box_high[j] = task->box_high[j] > l->high[j]  ? l->high[j]
                            : task->box_high[j] < l->low[j] ? l->low[j]
                                                            : task->box_high[j];
    }
    mem_free(centre);
    mem_free(cost);
}

static bool interrupted(const Task *task, const Worker *w)
{
    return task->pivots >= task->limit || (w->cancel && *w->cancel != 0) || (task->first_only && task->x);
}

/* At the first node: parts the box of a threshold, for others to go on with; the rows are made anew there. */
static bool part_threshold(Task *task, Worker *w, Level *l, int64_t bound)
{
    int column;
    int64_t at;
    if (!choose_threshold(w, l, (double)bound - (double)task->enough, &column, &at))
        return false;
    mem_free(l->basis);
    l->basis = simplex_basis(w->simplex);
    push_children(task, w, l, 0, column, (double)at + 0.5, bound, 0.0, false);
    task->limit = task->pivots;
    return true;
}

/* What is left of the core when no threshold is worth parting, for a core of its own. */
static void keep_box(Task *task, const Worker *w, const Level *l, int64_t bound)
{
    const size_t n = (size_t)w->core->matrix.p.columns;
    task->bound = bound;
    task->box_low = mem_new(n + 1, sizeof *task->box_low);
    task->box_high = mem_new(n + 1, sizeof *task->box_high);
    memcpy(task->box_low, l->low, n * sizeof *l->low);
    memcpy(task->box_high, l->high, n * sizeof *l->high);
}

/* Rows of rounding cuts for the core, as it is at its first node. */
static void add_cuts(Task *task, Worker *w)
{
    CutBook book = {0};
    SearchOptions options;
    search_options_default(&options);
    options.cancel = w->cancel;
    Strengthening s = {.first = w->core->matrix.p.rows,
                       .core = w->core,
                       .book = &book,
                       .entry = mem_new(1, sizeof *s.entry),
                       .label = mem_new(1, sizeof *s.label),
                       .basis = simplex_basis(w->simplex)};
    end(w);
    strengthen(&w->core->matrix, &options, &s);
    begin(w);
    simplex_start_from(w->simplex, s.basis);
    task->pivots += s.pivots;
    strengthening_release(&s);
    cut_book_release(&book);
}

static void work_on(Task *task, Worker *w, Pending pending)
{
    Level *l = NULL;
    const int depth = pending.root ? 0 : pending.depth + 1;
    task->nodes++;
    w->place = pending.proof;
    if (!enter(w, &pending, &l))
        return;
    int64_t bound = pending.bound;
    const int64_t before = task->pivots;
    w->at_first = pending.root;
    Fate fate = examine(task, w, l, &bound);
    if (fate == SOLVED && pending.root && task->with_cuts) {
        add_cuts(task, w);
        fate = examine(task, w, l, &bound);
    }
    if (task->pivots == before)
        task->pivots++; /* a node without a pivot costs something too */
    if (fate == SOLVED && pending.distance > 0)
        pseudo_cost_learn(&task->learned[pending.change.column], !pending.change.upper,
                          pending.parent_value - simplex_value(w->simplex), pending.distance);
    if (fate == SOLVED && pending.root && task->narrow_to > 0) {
        narrow(task, w, l);
        return;
    }
    if (fate == SOLVED && pending.root && task->part_thresholds) {
        if (part_threshold(task, w, l, bound))
            return;
        if (task->x == NULL) {
            keep_box(task, w, l, bound);
            return;
        }
    }
    if (fate == SOLVED || fate == UNSETTLED)
        fate = branch(task, w, l, depth, &bound, fate);
    if (fate == INTERRUPTED) {
        pending.bound = bound;
        pending.proof = w->place;
        export(task, w, &pending, l);
    }
}

void task_run(Task *task, Worker *w)
{
    const size_t n = (size_t)w->core->matrix.p.columns;
    task->learned = mem_new(n + 1, sizeof *task->learned);
    memcpy(task->learned, task->known, n * sizeof *task->learned);
    simplex_start_from(w->simplex, task->basis);
    if (task->noted)
        proof_tree_begin(&task->proof);
    push(w, (Pending){.root = true, .bound = task->bound});
    while (w->count > 0) {
        const Pending next = w->stack[--w->count];
        if (next.bound < task->wanted)
            continue;
        if (next.bound < task->threshold || interrupted(task, w))
            export(task, w, &next, next.root ? NULL : &w->level[next.depth]);
        else
            work_on(task, w, next);
    }
}

void task_release(Task *task)
{
    for (size_t k = 0; k < task->open_count; k++)
        open_node_free(task->open[k]);
    forget_equals(task);
    mem_free(task->equal);
    task->equal = NULL;
    mem_free(task->open);
    mem_free(task->x);
    mem_free(task->learned);
    proof_tree_release(&task->proof);
    mem_free(task->box_low);
    mem_free(task->box_high);
    task->box_low = task->box_high = NULL;
    task->open = NULL;
    task->x = NULL;
    task->learned = NULL;
    task->open_count = task->open_capacity = 0;
}
