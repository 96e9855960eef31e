/* known.c - see known.h. */
#include "explain/conflict/known.h"

#include <string.h>

#include "base/number.h"
#include "search/risk/protection.h"

/* Of each row, whether x is below its lower side, or above its upper one. */
static void find_broken_rows(const SideProblem *sides, const int64_t *x, bool *below, bool *above)
{
    const SearchProblem *p = &sides->problem;
    int128 *use = mem_new((size_t)p->rows + 1, sizeof *use);
    int64_t *risen = mem_new((size_t)p->rows + 1, sizeof *risen);
    for (int j = 0; j < sides->columns; j++)
        for (size_t k = p->start[j]; x[j] != 0 && k < p->start[j + 1]; k++)
            use[p->row[k]] += (int128)p->value[k] * x[j];
    protections_add_worst(p, x, risen);
    for (int i = 0; i < p->rows; i++) {
        below[i] = p->row_low[i] != SEARCH_MINUS_INFINITY && use[i] < p->row_low[i];
        above[i] = p->row_high[i] != SEARCH_PLUS_INFINITY && use[i] + risen[i] > p->row_high[i];
    }
    mem_free(risen);
    mem_free(use);
}

static bool is_broken(const SideProblem *sides, const Side *side, const bool *below, const bool *above)
{
    if (side->row >= 0)
        return side->low ? below[side->row] : above[side->row];
    for (int i = 0; i < sides->problem.rows; i++)
        if (sides->limit[i] == side->limit && (below[i] || above[i]))
            return true;
    return false;
}

void known_init(KnownPools *known, const SideProblem *sides)
{
    *known = (KnownPools){.sides = sides};
}

void known_release(KnownPools *known)
{
    mem_free(known->broken);
    *known = (KnownPools){0};
}

void known_take(KnownPools *known, const int64_t *x)
{
    const SideProblem *sides = known->sides;
    const size_t n = (size_t)sides->sides, m = (size_t)sides->problem.rows + 1;
    bool *below = mem_new(m, sizeof *below), *above = mem_new(m, sizeof *above);
    find_broken_rows(sides, x, below, above);
    mem_reserve((void **)&known->broken, &known->capacity, (known->pools + 1) * n, sizeof *known->broken);
    for (size_t s = 0; s < n; s++)
        known->broken[known->pools * n + s] = is_broken(sides, &sides->side[s], below, above);
    known->pools++;
    mem_free(below);
    mem_free(above);
}

/* How many sides of in[sides] the pool breaks, counted up to two; *last: one of them. */
static int count_broken(const KnownPools *known, size_t pool, const bool *in, size_t *last)
{
    const size_t n = (size_t)known->sides->sides;
    const bool *broken = &known->broken[pool * n];
    int count = 0;
    for (size_t s = 0; s < n && count < 2; s++)
        if (in[s] && broken[s]) {
            *last = s;
            count++;
        }
    return count;
}

bool known_keeps(const KnownPools *known, const bool *in)
{
    size_t last;
    for (size_t k = known->pools; k-- > 0;)
        if (count_broken(known, k, in, &last) == 0)
            return true;
    return false;
}

void known_alone(const KnownPools *known, const bool *in, bool *alone)
{
    size_t last;
    for (size_t k = 0; k < known->pools; k++)
        if (count_broken(known, k, in, &last) == 1)
            alone[last] = true;
}
