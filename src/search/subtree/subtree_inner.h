/* subtree_inner.h - the state that the files of this folder share: worker.c (storage, solutions, notes), examine.c
 * (what a node's relaxation proves), children.c (branching), subtree.c (the task). */
#ifndef POOLWRIGHT_SEARCH_SUBTREE_SUBTREE_INNER_H
#define POOLWRIGHT_SEARCH_SUBTREE_SUBTREE_INNER_H

#include "search/subtree/subtree.h"

#define KEPT_STATES 16

typedef struct {
    int64_t *low, *high;
    Change change; /* the one that made it */
    Basis *basis;  /* after its relaxation */
} Level;

typedef struct {
    int depth; /* of its parent's level */
    bool root;
    bool later; /* its sibling is worked on first */
    Change change;
    int64_t bound;
    double parent_value, distance; /* for pseudo costs; distance 0: nothing to learn */
    size_t proof;                  /* its place in the tree that is noted */
} Pending;

struct Worker {
    Core *core; /* gets rows of orders, if it has protected rows */
    const atomic_int *cancel;
    Simplex *simplex;
    Exact exact;
    Propagator propagator;
    Level *level;
    size_t levels;
    Pending *stack;
    size_t count, capacity;
    int64_t *point;
    double *trial_y[2];
    SimplexState *state[KEPT_STATES]; /* of nodes that were branched on, from which their second children start ... */
    int state_of[KEPT_STATES];        /* ... and their depths plus one; 0: of none */
    size_t place;                     /* of the node at work, in the tree that is noted */
    bool at_first;                    /* the node at work is the task's first */
    int first_own;                    /* row: those from here on are not the core's that this one is a part of */
    KeptCut **own; /* [own_rows] what they are where an open node begins with them, else NULL; held */
    int own_rows;
    PartForms noted; /* how the task's own cuts are made, where that is noted */
};

typedef enum { CLOSED, SOLVED, UNSETTLED, INTERRUPTED } Fate;

/* ---- worker.c ---- */

void worker_grow(Worker *worker);                  /* the matrix has more rows behind those it had */
Level *worker_level(Worker *worker, size_t depth); /* made where there is none yet */
void worker_push(Worker *worker, Pending pending);
/* Where the state of a node at this depth goes; those far above make room for it. */
SimplexState **worker_state(Worker *worker, int depth);
void worker_forget_state(Worker *worker, int depth);
/* The simplex as it was when a node at this depth was branched on, where that is still known. */
void worker_go_back(Worker *worker, int depth);
/* The rows of the node's basis that are the worker's own become cuts of the node. */
void worker_keep_cuts(Worker *worker, OpenNode *node);
/* The relaxation's point, rounded into the box, becomes worker->point. */
void worker_round(Worker *worker, const Level *level);
/* Multipliers that closed or bounded the place, with what the rows say that the core's reduction has used up. Returns
 * the place that goes on. */
size_t task_note(Task *task, Worker *worker, size_t place, const double *y, bool farkas);
/* True: it is taken. */
bool task_offer(Task *task, Worker *worker, const int64_t *x);
/* The same where the node holds no other point that is wanted: it is one of those as good. */
bool task_offer_equal(Task *task, Worker *worker, const int64_t *x);
void task_forget_equals(Task *task);

/* ---- examine.c ---- */

/* Propagation, relaxation, its exact bound, tightening, again while something moves. *bound falls to what is proven. */
Fate node_examine(Task *task, Worker *worker, Level *level, int64_t *bound);

/* ---- children.c ---- */

/* Chooses and pushes both children (SOLVED), or says how the node ended after all. */
Fate node_branch(Task *task, Worker *worker, Level *level, int depth, int64_t *bound, Fate fate);

#endif
