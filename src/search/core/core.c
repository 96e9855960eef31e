/* core.c - making the core and going back. */
#include <string.h>

#include "base/memory.h"
#include "search/core/core.h"
#include "search/tree/propagate.h"
#include "search/risk/protection.h"

Core *core_new(const Matrix *whole, const int64_t *low, const int64_t *high)
{
    const size_t n = (size_t)whole->p.columns;
    Core *core = mem_new(1, sizeof *core);
    core->whole_columns = whole->p.columns;
    core->map = mem_new(n + 1, sizeof *core->map);
    core->place = mem_new(n + 1, sizeof *core->place);
    core->fixed = mem_new(n + 1, sizeof *core->fixed);
    memcpy(core->fixed, low, n * sizeof *low);
    if (!matrix_restrict(&core->matrix, whole, low, high, core->map, &core->offset)) {
        core_free(core);
        return NULL;
    }
    for (int i = 0; i < core->matrix.p.rows; i++)
        core->matrix.divisor[i] *= whole->divisor[i];
    for (size_t j = 0; j < n; j++)
        core->place[j] = -1;
    for (int j = 0; j < core->matrix.p.columns; j++)
        core->place[core->map[j]] = j;
    core->grain = matrix_grain(&core->matrix, core->matrix.p.low, core->matrix.p.high);
    return core;
}

/* The part of a core in a box of its own columns, in terms of the whole. */
static Core *part_of(const Core *from, const int64_t *low, const int64_t *high)
{
    const size_t n = (size_t)from->matrix.p.columns, whole = (size_t)from->whole_columns;
    Core *core = core_new(&from->matrix, low, high);
    if (core == NULL)
        return NULL;
    int *place = mem_new(whole + 1, sizeof *place);
    int64_t *fixed = mem_new(whole + 1, sizeof *fixed);
    memcpy(fixed, from->fixed, whole * sizeof *fixed);
    for (size_t j = 0; j < whole; j++)
        place[j] = from->place[j] >= 0 ? core->place[from->place[j]] : -1;
    for (size_t j = 0; j < n; j++)
        fixed[from->map[j]] = low[j];
    for (int j = 0; j < core->matrix.p.columns; j++)
        core->map[j] = from->map[core->map[j]];
    mem_free(core->place);
    mem_free(core->fixed);
    core->place = place;
    core->fixed = fixed;
    core->whole_columns = from->whole_columns;
    core->offset += from->offset;
    return core;
}

Core *core_shrink(const Core *from, const int64_t *low, const int64_t *high)
{
    const size_t n = (size_t)from->matrix.p.columns;
    int64_t *own_low = mem_new(n + 1, sizeof *own_low), *own_high = mem_new(n + 1, sizeof *own_high);
    for (size_t j = 0; j < n; j++) {
        own_low[j] = low[from->map[j]];
        own_high[j] = high[from->map[j]];
    }
    Core *core = part_of(from, own_low, own_high);
    mem_free(own_low);
    mem_free(own_high);
    return core;
}

/* --- reduction --- */

enum { NO_ROW = -1, SEVERAL_ROWS = -2 };

/* The only row that says something about the column. */
static int only_row(const Matrix *m, int column)
{
    int only = NO_ROW;
    for (size_t e = m->p.start[column]; e < m->p.start[column + 1]; e++) {
        const int i = m->p.row[e];
        if (m->p.row_low[i] == SEARCH_MINUS_INFINITY && m->p.row_high[i] == SEARCH_PLUS_INFINITY)
            continue;
        if (only >= 0)
            return SEVERAL_ROWS;
        only = i;
    }
    return only;
}

/* The column x when all that is said about `column` is that it is at most (at least) x, and the objective wants it as
 * high (low) as can be; else -1. *idle: where it has to be for its row to say nothing; of *how row and y are filled in.
 */
static int leader_of(const Matrix *m, int column, int64_t *idle, Follower *how)
{
    const SearchProblem *p = &m->p;
    const int i = only_row(m, column);
    if (i < 0 || m->row_start[i + 1] - m->row_start[i] != 2)
        return -1;
    const size_t own = m->row_start[i] + (m->column[m->row_start[i]] == column ? 0 : 1),
                 other = 2 * m->row_start[i] + 1 - own;
    const int x = m->column[other];
    const int64_t a = m->row_value[own];
    const bool above = p->row_high[i] == 0 && p->row_low[i] == SEARCH_MINUS_INFINITY,
               below = p->row_low[i] == 0 && p->row_high[i] == SEARCH_PLUS_INFINITY;
    if ((!above && !below) || m->row_value[other] != -a || p->low[column] > p->low[x] || p->high[column] < p->high[x])
        return -1;
    const bool at_most = above == (a > 0);
    *idle = at_most ? p->low[column] : p->high[column];
    how->row = i;
    how->y = (double)p->objective[column] / (double)a;
    return (at_most ? p->objective[column] >= 0 : p->objective[column] <= 0) ? x : -1;
}

/* Columns that no row says anything about are fixed. Those that follow another one are given up: what they are worth is
 * added to the other. Takes the core; NULL when the rest is proven empty. */
static Core *without_followers(Core *core, const bool *kept)
{
    Matrix *m = &core->matrix;
    const size_t n = (size_t)m->p.columns;
    int *leader = mem_new(n + 1, sizeof *leader), followers = 0;
    bool free_columns = false, *held = mem_new(n + 1, sizeof *held);
    if (m->p.protections != NULL)
        protections_mark_columns(m->p.protections, held);
    for (size_t j = 0; kept != NULL && j < n; j++)
        held[j] = held[j] || kept[core->map[j]];
    int64_t *low = mem_new(n + 1, sizeof *low), *high = mem_new(n + 1, sizeof *high), idle = 0;
    Follower how;
    memcpy(low, m->p.low, n * sizeof *low);
    memcpy(high, m->p.high, n * sizeof *high);
    for (size_t j = 0; j < n; j++) {
        leader[j] = -1;
        if (held[j])
            continue;
        const int x = leader_of(m, (int)j, &idle, &how);
        leader[j] = x >= 0 && leader_of(m, x, &idle, &how) < 0 ? x : -1;
        followers += leader[j] >= 0;
        if (only_row(m, (int)j) == NO_ROW) {
            low[j] = high[j] = m->p.objective[j] > 0 ? high[j] : low[j];
            free_columns = true;
        }
    }
    Follower *follower = mem_new((size_t)followers + 1, sizeof *follower);
    int count = 0;
    for (size_t j = 0; j < n; j++)
        if (leader[j] >= 0) {
            leader_of(m, (int)j, &idle, &how);
            follower[count++] = (Follower){core->map[j], core->map[leader[j]], how.row, how.y};
            low[j] = high[j] = idle;
        }
    for (size_t j = 0; j < n; j++)
        if (leader[j] >= 0) {
            m->p.objective[leader[j]] += m->p.objective[j];
            m->p.objective[j] = 0;
        }
    Core *part = core;
    if (followers > 0 || free_columns) {
        part = part_of(core, low, high);
        core_free(core);
    }
    if (part != NULL) {
        part->follower = follower;
        part->followers = followers;
    } else {
        mem_free(follower);
    }
    mem_free(held);
    mem_free(leader);
    mem_free(low);
    mem_free(high);
    return part;
}

Core *core_reduced(const Matrix *whole, const int64_t *box_low, const int64_t *box_high, const bool *kept)
{
    const size_t n = (size_t)whole->p.columns;
    int64_t *low = mem_new(n + 1, sizeof *low), *high = mem_new(n + 1, sizeof *high);
    memcpy(low, box_low, n * sizeof *low);
    memcpy(high, box_high, n * sizeof *high);
    Propagator propagator;
    propagator_init(&propagator, whole);
    propagator_touch_all(&propagator);
    Core *core = propagate(&propagator, low, high) ? core_new(whole, low, high) : NULL;
    propagator_release(&propagator);
    mem_free(low);
    mem_free(high);
    return core != NULL ? without_followers(core, kept) : NULL;
}

void core_free(Core *core)
{
    if (!core)
        return;
    matrix_release(&core->matrix);
    mem_free(core->map);
    mem_free(core->place);
    mem_free(core->fixed);
    mem_free(core->follower);
    mem_free(core);
}

void core_expand(const Core *core, const int64_t *x, int64_t *whole)
{
    memcpy(whole, core->fixed, (size_t)core->whole_columns * sizeof *whole);
    for (int j = 0; j < core->matrix.p.columns; j++)
        whole[core->map[j]] = x[j];
    for (int k = 0; k < core->followers; k++)
        whole[core->follower[k].column] = whole[core->follower[k].leader];
}
