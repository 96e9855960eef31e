/* why.c - a card forced in, and what would have to change for it to come in by itself.
 *
 * The loss is the best fit less the best fit with the card forced in: a search of its own. A card's fit only counts in
 * pools that hold it, so from its fit plus the loss on it is in some best pool; where several copies may be in, the
 * least rise d with max (fit + d copies) = best over pools that hold it is found by Newton's method on the parametric
 * maximum (W. Dinkelbach, "On nonlinear fractional programming", Management Science 13(7), 1967).
 *
 * Least loosening of a single side: not monotone, since a looser limit may lift the other pools more. So an exact
 * ascent: target T = best fit; s = least loosening with the card forced in and fit >= T; the best fit at s without
 * forcing is either T (done: the card is in a best pool) or higher: that is the new T. Each T and s is proven, so no
 * smaller s is overlooked: below s the forced fit is less than T, which the unforced one reaches. */
#include "explain/why_inner.h"

#include <stdlib.h>

#include "base/number.h"
#include "base/sort.h"
#include "explain/binding.h"
#include "explain/swaps/nearest.h"

#define LOOK_UP 12000 /* pivots of a short look for a better pool with a limit loosened */
#define ASCENT_STEPS 200
#define FURTHER 4    /* sides further away get a quarter of a share */
#define LIKELIEST 10 /* so many are sure of their share of the effort */

static bool can_be_in(const Explain *e, size_t card)
{
    return e->card[card].first >= 0;
}

/* --- one side --- */

/* The best fit known with the side loosened by s and the card free, after a look for more. The card is forced in when
 * this is called, and after. */
static int64_t unforced(Explain *e, size_t card, int side, int64_t s, int64_t pivots, bool *best)
{
    int64_t before = oracle_limit(e->oracle, pivots);
    if (pivots == 0)
        oracle_limit(e->oracle, before);
    explain_unforce(e, card);
    int64_t fit = explain_climb(e, side, s, best);
    explain_force(e, card, 1, INT32_MAX);
    oracle_limit(e->oracle, before);
    return fit;
}

/* Raises target and b->units.low in turn by relaxations and short looks, until neither rises. */
static int64_t rise(Explain *e, size_t card, int64_t upto, int64_t target, Blame *b)
{
    for (int k = 0; k < ASCENT_STEPS && !oracle_spent(e->oracle); k++) {
        bool best;
        b->units.low = oracle_line(e->oracle, b->side, b->units.low, upto, target);
        if (b->units.low > upto)
            break;
        int64_t fit = unforced(e, card, b->side, b->units.low, LOOK_UP, &best);
        if (fit <= target)
            break;
        target = fit;
    }
    return target;
}

/* The card is forced in when this is called. Keeps and bans are either there or dropped: one unit.
 * far: units after which the side is given up. True when it was. share: pivots after which no further step is begun. */
static bool ascend(Explain *e, size_t card, int64_t far, int64_t share, Blame *b)
{
    int64_t begun = oracle_used(e->oracle);
    const Side *side = &e->sides->side[b->side];
    int64_t upto = far < side->most ? far : side->most, stride = explain_stride(e, b->side);
    int64_t target = e->best.low; /* the unforced best at units.low is at least this */
    b->kind = BLAME_UNKNOWN;
    for (int step = 0; step < ASCENT_STEPS && !oracle_spent(e->oracle) && oracle_used(e->oracle) - begun < share;
         step++) {
        target = rise(e, card, upto, target, b);
        /* Below least.low the forced fit is under the target, which the unforced one reaches. */
        Probe least;
        bool best = false;
        probe_least(e->oracle, b->side, target, b->units.low, upto, stride, &least);
        b->units.low = least.low;
        if (least.status == PROBE_NONE)
            b->kind = BLAME_NEVER;
        if (least.x == NULL) {
            probe_release(&least);
            return b->kind != BLAME_NEVER && b->units.low > far;
        }
        int64_t forced = oracle_value(e->oracle, least.x);
        explain_learn(e, b->side, least.high, least.x, false);
        int64_t fit = unforced(e, card, b->side, least.high, 0, &best);
        bool exact = least.low == least.high;
        if (best && forced >= fit) {
            b->kind = exact ? BLAME_SOLVED : BLAME_RANGE;
            b->units.has_high = true;
            b->units.high = least.high;
        }
        probe_release(&least);
        if (b->units.has_high || !exact || fit <= target)
            return false;
        target = fit;
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
    if (side->limit->kind == LIMIT_CAP)
        unit = 10;
    else if (side->limit->kind == LIMIT_RULE)
        unit = side->weight >> (9 - side->limit->priority);
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
    sort_stable(ranked, count, sizeof *ranked, by_key);
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
    const int column = e->card[card].first;
    double share = 0;
    if (s->row < 0 || oracle_pull(e->oracle, side) <= 0)
        return 0;
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++)
        if (p->row[k] == s->row)
            share += oracle_duals(e->oracle)[p->row[k]] * (double)p->value[k];
    return share;
}

/* Without any loosening the card is in no best pool, if that is proven; else 0 units may do. */
static int64_t nearest(const Why *why)
{
    return why->impossible || (why->loss.has_low && why->loss.low > 0) ? 1 : 0;
}

/* A relaxation of each side first: most are excluded by it. Then the likeliest to the end. */
static int look_at_sides(Explain *e, const WhyAsk *ask, const double *share, Why *why, Look *look)
{
    int looks = 0;
    for (int s = 0; s < e->sides->sides; s++) {
        const Side *side = &e->sides->side[s];
        if (side->most <= 0)
            continue;
        if (ask->quick) {
            if (share[s] > 0)
                look[looks++] = (Look){s, nearest(why), -share[s]};
            continue;
        }
        /* Most of all: where the side has no multiplier, the forced card's bound stands however far it is loosened. */
        if (oracle_excluded(e->oracle, s, side->most, e->best.low)) {
            why->blame[why->blames++] = (Blame){.side = s, .kind = BLAME_NEVER};
            continue;
        }
        double within = (double)binding_within(e, s);
        int64_t low = oracle_line(e->oracle, s, nearest(why), side->most, e->best.low);
        look[looks++] = (Look){s, low, (double)low / (within > 0 ? within : 1)};
    }
    sort_stable(look, (size_t)looks, sizeof *look, by_share);
    return looks;
}

/* A limit of many rows can only be given up as a whole: then the card is in some best pool or not. The card is forced
 * in when this is called, and after. */
static void give_up(Explain *e, size_t card, Blame *b)
{
    Probe forced, free;
    oracle_drop(e->oracle, b->side, true);
    probe_most(e->oracle, e->best.low - e->grain, e->grain, &forced);
    if (forced.status == PROBE_NONE)
        b->kind = BLAME_NEVER;
    if (forced.x != NULL) {
        explain_unforce(e, card);
        probe_most(e->oracle, forced.low, e->grain, &free);
        explain_force(e, card, 1, INT32_MAX);
        if (free.status == PROBE_NONE) {
            b->kind = BLAME_SOLVED;
            b->units = (Range){true, true, 1, 1};
        } else if (free.x != NULL && forced.high < free.low)
            b->kind = BLAME_NEVER;
        probe_release(&free);
    }
    probe_release(&forced);
    oracle_drop(e->oracle, b->side, false);
}

/* What one of so many sides may take, so that a hard one does not leave the others without. */
static int64_t share_of_effort(const Explain *e, int sides)
{
    int64_t left = oracle_left(e->oracle);
    if (left == INT64_MAX || sides <= 1)
        return left;
    return 2 * (left / (sides < LIKELIEST ? sides : LIKELIEST));
}

/* Proven: the side alone lets the card in, if at all, only with more than `within`. */
static bool blame_is_far(const Blame *blame)
{
    return blame->kind == BLAME_UNKNOWN && blame->units.low > blame->within;
}

/* Units of `times` the usual look. */
static int64_t far_units(const Explain *e, int side, int times)
{
    int64_t within = binding_within(e, side);
    return times <= 0 || times > INT64_MAX / 2 / (within > 0 ? within : 1) ? INT64_MAX
                                                                           : (within > 0 ? within : 1) * times;
}

static int by_within(const void *a, const void *b)
{
    const Blame *const *x = a, *const *y = b;
    if ((*x)->within != (*y)->within)
        return (*x)->within < (*y)->within ? -1 : 1;
    return (*x)->order - (*y)->order;
}

/* Each to one look's distance, the likeliest first, and of these those with few units first: money in cents takes long
 * for a card that is nearly in. Then, with some of what is left, those that are further away, and last those that are
 * open. */
static void ask_to_the_end(Explain *e, size_t card, int far, Blame *blame, int count)
{
    bool *away = mem_new((size_t)count + 1, sizeof *away);
    Blame **turn = mem_new((size_t)count + 1, sizeof *turn);
    for (int k = 0; k < count; k++)
        turn[k] = &blame[k];
    sort_stable(turn, (size_t)(count < LIKELIEST ? count : LIKELIEST), sizeof *turn, by_within);
    int first = far == 0 || far > 1 ? 1 : far;
    for (int round = 0; round < 2; round++) {
        int times = round == 0 ? first : far;
        for (int k = 0; k < count && (round == 0 || times != first); k++) {
            if (round > 0 && !away[k])
                continue;
            oracle_tell(e->oracle, "limits", k, count);
            int64_t units = far_units(e, turn[k]->side, times), share = share_of_effort(e, count - k);
            away[k] = turn[k]->units.low > units ||
                      ascend(e, card, units, round == 0 || far == 0 ? share : share / FURTHER, turn[k]);
        }
    }
    for (int k = 0; k < count && oracle_left(e->oracle) != INT64_MAX && !oracle_spent(e->oracle);
         k++) { /* what is left goes to what is open */
        if (away[k] || turn[k]->kind != BLAME_UNKNOWN)
            continue;
        int64_t half = oracle_left(e->oracle) / 2 + 1, before = oracle_limit(e->oracle, half);
        ascend(e, card, far_units(e, turn[k]->side, first), half, turn[k]);
        oracle_limit(e->oracle, before);
    }
    mem_free(away);
    mem_free(turn);
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
        oracle_relax(e->oracle);
    int looks = look_at_sides(e, ask, share, why, look),
        asked = ask->most_sides == 0 || ask->most_sides > looks ? looks : ask->most_sides;
    Blame *first = &why->blame[why->blames];
    for (int k = 0; k < (ask->quick ? asked : looks); k++)
        why->blame[why->blames++] = (Blame){.side = look[k].side,
                                            .kind = BLAME_UNKNOWN,
                                            .units = {.has_low = true, .low = look[k].low},
                                            .within = binding_within(e, look[k].side),
                                            .order = k + 1};
    ask_to_the_end(e, card, ask->far, first, asked);
    for (int k = 0; k < asked; k++)
        why->far_off += blame_is_far(&first[k]);
    for (int s = 0; s < e->sides->sides && !ask->quick; s++)
        if (e->sides->side[s].row < 0) {
            Blame b = {.side = s, .kind = BLAME_UNKNOWN, .units = {.has_low = true, .low = 1}, .within = 1};
            give_up(e, card, &b);
            why->blame[why->blames++] = b;
        }
    explain_unforce(e, card);
    sort_blames(e, why->blame, why->blames);
    mem_free(look);
    mem_free(share);
}

/* --- fit and price --- */

/* Least rise of the fit of one copy: exact when best and the runs are. forced: the best pool with the card. */
static void find_fit(Explain *e, size_t card, const Probe *forced, Why *why)
{
    int64_t fit = e->instance->fit[card], most = e->free_instance->most[card];
    if (forced->x == NULL)
        return;
    Range d = {
        .has_low = why->loss.has_low, .low = (int64_t)ceil_div(why->loss.low, most), .has_high = why->loss.has_high};
    int64_t k = card_copies(&e->card[card], forced->x);
    d.high = why->loss.has_high ? (int64_t)ceil_div(why->loss.high, k) : 0;
    int64_t *objective = mem_new((size_t)e->sides->columns + 1, sizeof *objective);
    for (int round = 0; most > 1 && range_exact(&e->best) && d.has_high && d.high > d.low && round < 50; round++) {
        int64_t rise = d.high - 1;
        for (int j = 0; j < e->sides->columns; j++)
            objective[j] = e->sides->objective[j] + (j == e->card[card].first || j == e->card[card].second ? rise : 0);
        oracle_fit(e->oracle, objective);
        Probe probe;
        probe_best(e->oracle, forced->x, SEARCH_PLUS_INFINITY, e->best.low, &probe);
        oracle_fit(e->oracle, NULL);
        bool reached = probe.x != NULL && probe.low >= e->best.low;
        if (reached) {
            k = card_copies(&e->card[card], probe.x);
            int64_t plain = oracle_value(e->oracle, probe.x);
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

/* --- the card --- */

static void find_conflict(Explain *e, const WhyAsk *ask, Why *why)
{
    conflict_find(e->oracle, &why->conflict, NULL);
    if (ask->conflicts)
        conflict_list(e->oracle, 20, &why->list);
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

int64_t why_lost_for_certain(Explain *e, size_t card)
{
    if (e->card[card].first < 0 || !e->best.has_low)
        return 0;
    explain_force(e, card, 1, INT32_MAX);
    int64_t bound = oracle_bound(e->oracle);
    explain_unforce(e, card);
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
    int status = why->kept     ? explain_status_side(e, card, LIMIT_KEEP)
                 : why->banned ? explain_status_side(e, card, LIMIT_BAN)
                               : -1;
    if (status >= 0)
        oracle_drop(e->oracle, status, true);
    int64_t sure = status < 0 && !why->in ? why_lost_for_certain(e, card) : 0;
    if (ask->no_run) {
        why->loss = (Range){.has_low = sure > 0, .low = sure};
        return;
    }
    explain_force(e, card, why->in ? 0 : 1, why->in ? 0 : INT32_MAX);
    Probe forced;
    explain_most(e, &forced);
    why->forced = forced.x != NULL;
    why->impossible = forced.status == PROBE_NONE;
    if (forced.x != NULL && ask->quick) /* of many cards: what it costs comes before how few would change */
        explain_exchange(e, forced.x, &why->exchange);
    else if (forced.x != NULL)
        nearest_exchange(e, forced.low, forced.x, &why->exchange);
    if (!why->impossible)
        why->loss = status < 0 ? explain_loss(e, &forced) : signed_loss(e, &forced);
    if (!why->impossible && sure > 0 && (!why->loss.has_low || why->loss.low < sure)) {
        why->loss.has_low = true;
        why->loss.low = sure;
    }
    if (why->impossible)
        find_conflict(e, ask, why);
    else if (!why->in && status < 0) {
        why->one_swap = !ask->quick && swap_in(e, card, &why->single);
        find_fit(e, card, &forced, why);
    }
    explain_unforce(e, card);
    if (status >= 0)
        oracle_drop(e->oracle, status, false);
    probe_release(&forced);
    bool as_good = why->loss.has_high && why->loss.high <= 0; /* another best pool has it (lacks it) */
    if (why->in || status >= 0 || as_good)
        return;
    if (ask->price)
        why_find_price(e, card, why);
    if (ask->blame)
        ask_sides(e, card, ask, why);
}

static bool sides_settled(const Why *why)
{
    for (size_t k = 0; k < why->blames; k++)
        if (why->blame[k].kind == BLAME_RANGE || (why->blame[k].kind == BLAME_UNKNOWN && !blame_is_far(&why->blame[k])))
            return false;
    return true;
}

bool why_settled(const Why *why)
{
    if (!why->candidate)
        return true;
    if (why->impossible && (!conflict_settled(&why->conflict) || (why->list.conflicts > 0 && !why->list.complete)))
        return false;
    const bool as_good = !why->kept && !why->banned && why->loss.has_high && why->loss.high == 0;
    if (!why->impossible && !as_good && !range_exact(&why->loss))
        return false;
    if ((why->fit_from.has_low || why->fit_from.has_high) && !as_good && !range_exact(&why->fit_from))
        return false;
    if (why->price_asked &&
        ((!why->price_never && !range_exact(&why->price)) || (!why->dearer_never && !range_exact(&why->dearer))))
        return false;
    return sides_settled(why);
}

/* ---- what it comes to ---- */

bool blame_helps(const Blame *blame)
{
    switch (blame->kind) {
    case BLAME_SOLVED:
    case BLAME_RANGE: return true;
    case BLAME_NEVER:
    case BLAME_UNKNOWN: break;
    }
    return false;
}

static WhyCauseKind kind_of(const Why *why, const WhyCause *cause)
{
    if (!why->candidate)
        return WHY_NO_CANDIDATE;
    if (why->kept)
        return WHY_KEPT;
    if (why->banned)
        return WHY_BANNED;
    if (why->in)
        return WHY_IN;
    if (why->loss.has_high && why->loss.high == 0)
        return WHY_AS_GOOD;
    if (why->impossible)
        return WHY_IMPOSSIBLE;
    if (cause->helping > 0)
        return WHY_LIMITS;
    return cause->open > why->far_off ? WHY_OPEN : cause->open > 0 ? WHY_OTHERS_NEAR : WHY_OTHERS;
}

WhyCause why_cause(const Why *why)
{
    WhyCause cause = {0};
    for (size_t k = 0; k < why->blames; k++) {
        const Blame *blame = &why->blame[k];
        cause.helping += blame_helps(blame);
        cause.never += blame->kind == BLAME_NEVER;
        cause.open += blame->kind == BLAME_UNKNOWN;
        if (cause.least == NULL && blame_helps(blame))
            cause.least = blame; /* they are in order */
    }
    cause.kind = kind_of(why, &cause);
    return cause;
}

void why_release(Why *why)
{
    exchange_release(&why->exchange);
    mem_free(why->blame);
    conflict_release(&why->conflict);
    conflict_list_release(&why->list);
    *why = (Why){0};
}
