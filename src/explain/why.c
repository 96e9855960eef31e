/* why.c - a card forced in, and what would have to change for it to come in by itself.
 *
 * The loss is the best fit less the best fit with the card forced in: a search of its own. A card's fit only counts in pools that hold it, so from its fit
 * plus the loss on it is in some best pool; where several copies may be in, the least rise d with max (fit + d copies) = best over pools that hold it is found by
 * Newton's method on the parametric maximum (W. Dinkelbach, "On nonlinear fractional programming", Management Science 13(7), 1967).
 * A price is a loosening that only pools with the card get: a column "discount" in every row that money is summed in, made as small as possible with the fit
 * at least the best.
 *
 * Least loosening of a single side: not monotone, since a looser limit may lift the other pools more. So an exact ascent: target T = best fit; s = least
 * loosening with the card forced in and fit >= T; the best fit at s without forcing is either T (done: the card is in a best pool) or higher: that is
 * the new T. Each T and s is proven, so no smaller s is overlooked: below s the forced fit is less than T, which the unforced one reaches. */
#include "explain/why.h"

#include <stdlib.h>

#include "base/number.h"
#include "explain/binding.h"

#define FIRST_LOOK 700   /* pivots: enough for a relaxation that proves "never" */
#define ASCENT_STEPS 200

static bool can_be_in(const Explain *e, size_t card)
{
    return e->first[card] >= 0;
}

/* --- one side --- */

/* The best fit with the side loosened by s, the card free; known to be at least `reached`. */
static void unforced(Explain *e, size_t card, int side, int64_t s, const int64_t *start, Probe *probe)
{
    explain_unforce(e, card);
    prober_loosen(e->prober, side, s);
    probe_best(e->prober, start, SEARCH_PLUS_INFINITY, SEARCH_MINUS_INFINITY, probe);
    prober_loosen(e->prober, side, 0);
    explain_force(e, card, 1, INT32_MAX);
}

/* The card is forced in when this is called. Keeps and bans are either there or dropped: one unit. */
/* far: units after which the side is given up. True when it was. */
static bool ascend(Explain *e, size_t card, int64_t far, Blame *b)
{
    b->kind = BLAME_UNKNOWN;
    int64_t target = e->best.low; /* the unforced best at units.low is at least this */
    for (int step = 0; step < ASCENT_STEPS && !prober_spent(e->prober); step++) {
        /* Below least.low the forced fit is under the target, which the unforced one reaches. */
        Probe least, best;
        probe_least(e->prober, b->side, target, b->units.low, &least);
        if (least.status == PROBE_NONE) {
            b->kind = BLAME_NEVER;
            probe_release(&least);
            return false;
        }
        b->units.low = least.low;
        if (least.x == NULL || least.low > far) {
            probe_release(&least);
            return b->units.low > far;
        }
        int64_t forced = prober_value(e->prober, least.x);
        unforced(e, card, b->side, least.high, least.x, &best);
        if (best.high != SEARCH_PLUS_INFINITY && forced >= best.high) {
            b->kind = least.low == least.high ? BLAME_SOLVED : BLAME_RANGE;
            b->units.has_high = true;
            b->units.high = least.high;
        }
        bool higher = least.low == least.high && best.low != SEARCH_MINUS_INFINITY && best.low > forced && best.low > target;
        if (higher)
            target = best.low;
        probe_release(&least);
        probe_release(&best);
        if (b->units.has_high || !higher)
            return false;
    }
    return false;
}

/* Loosening in common measure, without priorities: thousandths of a card, of 1.00, of 1 of a column. */
static int64_t blame_weight(const Explain *e, const Blame *b)
{
    const Side *side = &e->sides->side[b->side];
    if (!b->units.has_high)
        return INT64_MAX;
    int64_t unit = 1000;
    if (side->of == SIDE_CAP)
        unit = 10;
    else if (side->of == SIDE_RULE)
        unit = side->weight >> (9 - e->instance->member[side->member].rule->priority);
    return b->units.high > INT64_MAX / 2 / (unit > 0 ? unit : 1) ? INT64_MAX / 2 : b->units.high * unit;
}

typedef struct {
    Blame blame;
    int64_t key;
} Ranked;

static int by_key(const void *a, const void *b)
{
    const Ranked *x = a, *y = b;
    if (x->blame.kind != y->blame.kind)
        return x->blame.kind < y->blame.kind ? -1 : 1;
    if (x->key != y->key)
        return x->key < y->key ? -1 : 1;
    return x->blame.side - y->blame.side;
}

static void sort_blames(const Explain *e, Blame *blame, size_t count)
{
    Ranked *ranked = mem_new(count + 1, sizeof *ranked);
    for (size_t k = 0; k < count; k++)
        ranked[k] = (Ranked){blame[k], blame_weight(e, &blame[k])};
    qsort(ranked, count, sizeof *ranked, by_key);
    for (size_t k = 0; k < count; k++)
        blame[k] = ranked[k].blame;
    mem_free(ranked);
}

typedef struct {
    int side;
    int64_t low;  /* least loosening that was not excluded */
    double share; /* of what the side can be loosened at all: likelier if small */
} Look;

static int by_share(const void *a, const void *b)
{
    const Look *x = a, *y = b;
    if (x->share != y->share)
        return x->share < y->share ? -1 : 1;
    return x->side - y->side;
}

/* What the side takes of the card's fit by the multipliers loaded: a guide to what to ask first, no answer. */
static double share_of_side(const Explain *e, size_t card, int side)
{
    const SearchProblem *p = &e->sides->problem;
    const Side *s = &e->sides->side[side];
    double y = s->row < 0 ? 0 : prober_duals(e->prober)[s->row] * (s->low ? -1.0 : 1.0);
    if (y <= 0)
        return 0;
    int column = e->first[card];
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++)
        if (p->row[k] == s->row)
            return y * (double)p->value[k] * (s->low ? -1.0 : 1.0);
    return 0;
}

/* Without any loosening the card is in no best pool, if that is proven; else 0 units may do. */
static int64_t nearest(const Why *why)
{
    return why->impossible || (why->loss.has_low && why->loss.low > 0) ? 1 : 0;
}

/* A short look at each side first: most are excluded by their relaxation. Then the likeliest to the end. */
static int look_at_sides(Explain *e, const WhyAsk *ask, const double *share, Why *why, Look *look)
{
    int looks = 0;
    int64_t before = prober_limit(e->prober, FIRST_LOOK);
    for (int s = 0; s < e->sides->sides; s++) {
        const Side *side = &e->sides->side[s];
        if (side->most <= 0)
            continue;
        if (ask->quick) {
            if (share[s] > 0)
                look[looks++] = (Look){s, nearest(why), -share[s]};
            continue;
        }
        /* Proven without a run: where the side has no multiplier, the forced card's bound stands however far it is loosened. */
        if (prober_bound_loosened(e->prober, s, side->most) < e->best.low) {
            why->blame[why->blames++] = (Blame){.side = s, .kind = BLAME_NEVER};
            continue;
        }
        Probe probe;
        probe_least(e->prober, s, e->best.low, nearest(why), &probe);
        if (probe.status == PROBE_NONE)
            why->blame[why->blames++] = (Blame){.side = s, .kind = BLAME_NEVER};
        else {
            double within = (double)binding_within(e, s);
            look[looks++] = (Look){s, probe.low, (double)probe.low / (within > 0 ? within : 1)};
        }
        probe_release(&probe);
    }
    prober_limit(e->prober, before);
    qsort(look, (size_t)looks, sizeof *look, by_share);
    return looks;
}

static void ask_sides(Explain *e, size_t card, const WhyAsk *ask, Why *why)
{
    size_t sides = (size_t)e->sides->sides + 1;
    Look *look = mem_new(sides, sizeof *look);
    double *share = mem_new(sides, sizeof *share);
    why->blame = mem_new(sides, sizeof *why->blame);
    for (int s = 0; s < e->sides->sides; s++)
        share[s] = share_of_side(e, card, s);
    explain_force(e, card, 1, INT32_MAX);
    if (!ask->quick)
        prober_relax(e->prober);
    int looks = look_at_sides(e, ask, share, why, look);
    why->all_asked = !ask->quick;
    for (int k = 0; k < looks; k++) {
        Blame b = {.side = look[k].side, .kind = BLAME_UNKNOWN, .units = {.has_low = true, .low = look[k].low}};
        if (ask->most_sides == 0 || k < ask->most_sides) {
            prober_tell(e->prober, "limits", k, looks);
            int64_t within = binding_within(e, b.side), far = ask->far > 0 ? (within > 0 ? within : 1) * ask->far : INT64_MAX;
            if (b.units.low > far || ascend(e, card, far, &b))
                why->far_off++;
        } else {
            why->all_asked = false;
            if (ask->quick)
                break;
        }
        why->blame[why->blames++] = b;
    }
    explain_unforce(e, card);
    sort_blames(e, why->blame, why->blames);
    mem_free(look);
    mem_free(share);
}

/* --- fit and price --- */

static int64_t copies_in(const Explain *e, size_t card, const int64_t *x)
{
    return x[e->first[card]] + (e->second[card] >= 0 ? x[e->second[card]] : 0);
}

/* Least rise of the fit of one copy: exact when best and the runs are. forced: the best pool with the card. */
static void find_fit(Explain *e, size_t card, const Probe *forced, Why *why)
{
    int64_t fit = e->instance->fit[card], most = e->free_instance->most[card];
    if (forced->x == NULL)
        return;
    Range d = {.has_low = why->loss.has_low, .low = (int64_t)ceil_div(why->loss.low, most), .has_high = why->loss.has_high};
    int64_t k = copies_in(e, card, forced->x);
    d.high = why->loss.has_high ? (int64_t)ceil_div(why->loss.high, k) : 0;
    int64_t *objective = mem_new((size_t)e->sides->columns + 1, sizeof *objective);
    for (int round = 0; most > 1 && range_exact(&e->best) && d.has_high && d.high > d.low && round < 50; round++) {
        int64_t rise = d.high - 1;
        for (int j = 0; j < e->sides->columns; j++)
            objective[j] = e->sides->objective[j] + (j == e->first[card] || j == e->second[card] ? rise : 0);
        prober_fit(e->prober, objective);
        Probe probe;
        probe_best(e->prober, forced->x, SEARCH_PLUS_INFINITY, e->best.low, &probe);
        prober_fit(e->prober, NULL);
        bool reached = probe.x != NULL && probe.low >= e->best.low;
        if (reached) {
            k = copies_in(e, card, probe.x);
            int64_t plain = prober_value(e->prober, probe.x);
            d.high = e->best.low > plain ? (int64_t)ceil_div(e->best.low - plain, k) : 0;
        } else if (probe.high < e->best.low)
            d.low = d.high;
        probe_release(&probe);
        if (!reached)
            break;
    }
    mem_free(objective);
    why->fit_from = (Range){d.has_low, d.has_high, fit + d.low, fit + d.high};
}

/* Does the row sum up money paid or valued, without shares or averages? Sets *upper_only to false where it asks for a least sum. */
static bool is_money_row(const Explain *e, int row, bool *upper_only, bool *odd)
{
    if (row >= e->programme->problem.rows)
        return false;
    const ProgrammeRow *about = &e->programme->row[row];
    if (about->role == ROW_CAP)
        return true;
    if (about->role != ROW_MEMBER)
        return false;
    const RuleMember *member = &e->instance->member[about->member];
    if (member->rule->measure != MEASURE_SPEND && member->rule->measure != MEASURE_PRICE)
        return false;
    if (member->bounds.kind != BOUND_ABSOLUTE)
        *odd = true;
    if (member->bounds.has_low)
        *upper_only = false;
    return true;
}

/* A problem of its own: the SideProblem with the card in, the fit a row, and a discount as its only objective. */
static bool discount_problem(const Explain *e, size_t card, SearchProblem *p, bool *upper_only)
{
    const SearchProblem *from = &e->sides->problem;
    int column = e->first[card], n = from->columns;
    bool odd = false, any = false;
    size_t entries = from->start[n], extra = 0;
    *p = *from;
    p->row = mem_new(entries + (size_t)from->rows + 1, sizeof *p->row);
    p->value = mem_new(entries + (size_t)from->rows + 1, sizeof *p->value);
    for (size_t k = 0; k < entries; k++) {
        p->row[k] = from->row[k];
        p->value[k] = from->value[k];
    }
    for (size_t k = from->start[column]; k < from->start[column + 1]; k++)
        if (is_money_row(e, from->row[k], upper_only, &odd)) {
            p->row[entries + extra] = from->row[k];
            p->value[entries + extra++] = -1;
            any = true;
        }
    if (!any || odd) {
        mem_free(p->row);
        mem_free(p->value);
        return false;
    }
    p->columns = n + 1;
    p->kind = mem_new((size_t)n + 1, sizeof *p->kind);
    p->objective = mem_new((size_t)n + 1, sizeof *p->objective);
    p->low = mem_new((size_t)n + 1, sizeof *p->low);
    p->high = mem_new((size_t)n + 1, sizeof *p->high);
    p->start = mem_new((size_t)n + 2, sizeof *p->start);
    p->row_low = mem_new((size_t)from->rows, sizeof *p->row_low);
    for (int j = 0; j < n; j++) {
        p->kind[j] = from->kind[j];
        p->low[j] = from->low[j];
        p->high[j] = from->high[j];
        p->start[j] = from->start[j];
    }
    for (int i = 0; i < from->rows; i++)
        p->row_low[i] = from->row_low[i];
    p->low[column] = p->high[column] = 1;
    p->kind[n] = SEARCH_CONTINUOUS;
    p->objective[n] = -1;
    p->high[n] = e->instance->price[card];
    p->start[n] = entries;
    p->start[n + 1] = entries + extra;
    return true;
}

static void find_price(Explain *e, size_t card, Why *why)
{
    SearchProblem p;
    why->price_below = true;
    bool bought = e->free_instance->most[card] == 1 && e->instance->cards->card[card].owned == 0 && e->instance->price[card] > 0;
    if (!bought || !discount_problem(e, card, &p, &why->price_below))
        return;
    why->price_asked = true;
    p.row_low[e->sides->objective_row] = e->best.low;
    Search *search = search_new(&p);
    SearchOptions options = prober_search_options(e->prober);
    SearchResult result;
    search_run(search, &options, &result);
    prober_count(e->prober, &result);
    int64_t price = e->instance->price[card];
    if (result.status == SEARCH_INFEASIBLE)
        why->price_never = true;
    else {
        if (result.bound != SEARCH_PLUS_INFINITY && result.status != SEARCH_FAILED)
            why->price = (Range){.has_high = true, .high = result.bound < 0 ? price + result.bound : price};
        if (result.has_solution && range_exact(&e->best)) {
            why->price.has_low = true;
            why->price.low = price + result.value;
        }
    }
    search_result_release(&result);
    search_free(search);
    mem_free(p.row);
    mem_free(p.value);
    mem_free(p.kind);
    mem_free(p.objective);
    mem_free(p.low);
    mem_free(p.high);
    mem_free(p.start);
    mem_free(p.row_low);
}

/* --- the card --- */

static void find_conflict(Explain *e, const WhyAsk *ask, Why *why)
{
    conflict_find(e->prober, &why->conflict, NULL);
    if (ask->conflicts)
        conflict_list(e->prober, 20, &why->list);
}

/* best - forced, of whatever sign: without a keep or a ban a pool may be better. */
static Range signed_loss(const Explain *e, const Probe *probe)
{
    Range loss = {0};
    if (probe->high != SEARCH_PLUS_INFINITY && probe->high != SEARCH_MINUS_INFINITY)
        loss = (Range){.has_low = true, .low = e->best.low - probe->high};
    if (probe->low != SEARCH_MINUS_INFINITY && e->best.has_high) {
        loss.has_high = true;
        loss.high = e->best.high - probe->low;
    }
    return loss;
}

int64_t why_lost_for_certain(const Explain *e, size_t card)
{
    if (e->first[card] < 0 || e->second[card] >= 0 || !e->best.has_low)
        return 0;
    int64_t bound = prober_bound_column(e->prober, e->first[card], 1, e->sides->problem.high[e->first[card]]);
    if (bound == SEARCH_MINUS_INFINITY || bound >= e->best.low)
        return 0; /* in no pool at all: for a run to say */
    return (int64_t)ceil_div(e->best.low - bound, e->grain) * e->grain;
}

void why_find(Explain *e, size_t card, const WhyAsk *ask, Why *why)
{
    *why = (Why){.card = card, .in = e->has_pool && e->copies[card] > 0, .candidate = can_be_in(e, card)};
    why->kept = e->instance->least[card] > 0;
    why->banned = (e->instance->status[card] & STATUS_BAN) != 0;
    if (!why->candidate || !e->has_pool)
        return;
    int status = why->kept ? explain_status_side(e, card, SIDE_KEEP) : why->banned ? explain_status_side(e, card, SIDE_BAN) : -1;
    if (status >= 0)
        prober_drop(e->prober, status, true);
    int64_t sure = status < 0 && !why->in ? why_lost_for_certain(e, card) : 0;
    if (ask->no_run) {
        why->loss = (Range){.has_low = sure > 0, .low = sure};
        return;
    }
    explain_force(e, card, why->in ? 0 : 1, why->in ? 0 : INT32_MAX);
    Probe forced;
    probe_best(e->prober, NULL, status < 0 && e->best.has_high ? e->best.high : SEARCH_PLUS_INFINITY, SEARCH_MINUS_INFINITY, &forced);
    why->forced = forced.x != NULL;
    why->impossible = forced.status == PROBE_NONE;
    if (forced.x != NULL)
        explain_exchange(e, forced.x, &why->exchange);
    if (!why->impossible)
        why->loss = status < 0 ? explain_loss(e, &forced) : signed_loss(e, &forced);
    if (!why->impossible && sure > 0 && (!why->loss.has_low || why->loss.low < sure)) {
        why->loss.has_low = true;
        why->loss.low = sure;
    }
    if (why->impossible)
        find_conflict(e, ask, why);
    else if (!why->in && status < 0)
        find_fit(e, card, &forced, why);
    explain_unforce(e, card);
    if (status >= 0)
        prober_drop(e->prober, status, false);
    probe_release(&forced);
    bool as_good = why->loss.has_high && why->loss.high <= 0; /* another best pool has it (lacks it) */
    if (why->in || status >= 0 || as_good)
        return;
    if (ask->price)
        find_price(e, card, why);
    if (ask->blame)
        ask_sides(e, card, ask, why);
}

void why_release(Why *why)
{
    exchange_release(&why->exchange);
    mem_free(why->blame);
    conflict_release(&why->conflict);
    conflict_list_release(&why->list);
    *why = (Why){0};
}
