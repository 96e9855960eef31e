/* programme_make.c - see programme_make.h.
 *
 * A continuous column may stand in several rows, with +1 or -1, but a row holds one of them at most: with the integer
 * columns fixed at integers its best value is then an end of an interval between integers, as the search asks. */
#include <string.h>

#include "base/memory.h"
#include "support/programme_make.h"

#define POINTS_MOST 4000 /* of a small programme */

uint64_t programme_random(uint64_t *state)
{
    *state += UINT64_C(0x9e3779b97f4a7c15);
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static int64_t between(uint64_t *s, int64_t low, int64_t high)
{
    return low + (int64_t)(programme_random(s) % (uint64_t)(high - low + 1));
}

static bool one_in(uint64_t *s, int n)
{
    return between(s, 1, n) == 1;
}

static void draw_columns(SearchProblem *p, ProgrammeSize size, uint64_t *s)
{
    int64_t points = 1;
    for (int j = 0; j < p->columns; j++) {
        const int64_t draw = between(s, 0, 9);
        p->kind[j] = draw < 7 ? SEARCH_BINARY : draw < 9 ? SEARCH_INTEGER : SEARCH_CONTINUOUS;
        p->low[j] = p->kind[j] == SEARCH_BINARY ? 0 : between(s, -2, 1);
        p->high[j] = p->kind[j] == SEARCH_BINARY ? 1 : p->low[j] + between(s, 0, 3);
        if (size == PROGRAMME_SMALL && points * (p->high[j] - p->low[j] + 1) > POINTS_MOST)
            p->high[j] = p->low[j];
        points *= p->high[j] - p->low[j] + 1;
        p->objective[j] = one_in(s, 10) ? 0 : between(s, -4, 30) * 50;
    }
}

typedef enum { WEIGHT, COUNT, SHARE, STYLES } Style;

static int64_t draw_entry(Style style, uint64_t *s)
{
    switch (style) {
    case WEIGHT: return between(s, 5, 60);
    case COUNT: return one_in(s, 2) ? 1 : 0;
    default: return one_in(s, 3) ? 0 : between(s, -9, 14);
    }
}

/* Sides around what a random point uses, so that most programmes have a solution; some are off. */
static void draw_sides(SearchProblem *p, int i, Style style, int64_t use, uint64_t *s)
{
    const int64_t unit = style == WEIGHT  ? 12
                         : style == COUNT ? 1
                                          : 5,
                  off = one_in(s, 30) ? between(s, -5, 5) * unit : 0;
    const int64_t sides = between(s, 0, 9);
    const bool equality = style == WEIGHT ? sides == 9 : sides >= 7;
    p->row_low[i] = equality ? use + off : sides < 4 ? SEARCH_MINUS_INFINITY : use + off - between(s, 0, 2) * unit;
    p->row_high[i] = equality                   ? use + off
                     : sides == 4 || sides == 5 ? SEARCH_PLUS_INFINITY
                                                : use + off + between(s, 0, 2) * unit;
}

static void draw_row(SearchProblem *p, int i, int64_t *dense, uint64_t *s)
{
    const Style style = (Style)between(s, 0, STYLES - 1);
    bool has_continuous = false;
    int64_t use = 0;
    for (int j = 0; j < p->columns; j++) {
        int64_t v = draw_entry(style, s);
        if (p->kind[j] == SEARCH_CONTINUOUS && v != 0) {
            v = has_continuous ? 0 : one_in(s, 2) ? 1 : -1;
            has_continuous = true;
        }
        dense[j] = v;
        use += v * between(s, p->low[j], p->high[j]);
        if (style == WEIGHT && p->kind[j] != SEARCH_CONTINUOUS && one_in(s, 2))
            p->objective[j] += 50 * (v / 10); /* what weighs much is worth much */
    }
    draw_sides(p, i, style, use, s);
}

/* One column is at most another, which is no continuous one; false when there is none to be found. */
static bool draw_follower(SearchProblem *p, int i, int64_t *dense, uint64_t *s)
{
    const int64_t a = between(s, 0, p->columns - 1), b = between(s, 0, p->columns - 1);
    if (a == b || p->kind[b] == SEARCH_CONTINUOUS)
        return false;
    dense[a] = 1;
    dense[b] = -1;
    p->row_low[i] = SEARCH_MINUS_INFINITY;
    return true; /* and high is 0 */
}

SearchProblem *programme_make(ProgrammeSize size, uint64_t seed)
{
    uint64_t state = seed * 1000003 + (uint64_t)size, *s = &state;
    const bool small = size == PROGRAMME_SMALL;
    const int columns = (int)(small ? between(s, 1, 12) : between(s, 18, 32)),
              rows = (int)(small ? between(s, 0, 6) : between(s, 3, 7));
    const size_t n = (size_t)columns, m = (size_t)rows;
    SearchProblem *p = mem_new(1, sizeof *p);
    *p = (SearchProblem){.columns = columns,
                         .rows = rows,
                         .kind = mem_new(n, sizeof *p->kind),
                         .objective = mem_new(n, sizeof *p->objective),
                         .low = mem_new(n, sizeof *p->low),
                         .high = mem_new(n, sizeof *p->high),
                         .row_low = mem_new(m, sizeof *p->row_low),
                         .row_high = mem_new(m, sizeof *p->row_high),
                         .start = mem_new(n + 1, sizeof *p->start),
                         .row = mem_new(n * m, sizeof *p->row),
                         .value = mem_new(n * m, sizeof *p->value)};
    int64_t *dense = mem_new(n * m, sizeof *dense);
    draw_columns(p, size, s);
    for (int i = 0; i < rows; i++)
        if (!one_in(s, 5) || !draw_follower(p, i, dense + (size_t)i * n, s))
            draw_row(p, i, dense + (size_t)i * n, s);
    size_t at = 0;
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < m; i++)
            if (dense[i * n + j] != 0) {
                p->row[at] = (int)i;
                p->value[at++] = dense[i * n + j];
            }
        p->start[j + 1] = at;
    }
    mem_free(dense);
    return p;
}

/* --- every point --- */

static void step_column(const SearchProblem *p, int j, int64_t by, int64_t *use)
{
    for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
        use[p->row[k]] += p->value[k] * by;
}

static bool holds(const SearchProblem *p, const int64_t *use)
{
    for (int i = 0; i < p->rows; i++)
        if (use[i] < p->row_low[i] || use[i] > p->row_high[i])
            return false;
    return true;
}

/* Counts through the box as an odometer does, with the rows' use kept up to date. */
bool programme_try_all(const SearchProblem *p, int64_t *best)
{
    int64_t *x = mem_new((size_t)p->columns, sizeof *x), *use = mem_new((size_t)p->rows, sizeof *use), value = 0;
    bool any = false;
    for (int j = 0; j < p->columns; j++) {
        x[j] = p->low[j];
        value += p->objective[j] * x[j];
        step_column(p, j, x[j], use);
    }
    for (int j = 0; j < p->columns;) {
        if (j == 0 && holds(p, use) && (!any || value > *best)) {
            any = true;
            *best = value;
        }
        const int64_t by = x[j] < p->high[j] ? 1 : p->low[j] - x[j];
        x[j] += by;
        value += p->objective[j] * by;
        step_column(p, j, by, use);
        j = by == 1 ? 0 : j + 1;
    }
    mem_free(x);
    mem_free(use);
    return any;
}

/* --- changes --- */

static void change_row(SearchProblem *p, Search *search, uint64_t *s)
{
    const int i = (int)between(s, 0, p->rows - 1);
    const int64_t by = between(s, -4, 4);
    const bool equality = p->row_low[i] == p->row_high[i];
    if (p->row_low[i] != SEARCH_MINUS_INFINITY)
        p->row_low[i] += equality || one_in(s, 2) ? by : 0;
    if (p->row_high[i] != SEARCH_PLUS_INFINITY)
        p->row_high[i] += equality || one_in(s, 2) ? by : 0;
    if (p->row_low[i] > p->row_high[i])
        p->row_low[i] = p->row_high[i];
    search_set_row(search, i, p->row_low[i], p->row_high[i]);
}

void programme_change(SearchProblem *p, Search *search, uint64_t *s)
{
    const int kind = (int)between(s, 0, 2), j = (int)between(s, 0, p->columns - 1);
    if (kind == 0 && p->rows > 0) {
        change_row(p, search, s);
    } else if (kind == 1) {
        p->objective[j] = between(s, -4, 40) * 50;
        search_set_objective(search, j, p->objective[j]);
    } else if (p->low[j] != p->high[j] && one_in(s, 2)) {
        p->low[j] = p->high[j] = between(s, p->low[j], p->high[j]);
        search_set_column(search, j, p->low[j], p->high[j]);
    } else { /* wider again: at most two values, so that a small programme stays small */
        p->low[j] = p->kind[j] == SEARCH_BINARY ? 0 : between(s, -2, 1);
        p->high[j] = p->low[j] + 1;
        search_set_column(search, j, p->low[j], p->high[j]);
    }
}
