/* oracle_bound.c - what relaxations alone prove, kept from question to question (attain.c). */
#include <string.h>

#include "base/memory.h"
#include "explain/oracle/oracle_inner.h"

#define ROUNDS 5
#define CUT_COST 150 /* pivots that take as long as looking for cuts */
#define LINES 16

static void make_attain(Oracle *oracle)
{
    if (oracle->attain != NULL)
        return;
    const SideProblem *sides = oracle->sides;
    SearchProblem p = sides->problem;
    p.row_low = oracle->row_low;
    p.row_high = oracle->row_high;
    p.objective = oracle->fit;
    p.high = mem_copy(sides->problem.high, (size_t)p.columns, sizeof *p.high);
    for (int s = 0; s < sides->sides; s++)
        p.high[loosening_column(sides, s)] = sides->side[s].most;
    int64_t need = oracle->row_low[sides->objective_row], weigh = oracle->row_high[sides->weight_row];
    oracle->row_low[sides->objective_row] = SEARCH_MINUS_INFINITY;
    oracle->row_high[sides->weight_row] = SEARCH_PLUS_INFINITY;
    oracle->attain = attain_new(&p);
    oracle->row_low[sides->objective_row] = need;
    oracle->row_high[sides->weight_row] = weigh;
    mem_free(p.high);
}

int64_t oracle_bound_box(Oracle *oracle, const int64_t *low, const int64_t *high)
{
    make_attain(oracle);
    int64_t pivots = 0, bound = attain_bound(oracle->attain, low, high, oracle->options.cancel, &pivots);
    oracle->used += pivots;
    oracle->current = false;
    return bound;
}

int64_t oracle_bound(Oracle *oracle)
{
    int64_t bound = oracle_bound_box(oracle, oracle->low, oracle->high);
    oracle->current = true;
    return bound;
}

void oracle_strengthen(Oracle *oracle, int rounds)
{
    int64_t bound = oracle_bound(oracle);
    for (int k = 0; k < rounds && !oracle_spent(oracle); k++) {
        int64_t pivots = 0;
        attain_strengthen(oracle->attain, oracle->options.cancel, &pivots);
        oracle->used += pivots + CUT_COST;
        int64_t now = oracle_bound(oracle);
        if (now >= bound)
            break;
        bound = now;
    }
}

void oracle_relax(Oracle *oracle)
{
    oracle_strengthen(oracle, ROUNDS);
    memcpy(oracle->dual, attain_duals(oracle->attain), (size_t)oracle->sides->problem.rows * sizeof *oracle->dual);
}

const double *oracle_duals(const Oracle *oracle)
{
    return oracle->dual;
}

double oracle_pull(const Oracle *oracle, int side)
{
    const SearchProblem *p = &oracle->sides->problem;
    const int column = loosening_column(oracle->sides, side);
    double pull = 0;
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++)
        pull -= oracle->dual[p->row[k]] * (double)p->value[k];
    return pull;
}

int64_t oracle_bound_column(Oracle *oracle, int column, int64_t low, int64_t high)
{
    if (!oracle->current)
        oracle_bound(oracle);
    return attain_bound_column(oracle->attain, column, low, high);
}

int64_t oracle_line(Oracle *oracle, int side, int64_t from, int64_t upto, int64_t target)
{
    int column = loosening_column(oracle->sides, side);
    int64_t before = oracle->high[column];
    for (int k = 0; k < LINES && from <= upto && !oracle_spent(oracle); k++) {
        oracle->high[column] = from;
        int64_t bound = oracle_bound(oracle);
        if (bound >= target)
            break;
        int64_t next = attain_line(oracle->attain, column, upto, target);
        from = next > from + 1 ? next : from + 1;
    }
    oracle->high[column] = before;
    oracle->current = false;
    return from <= upto ? from : upto + 1;
}

bool oracle_excluded(Oracle *oracle, int side, int64_t units, int64_t target)
{
    int column = loosening_column(oracle->sides, side);
    if (!oracle->current)
        oracle_bound(oracle);
    if (attain_line(oracle->attain, column, units, target) > units)
        return true;
    int64_t before = oracle->high[column];
    oracle->high[column] = units;
    bool excluded = oracle_bound(oracle) < target;
    oracle->high[column] = before;
    oracle->current = false;
    return excluded;
}
