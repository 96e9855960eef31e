/* least_change.c - isotonic regression in whole numbers.
 *
 * Least squares under a partial order is isotonic regression (H. D. Brunk, "Maximum likelihood estimates of monotone
 * parameters", Annals of Mathematical Statistics 26(4), 1955; R. E. Barlow, D. J. Bartholomew, J. M. Bremner, H. D.
 * Brunk, "Statistical Inference under Order Restrictions", Wiley 1972): if scores are off by independent normal errors
 * of one spread, its solution is the likeliest set of scores that agrees with the order.
 *
 * In whole numbers, and with distances asked for, the sum is an L-natural-convex function on the points that meet the
 * conditions, so a point from which no set of numbers can be moved by one, all up or all down, for the better is the
 * best of all (K. Murota, "Discrete Convex Analysis", SIAM 2003, chapters 7 and 10). Such sets are all tried,
 * among the numbers that hang together: answers to few questions connect few. Long ways are gone in great steps first.
 */
#include "whatif/powers/least_change.h"

#include <string.h>

#include "base/number.h"

#define TOGETHER_MOST 12

typedef struct {
    const int64_t *from; /* [count] where the numbers stood */
    int64_t x[LEAST_CHANGE_MOST];
    size_t count;
    const Above *above;
    size_t aboves;
} Work;

/* A point that meets all conditions: each number is raised until it stands above what it must. */
static bool lift(Work *w)
{
    bool moved = true;
    memcpy(w->x, w->from, w->count * sizeof *w->x);
    for (size_t round = 0; moved; round++) {
        moved = false;
        for (size_t k = 0; k < w->aboves; k++) {
            const Above *a = &w->above[k];
            if (w->x[a->high] < w->x[a->low] + a->by) {
                w->x[a->high] = w->x[a->low] + a->by;
                moved = true;
            }
        }
        if (moved && round > w->count) /* a circle raises its numbers for ever */
            return false;
    }
    return true;
}

/* The first of those that hang together by conditions, for each number. */
static void find_groups(const Work *w, size_t *group)
{
    for (size_t i = 0; i < w->count; i++)
        group[i] = i;
    for (size_t round = 0; round < w->count; round++)
        for (size_t k = 0; k < w->aboves; k++) {
            size_t *a = &group[w->above[k].high], *b = &group[w->above[k].low];
            *a = *b = *a < *b ? *a : *b;
        }
}

/* Does moving the set by so much keep all conditions? Bit i of the set: member[i]. */
static bool may_move(const Work *w, const size_t *place, unsigned set, int64_t by)
{
    for (size_t k = 0; k < w->aboves; k++) {
        const Above *a = &w->above[k];
        if (place[a->high] == SIZE_MAX)
            continue;
        const int64_t high = w->x[a->high] + ((set >> place[a->high] & 1U) != 0 ? by : 0),
                      low = w->x[a->low] + ((set >> place[a->low] & 1U) != 0 ? by : 0);
        if (high < low + a->by)
            return false;
    }
    return true;
}

/* What the sum of squares changes by. */
static int128 gain_of(const Work *w, const size_t *member, size_t members, unsigned set, int64_t by)
{
    int128 change = 0;
    for (size_t m = 0; m < members; m++)
        if ((set >> m & 1U) != 0)
            change += (int128)by * (2 * ((int128)w->x[member[m]] - w->from[member[m]]) + by);
    return change;
}

/* Moves the best set, up or down. False: none makes it better. */
static bool descend(Work *w, const size_t *member, size_t members, const size_t *place, int64_t step)
{
    int128 best = 0;
    unsigned best_set = 0;
    int64_t best_by = 0;
    for (int sign = -1; sign <= 1; sign += 2)
        for (unsigned set = 1; set < 1U << members; set++) {
            const int128 change = gain_of(w, member, members, set, sign * step);
            if (change < best && may_move(w, place, set, sign * step)) {
                best = change;
                best_set = set;
                best_by = sign * step;
            }
        }
    for (size_t m = 0; m < members; m++)
        w->x[member[m]] += (best_set >> m & 1U) != 0 ? best_by : 0;
    return best < 0;
}

static void settle_group(Work *w, const size_t *group, size_t first)
{
    size_t member[TOGETHER_MOST], place[LEAST_CHANGE_MOST], members = 0;
    int64_t far = 1, step = 1;
    for (size_t i = 0; i < w->count; i++) {
        place[i] = SIZE_MAX;
        if (group[i] != first || members == TOGETHER_MOST)
            continue;
        const int64_t gone = w->x[i] - w->from[i];
        far = gone > far ? gone : far;
        place[i] = members;
        member[members++] = i;
    }
    if (members < 2)
        return;
    while (step < far)
        step *= 2;
    for (; step >= 1; step /= 2)
        while (descend(w, member, members, place, step))
            ;
}

bool least_change(int64_t *x, size_t count, const Above *above, size_t aboves)
{
    Work w = {.from = x, .count = count, .above = above, .aboves = aboves};
    size_t group[LEAST_CHANGE_MOST];
    if (!lift(&w))
        return false;
    find_groups(&w, group);
    for (size_t i = 0; i < count; i++)
        if (group[i] == i)
            settle_group(&w, group, i);
    memcpy(x, w.x, count * sizeof *x);
    return true;
}
