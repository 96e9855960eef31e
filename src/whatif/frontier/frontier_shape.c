/* frontier_shape.c - the knee and the dead zones of a frontier: between two caps where the larger one's bound is no
 * more than the smaller one's fit, money buys nothing. */
#include "base/number.h"
#include "base/sort.h"
#include "whatif/frontier/frontier.h"

long curve_knee(const int64_t *x, const int64_t *y, size_t points, int64_t noise)
{
    long knee = -1;
    int128 highest = points > 0 ? (int128)noise * (x[points - 1] - x[0]) : 0;
    for (size_t k = 1; k + 1 < points; k++) {
        const size_t last = points - 1;
        int128 above = (int128)(y[k] - y[0]) * (x[last] - x[0]) - (int128)(y[last] - y[0]) * (x[k] - x[0]);
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

static void find_dead_zones(const FrontierPoint *point, size_t points, Frontier *frontier)
{
    DeadZone *dead = mem_new(points + 1, sizeof *dead);
    size_t count = 0;
    for (size_t k = 0; k + 1 < points; k++) {
        const FrontierPoint *a = &point[k], *b = &point[k + 1];
        if (k >= frontier->exact)
            add_dead_zone(dead, &count, a->cap, b->cap - 1);
        else if (a->has_pool && b->bound <= a->fit)
            add_dead_zone(dead, &count, a->cap, b->cap);
    }
    if (frontier->exact < points)
        add_dead_zone(dead, &count, point[points - 1].cap, frontier->exact_to);
    sort_stable(dead, count, sizeof *dead, by_length);
    frontier->dead = dead;
    frontier->deads = count;
}

void frontier_shape(const FrontierPoint *point, size_t points, Frontier *frontier)
{
    int64_t *x = mem_new(points, sizeof *x), *y = mem_new(points, sizeof *y);
    size_t first = 0, count = 0;
    int64_t noise = 0;
    while (first < points && !point[first].has_pool)
        first++;
    for (size_t k = first; k < points && point[k].has_pool; k++, count++) {
        if (point[k].bound != INT64_MAX && point[k].bound - point[k].fit > noise)
            noise = point[k].bound - point[k].fit;
        x[count] = point[k].cap;
        y[count] = point[k].fit;
    }
    long knee = curve_knee(x, y, count, noise);
    frontier->knee = knee < 0 ? -1 : knee + (long)first;
    find_dead_zones(point, points, frontier);
    mem_free(x);
    mem_free(y);
}

void frontier_release(Frontier *frontier)
{
    mem_free(frontier->dead);
    *frontier = (Frontier){0};
}
