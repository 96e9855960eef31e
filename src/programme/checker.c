/* checker.c - the independent count. Every total is summed card by card from the instance, every comparison is made on
 * whole numbers by cross-multiplication, nothing is taken from rows or columns. */
#include "programme/checker.h"

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

static void count_member(const Instance *in, const int *copies, RuleUse *use)
{
    const RuleMember *member = use->member;
    int128 total = 0, base = 0;
    for (size_t c = 0; c < in->cards->count; c++) {
        if (copies[c] <= 0)
            continue;
        bool blank;
        int64_t value = measured(in, member, c, copies[c], false, &blank);
        if (member_counts(in, member, c)) {
            total += value;
            if (use->bounds.kind == BOUND_AVERAGE && !blank)
                base += copies[c];
        }
        if (use->bounds.kind == BOUND_PERCENT && member_counts_of(in, member, c))
            base += measured(in, member, c, copies[c], true, &blank);
    }
    use->total = clamp64(total);
    use->base = clamp64(base);
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

static void sum_pool(const Instance *in, const int *copies, PoolCheck *check)
{
    int128 fit = 0, cost = 0, size = 0;
    for (size_t c = 0; c < in->cards->count; c++) {
        if (copies[c] < in->least[c] || copies[c] > in->most[c])
            check->kept = false;
        if (copies[c] <= 0)
            continue;
        size += copies[c];
        fit += (int128)in->fit[c] * copies[c];
        cost += instance_spend(in, c, copies[c]);
    }
    check->size = clamp64(size);
    check->cost = clamp64(cost);
    check->card_fit = clamp64(fit);
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

void pool_check(const Instance *instance, const int *copies, PoolCheck *check)
{
    *check = (PoolCheck){.kept = true};
    sum_pool(instance, copies, check);
    check->use = mem_new(instance->members + 2, sizeof *check->use);
    const Model *model = instance->model;
    RuleUse *use = check->use;
    *use++ = (RuleUse){
        .kind = USE_SIZE,
        .measure = MEASURE_COUNT,
        .total = check->size,
        .bounds = {.has_low = true,
                   .has_high = true,
                   .low = model->size_from,
                   .high = model->size_to,
                   .exactly = model->size_from == model->size_to,
                   .at = model->size_at},
    };
    if (model->has_cap)
        *use++ = (RuleUse){
            .kind = USE_CAP,
            .measure = MEASURE_SPEND,
            .total = check->cost,
            .bounds = {.has_high = true, .high = model->cap, .at = model->cap_at},
        };
    for (size_t m = 0; m < instance->members; m++) {
        const RuleMember *member = &instance->member[m];
        *use =
            (RuleUse){.kind = USE_MEMBER, .member = member, .bounds = member->bounds, .measure = member->rule->measure};
        count_member(instance, copies, use++);
    }
    check->uses = (size_t)(use - check->use);
    for (size_t u = 0; u < check->uses; u++)
        protect(instance, copies, &check->use[u]);
    for (size_t u = 0; u < check->uses; u++)
        judge(&check->use[u]);
    structure_check(instance, copies, check);
    for (size_t u = 0; u < check->uses; u++) {
        check->kept = check->kept && check->use[u].low_kept && check->use[u].high_kept;
        check->penalty += check->use[u].penalty;
    }
    check->fit = check->card_fit + check->bonus - check->penalty;
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
