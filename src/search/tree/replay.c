/* replay.c - the tree of an earlier proof, gone over again on the programme as it is now.
 *
 * Every node is tightened or closed by the multipliers that did it then, evaluated in integers now, and by propagation:
 * a node costs a tenth or less of what relaxations and trials of branchings cost. Where a changed limit hardly matters
 * all is closed again. Nodes that are not closed are left open at their place in the tree, for the search to go on from
 * there, and what it finds grows on a copy of the tree, which is this run's: the tree that was kept stays as it is, for
 * the programme it was grown for. With too many of them the tree is that of another programme, and it
 * is begun anew. Sources: duals of the leaves of a tree bound the value under other sides, A. M. Geoffrion and R.
 * Nauss, "Parametric and postoptimality analysis in integer linear programming", Management Science 23, 1977, and M.
 * Guzelsoy and T. K. Ralphs, "Duality for mixed-integer linear programs", International J. of Operations Research 4,
 * 2007; going on from the leaves, G. Gamrath, B. Hiller and J. Witzig, "Reoptimization techniques for MIP solvers",
 * Symposium on Experimental Algorithms, 2015. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/fast.h"
#include "search/tree/propagate.h"

#define NODES_A_PIVOT 8 /* evaluations that take as long as a pivot */
#define LEAST_OPEN 4
#define OPEN_SHARE 8 /* with about one in so many ends open, the tree is begun anew */
#define LEAST_WEIGHT 0.1

typedef struct {
    int64_t *low, *high;
    Change change; /* that led here from the level above */
} Level;

typedef struct {
    size_t place;
    int depth;
    Change change;
    int64_t bound;
} Waiting;

typedef struct {
    Fast *f;
    const ProofTree *tree;
    const Basis *basis;
    const Matrix *matrix; /* the core's */
    Exact exact;
    Propagator propagator;
    int *row_of; /* [forms] the core's row, or -1 */
    double *y;
    int64_t *before; /* [2 * columns] */
    Level *level;
    int levels;
    Waiting *stack;
    size_t count, capacity, visits;
    double all_way; /* that the bound has to come down from the first branch to close the tree; 0: no branch so far */
    double open, most_open; /* what is left open, by the share of that way that is left; and how much is worth it */
} Replay;

static int64_t wanted(const Replay *r)
{
    const int64_t value = run_wanted(r->f->run);
    return value == SEARCH_MINUS_INFINITY + 1 ? value : value - r->f->core->offset;
}

static void find_cuts(Replay *r)
{
    const Fast *f = r->f;
    const int first = f->run->matrix->p.rows, cuts = r->matrix->p.rows - first;
    r->row_of = mem_new(r->tree->forms.count + 1, sizeof *r->row_of);
    for (size_t k = 0; k < r->tree->forms.count; k++)
        r->row_of[k] = -1;
    for (int c = 0; c < cuts; c++)
        r->row_of[f->cut_label[c].form] = first + c;
}

/* The node's multipliers, for the core's rows. Those of cuts that are not there now are left out, which only weakens.
 */
static void take_multipliers(Replay *r, const ProofNode *node)
{
    const Matrix *m = &r->f->core->matrix;
    memset(r->y, 0, (size_t)m->p.rows * sizeof *r->y);
    for (int k = 0; k < node->parts; k++) {
        const ProofPart *part = &r->tree->part[node->first + (size_t)k];
        const int row = part->row >= 0 ? part->row : r->row_of[-1 - part->row];
        const double scale = part->row >= 0 || row < 0 ? 1.0 : r->f->cut_label[row - r->f->run->matrix->p.rows].scale;
        if (row >= 0)
            r->y[row] = part->y * scale * (double)m->divisor[row];
    }
}

static Level *level_at(Replay *r, int depth)
{
    const size_t n = (size_t)r->matrix->p.columns + 1;
    if (depth >= r->levels) {
        r->level = mem_resize(r->level, (size_t)depth + 16, sizeof *r->level);
        for (; r->levels < depth + 16; r->levels++)
            r->level[r->levels] = (Level){.low = mem_new(n, sizeof(int64_t)), .high = mem_new(n, sizeof(int64_t))};
    }
    return &r->level[depth];
}

static void leave_open(Replay *r, const Level *l, const Waiting *at)
{
    const SearchProblem *p = &r->f->core->matrix.p;
    OpenNode *node = open_node_new(at->bound, at->depth);
    for (int d = 1; d <= at->depth; d++)
        node->change[d - 1] = r->level[d].change;
    node->fixed = column_states_of_box(p, l->low, l->high);
    node->basis = basis_copy(r->basis);
    node->proof = at->place;
    open_set_push(&r->f->open, node);
    const double way = (double)(at->bound - wanted(r)) + 1;
    r->open += r->all_way > 0 ? fmax(LEAST_WEIGHT, way / r->all_way) : 1.0;
}

/* Tightens by the last evaluation, and propagates. False when nothing is left. */
static bool tighten(Replay *r, int64_t *low, int64_t *high)
{
    const size_t n = (size_t)r->f->core->matrix.p.columns;
    memcpy(r->before, low, n * sizeof *low);
    memcpy(r->before + n, high, n * sizeof *high);
    if (exact_tighten(&r->exact, low, high, wanted(r)) == 0)
        return true;
    for (size_t j = 0; j < n; j++)
        if (low[j] != r->before[j] || high[j] != r->before[n + j])
            propagator_touch_column(&r->propagator, (int)j);
    return propagate(&r->propagator, low, high);
}

/* False when the node's multipliers close it; otherwise the box is tightened. */
static bool evaluate(Replay *r, const ProofNode *node, int64_t *low, int64_t *high, int64_t *bound)
{
    take_multipliers(r, node);
    r->visits++;
    if (!exact_evaluate(&r->exact, low, high, r->y, node->kind == PROOF_BOUND))
        return true;
    if (node->kind == PROOF_FARKAS)
        return !exact_infeasible(&r->exact);
    const int64_t own = grain_floor(r->f->core->grain, exact_bound(&r->exact));
    *bound = own < *bound ? own : *bound;
    return *bound >= wanted(r) && tighten(r, low, high);
}

static bool enter(Replay *r, const Waiting *at)
{
    const SearchProblem *p = &r->f->core->matrix.p;
    const size_t n = (size_t)p->columns;
    Level *l = level_at(r, at->depth);
    const Level *above = at->depth > 0 ? &r->level[at->depth - 1] : NULL;
    memcpy(l->low, above != NULL ? above->low : p->low, n * sizeof *l->low);
    memcpy(l->high, above != NULL ? above->high : p->high, n * sizeof *l->high);
    l->change = at->change;
    if (above == NULL) {
        propagator_touch_all(&r->propagator);
        return propagate(&r->propagator, l->low, l->high);
    }
    propagator_touch_column(&r->propagator, at->change.column);
    return change_apply(&at->change, l->low, l->high) && propagate(&r->propagator, l->low, l->high);
}

static void push(Replay *r, size_t place, int depth, Change change, int64_t bound)
{
    mem_reserve((void **)&r->stack, &r->capacity, r->count + 1, sizeof *r->stack);
    r->stack[r->count++] = (Waiting){place, depth, change, bound};
}

/* Where a branch leads in the node's box: 0 or 1 when only that side is possible, else 2. */
static int side_of(const Replay *r, const ProofNode *node, const Level *l)
{
    const Core *core = r->f->core;
    const int j = core->place[node->column];
    const int64_t low = j >= 0 ? l->low[j] : core->fixed[node->column], high = j >= 0 ? l->high[j] : low;
    return high <= node->down ? 0 : low > node->down ? 1 : 2;
}

static bool is_point(const Replay *r, const Level *l)
{
    const size_t n = (size_t)r->f->core->matrix.p.columns;
    return memcmp(l->low, l->high, n * sizeof *l->low) == 0;
}

static void visit(Replay *r, const Waiting *at)
{
    if (at->bound < wanted(r) || !enter(r, at))
        return;
    Level *l = &r->level[at->depth];
    Waiting here = *at;
    for (;;) {
        if (is_point(r, l)) {
            fast_offer(r->f, l->low);
            return;
        }
        const ProofNode *node = &r->tree->node[here.place];
        if (node->kind == PROOF_END) {
            leave_open(r, l, &here);
            return;
        }
        const int side = node->kind == PROOF_BRANCH ? side_of(r, node, l) : 0;
        if (side == 2) {
            if (r->all_way == 0)
                r->all_way = (double)(here.bound - wanted(r)) + 1;
            const int j = r->f->core->place[node->column];
            push(r, node->next[1], at->depth + 1, (Change){j, false, node->down + 1}, here.bound);
            push(r, node->next[0], at->depth + 1, (Change){j, true, node->down}, here.bound);
            return;
        }
        if (node->kind != PROOF_BRANCH && !evaluate(r, node, l->low, l->high, &here.bound))
            return;
        here.place = node->next[side];
    }
}

static bool too_much(const Replay *r)
{
    const Run *run = r->f->run;
    const int64_t effort = run->options->effort, pivots = run->statistics.pivots + (int64_t)(r->visits / NODES_A_PIVOT);
    if (run_cancelled(run) || (effort > 0 && pivots >= effort))
        return true;
    return run->equals == NULL && r->open > r->most_open; /* for equals it is the very tree, and its ends are near */
}

static void release(Replay *r)
{
    for (int k = 0; k < r->levels; k++) {
        mem_free(r->level[k].low);
        mem_free(r->level[k].high);
    }
    mem_free(r->level);
    mem_free(r->stack);
    mem_free(r->row_of);
    mem_free(r->y);
    mem_free(r->before);
    exact_release(&r->exact);
    propagator_release(&r->propagator);
}

static size_t count_ends(const ProofTree *tree)
{
    size_t branches = 0;
    for (size_t k = 0; k < tree->count; k++)
        branches += tree->node[k].kind == PROOF_BRANCH;
    return branches + 1;
}

bool fast_replay(Fast *f)
{
    const Matrix *m = &f->core->matrix;
    Replay r = {.f = f, .tree = &f->run->tree};
    Basis *basis = fast_core_basis(f);
    r.basis = basis;
    r.most_open = LEAST_OPEN + (double)count_ends(r.tree) / OPEN_SHARE;
    r.y = mem_new((size_t)m->p.rows + 1, sizeof *r.y);
    r.matrix = m;
    r.before = mem_new(2 * (size_t)m->p.columns + 1, sizeof *r.before);
    exact_init(&r.exact, m);
    propagator_init(&r.propagator, m);
    find_cuts(&r);
    open_set_release(&f->open);
    push(&r, 0, 0, (Change){0}, f->run->bound - f->core->offset);
    bool good = true;
    while (good && r.count > 0) {
        const Waiting next = r.stack[--r.count];
        visit(&r, &next);
        good = !too_much(&r);
    }
    if (!good)
        open_set_release(&f->open);
    f->run->statistics.pivots += (int64_t)(r.visits / NODES_A_PIVOT);
    release(&r);
    mem_free(basis);
    return good;
}
