/* relaxed.c - one relaxation by GLPK. */
#include "search/relaxed.h"

#include <string.h>

#include "base/memory.h"
#include "search/glpk.h"

typedef struct {
    const Matrix *matrix;
    const atomic_int *cancel;
    double *x;
    int64_t *pivots;
    bool found;
} Work;

static void solve(void *argument)
{
    Work *work = argument;
    GlpkRelaxation relaxation;
    glpk_relaxation_init(&relaxation, work->matrix);
    work->found = glpk_relaxation_solve(&relaxation, 0, work->cancel) == RELAXATION_OPTIMAL;
    if (work->found)
        memcpy(work->x, relaxation.x, (size_t)work->matrix->p.columns * sizeof *work->x);
    *work->pivots += relaxation.pivots;
    glpk_relaxation_release(&relaxation);
}

bool search_relaxed(const SearchProblem *problem, const atomic_int *cancel, double *x, int64_t *pivots)
{
    Matrix matrix;
    if (search_problem_trouble(problem) != NULL)
        return false;
    matrix_init(&matrix, problem);
    Work work = {.matrix = &matrix, .cancel = cancel, .x = x, .pivots = pivots};
    bool good = glpk_guarded(solve, &work) && work.found;
    matrix_release(&matrix);
    return good;
}
