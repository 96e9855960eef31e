/* checker.c - the independent count. Every total is summed card by card from the instance, nothing is taken from rows
 * or columns. What limits come to is judged in limit_count.c. */
#include "programme/count/checker.h"

#include <string.h>

#include "base/number.h"
#include "programme/count/risk.h"
#include "programme/count/structure_check.h"

/* Cents for these copies: those in the lists of owned cards, or in the present pool where that counts, are not bought.
 */
static int64_t spent(const Instance *in, size_t c, int copies)
{
    int own = in->listed[c];
    if (in->scenario->pool_owned && own < in->present[c])
        own = in->present[c];
    return copies <= own ? 0 : (copies - own) * (in->price[c] + in->model->handling);
}

static int64_t measured(const Instance *in, const RuleMember *member, size_t c, int copies, bool of_side, bool *blank)
{
    int64_t value;
    *blank = of_side ? !member_value_of(in, member, c, &value) : !member_value(in, member, c, &value);
    switch (measure_adds(member->rule->measure)) {
    case ADDS_BOUGHT: return spent(in, c, copies);
    case ADDS_COPIES: break;
    case ADDS_ONCE: return *blank || copies <= 0 ? 0 : value;
    }
    return *blank ? 0 : value * copies;
}

struct PoolCount {
    const Instance *instance;
    int *copies;  /* [cards] */
    size_t *card; /* [cards] those with a copy, ascending */
    size_t cards;
    int128 size, cost, fit;
    size_t outside; /* cards with more or fewer copies than they may have */
    size_t rules;   /* limits before keeps and bans */
    MemberSum *sum; /* [members + watches] what each counts, and what it is a percentage or an average of */
};

/* Adds (sign 1) or takes away (-1) what this many copies of the card come to. */
static void count_card(PoolCount *count, size_t c, int copies, int sign)
{
    const Instance *in = count->instance;
    count->size += sign * copies;
    count->fit += (int128)in->fit[c] * copies * sign;
    count->cost += spent(in, c, copies) * sign;
    for (size_t m = 0; m < in->members + in->watches; m++) {
        const RuleMember *member = &in->member[m];
        const BoundKind kind = member->bounds.kind;
        MemberSum *sum = &count->sum[m];
        bool blank;
        if (member_counts(in, member, c)) {
            sum->total += (int128)measured(in, member, c, copies, false, &blank) * sign;
            if (kind == BOUND_AVERAGE && !blank)
                sum->base += copies * sign;
        }
        if (kind == BOUND_PERCENT && member_counts_of(in, member, c))
            sum->base += (int128)measured(in, member, c, copies, true, &blank) * sign;
    }
}

static bool is_outside(const PoolCount *count, size_t c)
{
    return count->copies[c] < count->instance->least[c] || count->copies[c] > count->instance->most[c];
}

PoolCount *pool_count_new(const Instance *instance, const int *copies)
{
    const size_t cards = instance->cards->count;
    PoolCount *count = mem_new(1, sizeof *count);
    *count = (PoolCount){.instance = instance,
                         .copies = mem_new(cards, sizeof *count->copies),
                         .card = mem_new(cards, sizeof *count->card),
                         .sum = mem_new(instance->members + instance->watches, sizeof *count->sum)};
    count->rules = instance->limits;
    while (count->rules > 0 && limit_is_status(&instance->limit[count->rules - 1]))
        count->rules--;
    for (size_t c = 0; c < cards; c++) {
        count->copies[c] = copies[c];
        count->outside += is_outside(count, c);
        if (copies[c] <= 0)
            continue;
        count->card[count->cards++] = c;
        count_card(count, c, copies[c], 1);
    }
    return count;
}

void pool_count_free(PoolCount *count)
{
    if (count == NULL)
        return;
    mem_free(count->copies);
    mem_free(count->card);
    mem_free(count->sum);
    mem_free(count);
}

/* The list of held cards with the card in it, or without it. */
static void list_card(PoolCount *count, size_t c, bool in)
{
    size_t at = 0;
    while (at < count->cards && count->card[at] < c)
        at++;
    size_t *place = &count->card[at];
    const size_t later = (count->cards - at) * sizeof *place;
    if (in) {
        memmove(place + 1, place, later);
        *place = c;
        count->cards++;
    } else {
        memmove(place, place + 1, later - sizeof *place);
        count->cards--;
    }
}

void pool_count_change(PoolCount *count, size_t card, int by)
{
    const int before = count->copies[card], after = before + by;
    count->outside -= is_outside(count, card);
    if (before > 0)
        count_card(count, card, before, -1);
    count->copies[card] = after;
    if (after > 0)
        count_card(count, card, after, 1);
    count->outside += is_outside(count, card);
    if ((before > 0) != (after > 0))
        list_card(count, card, after > 0);
}

static Tally tally_of(const PoolCount *count, const Held *held, PoolCheck *check)
{
    return (Tally){.instance = count->instance,
                   .held = held,
                   .size = clamp64(count->size),
                   .cost = clamp64(count->cost),
                   .sum = count->sum,
                   .check = check};
}

static Held held_of(const PoolCount *count)
{
    return (Held){count->copies, count->card, count->cards};
}

/* These come first among the limits. */
static bool adds_up(const Limit *limit)
{
    return limit->kind == LIMIT_SIZE || limit->kind == LIMIT_CAP || limit->kind == LIMIT_RULE;
}

bool limit_always_holds(const Instance *in, const Limit *limit)
{
    return limit_asks(limit) && (limit->theme < 0 || !in->choosable[limit->theme]);
}

size_t pool_count_sums(const PoolCount *count, LimitSum *sum)
{
    const Held held = held_of(count);
    const Tally tally = tally_of(count, &held, NULL);
    size_t limits = 0;
    for (; limits < count->instance->limits && adds_up(&count->instance->limit[limits]); limits++)
        if (sum != NULL) {
            const LimitUse use = limit_use(&tally, &count->instance->limit[limits]);
            sum[limits] = (LimitSum){use.total, use.base};
        }
    return limits;
}

bool limit_use_within(const LimitUse *use, const Leeway *leeway)
{
    if (leeway == NULL || leeway->limit != use->limit || use->idle)
        return limit_use_kept(use);
    return leeway->low ? use->high_kept && (use->low_kept || use->low_slack >= -leeway->units)
                       : use->low_kept && (use->high_kept || use->high_slack >= -leeway->units);
}

bool pool_count_breaks(const PoolCount *count)
{
    return pool_count_breaks_but(count, NULL);
}

bool pool_count_breaks_but(const PoolCount *count, const Leeway *leeway)
{
    const Instance *in = count->instance;
    const Held held = held_of(count);
    const Tally tally = tally_of(count, &held, NULL);
    if (count->outside > 0)
        return true;
    for (size_t l = 0; l < in->limits && adds_up(&in->limit[l]); l++) {
        if (!limit_always_holds(in, &in->limit[l]))
            continue;
        const LimitUse use = limit_use(&tally, &in->limit[l]);
        if (!limit_use_within(&use, leeway))
            return true;
    }
    return false;
}

/* The risen sum, where the upper limit holds under price risk. */
static void protect(const Instance *in, const int *copies, LimitUse *use)
{
    const RuleMember *member = use->limit->member;
    if ((use->limit->kind != LIMIT_CAP && use->limit->kind != LIMIT_RULE) || !risk_protects(in, member))
        return;
    RiskCount count;
    risk_count(in, member, copies, &count);
    use->is_protected = true;
    use->protected_total = count.protected;
    use->high_slack = clamp64((int128)use->bounds.high - count.protected);
    use->high_kept = use->high_slack >= 0;
    use->high_tight = use->high_slack == 0;
}

static void check_watches(const Tally *tally, PoolCheck *check)
{
    const Instance *in = tally->instance;
    check->watch = mem_new(in->watches, sizeof *check->watch);
    check->watches = in->watches;
    for (size_t w = 0; w < in->watches; w++) {
        check->watch[w] = limit_use(tally, &in->watch[w]);
        check->watch[w].idle = in->watch[w].theme >= 0 && !check->chosen[in->watch[w].theme];
    }
}

/* With the uses of the first so many limits of the instance. */
static void check_limits(const PoolCount *count, size_t limits, PoolCheck *check)
{
    const Instance *in = count->instance;
    const Held held = held_of(count);
    *check = (PoolCheck){.kept = count->outside == 0,
                         .size = clamp64(count->size),
                         .cost = clamp64(count->cost),
                         .card_fit = clamp64(count->fit)};
    const Tally tally = tally_of(count, &held, check);
    check->use = mem_new(limits, sizeof *check->use);
    for (size_t l = 0; l < limits; l++) {
        const Limit *limit = &in->limit[l];
        if (!limit_asks(limit))
            continue;
        LimitUse *use = &check->use[check->uses++];
        *use = limit_waits(limit->kind) ? (LimitUse){.limit = limit} : limit_use(&tally, limit);
        protect(in, count->copies, use);
    }
    structure_check(&tally, check);
    check_watches(&tally, check);
    for (size_t u = 0; u < check->uses; u++) {
        check->kept = check->kept && limit_use_kept(&check->use[u]);
        check->penalty += check->use[u].penalty;
    }
    check->fit = check->card_fit + check->bonus - check->penalty;
}

void pool_count_check(const PoolCount *count, PoolCheck *check)
{
    check_limits(count, count->rules, check);
}

void pool_check(const Instance *instance, const int *copies, PoolCheck *check)
{
    PoolCount *count = pool_count_new(instance, copies);
    check_limits(count, instance->limits, check);
    pool_count_free(count);
}

void pool_check_release(PoolCheck *check)
{
    mem_free(check->use);
    mem_free(check->form);
    mem_free(check->chosen);
    mem_free(check->place);
    mem_free(check->watch);
    *check = (PoolCheck){0};
}

const bool *pool_unchosen(const Instance *instance, const int *copies, Arena *arena)
{
    PoolCheck check;
    if (instance->model->structure->chooses == 0)
        return NULL;
    bool *unchosen = arena_alloc(arena, instance->model->themes, sizeof *unchosen);
    pool_check(instance, copies, &check);
    for (size_t t = 0; t < instance->model->themes; t++)
        unchosen[t] = !check.chosen[t];
    pool_check_release(&check);
    return unchosen;
}

int64_t pool_fit(const Instance *instance, const int *copies)
{
    PoolCheck check;
    pool_check(instance, copies, &check);
    const int64_t fit = check.fit;
    pool_check_release(&check);
    return fit;
}

size_t pool_broken_limits(const PoolCheck *check)
{
    size_t broken = 0;
    for (size_t u = 0; u < check->uses; u++)
        broken += !limit_is_status(check->use[u].limit) && !limit_use_kept(&check->use[u]);
    return broken;
}

bool limit_use_kept(const LimitUse *use)
{
    return use->low_kept && use->high_kept;
}

bool limit_use_tight(const LimitUse *use)
{
    return use->limit->kind != LIMIT_SIZE && !limit_is_exact(use->limit) && (use->low_tight || use->high_tight);
}

int64_t limit_use_slack(const LimitUse *use)
{
    return use->low_slack < use->high_slack ? use->low_slack : use->high_slack;
}
