/* repair.c - the elastic programme: each hard side gets a column that loosens it, and the weighted sum of these is made
 * as small as possible; then, with the sum held there, the fit is made as great as possible (J. W. Chinneck,
 * "Feasibility and Infeasibility in Optimization", Springer 2008, chapter 6: elastic programming; lexicographic goals).
 */
#include "explain/conflict/repair.h"

#include "base/memory.h"

#define HEAVIEST (INT64_C(1) << 50) /* weight x units of one side: keeps the sums inside the search's arithmetic */

int64_t repair_most(const Side *side)
{
    return side->weight > 0 && side->most > HEAVIEST / side->weight ? HEAVIEST / side->weight : side->most;
}

static void take_units(const SideProblem *sides, const int64_t *x, Repair *repair)
{
    repair->weight = 0;
    for (int s = 0; s < sides->sides; s++) {
        repair->units[s] = x[loosening_column(sides, s)];
        repair->weight += repair->units[s] * sides->side[s].weight;
    }
}

void repair_find(Oracle *oracle, Repair *repair)
{
    const SideProblem *sides = oracle_sides(oracle);
    *repair = (Repair){.units = mem_new((size_t)sides->sides + 1, sizeof *repair->units)};
    bool cut_short = false;
    for (int s = 0; s < sides->sides; s++) {
        const int64_t most = repair_most(&sides->side[s]);
        if (sides->side[s].hard)
            oracle_loosen(oracle, s, most);
        cut_short = cut_short || most < sides->side[s].most;
    }
    Probe lightest;
    probe_lightest(oracle, &lightest);
    repair->at_least = lightest.low;
    repair->impossible = lightest.status == PROBE_NONE && !cut_short;
    if (lightest.x != NULL) {
        repair->found = true;
        repair->least = lightest.status == PROBE_SOLVED;
        take_units(sides, lightest.x, repair);
        oracle_weigh(oracle, repair->weight);
        probe_best(oracle, lightest.x, SEARCH_PLUS_INFINITY, SEARCH_MINUS_INFINITY, &repair->best);
        if (repair->best.x != NULL)
            take_units(sides, repair->best.x, repair);
        else {
            repair->best.x = lightest.x;
            repair->best.low = oracle_value(oracle, lightest.x);
            repair->best.status = PROBE_RANGE;
            lightest.x = NULL;
        }
        oracle_weigh(oracle, SEARCH_PLUS_INFINITY);
    }
    probe_release(&lightest);
    for (int s = 0; s < sides->sides; s++)
        oracle_loosen(oracle, s, 0);
}

void repair_release(Repair *repair)
{
    mem_free(repair->units);
    probe_release(&repair->best);
    *repair = (Repair){0};
}
