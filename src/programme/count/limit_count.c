/* limit_count.c - what each limit comes to in a pool: the checker's own reading of limit.h. Every comparison is made on
 * whole numbers by cross-multiplication. */
#include "programme/count/limit_count.h"

#include "base/number.h"
#include "programme/count/structure_check.h"

#define THOUSAND 1000

/* ---- how a total stands to its bounds ---- */

static void judge_absolute(LimitUse *use)
{
    use->low_slack = use->bounds.has_low ? clamp64((int128)use->total - use->bounds.low) : INT64_MAX;
    use->high_slack = use->bounds.has_high ? clamp64((int128)use->bounds.high - use->total) : INT64_MAX;
    use->low_kept = use->low_slack >= 0;
    use->high_kept = use->high_slack >= 0;
}

/* total / base against p: in units of the measure, how far the total may move while the base stays. */
static void judge_percent(LimitUse *use)
{
    const Bounds *bounds = &use->bounds;
    int128 whole = (int128)use->total * PERCENT_ONE;
    int128 off = bounds->exactly && measure_is_whole(use->limit->measure) ? PERCENT_ONE - 1 : 0;
    int128 above = whole - (int128)bounds->low * use->base + off;
    int128 below = (int128)bounds->high * use->base - whole + off;
    use->low_kept = !bounds->has_low || above >= 0;
    use->high_kept = !bounds->has_high || below >= 0;
    use->low_slack = bounds->has_low ? clamp64(floor_div(above, PERCENT_ONE)) : INT64_MAX;
    use->high_slack = bounds->has_high ? clamp64(floor_div(below, PERCENT_ONE)) : INT64_MAX;
}

static void judge_average(LimitUse *use)
{
    const Bounds *bounds = &use->bounds;
    int128 above = use->total - (int128)bounds->low * use->base;
    int128 below = (int128)bounds->high * use->base - use->total;
    use->low_kept = !bounds->has_low || above >= 0;
    use->high_kept = !bounds->has_high || below >= 0;
    use->low_slack = bounds->has_low ? clamp64(above) : INT64_MAX;
    use->high_slack = bounds->has_high ? clamp64(below) : INT64_MAX;
}

static void judge_soft(LimitUse *use)
{
    int64_t unit = measure_unit(use->limit->measure);
    int64_t missed = 0;
    if (use->low_slack < 0)
        missed += (int64_t)ceil_div(-(int128)use->low_slack, unit);
    if (use->high_slack < 0)
        missed += (int64_t)ceil_div(-(int128)use->high_slack, unit);
    use->missed = missed;
    use->penalty = clamp64((int128)missed * use->limit->member->rule->soft);
    use->low_kept = use->high_kept = true;
}

/* Enablers against thousandths of payoffs: how many enablers less, or more, the band allows. */
static void judge_ratio(LimitUse *use)
{
    const Bounds *bounds = &use->bounds;
    const int128 whole = (int128)use->total * THOUSAND;
    use->low_slack =
        bounds->has_low ? clamp64(floor_div(whole - (int128)bounds->low * use->base, THOUSAND)) : INT64_MAX;
    use->high_slack =
        bounds->has_high ? clamp64(floor_div((int128)bounds->high * use->base - whole, THOUSAND)) : INT64_MAX;
    use->low_kept = use->low_slack >= 0;
    use->high_kept = use->high_slack >= 0;
}

/* Can what is measured not be below 0? */
static bool is_never_negative(Measure measure)
{
    return measure_is_whole(measure) || measure == MEASURE_SPEND || measure == MEASURE_PRICE || measure == MEASURE_COST;
}

/* At least 0 cards: nothing could be less. */
static bool asks_for_none(const LimitUse *use)
{
    return use->bounds.low == 0 && is_never_negative(use->limit->measure);
}

bool limit_use_asks_for_none(const LimitUse *use)
{
    return use->bounds.has_low && !use->bounds.has_high && asks_for_none(use);
}

/* A share or an average of nothing holds, and does not stand at its bound. */
static bool is_of_nothing(const LimitUse *use)
{
    return (use->bounds.kind == BOUND_PERCENT || use->bounds.kind == BOUND_AVERAGE) && use->base == 0;
}

static void judge(LimitUse *use)
{
    switch (use->bounds.kind) {
    case BOUND_ABSOLUTE: judge_absolute(use); break;
    case BOUND_PERCENT: judge_percent(use); break;
    case BOUND_AVERAGE: judge_average(use); break;
    case BOUND_RATIO: judge_ratio(use); break;
    }
    if (use->limit->soft)
        judge_soft(use);
    use->low_tight = use->bounds.has_low && use->low_slack == 0 && !asks_for_none(use) && !is_of_nothing(use);
    use->high_tight = use->bounds.has_high && use->high_slack == 0 && !is_of_nothing(use);
    if (use->bounds.has_low && use->bounds.has_high && asks_for_none(use))
        use->low_slack = INT64_MAX; /* the other side is what is left of */
}

/* ---- totals ---- */

static void count_size(const Tally *tally, LimitUse *use)
{
    use->total = tally->size;
}

static void count_cap(const Tally *tally, LimitUse *use)
{
    use->total = tally->cost;
}

static void count_rule(const Tally *tally, LimitUse *use)
{
    const MemberSum *sum = &tally->sum[use->limit->member - tally->instance->member];
    use->total = clamp64(sum->total);
    use->base = clamp64(sum->base);
}

static void list_place(PoolCheck *check, size_t card, const Limit *limit, int theme, int copies)
{
    if (copies > 0)
        check->place[check->places++] = (PlaceUse){card, limit, theme, copies};
}

static void count_places(const Tally *tally, LimitUse *use)
{
    const Instance *in = tally->instance;
    const Held *held = tally->held;
    const Limit *limit = use->limit;
    PoolCheck *check = tally->check;
    int *filled = mem_new(held->cards * limit->of_themes, sizeof *filled);
    use->bounds.low = 0;
    for (size_t k = 0; k < limit->of_themes; k++)
        use->bounds.low += check->chosen[limit->of_theme[k]] ? limit->count[k] : 0;
    use->total = places_fill(in, limit, held, check->chosen, filled);
    for (size_t i = 0; i < held->cards; i++) {
        const size_t c = held->card[i];
        if (in->place_limit[c] < 0 || &in->limit[in->place_limit[c]] != limit)
            continue;
        int open = held->copies[c];
        use->base += open;
        for (size_t k = 0; k < limit->of_themes; k++) {
            list_place(check, c, limit, limit->of_theme[k], filled[i * limit->of_themes + k]);
            open -= filled[i * limit->of_themes + k];
        }
        list_place(check, c, limit, -1, open);
    }
    mem_free(filled);
}

/* The number of mono copies is the other side of places. */
static void judge_all(LimitUse *use)
{
    const int64_t above = use->base - use->limit->all_low, below = use->limit->all_high - use->base;
    use->high_slack = above < below ? above : below;
    use->high_kept = use->high_slack >= 0;
}

static void count_ratio(const Tally *tally, LimitUse *use)
{
    structure_roles(tally->instance, tally->held, use->limit->theme, &use->total, &use->base);
}

static int64_t cards_in(const Tally *tally, const Limit *limit)
{
    int64_t count = 0;
    for (size_t k = 0; k < limit->amongs; k++)
        count += tally->held->copies[limit->among[k]] > 0;
    return count;
}

static void count_needs(const Tally *tally, LimitUse *use)
{
    use->total = cards_in(tally, use->limit);
    use->base = use->limit->card >= 0 && tally->held->copies[use->limit->card] > 0;
    use->idle = use->base == 0;
}

static void count_group(const Tally *tally, LimitUse *use)
{
    use->total = cards_in(tally, use->limit);
    use->base = (int64_t)use->limit->amongs;
}

static void count_apart(const Tally *tally, LimitUse *use)
{
    for (size_t k = 0; k < use->limit->amongs; k++)
        use->total += tally->held->copies[use->limit->among[k]];
    use->base = (int64_t)use->limit->amongs;
}

static void count_choice(const Tally *tally, LimitUse *use)
{
    for (size_t k = 0; k < use->limit->of_themes; k++)
        use->total += tally->check->chosen[use->limit->of_theme[k]];
}

/* A keep or ban may have been set aside: least and most say what is asked now. */
static void count_keep(const Tally *tally, LimitUse *use)
{
    use->total = tally->held->copies[use->limit->card];
    use->bounds.low = tally->instance->least[use->limit->card];
}

static void count_ban(const Tally *tally, LimitUse *use)
{
    use->total = tally->held->copies[use->limit->card];
    use->bounds.high = tally->instance->most[use->limit->card];
}

bool limit_waits(LimitKind kind)
{
    switch (kind) {
    case LIMIT_PLACES:
    case LIMIT_CHOICE: return true;
    case LIMIT_SIZE:
    case LIMIT_CAP:
    case LIMIT_RULE:
    case LIMIT_RATIO:
    case LIMIT_NEEDS:
    case LIMIT_APART:
    case LIMIT_GROUP:
    case LIMIT_KEEP:
    case LIMIT_BAN:
    case LIMIT_KINDS: break;
    }
    return false;
}

LimitUse limit_use(const Tally *tally, const Limit *limit)
{
#define LIMIT_COUNT(constant, function, word) [constant] = count_##function,
    static void (*const counter[LIMIT_KINDS])(const Tally *, LimitUse *) = {LIMIT_KIND_TABLE(LIMIT_COUNT)};
#undef LIMIT_COUNT
    LimitUse use = {.limit = limit, .bounds = limit->bounds};
    counter[limit->kind](tally, &use);
    judge(&use);
    if (limit->has_all)
        judge_all(&use);
    if (use.idle) {
        use.low_kept = use.high_kept = true;
        use.low_tight = use.high_tight = false;
    }
    return use;
}

LimitUse limit_use_of_sum(const Limit *limit, LimitSum sum)
{
    LimitUse use = {.limit = limit, .bounds = limit->bounds, .total = sum.total, .base = sum.base};
    judge(&use);
    return use;
}
