/* children.c - how a node that is open is parted: by the column that trials and pseudo costs choose, else by the
 * widest. */
#include <math.h>

#include "base/memory.h"
#include "search/subtree/subtree_inner.h"

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
            task_note(task, w, place[up], trial->y[up], trial->farkas[up]);
    w->place = place[choice->closed[0]];
}

/* Pushes both children of a node that parts the column at `at`, the likelier last. learn: pseudo costs may. */
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
    (up_first ? &lower : &upper)->later = true;
    worker_push(w, up_first ? lower : upper);
    worker_push(w, up_first ? upper : lower);
}

Fate node_branch(Task *task, Worker *w, Level *l, int depth, int64_t *bound, Fate fate)
{
    while (fate == SOLVED) {
        Trial trial = {.simplex = w->simplex,
                       .exact = &w->exact,
                       .low = l->low,
                       .high = l->high,
                       .learned = task->learned,
                       .wanted = task->wanted,
                       .trials = task->trials,
                       .cancel = w->cancel};
        for (int up = 0; task->noted && up < 2; up++)
            trial.y[up] = w->trial_y[up];
        SimplexState **state = worker_state(w, depth);
        simplex_save(w->simplex, state);
        trial.state = *state;
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
        fate = node_examine(task, w, l, bound);
        if (fate == CLOSED || fate == INTERRUPTED)
            return fate;
    }
    int column = widest(w, l, fate == SOLVED ? task->told : NULL);
    if (column < 0 && fate == SOLVED && task->told != NULL) { /* the relaxation's point stands for all of the node */
        int64_t value;
        worker_round(w, l);
        if (search_feasible(&w->core->matrix.p, w->point, &value) && value >= *bound &&
            task_offer_equal(task, w, w->point))
            return CLOSED;
        column = widest(w, l, NULL);
    }
    if (column < 0) {
        task_offer_equal(task, w, l->low);
        return CLOSED;
    }
    const int64_t middle = l->low[column] + (l->high[column] - l->low[column]) / 2;
    push_children(task, w, l, depth, column, (double)middle + 0.5, *bound, 0.0, false);
    return SOLVED;
}
