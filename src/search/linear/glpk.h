/* glpk.h - the problem as a glp_prob, and its relaxation by glp_simplex, interruptible and silent.
 *
 * GLPK's environment belongs to a thread: every object stays in the thread that made it. */
#ifndef POOLWRIGHT_SEARCH_LINEAR_GLPK_H
#define POOLWRIGHT_SEARCH_LINEAR_GLPK_H

#include <glpk.h>
#include <stdatomic.h>

#include "search/linear/exact.h"
#include "search/linear/relaxation.h"

typedef struct {
    const Matrix *matrix;
    glp_prob *lp;
    double *x;      /* [columns] */
    double *y;      /* [rows] multipliers of the rows, or a Farkas ray when infeasible */
    int64_t pivots; /* of all solves so far */
} GlpkRelaxation;

/* The problem as GLPK's own, columns and rows in its order, unscaled and without names; GLPK counts them from 1.
 * Protected rows are plain rows here. GLPK holds doubles: whole numbers beyond 2^53 (only sides may be so large) are
 * rounded. Freed with glp_delete_prob. */
glp_prob *glpk_problem(const SearchProblem *problem);

/* Rows r0.., columns c0.. */
void glpk_name(glp_prob *lp);
/* The other way: columns, kinds, objective, sides and entries (rows ascending) of lp; no protections. Released with
 * search_problem_release. False when a number is not exact or a column has no bound. */
bool glpk_load(glp_prob *lp, SearchProblem *problem);
/* Is the double a whole number below 2^53, and so the very one that was meant? Else *whole is 2^53 with its sign. */
bool glpk_whole(double value, int64_t *whole);

/* Sides as in search.h; low may be above high. */
void glpk_set_row(glp_prob *lp, int row, int64_t low, int64_t high);
void glpk_set_column(glp_prob *lp, int column, int64_t low, int64_t high);

void glpk_relaxation_init(GlpkRelaxation *relaxation, const Matrix *matrix);
void glpk_relaxation_release(GlpkRelaxation *relaxation);
void glpk_relaxation_box(GlpkRelaxation *relaxation, const int64_t *low, const int64_t *high);
/* At most limit pivots (0: none set). */
RelaxationStatus glpk_relaxation_solve(GlpkRelaxation *relaxation, int64_t limit, const atomic_int *cancel);

/* Runs work(argument) with GLPK silent and its aborts caught. False when GLPK aborted: its objects in this thread are
 * then lost. */
bool glpk_guarded(void (*work)(void *), void *argument);

#endif
