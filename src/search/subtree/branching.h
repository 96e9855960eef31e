/* branching.h - which column to branch on: what branching on each has brought so far, and trials where too little is
 * known. */
#ifndef POOLWRIGHT_SEARCH_SUBTREE_BRANCHING_H
#define POOLWRIGHT_SEARCH_SUBTREE_BRANCHING_H

#include <stdatomic.h>

#include "search/linear/exact.h"
#include "search/tree/propagate.h"
#include "search/linear/simplex.h"

typedef struct {
    double sum[2]; /* fall of the bound per unit, downwards and upwards */
    int count[2];
} PseudoCost;

/* How much is tried: as usual; more columns, where the tree is hard; few fractional columns are no reason to try all,
 * where costs come from earlier searches; and costs are believed after one trial. */
typedef enum { TRY_USUAL, TRY_MORE, TRY_UNKNOWN, TRY_LITTLE } Trials;

typedef struct {
    Simplex *simplex;
    const SimplexState *state; /* the simplex as it is, having solved the node */
    Exact *exact;
    int64_t *low, *high; /* the node's box: sides that a trial proves empty are cut off */
    PseudoCost *learned; /* [columns], updated by trials */
    int64_t wanted;      /* values below are of no use */
    Trials trials;
    const atomic_int *cancel;
    double *y[2];   /* [rows] or NULL; out: the multipliers that closed a side */
    bool farkas[2]; /* out: without the objective */
} Trial;

typedef struct {
    int column;     /* -1: the relaxation's point is integral */
    double at;      /* its value there */
    bool tightened; /* a side was proven empty: the box has changed, solve again instead of branching */
    bool closed[2]; /* which, downwards and upwards */
} Choice;

void pseudo_cost_learn(PseudoCost *cost, bool up, double gain, double distance);
void pseudo_costs_add(PseudoCost *costs, const PseudoCost *more, int columns); /* more NULL: nothing */
/* The simplex must have solved the node's box to its end; it is left as it was. */
Choice choose_branching(Trial *trial, double value);

#endif
