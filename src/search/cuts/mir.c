/* mir.c - complemented mixed-integer rounding over aggregated rows: which rows to sum. The rounding itself is in
 * mir_round.c.
 *
 * It follows H. Marchand and L. A. Wolsey, "Aggregation and mixed integer rounding to solve MIPs", Operations Research
 * 49(3), 2001: begin with one row, then again and again add a tight row that cancels a column strictly between its
 * bounds. */
#include "search/cuts/mir.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "search/cuts/mir_inner.h"

#define FEW_ENTRIES 2 /* rows that only say that one column is at most another are no use to begin with */
#define TRIES_PER_ROW 24
#define STRICT 1e-6 /* a column is between its bounds */
#define TIGHT 1e-6

/* ---- aggregation ---- */

/* The coefficient of column j in row i (entries ascend). */
static int64_t entry_of(const Matrix *m, int i, int j)
{
    size_t low = m->row_start[i], high = m->row_start[i + 1];
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (m->column[middle] == j)
            return m->row_value[middle];
        if (m->column[middle] < j)
            low = middle + 1;
        else
            high = middle;
    }
    return 0;
}

static bool has_side(const Mir *w, const MirPart *part)
{
    const int64_t side = mir_side(w, part);
    return side != SEARCH_MINUS_INFINITY && side != SEARCH_PLUS_INFINITY;
}

static bool has_part(const Recipe *recipe, int row)
{
    for (int k = 0; k < recipe->parts; k++)
        if (recipe->part[k].row == row)
            return true;
    return false;
}

/* The column of the base that is farthest from its bounds, beyond those passed over. */
static int pick_column(const Mir *w, int passed)
{
    int best = -1;
    double farthest = STRICT;
    for (int pass = 0; pass <= passed; pass++) {
        const double limit = pass == 0 ? INFINITY : farthest;
        const int last = best;
        best = -1;
        farthest = STRICT;
        for (int k = 0; k < w->between_count; k++) {
            const int j = w->between[k];
            if (w->a[j] == 0)
                continue;
            const double down = w->x[j] - (double)w->low[j], up = (double)w->high[j] - w->x[j],
                         far = down < up ? down : up;
            if (far > farthest && (far < limit || (far == limit && j > last))) {
                farthest = far;
                best = j;
            }
        }
        if (best < 0)
            return -1;
    }
    return best;
}

/* Adds tight row i so that a column of which the base has `have` and the row has `theirs` cancels; false if its side is
 * missing. */
static bool extend_recipe(const Mir *w, Recipe *recipe, int i, int64_t have, int64_t theirs)
{
    const int64_t g = gcd64(have, theirs);
    const int64_t scale = magnitude64(theirs) / g,
                  multiplier = (have > 0) == (theirs > 0) ? -magnitude64(have) / g : magnitude64(have) / g;
    const MirPart part = {i, multiplier};
    if (!has_side(w, &part) || recipe->parts == MIR_MOST_ROWS)
        return false;
    if (mir_slack(w, &part) > TIGHT * (1 + fabs((double)mir_side(w, &part))) && !mir_is_equality(w, i))
        return false;
    recipe->part[recipe->parts] = part;
    recipe->scale[recipe->parts++] = scale;
    return true;
}

static void explore(Mir *w, const Recipe *recipe, int depth)
{
    for (int passed = 0; passed < (depth == 1 ? 3 : 2); passed++) {
        if (w->tries >= TRIES_PER_ROW || !mir_base(w, &w->some, recipe))
            return;
        const int j = pick_column(w, passed);
        if (j < 0)
            return;
        const int64_t have = w->a[j];
        int branches = 0;
        for (int t = 0; t < w->tight_count && branches < 3 && w->tries < TRIES_PER_ROW; t++) {
            const int i = w->tight[t];
            const int64_t theirs = entry_of(w->m, i, j);
            Recipe longer = *recipe;
            if (theirs == 0 || has_part(recipe, i) || !extend_recipe(w, &longer, i, have, theirs))
                continue;
            branches++;
            if (!mir_base(w, &w->some, &longer))
                continue;
            mir_try_base(w, &longer);
            if (longer.parts < MIR_MOST_ROWS && depth < 3)
                explore(w, &longer, depth + 1);
        }
    }
}

static void add_best(Mir *w, size_t number)
{
    if (w->best.count == 0)
        return;
    w->best.number = number;
    mem_reserve((void **)&w->pool->cut, &w->pool->capacity, w->pool->count + 1, sizeof *w->pool->cut);
    w->pool->cut[w->pool->count++] = w->best;
}

static void separate_row(Mir *w, int row, int64_t multiplier)
{
    const MirPart part = {row, multiplier};
    if (!has_side(w, &part) || w->m->row_start[row + 1] - w->m->row_start[row] <= FEW_ENTRIES ||
        mir_slack(w, &part) > 0.1 * (1 + (double)w->m->row_largest[row]))
        return;
    Recipe recipe = {.part = {part}, .scale = {1}, .parts = 1};
    w->tries = 0;
    w->best = (Cut){0};
    if (!mir_base(w, &w->some, &recipe))
        return;
    mir_try_base(w, &recipe);
    explore(w, &recipe, 1);
    add_best(w, 0);
}

/* False: a side is missing. */
static bool recipe_of(const Mir *w, const Aggregation *from, Recipe *recipe)
{
    *recipe = (Recipe){.parts = from->parts};
    for (int k = 0; k < from->parts; k++) {
        if (!has_side(w, &from->part[k]))
            return false;
        recipe->part[k] = from->part[k];
        recipe->scale[k] = 1;
    }
    return true;
}

static void derive(Mir *w, const Aggregation *from, size_t number)
{
    Recipe recipe;
    if (!recipe_of(w, from, &recipe))
        return;
    w->best = (Cut){0};
    if (mir_base(w, &w->some, &recipe))
        mir_try_base(w, &recipe);
    add_best(w, number);
}

/* ---- set-up ---- */

static void find_activities(Mir *w)
{
    const Matrix *m = w->m;
    for (int i = 0; i < m->p.rows; i++)
        for (size_t k = m->row_start[i]; k < m->row_start[i + 1]; k++)
            w->activity[i] += (double)m->row_value[k] * w->x[m->column[k]];
}

static void find_between(Mir *w)
{
    for (int j = 0; j < w->m->p.columns; j++)
        if (w->x[j] > (double)w->low[j] + STRICT && w->x[j] < (double)w->high[j] - STRICT)
            w->between[w->between_count++] = j;
}

static void find_some(Mir *w)
{
    const Matrix *m = w->m;
    size_t at = 0;
    for (int i = 0; i < m->p.rows; i++) {
        w->some_start[i] = at;
        for (size_t k = m->row_start[i]; k < m->row_start[i + 1]; k++) {
            const int j = m->column[k];
            if (w->low[j] == 0 && w->x[j] <= STRICT)
                continue;
            w->some_column[at] = j;
            w->some_value[at++] = m->row_value[k];
        }
    }
    w->some_start[m->p.rows] = at;
    w->all = (Rows){m->row_start, m->column, m->row_value};
    w->some = (Rows){w->some_start, w->some_column, w->some_value};
}

static bool tight_at(const Mir *w, int i)
{
    const SearchProblem *p = &w->m->p;
    const double room = TIGHT * (1 + fabs(w->activity[i]));
    return (p->row_low[i] != SEARCH_MINUS_INFINITY && w->activity[i] - (double)p->row_low[i] < room) ||
           (p->row_high[i] != SEARCH_PLUS_INFINITY && (double)p->row_high[i] - w->activity[i] < room);
}

/* Equalities first, then few entries: they add the least. Insertion keeps equal ones in order. */
static void find_tight(Mir *w)
{
    const Matrix *m = w->m;
    for (int i = 0; i < m->p.rows; i++) {
        if (!tight_at(w, i))
            continue;
        const size_t entries = m->row_start[i + 1] - m->row_start[i];
        int at = w->tight_count++;
        for (; at > 0; at--) {
            const int before = w->tight[at - 1];
            const size_t theirs = m->row_start[before + 1] - m->row_start[before];
            if (mir_is_equality(w, before) != mir_is_equality(w, i) ? mir_is_equality(w, before) : theirs <= entries)
                break;
            w->tight[at] = before;
        }
        w->tight[at] = i;
    }
}

static Mir mir_new(const Matrix *matrix, const int64_t *low, const int64_t *high, const double *x, CutPool *pool)
{
    const size_t n = (size_t)matrix->p.columns + 1, rows = (size_t)matrix->p.rows + 1;
    Mir w = {.m = matrix, .low = low, .high = high, .x = x, .pool = pool};
    w.activity = mem_new(rows, sizeof *w.activity);
    w.tight = mem_new(rows, sizeof *w.tight);
    w.a = mem_new(n, sizeof *w.a);
    w.used = mem_new(n, sizeof *w.used);
    w.is_used = mem_new(n, sizeof *w.is_used);
    w.upper = mem_new(n, sizeof *w.upper);
    w.nearer = mem_new(n, sizeof *w.nearer);
    for (int j = 0; j < matrix->p.columns; j++)
        w.nearer[j] = x[j] * 2 > (double)low[j] + (double)high[j];
    w.g = mem_new(n, sizeof *w.g);
    w.between = mem_new(n, sizeof *w.between);
    w.kernels = kernels_for_this_processor();
    w.slope = mem_new(n, sizeof *w.slope);
    w.slope_of = mem_new(n, sizeof *w.slope_of);
    w.near_slope = mem_new(n, sizeof *w.near_slope);
    w.near = mem_new(n, sizeof *w.near);
    w.some_start = mem_new(rows, sizeof *w.some_start);
    w.some_column = mem_new(matrix->row_start[matrix->p.rows] + 1, sizeof *w.some_column);
    w.some_value = mem_new(matrix->row_start[matrix->p.rows] + 1, sizeof *w.some_value);
    find_between(&w);
    find_some(&w);
    find_activities(&w);
    return w;
}

static void mir_release(Mir *w)
{
    mem_free(w->activity);
    mem_free(w->tight);
    mem_free(w->a);
    mem_free(w->used);
    mem_free(w->is_used);
    mem_free(w->upper);
    mem_free(w->nearer);
    mem_free(w->g);
    mem_free(w->between);
    mem_free(w->slope);
    mem_free(w->slope_of);
    mem_free(w->near_slope);
    mem_free(w->near);
    mem_free(w->some_start);
    mem_free(w->some_column);
    mem_free(w->some_value);
}

void mir_separate(const Matrix *matrix, const int64_t *low, const int64_t *high, const double *x, CutPool *pool)
{
    Mir w = mir_new(matrix, low, high, x, pool);
    find_tight(&w);
    for (int i = 0; i < matrix->p.rows; i++) {
        separate_row(&w, i, 1);
        separate_row(&w, i, -1);
    }
    mir_release(&w);
}

void mir_derive(const Matrix *matrix, const int64_t *low, const int64_t *high, const double *x, const Aggregation *list,
                size_t count, CutPool *pool)
{
    Mir w = mir_new(matrix, low, high, x, pool);
    for (size_t k = 0; k < count; k++)
        derive(&w, &list[k], k);
    mir_release(&w);
}

static void remake(Mir *w, const MirForm *form, size_t number)
{
    Recipe recipe;
    if (!recipe_of(w, &form->from, &recipe))
        return;
    memcpy(w->upper, form->upper, (size_t)w->m->p.columns * sizeof *w->upper);
    w->best = (Cut){0};
    mir_keep_cut(w, &recipe, form->divisor, 1.0);
    add_best(w, number);
}

void mir_remake(const Matrix *matrix, const MirForm *list, size_t count, CutPool *pool)
{
    double *x = mem_new((size_t)matrix->p.columns + 1, sizeof *x); /* nothing depends on the point */
    Mir w = mir_new(matrix, matrix->p.low, matrix->p.high, x, pool);
    for (size_t k = 0; k < count; k++)
        remake(&w, &list[k], k);
    mir_release(&w);
    mem_free(x);
}

void cut_release(Cut *cut)
{
    mem_free(cut->column);
    mem_free(cut->value);
    mem_free(cut->upper);
    *cut = (Cut){0};
}

void cut_pool_release(CutPool *pool)
{
    for (size_t k = 0; k < pool->count; k++)
        cut_release(&pool->cut[k]);
    mem_free(pool->cut);
    *pool = (CutPool){0};
}
