/* prober_reach.c - is a fit reached at all; what is the least loosening that reaches it.
 *
 * Most of it is settled by relaxations that are kept from question to question (attain.c). Where one does not exclude
 * the fit, it still says which columns a solution of that fit must have where (reduced costs, exactly), and only the
 * few that are left open are searched, with the fit as a row (the epsilon-constraint method: Y. Haimes, L. Lasdon, D.
 * Wismer, IEEE Transactions on Systems, Man and Cybernetics 1(3), 1971).
 *
 * Least loosening: from below. The relaxation says from where on the fit is not excluded; from there a stretch of the
 * loosening is searched, and where it holds nothing, a longer one behind it. */
#include <string.h>

#include "base/memory.h"
#include "base/number.h"
#include "explain/prober_inner.h"
#include "search/risk/protection.h"

#define ROUNDS 5
#define ROUNDS_WHEN_HARD 2
#define HARD 3000    /* pivots after which cuts are worth their time */
#define CUT_COST 150 /* pivots that take as long as looking for cuts */
#define LINES 16
#define WIDEST 4096                     /* grains below the bound: beyond this any solution will do */
#define LEAST_FIT (-(INT64_C(1) << 50)) /* no fit is less */
#define NARROWINGS 4
#define LONGEST_STRIDE (INT64_C(1) << 40)

static void make_attain(Prober *prober)
{
    if (prober->attain != NULL)
        return;
    const SideProblem *sides = prober->sides;
    SearchProblem p = sides->problem;
    p.row_low = prober->row_low;
    p.row_high = prober->row_high;
    p.objective = prober->fit;
    p.high = mem_new((size_t)p.columns + 1, sizeof *p.high);
    memcpy(p.high, sides->problem.high, (size_t)p.columns * sizeof *p.high);
    for (int s = 0; s < sides->sides; s++)
        p.high[loosening_column(sides, s)] = sides->side[s].most;
    int64_t need = prober->row_low[sides->objective_row], weigh = prober->row_high[sides->weight_row];
    prober->row_low[sides->objective_row] = SEARCH_MINUS_INFINITY;
    prober->row_high[sides->weight_row] = SEARCH_PLUS_INFINITY;
    prober->attain = attain_new(&p);
    prober->row_low[sides->objective_row] = need;
    prober->row_high[sides->weight_row] = weigh;
    mem_free(p.high);
}

/* Fits are multiples of the grain that the caller has put into its target, so bounds need no rounding here. */
static int64_t bound_box(Prober *prober, const int64_t *low, const int64_t *high)
{
    make_attain(prober);
    int64_t pivots = 0, bound = attain_bound(prober->attain, low, high, prober->options.cancel, &pivots);
    prober->used += pivots;
    prober->current = false;
    return bound;
}

int64_t prober_bound(Prober *prober)
{
    int64_t bound = bound_box(prober, prober->low, prober->high);
    prober->current = true;
    return bound;
}

/* Cuts as long as they bring something. */
static void strengthen(Prober *prober, int rounds)
{
    int64_t bound = prober_bound(prober);
    for (int k = 0; k < rounds && !prober_spent(prober); k++) {
        int64_t pivots = 0;
        attain_strengthen(prober->attain, prober->options.cancel, &pivots);
        prober->used += pivots + CUT_COST;
        int64_t now = prober_bound(prober);
        if (now >= bound)
            break;
        bound = now;
    }
}

void prober_relax(Prober *prober)
{
    strengthen(prober, ROUNDS);
    memcpy(prober->dual, attain_duals(prober->attain), (size_t)prober->sides->problem.rows * sizeof *prober->dual);
}

const double *prober_duals(const Prober *prober)
{
    return prober->dual;
}

double prober_pull(const Prober *prober, int side)
{
    const SearchProblem *p = &prober->sides->problem;
    const int column = loosening_column(prober->sides, side);
    double pull = 0;
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++)
        pull -= prober->dual[p->row[k]] * (double)p->value[k];
    return pull;
}

int64_t prober_bound_column(Prober *prober, int column, int64_t low, int64_t high)
{
    if (!prober->current)
        prober_bound(prober);
    return attain_bound_column(prober->attain, column, low, high);
}

int64_t prober_line(Prober *prober, int side, int64_t from, int64_t upto, int64_t target)
{
    int column = loosening_column(prober->sides, side);
    int64_t before = prober->high[column];
    for (int k = 0; k < LINES && from <= upto && !prober_spent(prober); k++) {
        prober->high[column] = from;
        int64_t bound = prober_bound(prober);
        if (bound >= target)
            break;
        int64_t next = attain_line(prober->attain, column, upto, target);
        from = next > from + 1 ? next : from + 1;
    }
    prober->high[column] = before;
    prober->current = false;
    return from <= upto ? from : upto + 1;
}

bool prober_excluded(Prober *prober, int side, int64_t units, int64_t target)
{
    int column = loosening_column(prober->sides, side);
    if (!prober->current)
        prober_bound(prober);
    if (attain_line(prober->attain, column, units, target) > units)
        return true;
    int64_t before = prober->high[column];
    prober->high[column] = units;
    bool excluded = prober_bound(prober) < target;
    prober->high[column] = before;
    prober->current = false;
    return excluded;
}

/* --- searching what is left open --- */

static int open_columns(const Prober *prober, const int64_t *low, const int64_t *high)
{
    int open = 0;
    for (int j = 0; j < prober->sides->problem.columns; j++)
        open += low[j] < high[j];
    return open;
}

/* Narrows the box to what a fit of target or more can have. False: nothing; *bound: of the first relaxation. */
static bool narrow(Prober *prober, int64_t target, int64_t *low, int64_t *high, int64_t *bound)
{
    int before = open_columns(prober, low, high);
    *bound = bound_box(prober, low, high);
    for (int k = 0; *bound < SEARCH_PLUS_INFINITY && k < NARROWINGS; k++) {
        if (!attain_tighten(prober->attain, target, low, high))
            return false;
        int open = open_columns(prober, low, high);
        if (open > before - before / 16)
            break;
        before = open;
        if (bound_box(prober, low, high) < target)
            return false;
    }
    return true;
}

/* Solutions in the box with a fit of target or more: the one with the greatest fit. */
static void search_box(Prober *prober, int64_t target, bool first, const int64_t *low, const int64_t *high,
                       Probe *probe)
{
    SearchOptions options = prober_search_options(prober);
    int64_t *x = mem_new((size_t)prober->sides->problem.columns + 1, sizeof *x), pivots = 0,
            value = SEARCH_MINUS_INFINITY;
    bool exhausted = false, found = attain_search(prober->attain, low, high, target, options.effort, first,
                                                  options.threads, options.cancel, x, &value, &exhausted, &pivots);
    prober->used += pivots + 1;
    *probe = (Probe){.low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    probe->status = found ? exhausted ? PROBE_SOLVED : PROBE_RANGE : exhausted ? PROBE_NONE : PROBE_UNKNOWN;
    if (found) {
        probe->x = x;
        probe->low = value;
        probe->high = exhausted ? value : SEARCH_PLUS_INFINITY;
    } else
        mem_free(x);
}

static void reach(Prober *prober, int64_t target, bool first, Probe *probe)
{
    *probe = (Probe){.status = PROBE_UNKNOWN, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    if (prober_spent(prober))
        return;
    const size_t n = (size_t)prober->sides->problem.columns;
    int64_t *low = mem_new(n + 1, sizeof *low), *high = mem_new(n + 1, sizeof *high), bound;
    memcpy(low, prober->low, n * sizeof *low);
    memcpy(high, prober->high, n * sizeof *high);
    if (narrow(prober, target, low, high, &bound))
        search_box(prober, target, first, low, high, probe);
    else
        probe->status = PROBE_NONE;
    if (probe->status == PROBE_NONE)
        probe->high = target - 1;
    if (probe->high > bound)
        probe->high = bound;
    mem_free(low);
    mem_free(high);
}

void probe_reach(Prober *prober, int64_t target, Probe *probe)
{
    reach(prober, target, false, probe);
}

static int64_t floor_to(int64_t value, int64_t grain)
{
    return (int64_t)(floor_div(value, grain) * grain);
}

/* Where the relaxation says nothing, a run of its own. */
static void most_by_run(Prober *prober, int64_t known, int64_t grain, Probe *probe)
{
    Probe run;
    probe_best(prober, NULL, SEARCH_PLUS_INFINITY, known == SEARCH_MINUS_INFINITY ? known : known + grain, &run);
    if (run.x != NULL && run.low > known) {
        *probe = run;
        return;
    }
    probe->high = run.status == PROBE_NONE           ? SEARCH_MINUS_INFINITY
                  : run.high == SEARCH_PLUS_INFINITY ? run.high
                                                     : floor_to(run.high, grain);
    if (probe->high <= known)
        *probe = (Probe){.status = PROBE_NONE, .low = known, .high = known};
    probe_release(&run);
}

void probe_most(Prober *prober, int64_t known, int64_t grain, Probe *probe)
{
    *probe = (Probe){.status = PROBE_UNKNOWN, .low = known, .high = SEARCH_PLUS_INFINITY};
    if (prober_spent(prober))
        return;
    int64_t bound = prober_bound(prober), width = 2;
    bool strengthened = false;
    if (bound == SEARCH_PLUS_INFINITY) {
        most_by_run(prober, known, grain, probe);
        return;
    }
    if (bound != SEARCH_MINUS_INFINITY)
        bound = floor_to(bound, grain);
    for (int unsettled = 0; bound > known && unsettled < 2 && !prober_spent(prober);) {
        bool all = width > WIDEST; /* whatever there is */
        int64_t target = all ? LEAST_FIT : bound - width * grain;
        target = target > known ? target : known + grain;
        Probe next;
        int64_t before = prober->used;
        reach(prober, target, false, &next);
        if (next.x != NULL) {
            *probe = next;
            probe->high = next.status == PROBE_SOLVED ? next.low : bound;
            return;
        }
        if (next.status == PROBE_NONE)
            bound = all ? known : floor_to(target - 1, grain);
        unsettled += next.status != PROBE_NONE;
        width *= 2;
        if (!strengthened && prober->used - before > HARD) {
            strengthen(prober, ROUNDS_WHEN_HARD);
            int64_t now = prober_bound(prober);
            bound = now == SEARCH_PLUS_INFINITY || floor_to(now, grain) > bound ? bound : floor_to(now, grain);
            strengthened = true;
        }
    }
    probe->high = bound;
    if (bound <= known)
        *probe = (Probe){.status = PROBE_NONE, .low = known, .high = known};
}

/* The least value of the loosening column with which x keeps the rows. */
static int64_t units_needed(const Prober *prober, int column, const int64_t *x)
{
    const SearchProblem *p = &prober->sides->problem;
    const size_t first = p->start[column], entries = p->start[column + 1] - first;
    int128 *use = mem_new(entries + 1, sizeof *use);
    int *place = mem_new((size_t)p->rows + 1, sizeof *place);
    for (size_t k = 0; k < entries; k++)
        place[p->row[first + k]] = (int)k + 1;
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; x[j] != 0 && j != column && k < p->start[j + 1]; k++)
            if (place[p->row[k]] > 0)
                use[place[p->row[k]] - 1] += (int128)p->value[k] * x[j];
    int64_t needed = 0, *risen = mem_new((size_t)p->rows + 1, sizeof *risen);
    protections_add_worst(p, x, risen);
    for (size_t k = 0; k < entries; k++) {
        use[k] += risen[p->row[first + k]];
        int64_t low = prober->row_low[p->row[first + k]], high = prober->row_high[p->row[first + k]],
                step = p->value[first + k];
        int128 over = step > 0 && low != SEARCH_MINUS_INFINITY   ? low - use[k]
                      : step < 0 && high != SEARCH_PLUS_INFINITY ? use[k] - high
                                                                 : 0;
        int64_t units = over <= 0 ? 0 : (int64_t)ceil_div(over, step > 0 ? step : -step);
        needed = units > needed ? units : needed;
    }
    mem_free(risen);
    mem_free(use);
    mem_free(place);
    return needed;
}

/* In from..end of the side's column: a solution with a fit of target and as few units as can be; *low: fewer are proven
 * not to be enough. NONE: there is none in the stretch. */
static void least_in(Prober *prober, int side, int64_t target, int64_t from, int64_t end, int64_t *low, Probe *probe)
{
    int column = loosening_column(prober->sides, side);
    *low = from;
    *probe = (Probe){.status = PROBE_NONE, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    while (*low <= end) {
        Probe next;
        prober_column(prober, column, *low, end);
        reach(prober, target, end > *low, &next);
        if (next.x == NULL) {
            *low = next.status == PROBE_NONE ? end + 1 : *low;
            if (next.status != PROBE_NONE)
                probe->status = probe->x != NULL ? PROBE_RANGE : PROBE_UNKNOWN;
            if (next.status != PROBE_NONE)
                return;
            break;
        }
        probe_release(probe);
        *probe = next;
        const int64_t needed = units_needed(prober, column, next.x);
        next.x[column] = probe->high = needed > from ? needed : from;
        if (probe->high <= *low)
            break;
        end = probe->high - 1;
    }
    if (probe->x != NULL) {
        probe->status = PROBE_SOLVED;
        *low = probe->high;
    }
}

void probe_least(Prober *prober, int side, int64_t target, int64_t from, int64_t upto, int64_t stride, Probe *probe)
{
    int column = loosening_column(prober->sides, side);
    int64_t most = prober->sides->side[side].most, low_before = prober->low[column], high_before = prober->high[column];
    if (upto > most)
        upto = most;
    for (;;) {
        from = prober_line(prober, side, from, upto, target);
        *probe = (Probe){.status = from > upto && upto == most ? PROBE_NONE : PROBE_UNKNOWN,
                         .low = from,
                         .high = SEARCH_PLUS_INFINITY};
        if (from > upto || prober_spent(prober))
            break;
        int64_t end = stride < upto - from ? from + stride : upto, low;
        least_in(prober, side, target, from, end, &low, probe);
        prober_column(prober, column, low_before, high_before);
        probe->low = low;
        if (probe->x != NULL)
            probe->high = probe->x[column];
        if (probe->status != PROBE_NONE)
            break;
        from = end + 1;
        stride = stride > 0 && stride < LONGEST_STRIDE ? 2 * stride : stride;
    }
}
