/* proof_tree.h - how a tree was closed: what was branched on, and the multipliers by which nodes were tightened or
 * closed.
 *
 * Kept so that the next run can go over the same tree without a single relaxation (replay.c). Nothing in it is trusted:
 * the multipliers are evaluated again, in integers, on the programme as it is then. Nodes refer to columns and rows of
 * whatever matrix the tree is about; a tree made in a part is moved out when it is appended. */
#ifndef POOLWRIGHT_SEARCH_TREE_PROOF_TREE_H
#define POOLWRIGHT_SEARCH_TREE_PROOF_TREE_H

#include "search/cuts/cut_form.h"

#define PROOF_TREE_MOST_NODES 4000 /* beyond, nothing is noted any more */
#define PROOF_TREE_PARTS_A_NODE 25 /* at most, of all nodes together */
#define PROOF_TREE_NOWHERE SIZE_MAX

typedef struct {
    int row;
    double y;
} ProofPart;

typedef enum {
    PROOF_END,    /* nothing more is noted: closed by what comes before, or open */
    PROOF_BOUND,  /* multipliers of the relaxation: they close the node, or tighten it, and `next[0]` follows */
    PROOF_FARKAS, /* the same without the objective */
    PROOF_CUTS,   /* forms first .. first + parts - 1 are cuts from here on, and `next[0]` follows */
    PROOF_BRANCH  /* next[0]: column <= down; next[1]: column >= down + 1 */
} ProofKind;

typedef struct {
    ProofKind kind;
    int column;
    int64_t down;
    size_t next[2];
    size_t first; /* of its parts, of PROOF_CUTS its forms */
    int parts;
} ProofNode;

typedef struct {
    ProofNode *node; /* the root is 0 */
    size_t count, capacity;
    ProofPart *part;
    size_t parts, part_capacity;
    int64_t room;   /* between the relaxation and what was wanted when it was closed, and a little more */
    CutForms forms; /* a part's row -1 - k is the k-th */
    size_t most;    /* nodes; 0: PROOF_TREE_MOST_NODES */
    bool full;      /* nothing is noted any more; what there is still is a tree, with ends that are open */
} ProofTree;

void proof_tree_release(ProofTree *tree);
void proof_tree_copy(ProofTree *to, const ProofTree *from); /* `to` is overwritten */
void proof_tree_begin(ProofTree *tree); /* empties it, but for a root that is a PROOF_END, and the forms */
void proof_tree_tidy(ProofTree *tree);  /* drops forms that no part needs */
/* These turn a PROOF_END. The first returns what follows: multipliers of the matrix's rows, y[rows], are noted for its
 * rows as they were before they were divided, without those of sides that are missing. The second leaves what follows
 * in next[0] and next[1]. */
size_t proof_tree_multipliers(ProofTree *tree, size_t at, bool farkas, const double *y, const Matrix *matrix);
/* One more, right after that. */
void proof_tree_multiplier(ProofTree *tree, size_t at, int row, double y);
/* From here on there are the forms from `first` to the last. */
size_t proof_tree_cuts(ProofTree *tree, size_t at, size_t first);
void proof_tree_branch(ProofTree *tree, size_t at, int column, int64_t down);

/* How a part's columns and rows are called outside. A row from `first_cut` on is called -1 - k for its form k. */
typedef struct {
    const int *column; /* [columns] */
    const Core *core;  /* the same, where the part has forms */
    int first_cut;
    const CutLabel *label;
} ProofNames;

/* Puts a tree in place of a PROOF_END of another: its root becomes `at`, and *more is what has to be added to its other
 * nodes' numbers. False when there is no room (from then on the tree is full), or `at` is PROOF_TREE_NOWHERE: its nodes
 * stay as they are. names NULL: all is called the same, and forms are the tree's already; else the part's forms move to
 * it. */
bool proof_tree_append(ProofTree *tree, size_t at, ProofTree *part, const ProofNames *names, size_t *more);

#endif
