/* oracle_reach.c - is a fit reached at all; what is the least loosening that reaches it.
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
#include "explain/oracle/oracle_inner.h"
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

static void make_attain(Oracle *oracle)
{
    if (oracle->attain != NULL)
        return;
    const SideProblem *sides = oracle->sides;
    SearchProblem p = sides->problem;
    p.row_low = oracle->row_low;
    p.row_high = oracle->row_high;
    p.objective = oracle->fit;
    p.high = mem_new((size_t)p.columns + 1, sizeof *p.high);
    memcpy(p.high, sides->problem.high, (size_t)p.columns * sizeof *p.high);
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

/* Fits are multiples of the grain that the caller has put into its target, so bounds need no rounding here. */
static int64_t bound_box(Oracle *oracle, const int64_t *low, const int64_t *high)
{
    make_attain(oracle);
    int64_t pivots = 0, bound = attain_bound(oracle->attain, low, high, oracle->options.cancel, &pivots);
    oracle->used += pivots;
    oracle->current = false;
    return bound;
}

int64_t oracle_bound(Oracle *oracle)
{
    int64_t bound = bound_box(oracle, oracle->low, oracle->high);
    oracle->current = true;
    return bound;
}

/* Cuts as long as they bring something. */
static void strengthen(Oracle *oracle, int rounds)
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
    strengthen(oracle, ROUNDS);
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

/* --- searching what is left open --- */

static int open_columns(const Oracle *oracle, const int64_t *low, const int64_t *high)
{
    int open = 0;
    for (int j = 0; j < oracle->sides->problem.columns; j++)
        open += low[j] < high[j];
    return open;
}

/* Narrows the box to what a fit of target or more can have. False: nothing; *bound: of the first relaxation. */
static bool narrow(Oracle *oracle, int64_t target, int64_t *low, int64_t *high, int64_t *bound)
{
    int before = open_columns(oracle, low, high);
    *bound = bound_box(oracle, low, high);
    for (int k = 0; *bound < SEARCH_PLUS_INFINITY && k < NARROWINGS; k++) {
        if (!attain_tighten(oracle->attain, target, low, high))
            return false;
        int open = open_columns(oracle, low, high);
        if (open > before - before / 16)
            break;
        before = open;
        if (bound_box(oracle, low, high) < target)
            return false;
    }
    return true;
}

bool oracle_narrow(Oracle *oracle, int64_t target, int64_t *low, int64_t *high)
{
    int64_t bound;
    return narrow(oracle, target, low, high, &bound);
}

/* Solutions in the box with a fit of target or more: the one with the greatest fit. */
static void search_box(Oracle *oracle, int64_t target, bool first, const int64_t *low, const int64_t *high,
                       Probe *probe)
{
    SearchOptions options = oracle_search_options(oracle);
    int64_t pivots = 0;
    BoxSearch search = {.wanted = target,
                        .limit = options.effort,
                        .first = first,
                        .threads = options.threads,
                        .cancel = options.cancel};
    const bool found = attain_search(oracle->attain, low, high, &search, &pivots);
    oracle->used += pivots + 1;
    *probe = (Probe){.low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    probe->status = found              ? search.exhausted ? PROBE_SOLVED : PROBE_RANGE
                    : search.exhausted ? PROBE_NONE
                                       : PROBE_UNKNOWN;
    if (found) {
        probe->x = search.x;
        search.x = NULL;
        probe->low = search.value;
        probe->high = search.exhausted ? search.value : SEARCH_PLUS_INFINITY;
    }
    box_search_release(&search);
}

static void reach(Oracle *oracle, int64_t target, bool first, Probe *probe)
{
    *probe = (Probe){.status = PROBE_UNKNOWN, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    if (oracle_spent(oracle))
        return;
    const size_t n = (size_t)oracle->sides->problem.columns;
    int64_t *low = mem_new(n + 1, sizeof *low), *high = mem_new(n + 1, sizeof *high), bound;
    memcpy(low, oracle->low, n * sizeof *low);
    memcpy(high, oracle->high, n * sizeof *high);
    if (narrow(oracle, target, low, high, &bound))
        search_box(oracle, target, first, low, high, probe);
    else
        probe->status = PROBE_NONE;
    if (probe->status == PROBE_NONE)
        probe->high = target - 1;
    if (probe->high > bound)
        probe->high = bound;
    mem_free(low);
    mem_free(high);
}

void probe_reach(Oracle *oracle, int64_t target, Probe *probe)
{
    reach(oracle, target, false, probe);
}

static int64_t floor_to(int64_t value, int64_t grain)
{
    return (int64_t)(floor_div(value, grain) * grain);
}

/* Where the relaxation says nothing, a run of its own. */
static void most_by_run(Oracle *oracle, int64_t known, int64_t grain, Probe *probe)
{
    Probe run;
    probe_best(oracle, NULL, SEARCH_PLUS_INFINITY, known == SEARCH_MINUS_INFINITY ? known : known + grain, &run);
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

void probe_most(Oracle *oracle, int64_t known, int64_t grain, Probe *probe)
{
    *probe = (Probe){.status = PROBE_UNKNOWN, .low = known, .high = SEARCH_PLUS_INFINITY};
    if (oracle_spent(oracle))
        return;
    int64_t bound = oracle_bound(oracle), width = 2;
    bool strengthened = false;
    if (bound == SEARCH_PLUS_INFINITY) {
        most_by_run(oracle, known, grain, probe);
        return;
    }
    if (bound != SEARCH_MINUS_INFINITY)
        bound = floor_to(bound, grain);
    for (int unsettled = 0; bound > known && unsettled < 2 && !oracle_spent(oracle);) {
        bool all = width > WIDEST; /* whatever there is */
        int64_t target = all ? LEAST_FIT : bound - width * grain;
        target = target > known ? target : known + grain;
        Probe next;
        int64_t before = oracle->used;
        reach(oracle, target, false, &next);
        if (next.x != NULL) {
            *probe = next;
            probe->high = next.status == PROBE_SOLVED ? next.low : bound;
            return;
        }
        if (next.status == PROBE_NONE)
            bound = all ? known : floor_to(target - 1, grain);
        unsettled += next.status != PROBE_NONE;
        width *= 2;
        if (!strengthened && oracle->used - before > HARD) {
            strengthen(oracle, ROUNDS_WHEN_HARD);
            int64_t now = oracle_bound(oracle);
            bound = now == SEARCH_PLUS_INFINITY || floor_to(now, grain) > bound ? bound : floor_to(now, grain);
            strengthened = true;
        }
    }
    probe->high = bound;
    if (bound <= known)
        *probe = (Probe){.status = PROBE_NONE, .low = known, .high = known};
}

/* The least value of the loosening column with which x keeps the rows. */
static int64_t units_needed(const Oracle *oracle, int column, const int64_t *x)
{
    const SearchProblem *p = &oracle->sides->problem;
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
        int64_t low = oracle->row_low[p->row[first + k]], high = oracle->row_high[p->row[first + k]],
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
static void least_in(Oracle *oracle, int side, int64_t target, int64_t from, int64_t end, int64_t *low, Probe *probe)
{
    int column = loosening_column(oracle->sides, side);
    *low = from;
    *probe = (Probe){.status = PROBE_NONE, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    while (*low <= end) {
        Probe next;
        oracle_column(oracle, column, *low, end);
        reach(oracle, target, end > *low, &next);
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
        const int64_t needed = units_needed(oracle, column, next.x);
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

void probe_least(Oracle *oracle, int side, int64_t target, int64_t from, int64_t upto, int64_t stride, Probe *probe)
{
    int column = loosening_column(oracle->sides, side);
    int64_t most = oracle->sides->side[side].most, low_before = oracle->low[column], high_before = oracle->high[column];
    if (upto > most)
        upto = most;
    for (;;) {
        from = oracle_line(oracle, side, from, upto, target);
        *probe = (Probe){.status = from > upto && upto == most ? PROBE_NONE : PROBE_UNKNOWN,
                         .low = from,
                         .high = SEARCH_PLUS_INFINITY};
        if (from > upto || oracle_spent(oracle))
            break;
        int64_t end = stride < upto - from ? from + stride : upto, low;
        least_in(oracle, side, target, from, end, &low, probe);
        oracle_column(oracle, column, low_before, high_before);
        probe->low = low;
        if (probe->x != NULL)
            probe->high = probe->x[column];
        if (probe->status != PROBE_NONE)
            break;
        from = end + 1;
        stride = stride > 0 && stride < LONGEST_STRIDE ? 2 * stride : stride;
    }
}
