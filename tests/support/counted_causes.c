/* counted_causes.c - what is said where no pool fits: conflicts, the least repair, causes, against counting every pool:
 * see counted.h. */
#include <stdlib.h>

#include "explain/conflict/repair.h"
#include "support/counted.h"

#define SAY(counted, text, got, expected)                                                                              \
    fail_msg("%s: %s: %lld, by counting every pool %lld", (counted)->what, text, (long long)(got),                     \
             (long long)(expected))

/* One card, 1.00 of money and 1 of a column alike, doubled for each priority before the last. */
static int64_t unit_weight(const Side *side)
{
    if (side->row < 0)
        return -1;
    switch (side->limit->kind) {
    case LIMIT_RULE: return (1000 / measure_unit(side->limit->measure)) << (9 - side->limit->priority);
    case LIMIT_CAP: return 10 << 4;
    case LIMIT_KEEP:
    case LIMIT_BAN: return 1000 << 8;
    case LIMIT_SIZE: return 1000 << 9;
    default: return 1000 << 4;
    }
}

static void judge_repair(Counted *s, long *statements)
{
    const SideProblem *sides = s->explain->sides;
    int64_t least = INT64_MAX, best = 0;
    for (size_t k = 0; k < s->pools; k++) {
        int64_t weight = 0;
        for (int i = 0; i < sides->sides && weight >= 0; i++) {
            const int64_t unit = unit_weight(&sides->side[i]), over = s->pool[k].over[i];
            weight = over > 0 && unit < 0 ? -1 : weight + over * unit;
        }
        if (weight >= 0 && (weight < least || (weight == least && s->pool[k].fit > best))) {
            least = weight;
            best = s->pool[k].fit;
        }
    }
    Repair repair;
    repair_find(s->explain->oracle, &repair);
    if (repair.found && (repair.weight < least || (repair.least && repair.weight != least) || repair.at_least > least))
        SAY(s, "least total loosening", repair.weight, least);
    if (repair.found && repair.weight == least &&
        (repair.best.low > best || (repair.best.status == PROBE_SOLVED && repair.best.low != best)))
        SAY(s, "fit under the least loosening", repair.best.low, best);
    if (counted_unlimited(s) && least != INT64_MAX && !(repair.found && repair.least))
        SAY(s, "no least repair proven", repair.found, least);
    *statements += repair.found && repair.least;
    repair_release(&repair);
}

/* Is there a pool that keeps all hard sides that are not aside? */
static bool any_pool_without(const Counted *s, const bool *aside)
{
    for (size_t k = 0; k < s->pools; k++) {
        bool kept = true;
        for (int i = 0; i < s->explain->sides->sides && kept; i++)
            kept = aside[i] || !s->explain->sides->side[i].hard || s->pool[k].over[i] == 0;
        if (kept)
            return true;
    }
    return false;
}

/* Own: the model's sides are in force beside those named; with: only these are. Price risk: all, of which some are
 * named. Sums and what the sheets lack: those named alone; what the sheets lack, each by itself, in a pool of the size.
 */
static void judge_cause(Counted *s, const Cause *cause, const bool *before, long *statements)
{
    const int n = s->explain->sides->sides;
    bool *aside = mem_new((size_t)n + 1, sizeof *aside);
    const bool all = cause->kind == CAUSE_OWN || cause->kind == CAUSE_CAP || cause->kind == CAUSE_RISK,
               each = !all && cause->kind != CAUSE_SUM;
    for (int k = 0; k < (each ? cause->sides : 1); k++) {
        for (int i = 0; i < n; i++)
            aside[i] = all ? before[i] : !(each && s->explain->sides->side[i].limit->kind == LIMIT_SIZE);
        for (int i = 0; i < cause->sides; i++)
            aside[cause->side[i]] = each && i != k;
        if (any_pool_without(s, aside))
            SAY(s, "a cause is none", cause->kind, k);
        ++*statements;
    }
    for (int i = 0; i < n; i++)
        aside[i] = true;
    for (int i = 0; i < cause->sides; i++)
        aside[cause->side[i]] = false;
    for (int i = 0; i < cause->withs; i++)
        aside[cause->with[i]] = false;
    if (cause->withs > 0 && any_pool_without(s, aside))
        SAY(s, "own wishes go with these limits", cause->sides, cause->withs);
    mem_free(aside);
}

/* Copies that the limit of the odd side counts, over pools that keep the others: the nearest to what it asks for. */
static void judge_sum(Counted *s, const Cause *cause)
{
    const Side *odd = &s->explain->sides->side[cause->against];
    const int64_t limit = odd->low ? odd->limit->bounds.low : odd->limit->bounds.high;
    int64_t nearest = INT64_MAX;
    for (size_t k = 0; k < s->pools; k++) {
        bool kept = true;
        for (int i = 0; i < cause->sides && kept; i++)
            kept = cause->side[i] == cause->against || s->pool[k].over[cause->side[i]] == 0;
        if (kept && s->pool[k].over[cause->against] < nearest)
            nearest = s->pool[k].over[cause->against];
    }
    const int64_t said = odd->low ? limit - cause->amount : cause->amount - limit;
    if (nearest != INT64_MAX && said != nearest)
        SAY(s, "what limits come to together", said, nearest);
}

static void judge_causes(Counted *s, long *statements)
{
    const int n = s->explain->sides->sides;
    bool *aside = mem_new((size_t)n + 1, sizeof *aside);
    Causes causes;
    causes_find(s->explain, &causes);
    for (size_t k = 0; k < causes.causes; k++) {
        const Cause *cause = &causes.cause[k];
        judge_cause(s, cause, aside, statements);
        if (cause->kind == CAUSE_SUM)
            judge_sum(s, cause);
        for (int i = 0; i < cause->sides; i++)
            if (cause->sides == 1 || s->explain->sides->side[cause->side[i]].limit->kind != LIMIT_SIZE)
                aside[cause->side[i]] = true;
        if (cause->rest != REST_UNKNOWN && cause->kind != CAUSE_RISK &&
            any_pool_without(s, aside) != (cause->rest == REST_POSSIBLE))
            SAY(s, "what is left without the causes", (int64_t)k, cause->rest);
        *statements += cause->rest != REST_UNKNOWN;
    }
    causes_release(&causes);
    mem_free(aside);
}

void counted_judge_nothing_fits(Counted *s, long *statements)
{
    Conflict conflict;
    conflict_find(s->explain->oracle, &conflict);
    counted_judge_conflict(s, &conflict, 0, ANY, statements);
    conflict_release(&conflict);
    judge_repair(s, statements);
    judge_causes(s, statements);
}
