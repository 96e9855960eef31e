/* warm.h - what a loaded programme keeps from one run to the next.
 *
 * Nothing here is trusted: solutions are tested again, a basis only steers, cuts are derived again, and a bound is used
 * only where the programme as it is now is no looser than the one it was proven for. What is kept depends on the calls
 * so far, not on threads or time. */
#ifndef POOLWRIGHT_SEARCH_WARM_H
#define POOLWRIGHT_SEARCH_WARM_H

#include "search/subtree/branching.h"
#include "search/cuts/cut_book.h"
#include "search/tree/proof_tree.h"

#define WARM_MEMORIES 4
#define WARM_SOLUTIONS 24
#define WARM_PROOFS 8

/* What was learned with about the same objective. */
typedef struct {
    int64_t *objective; /* [columns]; NULL: not in use */
    Basis *basis;       /* of the whole's last relaxation; NULL while there is none */
    PseudoCost *known;  /* [columns] */
    CutBook cuts;       /* those that were tight when the core was last searched for cuts */
    double gap;         /* between the relaxation and the best solution at the end of the last run that found one */
    bool hard;          /* some run took long, tree and boxes together */
    int64_t last;       /* the run that used it last */
} Memory;

typedef struct {
    int64_t *x, *activity; /* [columns], [rows]; NULL: not in use */
    int64_t last;
} KeptSolution;

/* The programme for which a bound was proven. */
typedef struct {
    SearchProblem p; /* sides, bounds and objective only */
    int64_t bound;   /* SEARCH_MINUS_INFINITY: it has no solution */
    ProofTree tree;  /* by which it was closed; empty where it took none, or another proof's was used */
    int64_t last;    /* 0: not in use */
} Proof;

typedef struct Warm {
    Matrix matrix;
    Simplex *simplex; /* of the whole; NULL before the first relaxation */
    Memory memory[WARM_MEMORIES];
    Memory *now;        /* the one that suits the programme loaded */
    Memory *in_simplex; /* whose basis the simplex holds */
    KeptSolution solution[WARM_SOLUTIONS];
    Proof proof[WARM_PROOFS];
    int64_t runs;
} Warm;

Warm *warm_new(const SearchProblem *problem);
/* A copy of its own: what is learned with it does not come back. problem: the one that is loaded. */
Warm *warm_copy(const Warm *warm, const SearchProblem *problem);
void warm_free(Warm *warm); /* NULL is allowed */
/* Begins a run with other sides, bounds or objective and the same coefficients. */
void warm_load(Warm *warm, const SearchProblem *problem);
/* The least bound that follows from what was proven so far; SEARCH_MINUS_INFINITY: there is no solution. */
int64_t warm_bound(const Warm *warm, const SearchProblem *problem);
/* The tree of the programme that differs in the fewest sides, bounds and coefficients; NULL when there is none with
 * about as many rows and columns the same. */
const ProofTree *warm_nearest_tree(const Warm *warm, const SearchProblem *problem);
/* That tree was of use. */
void warm_used_tree(Warm *warm, const ProofTree *tree);
/* Copies the best of the kept solutions that is feasible now; false when there is none. */
bool warm_best(const Warm *warm, const SearchProblem *problem, int64_t *x);
/* Copies the kept solution that is likely to need least mending, moved into the columns' bounds; row_dual: what a unit
 * of each row is worth about. */
bool warm_nearest(const Warm *warm, const SearchProblem *problem, const double *row_dual, int64_t *x);
/* Keeps a solution, and a bound (SEARCH_MINUS_INFINITY: proven that there is no solution) with the tree that proves it,
 * which is taken over. */
void warm_keep_solution(Warm *warm, const SearchProblem *problem, const int64_t *x);
void warm_keep_bound(Warm *warm, const SearchProblem *problem, int64_t bound, ProofTree *tree);

#endif
