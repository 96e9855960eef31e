/* neighbourhood.c - around the relaxation: the columns of least |reduced cost| are those on which good solutions differ
 * (the "core" of E. Balas and E. Zemel, "An algorithm for large zero-one knapsack problems", Operations Research 28,
 * 1980). Around an incumbent: those where it differs from the relaxation come first (E. Danna, E. Rothberg and C. Le
 * Pape, "Exploring relaxation induced neighborhoods", Mathematical Programming 102, 2005). */
#include <math.h>

#include "base/memory.h"
#include "base/random.h"
#include "base/sort.h"
#include "search/core/neighbourhood.h"

typedef struct {
    double key;
    int column;
} Ranked;

static int by_key(const void *a, const void *b)
{
    const Ranked *x = a, *y = b;
    if (x->key != y->key)
        return x->key < y->key ? -1 : 1;
    return x->column - y->column;
}

static double chance(uint64_t seed, int j)
{
    const uint64_t z = random_mixed(seed * UINT64_C(0xd1342543de82ef95) + (uint64_t)j * RANDOM_STEP);
    return (double)(z >> 11) / 9007199254740992.0;
}

static int64_t clamped(int64_t v, int64_t from, int64_t to)
{
    return v < from ? from : v > to ? to : v;
}

void box_clamp(int columns, const int64_t *from, const int64_t *to, int64_t *low, int64_t *high)
{
    for (int j = 0; j < columns; j++) {
        low[j] = clamped(low[j], from[j], to[j]);
        high[j] = clamped(high[j], from[j], to[j]);
    }
}

void neighbourhood_box(const Matrix *matrix, const double *centre, const double *other, const double *reduced_cost,
                       int size, uint64_t seed, int64_t *low, int64_t *high)
{
    const SearchProblem *p = &matrix->p;
    Ranked *rank = mem_new((size_t)p->columns + 1, sizeof *rank);
    for (int j = 0; j < p->columns; j++) {
        double key = fabs(reduced_cost[j]);
        if (seed != 0)
            key *= 0.3 + 1.4 * chance(seed, j);
        if (other && fabs(centre[j] - other[j]) > 1e-6)
            key *= 0.1;
        rank[j] = (Ranked){key, j};
        low[j] = high[j] = whole_within(centre[j], p->low[j], p->high[j]);
    }
    sort_stable(rank, (size_t)p->columns, sizeof *rank, by_key);
    /* continuous columns follow from the others: they are open, and don't count */
    for (int k = 0, opened = 0; k < p->columns; k++) {
        const int j = rank[k].column;
        if (p->kind[j] != SEARCH_CONTINUOUS && opened++ >= size)
            continue;
        low[j] = p->low[j];
        high[j] = p->high[j];
    }
    mem_free(rank);
}
