/* binding.c - what loosening a limit is worth: the first step that helps, and the gain there. Solved, not estimated.
 *
 * With B the best fit: the first useful step is the least s for which some pool has B + grain, a search of its own
 * (oracle.c). The gain is the best fit with the side loosened by that s. The multipliers of the relaxation only choose
 * the order, and bound from above what `within` more units can be worth (weak duality, evaluated in integers), so that
 * sides that cannot matter need no run: L. A. Wolsey, "Integer programming duality: price functions and sensitivity
 * analysis", Mathematical Programming 20, 1981. The marginal value of an integer programme is no multiplier. Where B
 * itself is only known to be in [low, high], a pool with high + grain is better for certain, and without one of low +
 * grain nothing is. */
#include "explain/binding.h"

#include <math.h>

#include "base/sort.h"
#include "explain/swaps/nearest.h"
#include "search/risk/protection.h"

int64_t binding_within(const Explain *e, int side)
{
    const Side *s = &e->sides->side[side];
    const Bounds *bounds = &s->limit->bounds;
    const int64_t limit = s->low ? bounds->low : bounds->high;
    int64_t within = 3 * measure_unit(s->limit->measure);
    if (bounds->kind == BOUND_ABSOLUTE && limit / 10 > within)
        within = limit / 10;
    return within < s->most ? within : s->most;
}

/* The cap is what users ask about first, and it is never used up to the last cent, so that the estimate of its worth
 * may be nothing. */
static bool is_cap_in_reach(const Explain *e, int side, const int64_t *use)
{
    const Side *s = &e->sides->side[side];
    return s->limit->kind == LIMIT_CAP && e->sides->problem.row_high[s->row] - use[s->row] < binding_within(e, side);
}

/* The gain with the side loosened by so many units. */
static void find_gain(Explain *e, Binding *b, int64_t units)
{
    bool best;
    const int64_t *x;
    int64_t fit = explain_climb(e, b->side, units, &best);
    oracle_loosen(e->oracle, b->side, units);
    int64_t bound = best ? fit : oracle_bound(e->oracle);
    oracle_loosen(e->oracle, b->side, 0);
    b->gain = (Range){.has_low = true, .low = fit > e->best.high ? fit - e->best.high : 0};
    if (bound != SEARCH_PLUS_INFINITY) {
        b->gain.has_high = true;
        b->gain.high = bound > e->best.low ? (bound - e->best.low) / e->grain * e->grain : 0;
    }
    explain_known(e, b->side, units, &best, &x);
    if (b->gain.low > 0) {
        oracle_loosen(e->oracle, b->side, units);
        nearest_exchange(e, fit, x, &b->exchange);
        oracle_loosen(e->oracle, b->side, 0);
        b->has_exchange = true;
    }
}

/* Proven: with `within` more there is nothing better than the pool we have. */
static bool nothing_within(Explain *e, const Binding *b)
{
    Probe probe;
    oracle_loosen(e->oracle, b->side, b->within);
    probe_reach(e->oracle, e->best.low + e->grain, false, &probe);
    oracle_loosen(e->oracle, b->side, 0);
    bool nothing = probe.status == PROBE_NONE;
    probe_release(&probe);
    return nothing;
}

void binding_find(Explain *e, int side, int64_t within, Binding *b)
{
    *b = (Binding){.side = side, .kind = BINDING_UNKNOWN, .within = within};
    if (!e->has_pool || !e->best.has_low || !e->best.has_high)
        return;
    if (within <= 0 || oracle_excluded(e->oracle, side, within, e->best.low + e->grain)) {
        b->kind = BINDING_NOTHING;
        return;
    }
    bool exact = range_exact(&e->best);
    Probe sure;
    probe_least(e->oracle, side, e->best.high + e->grain, 1, within, explain_stride(e, side), &sure);
    if (sure.x != NULL) {
        explain_learn(e, side, sure.high, sure.x, false);
        b->kind = BINDING_STEP;
        b->step = (Range){.has_low = true, .low = exact ? sure.low : 1, .has_high = true, .high = sure.high};
        find_gain(e, b, sure.high);
    } else if (sure.status == PROBE_NONE || sure.low > within) {
        b->kind = exact || nothing_within(e, b) ? BINDING_NOTHING : BINDING_UNKNOWN;
    } else {
        b->step = (Range){.has_low = exact, .low = sure.low};
        find_gain(e, b, within);
        if (b->gain.low > 0) { /* the first step was not found, but all of it helps for certain */
            b->kind = BINDING_STEP;
            b->step = (Range){.has_low = true, .low = exact ? sure.low : 1, .has_high = true, .high = within};
        } else if (b->gain.has_high && b->gain.high < e->grain)
            b->kind = BINDING_NOTHING;
    }
    probe_release(&sure);
    if (b->kind == BINDING_STEP)
        one_swap_find(e, side, b->step.high, &b->one);
}

void binding_release(Binding *binding)
{
    exchange_release(&binding->exchange);
    *binding = (Binding){0};
}

typedef struct {
    int side;
    double worth;
} Ranked;

static int by_worth(const void *a, const void *b)
{
    const Ranked *x = a, *y = b;
    if (x->worth != y->worth)
        return x->worth > y->worth ? -1 : 1;
    return x->side - y->side;
}

/* Is no unit of the row's side left in the answer's pool? */
static bool is_tight(const Explain *e, const Side *side, const int64_t *use)
{
    int64_t limit = side->low ? e->sides->problem.row_low[side->row] : e->sides->problem.row_high[side->row];
    int64_t slack = side->low ? use[side->row] - limit : limit - use[side->row];
    return slack < side->step;
}

int binding_likeliest(Explain *e, int *order)
{
    const SearchProblem *p = &e->sides->problem;
    oracle_relax(e->oracle);
    int64_t *use = mem_new((size_t)p->rows + 1, sizeof *use);
    for (int j = 0; j < e->sides->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            if (e->x[j] != 0)
                use[p->row[k]] += p->value[k] * e->x[j];
    protections_add_worst(p, e->x, use);
    Ranked *ranked = mem_new((size_t)e->sides->sides + 1, sizeof *ranked);
    int count = 0;
    for (int s = 0; s < e->sides->sides; s++) {
        const Side *side = &e->sides->side[s];
        if (side->limit->kind == LIMIT_KEEP || side->limit->kind == LIMIT_BAN || side->row < 0)
            continue;
        double y = oracle_pull(e->oracle, s);
        double worth = y > 0 ? floor(y * (double)binding_within(e, s)) : 0;
        ranked[count++] = (Ranked){s, worth > 0                    ? worth
                                      : is_cap_in_reach(e, s, use) ? 1
                                      : is_tight(e, side, use)     ? 0
                                                                   : -1};
    }
    sort_stable(ranked, (size_t)count, sizeof *ranked, by_worth);
    for (int k = 0; k < count; k++)
        order[k] = ranked[k].side;
    mem_free(ranked);
    mem_free(use);
    return count;
}
