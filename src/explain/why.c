/* why.c - a card forced in, and what would have to change for it to come in by itself.
 *
 * The loss is the best fit less the best fit with the card forced in: a search of its own. A card's fit only counts in
 * pools that hold it, so from its fit plus the loss on it is in some best pool; where several copies may be in, the
 * least rise d with max (fit + d copies) = best over pools that hold it is found by Newton's method on the parametric
 * maximum (W. Dinkelbach, "On nonlinear fractional programming", Management Science 13(7), 1967).
 * What single limits have to do with it is in why_sides.c. */
#include "explain/why_inner.h"

#include "base/number.h"
#include "explain/swaps/nearest.h"

#define FIRST_PART 40 /* a fortieth of the effort for each first question about what a card costs, where it is hard */

static bool can_be_in(const Explain *e, size_t card)
{
    return e->card[card].first >= 0;
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
    conflict_find(e->oracle, &why->conflict);
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

/* Where it is open whether the card costs anything, that is what matters most: asked by itself, with half of what is
 * there beyond the usual. The card is forced in or out. */
static void ask_whether_it_costs(Explain *e, int64_t more, Probe *forced)
{
    if (more <= 0 || forced->status == PROBE_NONE || forced->high < e->best.low || forced->low >= e->best.low)
        return;
    const int64_t before = oracle_limit(e->oracle, more / 2);
    Probe again;
    probe_reach(e->oracle, e->best.low, true, &again);
    oracle_limit(e->oracle, before);
    const int64_t less = e->best.low - e->grain;
    const int64_t high = again.status == PROBE_NONE && less < forced->high ? less : forced->high;
    if (again.x != NULL) {
        probe_release(forced);
        *forced = again;
    }
    forced->high = high;
    if (forced->x != NULL)
        forced->status = forced->high <= forced->low ? PROBE_SOLVED : PROBE_RANGE;
}

/* The best fit with the card forced in or out. Where that is hard, first with little effort for each question, since
 * whether it costs anything at all is settled sooner than what it costs. */
static void ask_forced(Explain *e, const WhyAsk *ask, Probe *forced)
{
    const OracleLimits before = oracle_allow(e->oracle, ask->more);
    if (!ask->hard)
        explain_most(e, forced);
    else {
        const int64_t limit = oracle_limit(e->oracle, ask->more / FIRST_PART + 1);
        explain_most(e, forced);
        oracle_limit(e->oracle, limit);
    }
    ask_whether_it_costs(e, ask->more, forced);
    if (ask->hard)
        explain_above(e, forced);
    oracle_take_back(e->oracle, before);
}

/* The fit is that of the pool told, one card for one: of such swaps as good and no dearer the first, as `swap` has it.
 */
static void take_first_single(Explain *e, size_t card, int64_t fit, Why *why)
{
    const size_t cards = e->instance->cards->count;
    Exchange *told = &why->exchange;
    Single first;
    if (told->enter_count != 1 || told->leave_count != 1 || exchange_changes(told) != 2 || e->copies[card] > 1 ||
        !(why->in ? swap_out(e, card, &first) : swap_in(e, card, &first)) || first.card == card ||
        e->best.low + first.fit_change != fit)
        return;
    int *copies = mem_copy(e->copies, cards, sizeof *copies);
    copies[card] += why->in ? -1 : 1;
    copies[first.card] += why->in ? 1 : -1;
    const Fewest fewest = told->fewest;
    exchange_release(told);
    exchange_between(cards, e->copies, copies, told);
    told->fewest = fewest;
    mem_free(copies);
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
    ask_forced(e, ask, &forced);
    why->forced = forced.x != NULL;
    why->impossible = forced.status == PROBE_NONE;
    if (forced.x != NULL && ask->quick) /* of many cards: what it costs comes before how few would change */
        explain_exchange(e, forced.x, &why->exchange);
    else if (forced.x != NULL) {
        nearest_exchange(e, forced.low, forced.x, &why->exchange);
        take_first_single(e, card, forced.low, why);
    }
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
    const bool as_good = why->loss.has_high && why->loss.high <= 0; /* another best pool has it (lacks it) */
    const bool asked = !why->in && status < 0 && !as_good;
    if (asked && ask->price)
        why_find_price(e, card, why);
    if (asked && ask->blame)
        why_ask_sides(e, card, forced.x, ask, why);
    probe_release(&forced);
}

static bool sides_settled(const Why *why)
{
    for (size_t k = 0; k < why->blames; k++)
        if (why->blame[k].kind == BLAME_RANGE ||
            (why->blame[k].kind == BLAME_UNKNOWN && !why_blame_is_far(&why->blame[k])))
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
