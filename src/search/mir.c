/* mir.c - complemented mixed-integer rounding over aggregated rows.
 *
 * Base: a sum of rows with integer multipliers, as sum a x + sum m s = b with a slack s >= 0 (an integer, since rows are) for every row that is no
 * equality. Each column is measured from the bound that x is nearer to: x = l + x' or x = u - x'. For a divisor d, with r = b mod d > 0, integer rounding
 * (Nemhauser and Wolsey, "A recursive procedure to generate all cuts for 0-1 mixed integer programs", Mathematical Programming 46, 1990)
 * gives, times (d - r) so that all is whole,
 *
 *     sum G(a) x' + sum G(m) s <= floor(b / d) (d - r),      G(a) = floor(a / d) (d - r) + max(0, a mod d - r);
 *
 * then slacks and complements are put back. Which rows to add, which divisors and which complements to try follows H. Marchand and L. A. Wolsey,
 * "Aggregation and mixed integer rounding to solve MIPs", Operations Research 49(3), 2001: begin with one row, then again and again add a tight row that
 * cancels a column strictly between its bounds. What overflows 2^40 is given up. */
#include "search/mir.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "search/kernels.h"

#define FEW_ENTRIES 2        /* rows that only say that one column is at most another are no use to begin with */
#define MOST_DIVISORS 12
#define TRIES_PER_ROW 24
#define LARGEST (INT64_C(1) << 40)
#define LEAST_EFFICACY 1e-4
#define STRICT 1e-6           /* a column is between its bounds */
#define TIGHT 1e-6

/* Rows by row, of all columns or of some. */
typedef struct {
    const size_t *start;
    const int *column;
    const int64_t *value;
} Rows;

typedef struct {
    MirPart part[MIR_MOST_ROWS];
    int64_t scale[MIR_MOST_ROWS]; /* what the base was multiplied by before the part was added */
    int parts;
} Recipe;

typedef struct {
    const Matrix *m;
    Rows all, some;           /* some: only the columns that are not at a lower bound of 0, which is all that steering needs */
    const Rows *rows;         /* the one at work */
    size_t *some_start;
    int *some_column;
    int64_t *some_value;
    int *between;             /* columns strictly between their bounds */
    int between_count;
    const int64_t *low, *high;
    const double *x;
    double *activity;         /* [rows] */
    int *tight;               /* rows tight at x, by number of entries */
    int tight_count;
    int64_t *a;               /* [columns] the base's coefficients */
    int *used;                /* columns that may be non-zero */
    int used_count;
    bool *is_used, *upper;    /* [columns] upper: measured from the upper bound */
    bool *nearer;             /* [columns] x is nearer to the upper bound */
    const Kernels *kernels;   /* steering: the base in floating point, measured from the bounds that `upper` says */
    double *slope;            /* [used_count] coefficients */
    int *slope_of;            /* [columns] the place of a used column there */
    double *near_slope, *near; /* [between_count] the same for columns between their bounds, and how far they are from the bound */
    int64_t b;
    MirPart part[MIR_MOST_ROWS];
    int parts;
    int tries;
    int64_t *g;               /* [columns] scratch for a finished cut */
    CutPool *pool;
    Cut best;                 /* of the base row at work */
} Mir;

/* ---- the base ---- */

static bool fits(int128 v)
{
    return v <= LARGEST && v >= -LARGEST;
}

static int64_t magnitude(int64_t v)
{
    return v < 0 ? -v : v;
}

static bool multiply_within(int64_t a, int64_t b, int64_t *product)
{
    return !__builtin_mul_overflow(a, b, product) && *product <= LARGEST && *product >= -LARGEST;
}

static void base_clear(Mir *w)
{
    for (int k = 0; k < w->used_count; k++) {
        w->a[w->used[k]] = 0;
        w->is_used[w->used[k]] = false;
    }
    w->used_count = w->parts = 0;
    w->b = 0;
}

static int64_t side_of(const Mir *w, const MirPart *part)
{
    return part->multiplier > 0 ? w->m->p.row_high[part->row] : w->m->p.row_low[part->row];
}

/* base = base * scale + row * multiplier; false (base spoilt) on overflow. */
static bool base_add(Mir *w, int64_t scale, int row, int64_t multiplier)
{
    int128 b = (int128)w->b * scale;
    for (int k = 0; scale != 1 && k < w->used_count; k++)
        if (!multiply_within(w->a[w->used[k]], scale, &w->a[w->used[k]]))
            return false;
    for (int k = 0; k < w->parts; k++)
        w->part[k].multiplier *= scale;
    for (size_t k = w->rows->start[row]; k < w->rows->start[row + 1]; k++) {
        const int j = w->rows->column[k];
        int64_t more;
        if (!multiply_within(w->rows->value[k], multiplier, &more) || magnitude(w->a[j] + more) > LARGEST)
            return false;
        w->a[j] += more;
        if (!w->is_used[j]) {
            w->is_used[j] = true;
            w->used[w->used_count++] = j;
        }
    }
    w->part[w->parts] = (MirPart){row, multiplier};
    b += (int128)side_of(w, &w->part[w->parts]) * multiplier;
    w->parts++;
    w->b = (int64_t)b;
    return fits(b);
}

static bool base_from(Mir *w, const Rows *rows, const Recipe *recipe)
{
    base_clear(w);
    w->rows = rows;
    for (int k = 0; k < recipe->parts; k++)
        if (!base_add(w, recipe->scale[k], recipe->part[k].row, recipe->part[k].multiplier))
            return false;
    return true;
}

/* ---- rounding ---- */

static int64_t floor64(int64_t a, int64_t d)
{
    const int64_t q = a / d;
    return q - (a % d != 0 && (a < 0));
}

static int64_t rounded(int64_t a, int64_t d, int64_t r)
{
    const int64_t q = floor64(a, d), rest = a - q * d;
    return q * (d - r) + (rest > r ? rest - r : 0); /* |result| <= |a| + d */
}

static bool is_equality(const Mir *w, int row)
{
    return w->m->p.row_low[row] == w->m->p.row_high[row];
}

static double slack_at(const Mir *w, const MirPart *part)
{
    const double side = (double)side_of(w, part), activity = w->activity[part->row];
    const double s = part->multiplier > 0 ? side - activity : activity - side;
    return s > 0 ? s : 0;
}

/* b' : the right side once columns are measured from their bounds. */
static bool shifted_side(const Mir *w, int64_t *side)
{
    int128 b = w->b;
    for (int k = 0; k < w->used_count; k++) {
        const int j = w->used[k];
        b -= (int128)w->a[j] * (w->upper[j] ? w->high[j] : w->low[j]);
    }
    *side = (int64_t)b;
    return fits(b);
}

static void steer_by_column(Mir *w, int k)
{
    const int j = w->between[k];
    w->near_slope[k] = (double)(w->upper[j] ? -w->a[j] : w->a[j]);
    w->near[k] = w->upper[j] ? (double)w->high[j] - w->x[j] : w->x[j] - (double)w->low[j];
    if (w->is_used[j])
        w->slope[w->slope_of[j]] = w->near_slope[k];
}

static void steer_by_base(Mir *w)
{
    for (int k = 0; k < w->used_count; k++) {
        const int j = w->used[k];
        w->slope[k] = (double)(w->upper[j] ? -w->a[j] : w->a[j]);
        w->slope_of[j] = k;
    }
    for (int k = 0; k < w->between_count; k++)
        steer_by_column(w, k);
}

/* By how much the cut with divisor d is violated, over its length as far as `rows` shows it; 0 when it is no cut. Columns at a bound add nothing to the
 * left side, since they are measured from that bound. */
static double efficacy(const Mir *w, int64_t side, int64_t d)
{
    const int64_t q = floor64(side, d), r = side - q * d;
    if (r == 0)
        return 0;
    double left = w->kernels->rounded_sum(w->near_slope, w->near, w->between_count, (double)d, (double)r);
    for (int k = 0; k < w->parts; k++)
        if (!is_equality(w, w->part[k].row))
            left += (double)rounded(magnitude(w->part[k].multiplier), d, r) * slack_at(w, &w->part[k]);
    const double right = (double)q * (double)(d - r);
    if (left <= right + 1e-9 * fabs(right))
        return 0;
    const double norm = w->kernels->rounded_squares(w->slope, w->used_count, (double)d, (double)r);
    return norm > 0 ? (left - right) / sqrt(norm) : 0;
}

static int collect_divisors(const Mir *w, int64_t *divisor)
{
    int count = 0;
    for (int k = 0; k < w->between_count && count < MOST_DIVISORS; k++) {
        const int64_t d = magnitude(w->a[w->between[k]]);
        if (d < 2)
            continue;
        int at = 0;
        while (at < count && divisor[at] != d)
            at++;
        if (at == count)
            divisor[count++] = d;
    }
    return count;
}

/* ---- a finished cut ---- */

static bool put_back(Mir *w, int64_t side, int64_t d, int64_t *right)
{
    const int64_t q = floor64(side, d), r = side - q * d;
    int128 b = (int128)q * (d - r);
    for (int k = 0; k < w->used_count; k++) {
        const int j = w->used[k];
        int64_t g = w->a[j] == 0 ? 0 : rounded(w->upper[j] ? -w->a[j] : w->a[j], d, r);
        if (w->upper[j]) { /* g (u - x) */
            b -= (int128)g * w->high[j];
            g = -g;
        } else
            b += (int128)g * w->low[j];
        w->g[j] = g;
    }
    for (int k = 0; k < w->parts; k++) {
        const MirPart *part = &w->part[k];
        const int64_t g = is_equality(w, part->row) ? 0 : rounded(magnitude(part->multiplier), d, r);
        if (g == 0)
            continue;
        const int64_t sign = part->multiplier > 0 ? 1 : -1; /* s = sign (side - row x) */
        b -= (int128)g * sign * side_of(w, part);
        for (size_t e = w->m->row_start[part->row]; e < w->m->row_start[part->row + 1]; e++) {
            const int128 v = w->g[w->m->column[e]] - (int128)g * sign * w->m->row_value[e];
            if (!fits(v))
                return false;
            w->g[w->m->column[e]] = (int64_t)v;
        }
    }
    *right = (int64_t)b;
    return fits(b);
}

static int by_number(const void *a, const void *b)
{
    const int x = *(const int *)a, y = *(const int *)b;
    return (x > y) - (x < y);
}

/* The cut over all columns; those left out so far are at a lower bound of 0. */
static void keep_cut(Mir *w, const Recipe *recipe, int64_t d, double depth)
{
    int64_t right, side;
    if (!base_from(w, &w->all, recipe) || !shifted_side(w, &side) || !put_back(w, side, d, &right))
        return;
    size_t count = 0;
    int64_t g = 0;
    for (int k = 0; k < w->used_count; k++) {
        count += w->g[w->used[k]] != 0;
        g = gcd64(g, w->g[w->used[k]]);
    }
    if (count == 0 || g == 0)
        return;
    Cut cut = {.column = mem_new(count, sizeof *cut.column), .value = mem_new(count, sizeof *cut.value), .high = (int64_t)floor_div(right, g), .efficacy = depth};
    cut.divisor = d;
    cut.common = g;
    cut.upper = mem_new((size_t)w->m->p.columns + 1, sizeof *cut.upper);
    memcpy(cut.upper, w->upper, (size_t)w->m->p.columns * sizeof *cut.upper);
    cut.from.parts = w->parts;
    memcpy(cut.from.part, w->part, (size_t)w->parts * sizeof *w->part);
    for (int k = 0; k < w->used_count; k++)
        if (w->g[w->used[k]] != 0)
            cut.column[cut.count++] = w->used[k];
    qsort(cut.column, cut.count, sizeof *cut.column, by_number);
    for (size_t k = 0; k < cut.count; k++)
        cut.value[k] = w->g[cut.column[k]] / g;
    cut_release(&w->best);
    w->best = cut;
}

/* Tries to reach a deeper cut by measuring columns between their bounds from the other side. */
static double turn_columns(Mir *w, int64_t *side, int64_t d, double depth)
{
    for (int k = 0; k < w->between_count && k < 40; k++) {
        const int j = w->between[k];
        if (w->a[j] == 0)
            continue;
        const int64_t before = *side;
        const int128 turned = before + (w->upper[j] ? 1 : -1) * (int128)w->a[j] * (w->high[j] - w->low[j]);
        w->upper[j] = !w->upper[j];
        steer_by_column(w, k);
        *side = (int64_t)turned;
        const double now = fits(turned) ? efficacy(w, *side, d) : 0;
        if (now > depth) {
            depth = now;
            continue;
        }
        w->upper[j] = !w->upper[j];
        steer_by_column(w, k);
        *side = before;
    }
    return depth;
}

static void try_base(Mir *w, const Recipe *recipe)
{
    int64_t divisor[MOST_DIVISORS], side, best_divisor = 0;
    for (int k = 0; k < w->used_count; k++) { /* columns that `some` leaves out stay at their lower bound */
        const int j = w->used[k];
        w->upper[j] = w->nearer[j];
    }
    w->tries++;
    if (!shifted_side(w, &side))
        return;
    steer_by_base(w);
    const int count = collect_divisors(w, divisor);
    double depth = 0;
    for (int k = 0; k < count; k++) {
        const double now = efficacy(w, side, divisor[k]);
        if (now > depth) {
            depth = now;
            best_divisor = divisor[k];
        }
    }
    if (best_divisor == 0)
        return;
    for (int64_t part = 2, whole = best_divisor; part <= 8 && whole / part > 1; part *= 2) {
        const double now = efficacy(w, side, whole / part);
        if (now > depth) {
            depth = now;
            best_divisor = whole / part;
        }
    }
    depth = turn_columns(w, &side, best_divisor, depth);
    if (depth > LEAST_EFFICACY && depth > w->best.efficacy)
        keep_cut(w, recipe, best_divisor, depth);
}

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
            const double down = w->x[j] - (double)w->low[j], up = (double)w->high[j] - w->x[j], far = down < up ? down : up;
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

/* Adds tight row i so that a column of which the base has `have` and the row has `theirs` cancels; false if its side is missing. */
static bool extend_recipe(const Mir *w, Recipe *recipe, int i, int64_t have, int64_t theirs)
{
    const int64_t g = gcd64(have, theirs);
    int64_t scale = magnitude(theirs) / g, multiplier = (have > 0) == (theirs > 0) ? -magnitude(have) / g : magnitude(have) / g;
    const MirPart part = {i, multiplier};
    const int64_t side = side_of(w, &part);
    if (side == SEARCH_MINUS_INFINITY || side == SEARCH_PLUS_INFINITY || recipe->parts == MIR_MOST_ROWS)
        return false;
    const double slack = slack_at(w, &part);
    if (slack > TIGHT * (1 + fabs((double)side)) && !is_equality(w, i))
        return false;
    recipe->part[recipe->parts] = part;
    recipe->scale[recipe->parts++] = scale;
    return true;
}

static void explore(Mir *w, const Recipe *recipe, int depth)
{
    for (int passed = 0; passed < (depth == 1 ? 3 : 2); passed++) {
        if (w->tries >= TRIES_PER_ROW || !base_from(w, &w->some, recipe))
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
            if (!base_from(w, &w->some, &longer))
                continue;
            try_base(w, &longer);
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
    const int64_t side = side_of(w, &part);
    if (side == SEARCH_MINUS_INFINITY || side == SEARCH_PLUS_INFINITY)
        return;
    if (w->m->row_start[row + 1] - w->m->row_start[row] <= FEW_ENTRIES || slack_at(w, &part) > 0.1 * (1 + (double)w->m->row_largest[row]))
        return;
    Recipe recipe = {.part = {part}, .scale = {1}, .parts = 1};
    w->tries = 0;
    w->best = (Cut){0};
    if (!base_from(w, &w->some, &recipe))
        return;
    try_base(w, &recipe);
    explore(w, &recipe, 1);
    add_best(w, 0);
}

static void derive(Mir *w, const Aggregation *from, size_t number)
{
    Recipe recipe = {.parts = from->parts};
    for (int k = 0; k < from->parts; k++) {
        const int64_t side = side_of(w, &from->part[k]);
        if (side == SEARCH_MINUS_INFINITY || side == SEARCH_PLUS_INFINITY)
            return;
        recipe.part[k] = from->part[k];
        recipe.scale[k] = 1;
    }
    w->best = (Cut){0};
    if (base_from(w, &w->some, &recipe))
        try_base(w, &recipe);
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
            if (is_equality(w, before) != is_equality(w, i) ? is_equality(w, before) : theirs <= entries)
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

void mir_derive(const Matrix *matrix, const int64_t *low, const int64_t *high, const double *x, const Aggregation *list, size_t count, CutPool *pool)
{
    Mir w = mir_new(matrix, low, high, x, pool);
    for (size_t k = 0; k < count; k++)
        derive(&w, &list[k], k);
    mir_release(&w);
}

static void remake(Mir *w, const MirForm *form, size_t number)
{
    Recipe recipe = {.parts = form->from.parts};
    for (int k = 0; k < recipe.parts; k++) {
        const int64_t side = side_of(w, &form->from.part[k]);
        if (side == SEARCH_MINUS_INFINITY || side == SEARCH_PLUS_INFINITY)
            return;
        recipe.part[k] = form->from.part[k];
        recipe.scale[k] = 1;
    }
    memcpy(w->upper, form->upper, (size_t)w->m->p.columns * sizeof *w->upper);
    w->best = (Cut){0};
    keep_cut(w, &recipe, form->divisor, 1.0);
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
