/* subtree.h - one piece of tree search: from a node downwards, depth first, for so many pivots.
 *
 * A task depends on its inputs only: not on the worker that runs it, nor on what other tasks do at the same time. */
#ifndef POOLWRIGHT_SEARCH_SUBTREE_H
#define POOLWRIGHT_SEARCH_SUBTREE_H

#include "search/branching.h"
#include "search/core.h"

typedef struct {
    int column;
    bool upper;     /* bound is the new upper bound; else the new lower one */
    int64_t bound;
} Change;

typedef struct {
    int64_t bound;  /* proven: nothing in this node is better (core's value) */
    int depth;
    Basis *basis;   /* to start from; may be NULL */
    Change change[];
} OpenNode;

OpenNode *open_node_new(int64_t bound, int depth, const Change *change, const Basis *basis); /* copies both */
void open_node_free(OpenNode *node);

/* What a thread needs to work on a core. */
typedef struct Worker Worker;
Worker *worker_new(const Core *core, const volatile sig_atomic_t *cancel);
void worker_free(Worker *worker);

typedef struct {
    /* in */
    const OpenNode *node;
    const int64_t *low, *high; /* [core columns] the box that the node's changes apply to */
    int64_t wanted;            /* least value that improves */
    int64_t threshold;         /* nodes with a bound below this are not worked on, but left open */
    int64_t limit;             /* most pivots */
    bool first_only;           /* stop at the first solution */
    const PseudoCost *known;   /* [core columns] */
    /* out; freed by task_release */
    OpenNode **open;           /* what is left: with the node's closed parts, all of the node */
    size_t open_count, open_capacity;
    int64_t *x;                /* [core columns] best solution found, NULL without */
    int64_t value;
    PseudoCost *learned;       /* known and what was learned since */
    int64_t pivots, nodes, unsettled;
} Task;

void task_run(Task *task, Worker *worker);
void task_release(Task *task);

#endif
