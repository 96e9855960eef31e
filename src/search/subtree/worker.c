/* worker.c - what a task works with, the solutions it finds, and the notes it takes. */
#include <string.h>

#include "base/memory.h"
#include "search/subtree/subtree_inner.h"

/* All that belongs to the matrix as it is. */
static void begin(Worker *w)
{
    const Matrix *m = &w->core->matrix;
    w->simplex = simplex_new(m);
    exact_init(&w->exact, m);
    propagator_init(&w->propagator, m);
    for (int up = 0; up < 2; up++)
        w->trial_y[up] = mem_new((size_t)m->p.rows + 1, sizeof *w->trial_y[up]);
}

static void end(Worker *w)
{
    simplex_free(w->simplex);
    exact_release(&w->exact);
    propagator_release(&w->propagator);
    mem_free(w->trial_y[0]);
    mem_free(w->trial_y[1]);
}

void worker_grow(Worker *w)
{
    const Matrix *m = &w->core->matrix;
    const size_t rows = (size_t)m->p.rows + 1;
    simplex_grow(w->simplex);
    exact_release(&w->exact);
    exact_init(&w->exact, m);
    propagator_release(&w->propagator);
    propagator_init(&w->propagator, m);
    for (int up = 0; up < 2; up++)
        w->trial_y[up] = mem_resize(w->trial_y[up], rows, sizeof *w->trial_y[up]);
}

/* The cut that a row behind the core's stands for. */
static KeptCut **own_place(Worker *w, int row)
{
    const int rows = w->core->matrix.p.rows - w->first_own;
    if (rows > w->own_rows) {
        w->own = mem_resize(w->own, (size_t)rows + 1, sizeof *w->own);
        while (w->own_rows < rows)
            w->own[w->own_rows++] = NULL;
    }
    return &w->own[row - w->first_own];
}

static void add_cuts(Worker *w, const KeptCuts *cuts, Basis *basis)
{
    int *place = mem_new((size_t)cuts->count + 1, sizeof *place), kept = 0;
    kept_cuts_append(cuts, w->core, place);
    for (int k = 0; k < cuts->count; k++)
        if (place[k] >= 0)
            *own_place(w, place[k]) = kept_cut_hold(cuts->cut[k]);
    int *row = basis != NULL ? basis->at + basis->columns : NULL;
    for (int k = 0; basis != NULL && k < basis->rows; k++) {
        const int now = row[k] < w->first_own ? row[k] : place[row[k] - w->first_own];
        if (now >= 0)
            row[kept++] = now;
    }
    if (basis != NULL)
        basis->rows = kept;
    mem_free(place);
}

Worker *worker_new(Core *core, const KeptCuts *cuts, Basis *basis, const atomic_int *cancel)
{
    Worker *w = mem_new(1, sizeof *w);
    w->core = core;
    w->first_own = core->matrix.p.rows;
    w->cancel = cancel;
    w->point = mem_new((size_t)core->matrix.p.columns + 1, sizeof *w->point);
    if (cuts != NULL && cuts->count > 0)
        add_cuts(w, cuts, basis);
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
    for (int k = 0; k < KEPT_STATES; k++)
        simplex_state_free(w->state[k]);
    mem_free(w->level);
    for (int k = 0; k < w->own_rows; k++)
        kept_cut_let_go(w->own[k]);
    mem_free(w->own);
    mem_free(w->noted.label);
    mem_free(w->stack);
    mem_free(w->point);
    mem_free(w);
}

void worker_keep_cuts(Worker *w, OpenNode *node)
{
    Basis *basis = node->basis;
    int kept = 0, *row = basis->at + basis->columns;
    for (int k = 0; k < basis->rows; k++) {
        if (row[k] < w->first_own) {
            row[kept++] = row[k];
            continue;
        }
        KeptCut **own = own_place(w, row[k]);
        if (*own == NULL)
            *own = kept_cut_of_row(w->core, row[k]);
        if (*own == NULL)
            continue;
        row[kept++] = w->first_own + node->cuts.count;
        kept_cuts_add(&node->cuts, kept_cut_hold(*own));
    }
    basis->rows = kept;
}

Level *worker_level(Worker *w, size_t depth)
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

void worker_push(Worker *w, Pending pending)
{
    mem_reserve((void **)&w->stack, &w->capacity, w->count + 1, sizeof *w->stack);
    w->stack[w->count++] = pending;
}

SimplexState **worker_state(Worker *w, int depth)
{
    w->state_of[depth % KEPT_STATES] = depth + 1;
    return &w->state[depth % KEPT_STATES];
}

void worker_forget_state(Worker *w, int depth)
{
    if (w->state_of[depth % KEPT_STATES] == depth + 1)
        w->state_of[depth % KEPT_STATES] = 0;
}

void worker_go_back(Worker *w, int depth)
{
    if (w->state_of[depth % KEPT_STATES] == depth + 1)
        simplex_restore(w->simplex, w->state[depth % KEPT_STATES]);
}

/* Multipliers of the task's own cuts are of what their forms give. (A node that begins with rows of another job is of
 * no tree that is noted.) */
static void name_own(Task *task, const Worker *w, size_t place)
{
    const ProofNode *node = &task->proof.node[place];
    for (int k = 0; k < node->parts; k++) {
        ProofPart *part = &task->proof.part[node->first + (size_t)k];
        if (part->row < w->first_own)
            continue;
        const CutLabel *label = &w->noted.label[part->row - w->first_own];
        *part = (ProofPart){-1 - label->form, part->y / label->scale};
    }
}

size_t task_note(Task *task, Worker *w, size_t place, const double *y, bool farkas)
{
    const Core *core = w->core;
    const Matrix *m = &core->matrix;
    if (!task->noted)
        return place;
    const size_t next = proof_tree_multipliers(&task->proof, place, farkas, y, m);
    if (next != place && w->noted.label != NULL)
        name_own(task, w, place);
    for (int k = 0; !farkas && k < core->followers; k++) { /* of rows that say nothing in this core */
        const Follower *how = &core->follower[k];
        proof_tree_multiplier(&task->proof, place, how->row, how->y / (double)m->divisor[how->row]);
    }
    return next;
}

void task_forget_equals(Task *task)
{
    while (task->equals > 0)
        mem_free(task->equal[--task->equals]);
}

bool task_offer(Task *task, Worker *w, const int64_t *x)
{
    const size_t n = (size_t)w->core->matrix.p.columns;
    int64_t value = 0;
    if (!search_feasible(&w->core->matrix.p, x, &value) || value < task->wanted)
        return false;
    if (task->x != NULL && value > task->value)
        task_forget_equals(task);
    if (!task->x)
        task->x = mem_new(n + 1, sizeof *task->x);
    memcpy(task->x, x, n * sizeof *x);
    task->value = value;
    if (task->each)
        return true;
    const bool ties = task->told != NULL && !task->more_equals;
    task->wanted = ties ? value : value + (w->core->grain.step > 0 ? w->core->grain.step : 1);
    return true;
}

bool task_offer_equal(Task *task, Worker *w, const int64_t *x)
{
    const size_t n = (size_t)w->core->matrix.p.columns;
    if (!task_offer(task, w, x))
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
    task_forget_equals(task);
    task->more_equals = true;
    task->wanted = task->value + (w->core->grain.step > 0 ? w->core->grain.step : 1);
    return true;
}

void worker_round(Worker *w, const Level *l)
{
    const double *x = simplex_x(w->simplex);
    for (int j = 0; j < w->core->matrix.p.columns; j++)
        w->point[j] = whole_within(x[j], l->low[j], l->high[j]);
}
