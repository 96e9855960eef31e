/* open.c - a binary heap of open nodes, and a stack for those beyond. */
#include <string.h>

#include "base/memory.h"
#include "search/tree/open.h"

void open_set_init(OpenSet *set, size_t most)
{
    *set = (OpenSet){.most = most};
}

void open_set_release(OpenSet *set)
{
    for (size_t k = 0; k < set->count; k++)
        open_node_free(set->heap[k]);
    mem_free(set->heap);
    mem_free(set->order);
    for (size_t k = 0; k < set->stacked; k++)
        open_node_free(set->stack[k]);
    mem_free(set->stack);
    open_set_init(set, set->most);
}

static bool before(const OpenSet *set, size_t a, size_t b)
{
    const OpenNode *x = set->heap[a], *y = set->heap[b];
    if (x->bound != y->bound)
        return x->bound > y->bound;
    if (x->depth != y->depth)
        return x->depth > y->depth;
    return set->order[a] > set->order[b];
}

static void swap(OpenSet *set, size_t a, size_t b)
{
    OpenNode *node = set->heap[a];
    const uint64_t order = set->order[a];
    set->heap[a] = set->heap[b];
    set->order[a] = set->order[b];
    set->heap[b] = node;
    set->order[b] = order;
}

static void sink(OpenSet *set, size_t at)
{
    for (;;) {
        size_t child = 2 * at + 1;
        if (child >= set->count)
            return;
        if (child + 1 < set->count && before(set, child + 1, child))
            child++;
        if (before(set, at, child))
            return;
        swap(set, at, child);
        at = child;
    }
}

bool open_set_empty(const OpenSet *set)
{
    return set->count == 0 && set->stacked == 0;
}
bool open_set_full(const OpenSet *set)
{
    return set->count >= set->most;
}

void open_set_push(OpenSet *set, OpenNode *node)
{
    if (open_set_full(set)) {
        mem_reserve((void **)&set->stack, &set->stack_capacity, set->stacked + 1, sizeof *set->stack);
        set->stack[set->stacked++] = node;
        return;
    }
    mem_reserve((void **)&set->heap, &set->capacity, set->count + 1, sizeof *set->heap);
    mem_reserve((void **)&set->order, &set->order_capacity, set->count + 1, sizeof *set->order);
    size_t at = set->count++;
    set->heap[at] = node;
    set->order[at] = set->next++;
    for (; at > 0 && before(set, at, (at - 1) / 2); at = (at - 1) / 2)
        swap(set, at, (at - 1) / 2);
}

OpenNode *open_set_pop(OpenSet *set)
{
    if (set->stacked > 0)
        return set->stack[--set->stacked];
    if (set->count == 0)
        return NULL;
    OpenNode *top = set->heap[0];
    set->count--;
    if (set->count > 0) {
        set->heap[0] = set->heap[set->count];
        set->order[0] = set->order[set->count];
        sink(set, 0);
    }
    return top;
}

int64_t open_set_bound(const OpenSet *set)
{
    int64_t bound = set->count > 0 ? set->heap[0]->bound : SEARCH_MINUS_INFINITY;
    for (size_t k = 0; k < set->stacked; k++)
        bound = set->stack[k]->bound > bound ? set->stack[k]->bound : bound;
    return bound;
}

static void rebuild(OpenSet *set)
{
    for (size_t at = set->count / 2; at-- > 0;)
        sink(set, at);
}

/* What a node must be like to stay; context as given to keep_nodes. */
typedef bool KeepNode(OpenNode *node, const void *context);

/* The others are freed. */
static void keep_nodes(OpenSet *set, KeepNode *keep, const void *context)
{
    size_t kept = 0;
    for (size_t k = 0; k < set->count; k++) {
        if (!keep(set->heap[k], context)) {
            open_node_free(set->heap[k]);
            continue;
        }
        set->heap[kept] = set->heap[k];
        set->order[kept++] = set->order[k];
    }
    set->count = kept;
    rebuild(set);
    kept = 0;
    for (size_t k = 0; k < set->stacked; k++)
        if (!keep(set->stack[k], context))
            open_node_free(set->stack[k]);
        else
            set->stack[kept++] = set->stack[k];
    set->stacked = kept;
}

static bool reaches(OpenNode *node, const void *wanted)
{
    return node->bound >= *(const int64_t *)wanted;
}

void open_set_prune(OpenSet *set, int64_t wanted)
{
    keep_nodes(set, reaches, &wanted);
}

int64_t open_set_close(OpenSet *set, int64_t wanted)
{
    int64_t greatest = SEARCH_MINUS_INFINITY;
    for (size_t k = 0; k < set->count + set->stacked; k++) {
        const int64_t bound = (k < set->count ? set->heap[k] : set->stack[k - set->count])->bound;
        if (bound < wanted && bound > greatest)
            greatest = bound;
    }
    if (greatest != SEARCH_MINUS_INFINITY)
        open_set_prune(set, wanted);
    return greatest;
}

static void forget_rows(OpenNode *node, int first)
{
    basis_forget_rows(node->basis, first);
    kept_cuts_release(&node->cuts);
}

void open_set_forget_rows(OpenSet *set, int first)
{
    for (size_t k = 0; k < set->count; k++)
        forget_rows(set->heap[k], first);
    for (size_t k = 0; k < set->stacked; k++)
        forget_rows(set->stack[k], first);
}

void open_set_forget_places(OpenSet *set)
{
    for (size_t k = 0; k < set->count; k++)
        set->heap[k]->proof = PROOF_TREE_NOWHERE;
    for (size_t k = 0; k < set->stacked; k++)
        set->stack[k]->proof = PROOF_TREE_NOWHERE;
}

static bool move_fixed(OpenNode *node, const Core *from, const Core *to)
{
    const SearchProblem *f = &from->matrix.p, *t = &to->matrix.p;
    unsigned char *fixed = column_states_new(t->columns);
    bool possible = true;
    for (int j = 0; j < f->columns; j++) {
        const int state = column_state(node->fixed, j), whole = from->map[j], place = to->place[whole];
        if (state == COLUMN_OPEN)
            continue;
        const int64_t at = state == COLUMN_AT_LOW ? f->low[j] : f->high[j];
        if (place < 0)
            possible = possible && to->fixed[whole] == at;
        else if (at < t->low[place] || at > t->high[place])
            possible = false;
        else
            column_state_fix(fixed, t, place, at);
    }
    mem_free(node->fixed);
    node->fixed = fixed;
    return possible;
}

typedef struct {
    const Core *from, *to;
} CoreMove;

/* False: nothing of the node is left in the other core. */
static bool move_node(OpenNode *node, const void *context)
{
    const CoreMove *move = context;
    const Core *from = move->from, *to = move->to;
    int kept = 0;
    for (int k = 0; k < node->depth; k++) {
        Change change = node->change[k];
        const int whole = from->map[change.column], place = to->place[whole];
        if (place < 0) {
            if (change.upper ? to->fixed[whole] > change.bound : to->fixed[whole] < change.bound)
                return false;
            continue;
        }
        change.column = place;
        node->change[kept++] = change;
    }
    node->depth = kept;
    node->bound += from->offset - to->offset;
    if (node->fixed && !move_fixed(node, from, to))
        return false;
    forget_rows(node, from->matrix.p.rows);
    basis_rename_columns(node->basis, from->map);
    basis_rename_columns(node->basis, to->place);
    basis_forget_rows(node->basis, to->matrix.p.rows); /* rows of cuts may not be there in the other core */
    return true;
}

void open_set_move(OpenSet *set, const Core *from, const Core *to)
{
    keep_nodes(set, move_node, &(CoreMove){from, to});
}
