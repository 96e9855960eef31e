/* risk.c - the worst case of given copies, counted exactly, and the chance that it is not enough. */
#include "programme/count/risk.h"

#include <math.h>

#include "base/number.h"
#include "base/sort.h"

#define ONE INT64_C(1000)

bool risk_protects(const Instance *instance, const RuleMember *member)
{
    const Model *model = instance->model;
    if (!model->has_risk)
        return false;
    if (member == NULL)
        return model->has_cap;
    const Bounds *bounds = &member->bounds;
    return member->rule->measure == MEASURE_SPEND && bounds->kind == BOUND_ABSOLUTE && bounds->has_high &&
           !bounds->exactly && !member->rule->is_soft;
}

bool risk_counts(const Instance *instance, const RuleMember *member, size_t card)
{
    return member == NULL || member_counts(instance, member, card);
}

int64_t risk_rise(const Instance *instance, size_t card)
{
    return instance->high[card] > instance->price[card] && !instance->unpriced[card]
               ? instance->high[card] - instance->price[card]
               : 0;
}

static int compare_down(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x < y) - (x > y);
}

/* rise[risky], greatest first. */
static int64_t held(int64_t spare, const int64_t *rise, size_t risky)
{
    for (size_t k = 0; k < risky; k++) {
        if (spare < rise[k])
            return spare <= 0 ? (int64_t)k * ONE : (int64_t)k * ONE + (int64_t)floor_div((int128)spare * ONE, rise[k]);
        spare -= rise[k];
    }
    return (int64_t)risky * ONE;
}

void risk_count(const Instance *instance, const RuleMember *member, const int *copies, RiskCount *count)
{
    *count = (RiskCount){0};
    int64_t *rise = mem_new(instance->cards->count, sizeof *rise);
    int128 highest = 0, worst = 0; /* worst: thousandths of a cent */
    for (size_t c = 0; c < instance->cards->count; c++) {
        int64_t bought = copies[c] - instance->cards->card[c].owned;
        if (copies[c] <= 0 || !risk_counts(instance, member, c))
            continue;
        count->typical += instance_spend(instance, c, copies[c]);
        if (bought <= 0 || risk_rise(instance, c) == 0)
            continue;
        rise[count->risky++] = bought * risk_rise(instance, c);
        highest += bought * risk_rise(instance, c);
    }
    sort_stable(rise, count->risky, sizeof *rise, compare_down);
    if (member != NULL || instance->model->has_cap)
        count->held = held((member != NULL ? member->bounds.high : instance_cap_left(instance)) - count->typical, rise,
                           count->risky);
    int64_t left = instance->model->has_risk ? instance->model->protect : 0;
    for (size_t k = 0; k < count->risky && left > 0; k++) {
        int64_t share = left < ONE ? left : ONE;
        worst += (int128)share * rise[k];
        left -= share;
    }
    count->highest = (int64_t)(count->typical + highest);
    count->protected = (int64_t)(count->typical + ceil_div(worst, ONE));
    mem_free(rise);
}

typedef struct {
    double rise;
    size_t card;
} Riser;

static int compare_risers(const void *a, const void *b)
{
    const Riser *x = a, *y = b;
    if (x->rise != y->rise)
        return x->rise > y->rise ? -1 : 1;
    return (x->card > y->card) - (x->card < y->card);
}

double risk_worst(const Instance *instance, const RuleMember *member, const double *bought, int *share)
{
    Riser *riser = mem_new(instance->cards->count, sizeof *riser);
    size_t risers = 0;
    double sum = 0;
    for (size_t c = 0; c < instance->cards->count; c++) {
        share[c] = 0;
        if (bought[c] > 0 && risk_rise(instance, c) > 0 && risk_counts(instance, member, c))
            riser[risers++] = (Riser){bought[c] * (double)risk_rise(instance, c), c};
    }
    sort_stable(riser, risers, sizeof *riser, compare_risers);
    int64_t left = instance->model->protect;
    for (size_t k = 0; k < risers && left > 0; k++) {
        share[riser[k].card] = (int)(left < ONE ? left : ONE);
        sum += riser[k].rise * share[riser[k].card];
        left -= share[riser[k].card];
    }
    mem_free(riser);
    return sum;
}

/* Terms C(n, k) / 2^n from k = n downwards, each from the last by a factor, summed smallest first: all are positive, so
 * little is lost. The powers of two are kept apart, since 2^-n is below what a long double holds for n above 16,000. */
long double risk_bound(size_t n, int64_t gamma)
{
    if (gamma > (int64_t)n * ONE)
        return 0;
    int64_t twice = gamma + (int64_t)n * ONE; /* 2 v, thousandths */
    int64_t floor_v = twice / (2 * ONE);
    long double m = (long double)(twice - floor_v * 2 * ONE) / (2 * ONE);
    long double term = 1, sum = 0; /* times 2^-exponent */
    long exponent = (long)n;
    for (int64_t k = (int64_t)n; k > floor_v; k--) {
        sum += term;
        term = term * (long double)k / (long double)((int64_t)n - k + 1);
        while (term > 0x1p+1000L) {
            term *= 0x1p-1000L;
            sum *= 0x1p-1000L;
            exponent -= 1000;
        }
    }
    sum += (1 - m) * term;
    return ldexpl(sum, (int)-exponent);
}

int64_t risk_gamma(size_t n, long double chance)
{
    int64_t low = 0, high = (int64_t)n * ONE;
    while (low < high) {
        int64_t middle = low + (high - low) / 2;
        if (risk_bound(n, middle) <= chance)
            high = middle;
        else
            low = middle + 1;
    }
    return high;
}
