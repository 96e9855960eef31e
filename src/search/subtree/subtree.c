/* subtree.c - depth-first search below a node.
 *
 * Every node is examined (examine.c), then parted (children.c). Both children wait on a stack, the likelier on top; the
 * parent's tightened box is theirs. A node whose relaxation could not be settled keeps its parent's bound and is parted
 * at the widest column. The first node may be asked for a narrow box, and cuts be made for it, which go with the nodes
 * that are left open. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/core/neighbourhood.h"
#include "search/subtree/subtree_inner.h"

#define CUT_ROUNDS 4
#define CUT_GAIN 0.05 /* of the room above what is wanted, that a round of cuts must take off the bound for another */

/* box: the level whose box holds for the node: its parent's, or its own when it was begun. solved: its own relaxation
 * is at hand. */
static void export(Task *task, Worker *w, const Pending *pending, const Level *box, bool solved)
{
    const int depth = pending->root ? 0 : pending->depth + 1;
    mem_reserve((void **)&task->open, &task->open_capacity, task->open_count + 1, sizeof *task->open);
    OpenNode *node = open_node_new(pending->bound, depth);
    node->proof = pending->proof;
    node->basis = solved          ? simplex_basis(w->simplex)
                  : pending->root ? basis_copy(task->basis)
                                  : basis_copy(w->level[pending->depth].basis);
    if (task->keeps_cuts && node->basis != NULL)
        worker_keep_cuts(w, node);
    else
        basis_forget_rows(node->basis, w->first_own);
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
        Level *l = worker_level(w, 0);
        *level = l;
        memcpy(l->low, p->low, n * sizeof *l->low);
        memcpy(l->high, p->high, n * sizeof *l->high);
        propagator_touch_all(&w->propagator);
        return true;
    }
    worker_level(w, (size_t)pending->depth + 1);
    const Level *parent = &w->level[pending->depth];
    Level *l = &w->level[pending->depth + 1];
    *level = l;
    memcpy(l->low, parent->low, n * sizeof *l->low);
    memcpy(l->high, parent->high, n * sizeof *l->high);
    l->change = pending->change;
    propagator_touch_column(&w->propagator, l->change.column);
    return change_apply(&l->change, l->low, l->high);
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
    box_clamp(p->columns, l->low, l->high, task->box_low, task->box_high);
    mem_free(centre);
    mem_free(cost);
}

static bool interrupted(const Task *task, const Worker *w)
{
    return task->pivots >= task->limit || (w->cancel && *w->cancel != 0) ||
           ((task->first_only || task->each) && task->x);
}

/* Cuts that hold in the first node, and so in all of the task. Their pivots are work, but not of the task's limit: it
 * would be used up by them. */
static Fate cut_first(Task *task, Worker *w, Level *l, int64_t *bound)
{
    Fate fate = SOLVED;
    double value = simplex_value(w->simplex);
    const double least = CUT_GAIN * fmax(1.0, value - (double)task->wanted);
    for (int round = 0; fate == SOLVED && round < CUT_ROUNDS; round++) {
        const int64_t before = task->pivots;
        const size_t forms = task->proof.forms.count;
        const int added = strengthen_part(&w->core->matrix, task->cuts, l->low, l->high, simplex_x(w->simplex),
                                          task->noted ? &w->noted : NULL);
        if (added == 0)
            break;
        worker_grow(w);
        if (task->noted)
            w->place = proof_tree_cuts(&task->proof, w->place, forms);
        fate = node_examine(task, w, l, bound);
        task->limit += task->pivots - before;
        if (value - simplex_value(w->simplex) < least)
            break;
        value = simplex_value(w->simplex);
    }
    return fate;
}

static void work_on(Task *task, Worker *w, Pending pending)
{
    Level *l = NULL;
    const int depth = pending.root ? 0 : pending.depth + 1;
    task->nodes++;
    w->place = pending.proof;
    if (!enter(w, &pending, &l))
        return;
    if (pending.later)
        worker_go_back(w, pending.depth);
    worker_forget_state(w, depth);
    int64_t bound = pending.bound;
    const int64_t before = task->pivots;
    w->at_first = pending.root;
    Fate fate = node_examine(task, w, l, &bound);
    if (fate == SOLVED && pending.root && task->cuts != NULL)
        fate = cut_first(task, w, l, &bound);
    if (task->pivots == before)
        task->pivots++; /* a node without a pivot costs something too */
    if (fate == SOLVED && pending.distance > 0)
        pseudo_cost_learn(&task->learned[pending.change.column], !pending.change.upper,
                          pending.parent_value - simplex_value(w->simplex), pending.distance);
    if (fate == SOLVED && pending.root && task->narrow_to > 0) {
        narrow(task, w, l);
        return;
    }
    /* Not worked on now. It is parted when a job begins with it, or closed there by cuts of its own. */
    const bool put_off = fate == SOLVED && !pending.root && bound < task->threshold;
    if ((fate == SOLVED && !put_off) || fate == UNSETTLED)
        fate = node_branch(task, w, l, depth, &bound, fate);
    if (fate == INTERRUPTED || put_off) {
        pending.bound = bound;
        pending.proof = w->place;
        export(task, w, &pending, l, put_off);
    }
}

void task_run(Task *task, Worker *w)
{
    const size_t n = (size_t)w->core->matrix.p.columns;
    task->learned = mem_new(n + 1, sizeof *task->learned);
    memcpy(task->learned, task->known, n * sizeof *task->learned);
    if (task->cuts != NULL) /* a node's basis has cuts of the job that left it: it is to be the best one here, too */
        simplex_name_columns(w->simplex, w->core->map);
    simplex_bound_idle_rows(w->simplex, task->basis);
    simplex_start_from(w->simplex, task->basis);
    if (task->noted)
        proof_tree_begin(&task->proof);
    w->noted = (PartForms){.core = w->core, .first = w->first_own, .forms = &task->proof.forms};
    worker_push(w, (Pending){.root = true, .bound = task->bound});
    while (w->count > 0) {
        const Pending next = w->stack[--w->count];
        if (next.bound < task->wanted)
            continue;
        /* With cuts at hand each node's relaxation is: it may be closed by it, and else is where a job begins at once.
         */
        if ((next.bound < task->threshold && task->cuts == NULL) || interrupted(task, w))
            export(task, w, &next, next.root ? NULL : &w->level[next.depth], false);
        else
            work_on(task, w, next);
    }
}

void task_release(Task *task)
{
    for (size_t k = 0; k < task->open_count; k++)
        open_node_free(task->open[k]);
    task_forget_equals(task);
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
