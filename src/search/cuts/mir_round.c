/* mir_round.c - a sum of rows rounded to a cut, in whole numbers.
 *
 * Base: a sum of rows with integer multipliers, as sum a x + sum m s = b with a slack s >= 0 (an integer, since rows
 * are) for every row that is no equality. Each column is measured from the bound that x is nearer to: x = l + x' or x =
 * u - x'. For a divisor d, with r = b mod d > 0, integer rounding (Nemhauser and Wolsey, "A recursive procedure to
 * generate all cuts for 0-1 mixed integer programs", Mathematical Programming 46, 1990) gives, times (d - r) so that
 * all is whole,
 *
 *     sum G(a) x' + sum G(m) s <= floor(b / d) (d - r),      G(a) = floor(a / d) (d - r) + max(0, a mod d - r);
 *
 * then slacks and complements are put back. Which divisors and which complements to try follows H. Marchand and L. A.
 * Wolsey, Operations Research 49(3), 2001. What overflows 2^40 is given up. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/sort.h"
#include "search/cuts/mir_inner.h"

#define MOST_DIVISORS 12
#define LEAST_EFFICACY 1e-4

/* ---- the base ---- */

static bool fits(int128 v)
{
    return v <= MATRIX_LARGEST && v >= -MATRIX_LARGEST;
}

static bool multiply_within(int64_t a, int64_t b, int64_t *product)
{
    return !__builtin_mul_overflow(a, b, product) && *product <= MATRIX_LARGEST && *product >= -MATRIX_LARGEST;
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

int64_t mir_side(const Mir *w, const MirPart *part)
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
        if (!multiply_within(w->rows->value[k], multiplier, &more) || magnitude64(w->a[j] + more) > MATRIX_LARGEST)
            return false;
        w->a[j] += more;
        if (!w->is_used[j]) {
            w->is_used[j] = true;
            w->used[w->used_count++] = j;
        }
    }
    w->part[w->parts] = (MirPart){row, multiplier};
    b += (int128)mir_side(w, &w->part[w->parts]) * multiplier;
    w->parts++;
    w->b = (int64_t)b;
    return fits(b);
}

static bool begins_with(const Recipe *recipe, const Recipe *beginning)
{
    bool same = recipe->parts >= beginning->parts;
    for (int k = 0; same && k < beginning->parts; k++)
        same = recipe->part[k].row == beginning->part[k].row &&
               recipe->part[k].multiplier == beginning->part[k].multiplier && recipe->scale[k] == beginning->scale[k];
    return same;
}

/* What the base holds already is not summed again: mostly one more row is wanted. */
bool mir_base(Mir *w, const Rows *rows, const Recipe *recipe)
{
    const int there = w->rows == rows && begins_with(recipe, &w->built) ? w->built.parts : 0;
    if (there == 0)
        base_clear(w);
    w->rows = rows;
    w->built.parts = 0;
    for (int k = there; k < recipe->parts; k++)
        if (!base_add(w, recipe->scale[k], recipe->part[k].row, recipe->part[k].multiplier))
            return false;
    w->built = *recipe;
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

bool mir_is_equality(const Mir *w, int row)
{
    return w->m->p.row_low[row] == w->m->p.row_high[row];
}

double mir_slack(const Mir *w, const MirPart *part)
{
    const double side = (double)mir_side(w, part), activity = w->activity[part->row];
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

/* By how much the cut with divisor d is violated, over its length as far as `rows` shows it; 0 when it is no cut.
 * Columns at a bound add nothing to the left side, since they are measured from that bound. */
static double efficacy(const Mir *w, int64_t side, int64_t d)
{
    const int64_t q = floor64(side, d), r = side - q * d;
    if (r == 0)
        return 0;
    double left = w->kernels->rounded_sum(w->near_slope, w->near, w->between_count, (double)d, (double)r);
    for (int k = 0; k < w->parts; k++)
        if (!mir_is_equality(w, w->part[k].row))
            left += (double)rounded(magnitude64(w->part[k].multiplier), d, r) * mir_slack(w, &w->part[k]);
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
        const int64_t d = magnitude64(w->a[w->between[k]]);
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
        const int64_t g = mir_is_equality(w, part->row) ? 0 : rounded(magnitude64(part->multiplier), d, r);
        if (g == 0)
            continue;
        const int64_t sign = part->multiplier > 0 ? 1 : -1; /* s = sign (side - row x) */
        b -= (int128)g * sign * mir_side(w, part);
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
void mir_keep_cut(Mir *w, const Recipe *recipe, int64_t d, double depth)
{
    int64_t right, side;
    if (!mir_base(w, &w->all, recipe) || !shifted_side(w, &side) || !put_back(w, side, d, &right))
        return;
    size_t count = 0;
    int64_t g = 0;
    for (int k = 0; k < w->used_count; k++) {
        count += w->g[w->used[k]] != 0;
        g = gcd64(g, w->g[w->used[k]]);
    }
    if (count == 0 || g == 0)
        return;
    Cut cut = {.column = mem_new(count, sizeof *cut.column),
               .value = mem_new(count, sizeof *cut.value),
               .high = (int64_t)floor_div(right, g),
               .efficacy = depth};
    cut.divisor = d;
    cut.scale = (double)g / (double)(d - (side - floor64(side, d) * d));
    cut.upper = mem_new((size_t)w->m->p.columns + 1, sizeof *cut.upper);
    memcpy(cut.upper, w->upper, (size_t)w->m->p.columns * sizeof *cut.upper);
    cut.from.parts = w->parts;
    memcpy(cut.from.part, w->part, (size_t)w->parts * sizeof *w->part);
    for (int k = 0; k < w->used_count; k++)
        if (w->g[w->used[k]] != 0)
            cut.column[cut.count++] = w->used[k];
    sort_stable(cut.column, cut.count, sizeof *cut.column, by_number);
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

void mir_try_base(Mir *w, const Recipe *recipe)
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
        mir_keep_cut(w, recipe, best_divisor, depth);
}
