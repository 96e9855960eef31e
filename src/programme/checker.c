/* checker.c - the independent count. Every total is summed card by card from the instance, every comparison is made on
 * whole numbers by cross-multiplication, nothing is taken from rows or columns. */
#include "programme/checker.h"

#include <string.h>

#include "base/number.h"
#include "programme/risk.h"
#include "programme/structure_check.h"

#define PERCENT_ONE INT64_C(100000)

static int64_t clamp64(int128 value)
{
    if (value > INT64_MAX - 1)
        return INT64_MAX - 1;
    return value < INT64_MIN + 1 ? INT64_MIN + 1 : (int64_t)value;
}

static int64_t measured(const Instance *in, const RuleMember *member, size_t c, int copies, bool of_side, bool *blank)
{
    int64_t value;
    *blank = of_side ? !member_value_of(in, member, c, &value) : !member_value(in, member, c, &value);
    if (member->rule->measure == MEASURE_SPEND)
        return instance_spend(in, c, copies);
    return *blank ? 0 : value * copies;
}

/* What a member counts, and what it is a percentage or an average of. */
typedef struct {
    int128 total, base;
} MemberSum;

struct PoolCount {
    const Instance *instance;
    int *copies;  /* [cards] */
    size_t *card; /* [cards] those with a copy, ascending */
    size_t cards;
    int128 size, cost, fit;
    size_t outside; /* cards with more or fewer copies than they may have */
    MemberSum *sum; /* [members] */
};

/* Adds (sign 1) or takes away (-1) what this many copies of the card come to. */
static void count_card(PoolCount *count, size_t c, int copies, int sign)
{
    const Instance *in = count->instance;
    count->size += sign * copies;
    count->fit += (int128)in->fit[c] * copies * sign;
    count->cost += instance_spend(in, c, copies) * sign;
    for (size_t m = 0; m < in->members; m++) {
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

static void judge_absolute(RuleUse *use)
{
    use->low_slack = use->bounds.has_low ? clamp64((int128)use->total - use->bounds.low) : INT64_MAX;
    use->high_slack = use->bounds.has_high
                          ? clamp64((int128)use->bounds.high - (use->is_protected ? use->protected_total : use->total))
                          : INT64_MAX;
    use->low_kept = use->low_slack >= 0;
    use->high_kept = use->high_slack >= 0;
}

/* total / base against p: in units of the measure, how far the total may move while the base stays. */
static void judge_percent(RuleUse *use)
{
    const Bounds *bounds = &use->bounds;
    int128 whole = (int128)use->total * PERCENT_ONE;
    int128 off = bounds->exactly && use->measure == MEASURE_COUNT ? PERCENT_ONE - 1 : 0;
    int128 above = whole - (int128)bounds->low * use->base + off;
    int128 below = (int128)bounds->high * use->base - whole + off;
    use->low_kept = !bounds->has_low || above >= 0;
    use->high_kept = !bounds->has_high || below >= 0;
    use->low_slack = bounds->has_low ? clamp64(floor_div(above, PERCENT_ONE)) : INT64_MAX;
    use->high_slack = bounds->has_high ? clamp64(floor_div(below, PERCENT_ONE)) : INT64_MAX;
}

static void judge_average(RuleUse *use)
{
    const Bounds *bounds = &use->bounds;
    int128 above = use->total - (int128)bounds->low * use->base;
    int128 below = (int128)bounds->high * use->base - use->total;
    use->low_kept = !bounds->has_low || above >= 0;
    use->high_kept = !bounds->has_high || below >= 0;
    use->low_slack = bounds->has_low ? clamp64(above) : INT64_MAX;
    use->high_slack = bounds->has_high ? clamp64(below) : INT64_MAX;
}

static void judge_soft(RuleUse *use)
{
    int64_t unit = measure_unit(use->measure);
    int64_t missed = 0;
    if (use->low_slack < 0)
        missed += (int64_t)ceil_div(-(int128)use->low_slack, unit);
    if (use->high_slack < 0)
        missed += (int64_t)ceil_div(-(int128)use->high_slack, unit);
    use->missed = missed;
    use->penalty = clamp64((int128)missed * use->member->rule->soft);
    use->low_kept = use->high_kept = true;
}

static void judge(RuleUse *use)
{
    switch (use->bounds.kind) {
    case BOUND_ABSOLUTE: judge_absolute(use); break;
    case BOUND_PERCENT: judge_percent(use); break;
    case BOUND_AVERAGE: judge_average(use); break;
    }
    if (use->kind == USE_MEMBER && use->member->rule->is_soft)
        judge_soft(use);
    use->low_tight = use->bounds.has_low && use->low_slack == 0;
    use->high_tight = use->bounds.has_high && use->high_slack == 0;
}

static void protect(const Instance *in, const int *copies, RuleUse *use)
{
    const RuleMember *member = use->kind == USE_CAP ? NULL : use->member;
    if (use->kind == USE_SIZE || !risk_protects(in, member))
        return;
    RiskCount count;
    risk_count(in, member, copies, &count);
    use->is_protected = true;
    use->protected_total = count.protected;
}

PoolCount *pool_count_new(const Instance *instance, const int *copies)
{
    const size_t cards = instance->cards->count;
    PoolCount *count = mem_new(1, sizeof *count);
    *count = (PoolCount){.instance = instance,
                         .copies = mem_new(cards, sizeof *count->copies),
                         .card = mem_new(cards, sizeof *count->card),
                         .sum = mem_new(instance->members, sizeof *count->sum)};
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

static RuleUse size_use(const PoolCount *count)
{
    const Model *model = count->instance->model;
    return (RuleUse){
        .kind = USE_SIZE,
        .measure = MEASURE_COUNT,
        .total = clamp64(count->size),
        .bounds = {.has_low = true,
                   .has_high = true,
                   .low = model->size_from,
                   .high = model->size_to,
                   .exactly = model->size_from == model->size_to,
                   .at = model->size_at},
    };
}

static RuleUse cap_use(const PoolCount *count)
{
    const Model *model = count->instance->model;
    return (RuleUse){
        .kind = USE_CAP,
        .measure = MEASURE_SPEND,
        .total = clamp64(count->cost),
        .bounds = {.has_high = true, .high = model->cap, .at = model->cap_at},
    };
}

static RuleUse member_use(const PoolCount *count, size_t m)
{
    const RuleMember *member = &count->instance->member[m];
    return (RuleUse){.kind = USE_MEMBER,
                     .member = member,
                     .bounds = member->bounds,
                     .measure = member->rule->measure,
                     .total = clamp64(count->sum[m].total),
                     .base = clamp64(count->sum[m].base)};
}

static bool breaks(RuleUse use)
{
    judge(&use);
    return !use.low_kept || !use.high_kept;
}

bool pool_count_breaks(const PoolCount *count)
{
    const Instance *in = count->instance;
    if (count->outside > 0 || breaks(size_use(count)) || (in->model->has_cap && breaks(cap_use(count))))
        return true;
    for (size_t m = 0; m < in->members; m++) {
        const int theme = in->member[m].theme;
        if ((theme < 0 || !in->choosable[theme]) && breaks(member_use(count, m)))
            return true;
    }
    return false;
}

void pool_count_check(const PoolCount *count, PoolCheck *check)
{
    const Instance *in = count->instance;
    *check = (PoolCheck){.kept = count->outside == 0,
                         .size = clamp64(count->size),
                         .cost = clamp64(count->cost),
                         .card_fit = clamp64(count->fit)};
    check->use = mem_new(in->members + 2, sizeof *check->use);
    check->use[check->uses++] = size_use(count);
    if (in->model->has_cap)
        check->use[check->uses++] = cap_use(count);
    for (size_t m = 0; m < in->members; m++)
        check->use[check->uses++] = member_use(count, m);
    for (size_t u = 0; u < check->uses; u++) {
        protect(in, count->copies, &check->use[u]);
        judge(&check->use[u]);
    }
    const Held held = {count->copies, count->card, count->cards};
    structure_check(in, &held, check);
    for (size_t u = 0; u < check->uses; u++) {
        check->kept = check->kept && check->use[u].low_kept && check->use[u].high_kept;
        check->penalty += check->use[u].penalty;
    }
    check->fit = check->card_fit + check->bonus - check->penalty;
}

void pool_check(const Instance *instance, const int *copies, PoolCheck *check)
{
    PoolCount *count = pool_count_new(instance, copies);
    pool_count_check(count, check);
    pool_count_free(count);
}

void pool_check_release(PoolCheck *check)
{
    mem_free(check->use);
    mem_free(check->form);
    mem_free(check->chosen);
    mem_free(check->place);
    *check = (PoolCheck){0};
}

SourcePos rule_use_at(const RuleUse *use)
{
    if (use->bounds.at.line > 0 || use->kind != USE_MEMBER)
        return use->bounds.at;
    return use->member->rule->at;
}

const char *rule_use_name(const RuleUse *use, Arena *arena)
{
    if (use->kind == USE_SIZE)
        return "size";
    if (use->kind == USE_CAP)
        return "spending cap";
    if (use->member->of[0] == '\0')
        return use->member->rule->name;
    return arena_printf(arena, "%s (%s)", use->member->rule->name, use->member->of);
}
