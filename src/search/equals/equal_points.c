/* equal_points.c - see equal_points.h. */
#include "search/equals/equal_points.h"

#include <string.h>

#include "base/memory.h"
#include "search/linear/matrix.h"

static void forget(EqualPoints *points)
{
    while (points->count > 0)
        mem_free(points->point[--points->count]);
}

static void add(EqualPoints *points, const SearchProblem *p, const int64_t *x)
{
    points->point[points->count++] = mem_copy(x, (size_t)p->columns, sizeof *x);
}

void equal_points_init(EqualPoints *points, const SearchProblem *p, const SearchEquals *asked, const int64_t *best)
{
    *points = (EqualPoints){.row = asked->row, .told = asked->told, .most = asked->most};
    points->point = mem_new(points->most + 1, sizeof *points->point);
    equal_points_restart(points, p, best);
}

void equal_points_restart(EqualPoints *points, const SearchProblem *p, const int64_t *x)
{
    forget(points);
    points->least = problem_activity(p, points->row, x);
    add(points, p, x);
}

void equal_points_release(EqualPoints *points)
{
    forget(points);
    mem_free(points->point);
    *points = (EqualPoints){0};
}

static bool is_there(const EqualPoints *points, const SearchProblem *p, const int64_t *x)
{
    bool there = false;
    for (size_t k = 0; k < points->count && !there; k++) {
        there = true;
        for (int j = 0; j < p->columns && there; j++)
            there = !points->told[j] || points->point[k][j] == x[j];
    }
    return there;
}

void equal_points_take(EqualPoints *points, const SearchProblem *p, const int64_t *x)
{
    const int64_t activity = problem_activity(p, points->row, x);
    if (activity > points->least || is_there(points, p, x))
        return;
    if (activity < points->least) {
        forget(points);
        points->least = activity;
        points->fewer = points->side;
    }
    if (points->count < points->most)
        add(points, p, x);
    else
        points->too_many = true;
}
