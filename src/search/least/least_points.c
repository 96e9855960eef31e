/* least_points.c - see least_points.h. */
#include "search/least/least_points.h"

#include "base/memory.h"
#include "search/linear/matrix.h"

static void hold(LeastPoints *points, const SearchProblem *p)
{
    bool *loosened = mem_new((size_t)p->rows + 1, sizeof *loosened);
    for (int k = 0; k < points->count; k++)
        for (size_t e = p->start[points->column[k]]; e < p->start[points->column[k] + 1]; e++)
            loosened[p->row[e]] = p->row[e] != points->row;
    for (int j = 0; j < p->columns; j++)
        for (size_t e = p->start[j]; e < p->start[j + 1]; e++)
            points->held[j] = points->held[j] || loosened[p->row[e]];
    mem_free(loosened);
}

void least_points_init(LeastPoints *points, const SearchProblem *p, const SearchLeast *asked)
{
    *points = (LeastPoints){.count = asked->count,
                            .row = asked->row,
                            .column = asked->column,
                            .loaded = asked->units,
                            .least = asked->least,
                            .units = mem_copy(asked->units, (size_t)asked->count, sizeof *points->units),
                            .any = asked->any,
                            .target = asked->target,
                            .point = mem_new((size_t)asked->count + 1, sizeof *points->point),
                            .held = mem_new((size_t)p->columns + 1, sizeof *points->held)};
    hold(points, p);
}

void least_points_release(LeastPoints *points)
{
    for (int k = 0; k < points->count; k++)
        mem_free(points->point[k]);
    mem_free(points->point);
    mem_free(points->units);
    mem_free(points->held);
    *points = (LeastPoints){0};
}

int64_t least_points_need(const LeastPoints *points, const SearchProblem *p, int which, const int64_t *x)
{
    const int z = points->column[which];
    int64_t need = 0;
    for (size_t k = p->start[z]; k < p->start[z + 1]; k++) {
        const int row = p->row[k];
        if (row == points->row)
            continue;
        const int64_t unit = p->value[k] / points->loaded[which], without = problem_activity(p, row, x) - p->value[k];
        int64_t over = 0;
        if (unit > 0 && p->row_low[row] != SEARCH_MINUS_INFINITY)
            over = p->row_low[row] - without;
        else if (unit < 0 && p->row_high[row] != SEARCH_PLUS_INFINITY)
            over = without - p->row_high[row];
        const int64_t units = over > 0 ? (int64_t)ceil_div(over, unit > 0 ? unit : -unit) : 0;
        need = units > need ? units : need;
    }
    return need;
}

static int which_is_at_1(const LeastPoints *points, const int64_t *x)
{
    for (int k = 0; k < points->count; k++)
        if (x[points->column[k]] != 0)
            return k;
    return -1;
}

bool least_points_take(LeastPoints *points, const SearchProblem *p, const int64_t *x)
{
    const int k = which_is_at_1(points, x);
    const int64_t need = k >= 0 ? least_points_need(points, p, k, x) : 0;
    if (k < 0 || need > points->units[k] || points->units[k] == 0)
        return false;
    mem_free(points->point[k]);
    points->point[k] = mem_copy(x, (size_t)p->columns, sizeof *x);
    points->units[k] = points->any || need <= points->least[k] ? 0 : need - 1;
    points->changed = true;
    return true;
}

bool least_points_done(const LeastPoints *points)
{
    int left = 0;
    for (int k = 0; k < points->count; k++)
        left += points->units[k] > 0;
    return left == 0;
}

int64_t least_points_entry(const LeastPoints *points, int which, int64_t loaded, int64_t divisor)
{
    const int64_t all = loaded / points->loaded[which] * points->units[which], size = magnitude64(all);
    const int64_t entry = (int64_t)ceil_div(size, divisor);
    return all < 0 ? -entry : entry;
}
