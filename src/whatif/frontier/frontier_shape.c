/* frontier_shape.c - the knee and the dead zones of a frontier: between two caps where the larger one's bound is no
 * more than the smaller one's fit, money buys nothing. */
#include "base/number.h"
#include "base/sort.h"
#include "whatif/frontier/frontier.h"

CurvePoint curve_point(int64_t at, const Answer *answer)
{
    return (CurvePoint){at, answer->has_pool, answer->check.fit, answer->has_bound ? answer->bound : INT64_MAX};
}

long curve_knee(const CurvePoint *point, size_t points)
{
    size_t first = 0, end;
    int64_t noise = 0;
    while (first < points && !point[first].has_pool)
        first++;
    for (end = first; end < points && point[end].has_pool; end++)
        if (point[end].bound != INT64_MAX && point[end].bound - point[end].fit > noise)
            noise = point[end].bound - point[end].fit;
    if (end == first)
        return -1;
    long knee = -1;
    const CurvePoint *a = &point[first], *z = &point[end - 1];
    int128 highest = (int128)noise * (z->at - a->at);
    for (size_t k = first + 1; k + 1 < end; k++) {
        const int128 above =
            (int128)(point[k].fit - a->fit) * (z->at - a->at) - (int128)(z->fit - a->fit) * (point[k].at - a->at);
        if (above > highest) {
            highest = above;
            knee = (long)k;
        }
    }
    return knee;
}

static int by_length(const void *a, const void *b)
{
    const DeadZone *x = a, *y = b;
    const int64_t p = x->to - x->from, q = y->to - y->from;
    if (p != q)
        return p > q ? -1 : 1;
    return (x->from > y->from) - (x->from < y->from);
}

static void add_dead_zone(DeadZone *dead, size_t *count, int64_t from, int64_t to)
{
    if (from >= to)
        return;
    if (*count > 0 && dead[*count - 1].to == from)
        dead[*count - 1].to = to;
    else
        dead[(*count)++] = (DeadZone){from, to};
}

static void find_dead_zones(const CurvePoint *point, size_t points, Frontier *frontier)
{
    DeadZone *dead = mem_new(points + 1, sizeof *dead);
    size_t count = 0;
    for (size_t k = 0; k + 1 < points; k++) {
        const CurvePoint *a = &point[k], *b = &point[k + 1];
        if (k >= frontier->exact)
            add_dead_zone(dead, &count, a->at, b->at - 1);
        else if (a->has_pool && b->bound <= a->fit)
            add_dead_zone(dead, &count, a->at, b->at);
    }
    if (frontier->exact < points)
        add_dead_zone(dead, &count, point[points - 1].at, frontier->exact_to);
    sort_stable(dead, count, sizeof *dead, by_length);
    frontier->dead = dead;
    frontier->deads = count;
}

void frontier_shape(const CurvePoint *point, size_t points, Frontier *frontier)
{
    frontier->knee = curve_knee(point, points);
    find_dead_zones(point, points, frontier);
}

void frontier_release(Frontier *frontier)
{
    mem_free(frontier->dead);
    *frontier = (Frontier){0};
}
