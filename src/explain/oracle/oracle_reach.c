/* oracle_reach.c - is a fit reached at all; what is the least loosening that reaches it.
 *
 * Most of it is settled by relaxations (oracle_bound.c). Where one does not exclude the fit, it still says which
 * columns a solution of that fit must have where (reduced costs, exactly), and only the few that are left open are
 * searched, with the fit as a row (the epsilon-constraint method: Y. Haimes, L. Lasdon, D. Wismer, IEEE Transactions on
 * Systems, Man and Cybernetics 1(3), 1971): depth first, which is over soon as a rule, and where it is not, by the
 * search itself, with its cuts and all that earlier questions have left.
 *
 * Least loosening: from below. The relaxation says from where on the fit is not excluded; from there a stretch of the
 * loosening is searched, and where it holds nothing, a longer one behind it. */

#include "base/memory.h"
#include "base/number.h"
#include "explain/oracle/oracle_inner.h"
#include "search/risk/protection.h"

#define ROUNDS_WHEN_HARD 2
#define HARD 3000                       /* pivots after which cuts are worth their time */
#define WIDEST 4096                     /* grains below the bound: beyond this any solution will do */
#define LEAST_FIT (-(INT64_C(1) << 50)) /* no fit is less */
#define NARROWINGS 4
#define LONGEST_STRIDE (INT64_C(1) << 40)

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
    *bound = oracle_bound_box(oracle, low, high);
    for (int k = 0; *bound < SEARCH_PLUS_INFINITY && k < NARROWINGS; k++) {
        if (!attain_tighten(oracle->attain, target, low, high))
            return false;
        int open = open_columns(oracle, low, high);
        if (open > before - before / 16)
            break;
        before = open;
        if (oracle_bound_box(oracle, low, high) < target)
            return false;
    }
    return true;
}

bool oracle_narrow(Oracle *oracle, int64_t target, int64_t *low, int64_t *high)
{
    int64_t bound;
    return narrow(oracle, target, low, high, &bound);
}

/* Solutions in the box with a fit of target or more, depth first: the one with the greatest fit. */
static void search_box(Oracle *oracle, int64_t target, bool first, int64_t limit, const int64_t *low,
                       const int64_t *high, Probe *probe)
{
    int64_t pivots = 0;
    BoxSearch search = {.wanted = target,
                        .limit = limit,
                        .first = first,
                        .threads = oracle->options.threads > 0 ? oracle->options.threads : 1,
                        .cancel = oracle->options.cancel};
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

/* The same by the search itself, from what there is in *probe; the box was narrowed from the present state's. */
static void search_on(Oracle *oracle, int64_t target, bool first, int64_t bound, Probe *probe)
{
    Probe next;
    probe_target(oracle, probe->x, bound, target, first, &next);
    if (next.status == PROBE_NONE || next.high < target) {
        probe_release(&next);
        next = (Probe){.status = PROBE_NONE, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    } else if (next.x != NULL && next.low < target) { /* a solution, but not one that was asked for */
        const int64_t high = next.high;
        probe_release(&next);
        next = (Probe){.status = PROBE_UNKNOWN, .low = SEARCH_MINUS_INFINITY, .high = high};
    }
    probe_release(probe);
    *probe = next;
}

/* What is settled depth first is settled sooner so; where that fails, less is tried of it the next time. GLPK by itself
 * would take too long over the rest. */
static bool search_left(Oracle *oracle, int64_t target, int64_t least, bool first, const int64_t *low,
                        const int64_t *high, int64_t bound, Probe *probe)
{
    const SearchOptions options = oracle_search_options(oracle);
    const int64_t begun = oracle->used, limit = options.effort;
    const bool whole = options.engine != SEARCH_ENGINE_FAST || (limit > 0 && limit <= oracle->depth_first);
    search_box(oracle, target, first, whole ? limit : oracle->depth_first, low, high, probe);
    const bool settled = probe->status == PROBE_SOLVED || probe->status == PROBE_NONE || (first && probe->x != NULL);
    if (whole)
        return false;
    const int64_t used = oracle->used - begun;
    if (!settled)
        oracle->depth_first =
            oracle->depth_first / 4 > ORACLE_LEAST_DEPTH_FIRST ? oracle->depth_first / 4 : ORACLE_LEAST_DEPTH_FIRST;
    else if (2 * used > oracle->depth_first)
        oracle->depth_first =
            2 * oracle->depth_first < ORACLE_MOST_DEPTH_FIRST ? 2 * oracle->depth_first : ORACLE_MOST_DEPTH_FIRST;
    if (settled || (limit > 0 && used >= limit) || oracle_spent(oracle))
        return false;
    const int64_t before = oracle_limit(oracle, limit > 0 ? limit - used : 0);
    search_on(oracle, least, first, bound, probe);
    oracle_limit(oracle, before);
    if (probe->status == PROBE_NONE)
        probe->high = least - 1;
    return true;
}

/* least: where that is hard, so much is searched for, up to the target. True if it was. */
static bool reach(Oracle *oracle, int64_t target, int64_t least, bool first, Probe *probe)
{
    *probe = (Probe){.status = PROBE_UNKNOWN, .low = SEARCH_MINUS_INFINITY, .high = SEARCH_PLUS_INFINITY};
    if (oracle_spent(oracle))
        return false;
    const size_t n = (size_t)oracle->sides->problem.columns;
    int64_t *low = mem_copy(oracle->low, n, sizeof *low), *high = mem_copy(oracle->high, n, sizeof *high), bound;
    bool searched = false;
    if (narrow(oracle, target, low, high, &bound))
        searched = search_left(oracle, target, least, first, low, high, bound, probe);
    else
        probe->status = PROBE_NONE;
    if (probe->status == PROBE_NONE && probe->high == SEARCH_PLUS_INFINITY)
        probe->high = target - 1;
    if (probe->high > bound)
        probe->high = bound;
    mem_free(low);
    mem_free(high);
    return searched;
}

void probe_reach(Oracle *oracle, int64_t target, bool first, Probe *probe)
{
    reach(oracle, target, target, first, probe);
}

static int64_t floor_to(int64_t value, int64_t grain)
{
    return (int64_t)(floor_div(value, grain) * grain);
}

static int64_t least_of(int64_t a, int64_t b)
{
    return a < b ? a : b;
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
        const bool whole = known != SEARCH_MINUS_INFINITY;
        const bool searched = reach(oracle, target, whole ? known + grain : target, false, &next);
        if (next.x != NULL) {
            *probe = next;
            probe->high = next.status == PROBE_SOLVED ? next.low : least_of(bound, floor_to(next.high, grain));
            return;
        }
        bound = (next.status == PROBE_NONE && all) || next.high == SEARCH_MINUS_INFINITY
                    ? known
                    : least_of(bound, floor_to(next.high, grain));
        unsettled += next.status == PROBE_NONE ? 0 : searched && whole ? 2 : 1;
        width *= 2;
        if (!strengthened && oracle->used - before > HARD) {
            oracle_strengthen(oracle, ROUNDS_WHEN_HARD);
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
        reach(oracle, target, target, end > *low, &next);
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
