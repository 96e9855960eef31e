/* counted.c - see counted.h. */
#include "support/counted.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain/binding.h"
#include "explain/ranging.h"
#include "explain/why.h"
#include "programme/count/checker.h"

#define SAY(counted, text, got, expected)                                                                              \
    fail_msg("%s: %s: %lld, by counting every pool %lld", (counted)->what, text, (long long)(got),                     \
             (long long)(expected))

/* --- counting --- */

static int64_t missed(int64_t slack)
{
    return slack < 0 ? -slack : 0;
}

static const LimitUse *use_of(const Counted *s, const Limit *limit, const PoolCheck *check)
{
    for (size_t k = 0; k < check->uses; k++)
        if (check->use[k].limit == limit)
            return &check->use[k];
    fail_msg("%s: a limit that the checker does not know", s->what);
    return NULL;
}

static int64_t side_over(const Counted *s, const Side *side, const int *copies, const PoolCheck *check)
{
    const LimitUse *use = use_of(s, side->limit, check);
    if (side->limit->kind == LIMIT_KEEP)
        return copies[side->limit->card] > 0 ? 0 : 1;
    if (side->limit->kind == LIMIT_BAN)
        return copies[side->limit->card] > 0 ? 1 : 0;
    if (side->row < 0)
        return !limit_use_kept(use);
    return use->idle || !side->hard ? 0 : missed(side->low ? use->low_slack : use->high_slack);
}

static void count_pool(const Counted *s, const int *copies, CountedPool *pool)
{
    const SideProblem *sides = s->explain->sides;
    PoolCheck check;
    pool_check(s->lab.instance, copies, &check);
    pool->fit = check.fit;
    for (int i = 0; i < sides->sides; i++)
        pool->over[i] = side_over(s, &sides->side[i], copies, &check);
    pool_check_release(&check);
}

static bool count_all(Counted *s, size_t most)
{
    const size_t cards = s->lab.instance->cards->count;
    const int *copies_most = s->explain->free_instance->most;
    size_t pools = 1;
    for (size_t c = 0; c < cards; c++) {
        pools *= (size_t)(copies_most[c] > 0 ? copies_most[c] : 0) + 1;
        if (pools > most)
            return false;
    }
    int *copies = calloc(cards + 1, sizeof *copies);
    s->pool = calloc(pools, sizeof *s->pool);
    for (s->pools = 0; s->pools < pools; s->pools++) {
        CountedPool *pool = &s->pool[s->pools];
        pool->copies = malloc((cards + 1) * sizeof *pool->copies);
        pool->over = malloc(((size_t)s->explain->sides->sides + 1) * sizeof *pool->over);
        memcpy(pool->copies, copies, cards * sizeof *copies);
        count_pool(s, copies, pool);
        size_t c = 0;
        while (c < cards && copies[c] >= copies_most[c])
            copies[c++] = 0;
        if (c < cards)
            copies[c]++;
    }
    free(copies);
    return true;
}

void counted_begin(Counted *s, const char *what)
{
    *s = (Counted){0};
    snprintf(s->what, sizeof s->what, "%s", what);
    lab_open(&s->lab);
}

bool counted_read(Counted *s, const char *subject, const char *case_name, size_t most, int64_t effort)
{
    SearchOptions options;
    s->lab.overrides.case_name = case_name;
    if (!lab_read(&s->lab, subject))
        return false;
    s->programme = programme_new(s->lab.instance, &s->lab.diags);
    if (s->programme == NULL)
        return false;
    search_options_default(&options);
    assert_true(answer_find(s->programme, &options, &s->answer, &s->lab.diags));
    const ExplainOptions how = {.engine = SEARCH_ENGINE_FAST, .threads = 1, .effort = effort};
    s->explain = explain_new(s->lab.instance, &s->answer, &how, &s->lab.diags);
    return s->explain != NULL && count_all(s, most);
}

void counted_end(Counted *s)
{
    for (size_t k = 0; k < s->pools; k++) {
        free(s->pool[k].copies);
        free(s->pool[k].over);
    }
    free(s->pool);
    explain_free(s->explain);
    answer_release(&s->answer);
    programme_free(s->programme);
    lab_close(&s->lab);
}

static bool kept_but(const Counted *s, const CountedPool *pool, int but, int64_t units)
{
    for (int i = 0; i < s->explain->sides->sides; i++)
        if (pool->over[i] > (i == but ? units : 0))
            return false;
    return true;
}

static bool is_wanted(const CountedPool *pool, size_t card, int want)
{
    return want == ANY || (pool->copies[card] > 0) == (want == WITH);
}

int64_t counted_best(const Counted *s, int side, int64_t units, size_t card, int want)
{
    int64_t best = NO_POOL;
    for (size_t k = 0; k < s->pools; k++)
        if (s->pool[k].fit > best && is_wanted(&s->pool[k], card, want) && kept_but(s, &s->pool[k], side, units))
            best = s->pool[k].fit;
    return best;
}

/* --- nearest pools --- */

static int changes_of(const Counted *s, const CountedPool *pool)
{
    int changes = 0;
    for (size_t c = 0; c < s->lab.instance->cards->count; c++)
        changes += abs(pool->copies[c] - s->explain->copies[c]);
    return changes;
}

static int64_t cost_of(const Counted *s, const CountedPool *pool)
{
    int64_t cost = 0;
    for (size_t c = 0; c < s->lab.instance->cards->count; c++)
        cost += instance_spend(s->lab.instance, c, pool->copies[c]);
    return cost;
}

static const CountedPool *pool_after(const Counted *s, const Exchange *exchange)
{
    const size_t cards = s->lab.instance->cards->count;
    const CountedPool *found = NULL;
    int *copies = malloc((cards + 1) * sizeof *copies);
    memcpy(copies, s->explain->copies, cards * sizeof *copies);
    for (size_t k = 0; k < exchange->enter_count; k++)
        copies[exchange->enters[k].card] += exchange->enters[k].copies;
    for (size_t k = 0; k < exchange->leave_count; k++)
        copies[exchange->leaves[k].card] -= exchange->leaves[k].copies;
    for (size_t k = 0; k < s->pools && found == NULL; k++)
        if (memcmp(s->pool[k].copies, copies, cards * sizeof *copies) == 0)
            found = &s->pool[k];
    free(copies);
    return found;
}

void counted_judge_exchange(const Counted *s, const bool *may, const Exchange *exchange, long *statements)
{
    const CountedPool *shown = pool_after(s, exchange);
    if (shown == NULL || !may[shown - s->pool])
        SAY(s, "an exchange to a pool that there is not", 0, 0);
    if (oracle_left(s->explain->oracle) == INT64_MAX && exchange->fewest != FEWEST_PROVEN)
        SAY(s, "whether changes are the fewest is not known", exchange->fewest, FEWEST_PROVEN);
    if (exchange->fewest != FEWEST_PROVEN)
        return;
    const int changes = changes_of(s, shown);
    for (size_t k = 0; k < s->pools; k++) {
        if (!may[k] || s->pool[k].fit != shown->fit)
            continue;
        if (changes_of(s, &s->pool[k]) < changes)
            SAY(s, "the fewest changes", changes, changes_of(s, &s->pool[k]));
        if (changes_of(s, &s->pool[k]) == changes && cost_of(s, &s->pool[k]) < cost_of(s, shown))
            SAY(s, "the cheapest of them", cost_of(s, shown), cost_of(s, &s->pool[k]));
    }
    *statements += 1;
}

/* Pools with the side loosened by so many units, with the card, without it or any. */
static void judge_exchange(const Counted *s, int side, int64_t units, size_t card, int want, const Exchange *exchange,
                           long *statements)
{
    bool *may = calloc(s->pools + 1, sizeof *may);
    for (size_t k = 0; k < s->pools; k++)
        may[k] = is_wanted(&s->pool[k], card, want) && kept_but(s, &s->pool[k], side, units);
    counted_judge_exchange(s, may, exchange, statements);
    free(may);
}

/* The best pool with one copy of the card more and at most one of another less. */
static void judge_one_swap(const Counted *s, size_t card, const Why *why, long *statements)
{
    int64_t best = NO_POOL, cost = 0;
    for (size_t k = 0; k < s->pools; k++) {
        const CountedPool *pool = &s->pool[k];
        if (pool->copies[card] != s->explain->copies[card] + 1 || changes_of(s, pool) > 2 || !kept_but(s, pool, -1, 0))
            continue;
        bool enters = false; /* a second card comes in */
        for (size_t c = 0; c < s->lab.instance->cards->count; c++)
            enters = enters || (c != card && pool->copies[c] > s->explain->copies[c]);
        if (!enters && (pool->fit > best || (pool->fit == best && cost_of(s, pool) < cost))) {
            best = pool->fit;
            cost = cost_of(s, pool);
        }
    }
    if (why->one_swap != (best != NO_POOL))
        SAY(s, "one swap", why->one_swap, best != NO_POOL);
    if (why->one_swap && why->single.fit_change != best - s->answer.check.fit)
        SAY(s, "loss of one swap", why->single.fit_change, best - s->answer.check.fit);
    if (why->one_swap && why->single.cost_change != cost - s->answer.check.cost)
        SAY(s, "money of one swap", why->single.cost_change, cost - s->answer.check.cost);
    *statements += 1;
}

/* --- judging --- */

bool counted_unlimited(const Counted *s)
{
    return oracle_left(s->explain->oracle) == INT64_MAX;
}

static void check_range(const Counted *s, const char *what, const Range *range, int64_t expected)
{
    if (range->has_low && range->low > expected)
        SAY(s, what, range->low, expected);
    if (range->has_high && range->high < expected)
        SAY(s, what, range->high, expected);
    if (counted_unlimited(s) && !range_exact(range))
        SAY(s, what, -1, expected);
}

/* The next distance above `from` at which a pool keeps the side; -1: none. */
static int64_t next_step(const Counted *s, int side, int64_t from)
{
    int64_t next = -1;
    for (size_t k = 0; k < s->pools; k++)
        if (s->pool[k].over[side] > from && (next < 0 || s->pool[k].over[side] < next))
            next = s->pool[k].over[side];
    return next;
}

/* At most one copy enters and one leaves. */
static bool is_one_swap(const Counted *s, const CountedPool *pool)
{
    int in = 0, out = 0;
    for (size_t c = 0; c < s->lab.instance->cards->count; c++) {
        const int more = pool->copies[c] - s->explain->copies[c];
        in += more > 0 ? more : 0;
        out += more < 0 ? -more : 0;
    }
    return in <= 1 && out <= 1;
}

/* The best single swap that breaks the side as it is, loosened by so many units. */
static void judge_loosened_swap(const Counted *s, int side, int64_t units, const OneSwap *one, long *statements)
{
    int64_t best = s->answer.check.fit, cost = 0;
    if (!one->asked)
        return;
    for (size_t k = 0; k < s->pools; k++) {
        const CountedPool *pool = &s->pool[k];
        if (!is_one_swap(s, pool) || pool->over[side] == 0 || !kept_but(s, pool, side, units) || pool->fit < best ||
            (pool->fit == best && (cost == 0 || cost_of(s, pool) >= cost)))
            continue;
        best = pool->fit;
        cost = cost_of(s, pool);
    }
    const int64_t gain = best - s->answer.check.fit;
    if (one->found != (gain > 0) || one->fit_change != gain)
        SAY(s, "one swap with a limit loosened", one->fit_change, gain);
    if (one->found && one->cost_change != cost - s->answer.check.cost)
        SAY(s, "money of one swap with a limit loosened", one->cost_change, cost - s->answer.check.cost);
    *statements += 1;
}

static void judge_binding(Counted *s, int side, int64_t within, long *statements)
{
    const int64_t best = s->answer.check.fit;
    int64_t at = next_step(s, side, 0);
    while (at >= 0 && counted_best(s, side, at, 0, ANY) <= best)
        at = next_step(s, side, at);
    Binding b;
    binding_find(s->explain, side, within, &b);
    if (b.kind == BINDING_NOTHING && at >= 0 && at <= within)
        SAY(s, "a limit is said to be worth nothing", within, at);
    if (b.kind == BINDING_STEP) {
        check_range(s, "first useful step", &b.step, at);
        check_range(s, "gain", &b.gain, counted_best(s, side, b.step.high, 0, ANY) - best);
        judge_loosened_swap(s, side, b.step.high, &b.one, statements);
    }
    if (b.has_exchange && s->explain->sides->side[side].hard)
        judge_exchange(s, side, b.step.high, 0, ANY, &b.exchange, statements);
    if (b.kind == BINDING_UNKNOWN && counted_unlimited(s))
        SAY(s, "what a limit is worth is not known", within, at);
    *statements += b.kind != BINDING_UNKNOWN;
    binding_release(&b);
}

static void judge_blame(const Counted *s, size_t card, const Blame *b, long *statements)
{
    int64_t at = 0;
    while (at >= 0) {
        const int64_t forced = counted_best(s, b->side, at, card, WITH);
        if (forced != NO_POOL && forced >= counted_best(s, b->side, at, card, ANY))
            break;
        at = next_step(s, b->side, at);
    }
    if (b->kind == BLAME_NEVER && at >= 0)
        SAY(s, "a limit is said never to help", b->side, at);
    if (b->kind != BLAME_NEVER && at >= 0 && b->units.has_low && b->units.low > at)
        SAY(s, "least loosening", b->units.low, at);
    if (b->kind == BLAME_SOLVED && b->units.high != at)
        SAY(s, "least loosening", b->units.high, at);
    if (b->kind == BLAME_RANGE && (at < 0 || b->units.high < at))
        SAY(s, "least loosening at most", b->units.high, at);
    *statements += b->kind != BLAME_UNKNOWN;
}

/* Is the card, at that price and a high that is as far above it as now, in a best pool? */
static bool is_in_at(Counted *s, size_t card, int64_t price)
{
    const Instance *in = s->lab.instance;
    const int64_t before = in->price[card], high = in->high[card];
    const size_t sides = (size_t)s->explain->sides->sides;
    CountedPool now = {.over = malloc((sides + 1) * sizeof *now.over)};
    bool found = false;
    in->price[card] = price;
    in->high[card] = price + (high - before);
    for (size_t k = 0; k < s->pools && !found; k++) {
        if (s->pool[k].copies[card] <= 0)
            continue;
        count_pool(s, s->pool[k].copies, &now);
        found = now.fit >= s->answer.check.fit && kept_but(s, &now, -1, 0);
    }
    in->price[card] = before;
    in->high[card] = high;
    free(now.over);
    return found;
}

/* Prices at which sums change are as many as there are pools: some between, and those next to what is said. */
static void judge_price(Counted *s, size_t card, const Why *why, long *statements)
{
    const int64_t now = s->lab.instance->price[card], sample[] = {0, 1, now / 4, now / 2, now - 1, now};
    const int64_t above[] = {now + 1, now + 25, now + 50, now + 100, now + 125, now + 200, now + 400, now + 1000};
    const int64_t from = why->price_never ? 0 : why->price.high + 1;
    for (size_t k = 0; k < sizeof sample / sizeof *sample; k++)
        if (sample[k] >= from && is_in_at(s, card, sample[k]))
            SAY(s, "in at a price above the one said", from - 1, sample[k]);
    if (!why->price_never && from <= now && is_in_at(s, card, from))
        SAY(s, "in at a price above the one said", from - 1, from);
    if (why->price.has_low && !is_in_at(s, card, why->price.low))
        SAY(s, "not in at this price", why->price.low, -1);
    const int64_t upto = why->dearer_never ? INT64_MAX : why->dearer.low - 1;
    const bool in_now = is_in_at(s, card, now);
    for (size_t k = 0; k < sizeof above / sizeof *above && !in_now; k++)
        if (above[k] <= upto && is_in_at(s, card, above[k]))
            SAY(s, "in at a higher price below the one said", why->dearer_never ? -1 : upto + 1, above[k]);
    if (!why->dearer_never && !in_now && upto > now && is_in_at(s, card, upto))
        SAY(s, "in at a higher price below the one said", upto + 1, upto);
    if (why->dearer.has_high && !is_in_at(s, card, why->dearer.high))
        SAY(s, "not in at this higher price", why->dearer.high, -1);
    *statements += 2;
}

void counted_judge_conflict(const Counted *s, const Conflict *conflict, size_t card, int want, long *statements)
{
    for (int drop = -1; conflict->found && drop < conflict->sides; drop++) {
        bool possible = false;
        if (drop >= 0 && !conflict->minimal)
            continue;
        for (size_t k = 0; k < s->pools && !possible; k++) {
            possible = is_wanted(&s->pool[k], card, want);
            for (int i = 0; i < conflict->sides && possible; i++)
                possible = i == drop || s->pool[k].over[conflict->side[i]] == 0;
        }
        if (possible != (drop >= 0))
            SAY(s, drop < 0 ? "limits that can hold together are called a conflict" : "a conflict is not minimal",
                conflict->sides, drop);
    }
    *statements += conflict->found;
    if (counted_unlimited(s) && !conflict_settled(conflict))
        SAY(s, "no conflict proven minimal", 0, 0);
}

static int64_t fit_from(const Counted *s, size_t card)
{
    int64_t least = INT64_MAX;
    for (size_t k = 0; k < s->pools; k++) {
        const CountedPool *pool = &s->pool[k];
        if (pool->copies[card] <= 0 || !kept_but(s, pool, -1, 0))
            continue;
        const int64_t missing = s->answer.check.fit - pool->fit,
                      each = missing <= 0 ? 0 : (missing + pool->copies[card] - 1) / pool->copies[card];
        least = each < least ? each : least;
    }
    return least;
}

static void judge_card(Counted *s, size_t card, long *statements)
{
    const Instance *in = s->lab.instance;
    const WhyAsk ask = {.blame = true, .price = true};
    Why why;
    why_find(s->explain, card, &ask, &why);
    if (!why.candidate || why.kept || why.banned) {
        why_release(&why);
        return;
    }
    const int64_t forced = counted_best(s, -1, 0, card, why.in ? WITHOUT : WITH);
    if ((why.impossible && forced != NO_POOL) || (why.forced && forced == NO_POOL) ||
        (counted_unlimited(s) && why.impossible != (forced == NO_POOL)))
        SAY(s, "impossible", why.impossible, forced);
    if (forced != NO_POOL)
        check_range(s, "loss", &why.loss, s->answer.check.fit - forced);
    if (why.forced)
        judge_exchange(s, -1, 0, card, why.in ? WITHOUT : WITH, &why.exchange, statements);
    if (!why.in && !why.impossible)
        judge_one_swap(s, card, &why, statements);
    if (why.impossible)
        counted_judge_conflict(s, &why.conflict, card, why.in ? WITHOUT : WITH, statements);
    if (!why.in && forced != NO_POOL && why.fit_from.has_low)
        check_range(s, "fit from which", &why.fit_from, in->fit[card] + fit_from(s, card));
    if (why.price_asked)
        judge_price(s, card, &why, statements);
    for (size_t k = 0; k < why.blames; k++)
        if (s->explain->sides->side[why.blame[k].side].hard)
            judge_blame(s, card, &why.blame[k], statements);
    *statements += 1;
    why_release(&why);
}

static void judge_firmness(Counted *s, long *statements)
{
    Rangings f;
    firmness_find(s->explain, 0, &f);
    for (size_t k = 0; k < f.count; k++) {
        const Ranging *ranging = &f.ranging[k];
        if (ranging->kind == RANGING_KEPT)
            continue;
        const int64_t forced = counted_best(s, -1, 0, ranging->card, ranging->in ? WITHOUT : WITH),
                      loss = forced == NO_POOL ? INT64_MAX / 8 : s->answer.check.fit - forced;
        const bool right = ranging->kind == RANGING_SURE              ? loss >= f.margin
                           : ranging->kind == RANGING_INTERCHANGEABLE ? loss == 0
                           : ranging->kind == RANGING_COULD_AS_WELL   ? loss > 0 && loss < f.margin
                                                                      : !counted_unlimited(s);
        if (!right)
            SAY(s, "firmness", ranging->kind, loss);
        const ScoreMatters matters = ranging_score_matters(&f, ranging);
        if (f.scored && matters != SCORE_UNKNOWN && (matters == SCORE_MATTERS) != (loss < ranging->point) &&
            !ranging->several)
            SAY(s, "whether a score matters", matters, loss);
        *statements += ranging->kind != RANGING_UNKNOWN;
    }
    firmness_release(&f);
}

void counted_judge(Counted *s, long *statements)
{
    const int64_t best = counted_best(s, -1, 0, 0, ANY);
    const SideProblem *sides = s->explain->sides;
    if ((s->answer.status == ANSWER_INFEASIBLE) != (best == NO_POOL))
        SAY(s, "status", s->answer.status, best);
    if (best == NO_POOL) {
        counted_judge_nothing_fits(s, statements);
        return;
    }
    if (s->answer.check.fit != best)
        SAY(s, "fit", s->answer.check.fit, best);
    for (int i = 0; i < sides->sides; i++)
        if (sides->side[i].row >= 0 && sides->side[i].hard && !limit_is_status(sides->side[i].limit)) {
            judge_binding(s, i, binding_within(s->explain, i), statements);
            judge_binding(s, i, sides->side[i].most, statements);
        }
    for (size_t c = 0; c < s->lab.instance->cards->count; c++)
        judge_card(s, c, statements);
    judge_firmness(s, statements);
}
