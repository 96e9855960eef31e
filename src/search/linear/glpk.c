/* glpk.c - glp_simplex behind our own terms.
 *
 * glp_simplex has no callback: it is run in slices of SLICE pivots. When it reports that there is no feasible point, a
 * second, elastic programme gives the Farkas multipliers: every row may be missed at a price of 1 per largest
 * coefficient; the duals of the least total miss are the ray. */
#include <float.h>
#include <math.h>
#include <setjmp.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "search/linear/glpk.h"

#define SLICE 250
#define EXACT_MOST 9007199254740992.0 /* 2^53: below it doubles hold all whole numbers */

/* GLPK says why before it gives up. */
static int listen(void *info, const char *text)
{
    volatile bool *no_memory = info; /* NULL: all is lost already */
    if (no_memory == NULL)
        return 1;
    if (strstr(text, ": no memory available") != NULL || strstr(text, ": memory allocation ") != NULL)
        *no_memory = true;
    return 1;
}

static void escape(void *info)
{
    longjmp(*(jmp_buf *)info, 1);
}

bool glpk_guarded(void (*work)(void *), void *argument)
{
    jmp_buf home;
    volatile bool no_memory = false; /* looked at after a jump */
    if (glp_init_env() == 2)         /* else it would abort */
        mem_exhausted();
    glp_term_hook(listen, (void *)&no_memory);
    if (setjmp(home) != 0) {
        if (no_memory)
            mem_exhausted();
        glp_error_hook(NULL, NULL);
        glp_term_hook(listen, NULL);
        return false;
    }
    glp_error_hook(escape, &home);
    work(argument);
    glp_error_hook(NULL, NULL);
    glp_term_hook(NULL, NULL);
    return true;
}

static int kind_of_bounds(bool has_low, bool has_high, bool same)
{
    if (has_low && has_high)
        return same ? GLP_FX : GLP_DB;
    if (has_low)
        return GLP_LO;
    return has_high ? GLP_UP : GLP_FR;
}

void glpk_set_row(glp_prob *lp, int row, int64_t low, int64_t high)
{
    const bool has_low = low != SEARCH_MINUS_INFINITY, has_high = high != SEARCH_PLUS_INFINITY;
    glp_set_row_bnds(lp, row + 1, kind_of_bounds(has_low, has_high, low == high), has_low ? (double)low : 0.0,
                     has_high ? (double)high : 0.0);
}

void glpk_set_column(glp_prob *lp, int column, int64_t low, int64_t high)
{
    glp_set_col_bnds(lp, column + 1, low == high ? GLP_FX : GLP_DB, (double)low, (double)high);
}

static void load_entries(glp_prob *lp, const SearchProblem *p, int *index, double *value)
{
    for (int j = 0; j < p->columns; j++) {
        int count = 0;
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            index[++count] = p->row[k] + 1;
            value[count] = (double)p->value[k];
        }
        glp_set_mat_col(lp, j + 1, count, index, value);
    }
}

glp_prob *glpk_problem(const SearchProblem *p)
{
    glp_prob *lp = glp_create_prob();
    glp_set_obj_dir(lp, GLP_MAX);
    if (p->rows > 0)
        glp_add_rows(lp, p->rows);
    if (p->columns > 0)
        glp_add_cols(lp, p->columns);
    for (int i = 0; i < p->rows; i++)
        glpk_set_row(lp, i, p->row_low[i], p->row_high[i]);
    for (int j = 0; j < p->columns; j++) {
        glp_set_obj_coef(lp, j + 1, (double)p->objective[j]);
        glp_set_col_kind(lp, j + 1, p->kind[j] == SEARCH_CONTINUOUS ? GLP_CV : GLP_IV);
        glpk_set_column(lp, j, p->low[j], p->high[j]);
    }
    int *index = mem_new((size_t)p->rows + 1, sizeof *index);
    double *value = mem_new((size_t)p->rows + 1, sizeof *value);
    load_entries(lp, p, index, value);
    mem_free(index);
    mem_free(value);
    return lp;
}

void glpk_name(glp_prob *lp)
{
    char name[32];
    glp_set_prob_name(lp, "pool");
    for (int i = 1; i <= glp_get_num_rows(lp); i++) {
        snprintf(name, sizeof name, "r%d", i - 1);
        glp_set_row_name(lp, i, name);
    }
    for (int j = 1; j <= glp_get_num_cols(lp); j++) {
        snprintf(name, sizeof name, "c%d", j - 1);
        glp_set_col_name(lp, j, name);
    }
}

bool glpk_whole(double value, int64_t *whole)
{
    const bool good = fabs(value) < EXACT_MOST && (double)(int64_t)value == value;
    *whole = (int64_t)(good ? value : copysign(EXACT_MOST, value));
    return good;
}

static bool take_column(glp_prob *lp, SearchProblem *p, int j)
{
    bool good = glpk_whole(glp_get_obj_coef(lp, j + 1), &p->objective[j]);
    good = glpk_whole(glp_get_col_lb(lp, j + 1), &p->low[j]) && good;
    good = glpk_whole(glp_get_col_ub(lp, j + 1), &p->high[j]) && good;
    p->kind[j] = glp_get_col_kind(lp, j + 1) == GLP_CV ? SEARCH_CONTINUOUS
                 : p->low[j] >= 0 && p->high[j] == 1   ? SEARCH_BINARY
                                                       : SEARCH_INTEGER;
    return good;
}

static bool take_sides(glp_prob *lp, SearchProblem *p, int i)
{
    const double low = glp_get_row_lb(lp, i + 1), high = glp_get_row_ub(lp, i + 1);
    p->row_low[i] = SEARCH_MINUS_INFINITY;
    p->row_high[i] = SEARCH_PLUS_INFINITY;
    const bool good = low == -DBL_MAX || glpk_whole(low, &p->row_low[i]);
    return (high == DBL_MAX || glpk_whole(high, &p->row_high[i])) && good;
}

/* By rows, as GLPK has them in memory: a counting sort. */
static bool take_entries(glp_prob *lp, SearchProblem *p)
{
    const size_t n = (size_t)p->columns;
    int *index = mem_new(n + 1, sizeof *index);
    double *value = mem_new(n + 1, sizeof *value);
    size_t *next = mem_new(n + 1, sizeof *next);
    bool good = true;
    for (int i = 0; i < p->rows; i++)
        for (int k = glp_get_mat_row(lp, i + 1, index, NULL); k > 0; k--)
            p->start[index[k]]++;
    for (size_t j = 0; j < n; j++)
        p->start[j + 1] += p->start[j];
    memcpy(next, p->start, n * sizeof *next);
    for (int i = 0; i < p->rows; i++)
        for (int k = glp_get_mat_row(lp, i + 1, index, value); k > 0; k--) {
            const size_t at = next[index[k] - 1]++;
            p->row[at] = i;
            good = glpk_whole(value[k], &p->value[at]) && good;
        }
    mem_free(index);
    mem_free(value);
    mem_free(next);
    return good;
}

bool glpk_load(glp_prob *lp, SearchProblem *problem)
{
    search_problem_init(problem, glp_get_num_cols(lp), glp_get_num_rows(lp), (size_t)glp_get_num_nz(lp));
    bool good = take_entries(lp, problem);
    for (int j = 0; j < problem->columns; j++)
        good = take_column(lp, problem, j) && good;
    for (int i = 0; i < problem->rows; i++)
        good = take_sides(lp, problem, i) && good;
    return good;
}

void glpk_relaxation_init(GlpkRelaxation *relaxation, const Matrix *matrix)
{
    relaxation->matrix = matrix;
    relaxation->lp = glpk_problem(&matrix->p);
    relaxation->x = mem_new((size_t)matrix->p.columns + 1, sizeof *relaxation->x);
    relaxation->y = mem_new((size_t)matrix->p.rows + 1, sizeof *relaxation->y);
    relaxation->pivots = 0;
    glp_scale_prob(relaxation->lp, GLP_SF_EQ | GLP_SF_2N);
}

void glpk_relaxation_release(GlpkRelaxation *relaxation)
{
    glp_delete_prob(relaxation->lp);
    mem_free(relaxation->x);
    mem_free(relaxation->y);
}

void glpk_relaxation_box(GlpkRelaxation *relaxation, const int64_t *low, const int64_t *high)
{
    for (int j = 0; j < relaxation->matrix->p.columns; j++)
        glpk_set_column(relaxation->lp, j, low[j], high[j]);
}

/* Runs lp to its end in slices; returns glp_get_status, or 0 for a limit and -1 for trouble. Both methods were seen to
 * cycle for ever on tiny programmes with large coefficients: each gets a number of pivots that an honest run does not
 * need, then the other is tried, then it is trouble. */
static int run_slices(glp_prob *lp, int64_t *pivots, int64_t limit, const atomic_int *cancel)
{
    const int64_t honest = 2000 + 20 * ((int64_t)glp_get_num_rows(lp) + glp_get_num_cols(lp));
    int64_t used = 0, own = 0;
    glp_smcp control;
    glp_init_smcp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.meth = GLP_DUALP;
    for (bool repaired = false;;) {
        control.it_lim = SLICE;
        if (limit > 0 && limit - used < SLICE)
            control.it_lim = limit > used ? (int)(limit - used) : 0;
        const int before = glp_get_it_cnt(lp);
        const int code = glp_simplex(lp, &control);
        const int step = glp_get_it_cnt(lp) - before;
        used += step;
        own += step;
        *pivots += step;
        if (code == 0)
            return glp_get_status(lp);
        if ((limit > 0 && used >= limit) || (cancel && *cancel != 0))
            return 0;
        if (code == GLP_EITLIM && step > 0 && own < honest)
            continue;
        if (repaired)
            return -1;
        repaired = true;
        own = 0;
        glp_std_basis(lp);
        control.meth = GLP_PRIMAL;
    }
}

static void take_ray(GlpkRelaxation *relaxation, int64_t limit, const atomic_int *cancel)
{
    const Matrix *m = relaxation->matrix;
    glp_prob *lp = glp_create_prob();
    glp_copy_prob(lp, relaxation->lp, GLP_OFF);
    glp_unscale_prob(lp);
    for (int j = 1; j <= m->p.columns; j++)
        glp_set_obj_coef(lp, j, 0.0);
    for (int i = 1; i <= m->p.rows; i++)
        for (int sign = -1; sign <= 1; sign += 2) {
            const int index[2] = {0, i};
            const double size = m->row_largest[i - 1] > 0 ? (double)m->row_largest[i - 1] : 1.0,
                         value[2] = {0.0, sign * size};
            const int column = glp_add_cols(lp, 1);
            glp_set_mat_col(lp, column, 1, index, value);
            glp_set_col_bnds(lp, column, GLP_LO, 0.0, 0.0);
            glp_set_obj_coef(lp, column, -1.0);
        }
    glp_std_basis(lp);
    run_slices(lp, &relaxation->pivots, limit, cancel);
    for (int i = 0; i < m->p.rows; i++)
        relaxation->y[i] = glp_get_row_dual(lp, i + 1);
    glp_delete_prob(lp);
}

RelaxationStatus glpk_relaxation_solve(GlpkRelaxation *relaxation, int64_t limit, const atomic_int *cancel)
{
    const Matrix *m = relaxation->matrix;
    const int status = run_slices(relaxation->lp, &relaxation->pivots, limit, cancel);
    if (status == GLP_NOFEAS || status == GLP_INFEAS) {
        take_ray(relaxation, limit, cancel);
        return RELAXATION_INFEASIBLE;
    }
    for (int j = 0; j < m->p.columns; j++)
        relaxation->x[j] = glp_get_col_prim(relaxation->lp, j + 1);
    for (int i = 0; i < m->p.rows; i++)
        relaxation->y[i] = glp_get_row_dual(relaxation->lp, i + 1);
    if (status == GLP_OPT)
        return RELAXATION_OPTIMAL;
    return status == 0 ? RELAXATION_LIMIT : RELAXATION_TROUBLE;
}
