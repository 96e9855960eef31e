/* subtree.h - one piece of tree search: a core, depth first, for so many pivots.
 *
 * A task depends on its inputs only, not on what other tasks do at the same time. */
#ifndef POOLWRIGHT_SEARCH_SUBTREE_SUBTREE_H
#define POOLWRIGHT_SEARCH_SUBTREE_SUBTREE_H

#include <stdatomic.h>

#include "search/subtree/branching.h"
#include "search/core/core.h"
#include "search/cuts/kept_cuts.h"
#include "search/cuts/strengthen.h"
#include "search/tree/proof_tree.h"

typedef struct {
    int column;
    bool upper; /* bound is the new upper bound; else the new lower one */
    int64_t bound;
} Change;

/* What is proven about a column in a node, beyond its changes; two bits a column. */
enum { COLUMN_OPEN, COLUMN_AT_LOW, COLUMN_AT_HIGH };

typedef struct {
    int64_t bound; /* proven: nothing in this node is better (core's value) */
    int depth;
    Basis *basis;         /* to start from; may be NULL */
    KeptCuts cuts;        /* rows that hold in this node; in the basis they come behind the core's */
    size_t proof;         /* its place in the tree that is noted */
    unsigned char *fixed; /* [(core columns + 3) / 4] columns fixed at a side of the core's box; NULL: none */
    Change change[];
} OpenNode;

OpenNode *open_node_new(int64_t bound, int depth); /* changes zero, basis and fixed NULL: to be filled */
void open_node_free(OpenNode *node);
unsigned char *column_states_new(int columns); /* all open; freed with mem_free */
int column_state(const unsigned char *states, int column);
/* Fixed at `value`, if that is a side of the problem's box; else open. */
void column_state_fix(unsigned char *states, const SearchProblem *problem, int column, int64_t value);
/* Of the columns that a box within the problem's fixes at one of its sides. Freed with mem_free. */
unsigned char *column_states_of_box(const SearchProblem *problem, const int64_t *low, const int64_t *high);
/* Applies a change, or a node, to a box of the core, which it only shrinks. False when it is empty. */
bool change_apply(const Change *change, int64_t *low, int64_t *high);
bool open_node_box(const OpenNode *node, int columns, int64_t *low, int64_t *high);

/* What is needed to work on a core, which may get further rows by it. */
typedef struct Worker Worker;
/* cuts: of the core that this one is a part of; they are put behind its rows, and found in the basis. Both may be NULL.
 */
Worker *worker_new(Core *core, const KeptCuts *cuts, Basis *basis, const atomic_int *cancel);
void worker_free(Worker *worker);

typedef struct {
    /* in */
    int64_t bound;       /* proven for the whole of the core */
    const Basis *basis;  /* to start from, or NULL */
    int64_t wanted;      /* least value that improves */
    int64_t threshold;   /* nodes with a bound below this are not worked on, but left open */
    int64_t limit;       /* most pivots */
    int64_t first_limit; /* most pivots for the first node, if that is more */
    bool first_only;     /* stop at the first solution */
    bool each;           /* the same, but it closes nothing: others as good are of use, too */
    bool order_often;    /* rows of orders (search/risk/protection.h) at every node, not only at the first */
    int narrow_to; /* not 0: only the first node is looked at, and gives a box around its relaxation, of so many columns
                      that cost least to move */
    Trials trials;
    const LocalCuts *cuts;   /* rounded again for the first node; NULL: none */
    bool keeps_cuts;         /* nodes left open get the rows behind the core's that they are tight at */
    const PseudoCost *known; /* [core columns] */
    const bool *told;        /* [core columns] as in box_search.h; NULL: one point */
    size_t most_equals;      /* where more are as good, they are given up */
    bool noted;              /* how nodes were closed is noted in `proof` */
    /* out; freed by task_release */
    OpenNode **open; /* what is left: with the closed parts, all of the core */
    size_t open_count, open_capacity;
    int64_t *x; /* [core columns] best solution found, NULL without */
    int64_t value;
    int64_t **equal; /* [equals] where `told` asks for them: those as good as x */
    size_t equals;
    bool more_equals; /* there were too many */
    int64_t *box_low,
        *box_high;       /* [core columns] the box that narrow_to asks for; NULL when the first node left none */
    PseudoCost *learned; /* known and what was learned since */
    ProofTree proof;     /* in the columns and rows of what the core was made from */
    int64_t pivots, nodes, unsettled;
} Task;

void task_run(Task *task, Worker *worker);
void task_release(Task *task);

#endif
