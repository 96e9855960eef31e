/* causes.c - see causes.h. Each stage sets aside what the stages before it named, so that a second cause is found
 * beside the first; a stage's own statement is a proof of the search: no solution with these sides in force. */
#include "explain/conflict/causes.h"

#include <string.h>

#include "base/number.h"

#define MONEY_PROBE 150000 /* pivots for the least cap */
#define WITH_PROBE 20000   /* for each question about what own wishes do not go with */
#define WITH_MOST 4

typedef struct {
    Explain *e;
    Oracle *oracle;
    const SideProblem *sides;
    Causes *causes;
    bool *aside; /* [sides] */
} Seeker;

const char *cause_kind_name(CauseKind kind)
{
#define CAUSE_WORD(constant, word) word,
    static const char *const name[] = {CAUSE_TABLE(CAUSE_WORD)};
#undef CAUSE_WORD
    return name[kind];
}

Cause *cause_add(Causes *causes, CauseKind kind)
{
    causes->cause = mem_resize(causes->cause, causes->causes + 1, sizeof *causes->cause);
    Cause *cause = &causes->cause[causes->causes++];
    *cause = (Cause){.kind = kind, .against = -1};
    return cause;
}

void cause_add_side(Cause *cause, int side)
{
    cause->side = mem_resize(cause->side, (size_t)cause->sides + 1, sizeof *cause->side);
    cause->side[cause->sides++] = side;
}

/* ---- what is possible ---- */

static void apply(const Seeker *s, Oracle *oracle, const SideProblem *sides)
{
    for (int k = 0; k < sides->sides; k++) {
        bool aside = sides == s->sides && s->aside[k];
        for (int i = 0; sides != s->sides && i < s->sides->sides && !aside; i++) /* other prices: the same limits */
            aside = s->aside[i] && s->sides->side[i].limit == sides->side[k].limit &&
                    s->sides->side[i].low == sides->side[k].low;
        if (sides->side[k].hard)
            oracle_drop(oracle, k, aside);
    }
}

static CauseRest ask(Oracle *oracle)
{
    Probe probe;
    probe_any(oracle, &probe);
    const CauseRest rest = probe.x != NULL              ? REST_POSSIBLE
                           : probe.status == PROBE_NONE ? REST_IMPOSSIBLE
                                                        : REST_UNKNOWN;
    probe_release(&probe);
    return rest;
}

static CauseRest rest_now(const Seeker *s)
{
    apply(s, s->oracle, s->sides);
    return ask(s->oracle);
}

/* Least loosening of one side in the oracle's present state, in its units. */
static Range least_loosening(Oracle *oracle, const SideProblem *sides, int side, int64_t pivots)
{
    const int64_t weight = sides->side[side].weight;
    Range range = {0};
    Probe probe;
    if (weight <= 0)
        return range;
    const int64_t before = oracle_limit(oracle, pivots);
    oracle_loosen(oracle, side, repair_most(&sides->side[side]));
    probe_lightest(oracle, &probe);
    oracle_loosen(oracle, side, 0);
    oracle_limit(oracle, before);
    if (probe.x != NULL) {
        range.has_high = range.has_low = true;
        range.high = probe.x[loosening_column(sides, side)];
        range.low = probe.status == PROBE_SOLVED ? range.high : (int64_t)ceil_div(probe.low, weight);
    }
    probe_release(&probe);
    return range;
}

/* Sets aside all that the cause names, but not the size where it has others. */
static void set_aside(Seeker *s, const Cause *cause)
{
    for (int k = 0; k < cause->sides; k++) {
        const Limit *limit = s->sides->side[cause->side[k]].limit;
        if (cause->sides == 1 || limit->kind != LIMIT_SIZE)
            s->aside[cause->side[k]] = true;
    }
}

/* ---- the cap ---- */

static int find_cap(const Seeker *s)
{
    for (int k = 0; k < s->sides->sides; k++)
        if (s->sides->side[k].limit->kind == LIMIT_CAP && !s->aside[k])
            return k;
    return -1;
}

static void take_money(const Seeker *s, int cap, Cause *cause)
{
    const Model *model = s->e->instance->model;
    const Range more = least_loosening(s->oracle, s->sides, cap, MONEY_PROBE);
    cause->has_money = more.has_high;
    cause->money = more;
    cause->money.low = model_cap_stated(model, model->cap + more.low);
    cause->money.high = model_cap_stated(model, model->cap + more.high);
}

static CauseRest seek_cap(Seeker *s)
{
    const int cap = find_cap(s);
    if (cap < 0)
        return REST_IMPOSSIBLE;
    s->aside[cap] = true;
    const CauseRest rest = rest_now(s);
    s->aside[cap] = false;
    if (rest != REST_POSSIBLE)
        return rest;
    Cause *cause = cause_add(s->causes, CAUSE_CAP);
    cause_add_side(cause, cap);
    cause->rest = rest;
    apply(s, s->oracle, s->sides);
    take_money(s, cap, cause);
    s->aside[cap] = true;
    return rest;
}

static bool is_of_money(const Side *side)
{
    const Limit *limit = side->limit;
    if (!side->hard || side->low)
        return false;
    return limit->kind == LIMIT_CAP || (limit->kind == LIMIT_RULE && measure_unit(limit->measure) == 100);
}

/* The cap and every other upper limit on money: prices in cents, say, break all of them. Where the cap could stay if
 * the others went, they are not one cause. */
static CauseRest seek_money(Seeker *s)
{
    const int cap = find_cap(s);
    if (cap < 0)
        return REST_IMPOSSIBLE;
    int *side = mem_new((size_t)s->sides->sides + 1, sizeof *side), sides = 0;
    for (int k = 0; k < s->sides->sides; k++)
        if (is_of_money(&s->sides->side[k]) && !s->aside[k])
            side[sides++] = k;
    for (int k = 0; k < sides; k++)
        s->aside[side[k]] = side[k] != cap;
    const bool with_cap = sides > 1 && rest_now(s) != REST_IMPOSSIBLE;
    s->aside[cap] = true;
    const CauseRest rest = sides > 1 && !with_cap ? rest_now(s) : REST_IMPOSSIBLE;
    Cause *cause = rest == REST_POSSIBLE ? cause_add(s->causes, CAUSE_CAP) : NULL;
    for (int k = 0; k < sides; k++) {
        if (cause != NULL)
            cause_add_side(cause, side[k]);
        s->aside[side[k]] = cause != NULL;
    }
    if (cause != NULL)
        cause->rest = rest;
    mem_free(side);
    return rest;
}

/* ---- price risk ---- */

/* The same scenario at the prices given. */
static CauseRest rest_without_risk(const Seeker *s)
{
    Instance free_instance = *s->e->free_instance, instance = *s->e->instance;
    Model model = *instance.model;
    CauseRest rest = REST_UNKNOWN;
    Diags diags;
    diags_init(&diags);
    model.has_risk = false;
    free_instance.model = instance.model = &model;
    Programme *programme = programme_new(&free_instance, &diags);
    if (programme != NULL) {
        SideProblem *sides = side_problem_new(programme, &instance);
        Oracle *oracle = oracle_beside(s->oracle, sides);
        apply(s, oracle, sides);
        rest = ask(oracle);
        oracle_return(s->oracle, oracle);
        side_problem_free(sides);
    }
    programme_free(programme);
    diags_release(&diags);
    return rest;
}

static CauseRest seek_risk(Seeker *s)
{
    if (!programme_at_risk(s->e->programme) || rest_without_risk(s) != REST_POSSIBLE)
        return REST_IMPOSSIBLE;
    Cause *cause = cause_add(s->causes, CAUSE_RISK);
    const int cap = find_cap(s);
    cause->rest = REST_POSSIBLE;
    if (cap < 0)
        return REST_POSSIBLE;
    s->aside[cap] = true;
    const CauseRest rest = rest_now(s);
    s->aside[cap] = false;
    apply(s, s->oracle, s->sides);
    if (rest == REST_POSSIBLE) {
        cause_add_side(cause, cap);
        take_money(s, cap, cause);
    }
    return REST_POSSIBLE;
}

/* ---- keeps, bans, changes ---- */

/* Said by the scenario, its sheets or the command line, not by the model. */
static bool is_own(const Instance *in, const Side *side)
{
    const Scenario *scenario = in->scenario;
    const SourcePos at = side->limit->at;
    if (at.file == NULL || at.line == 0 || limit_is_status(side->limit))
        return true;
    for (size_t k = 0; k < scenario->models_count; k++)
        if (strcmp(scenario->models[k], at.file) == 0)
            return false;
    return strcmp(at.file, in->model->path) != 0;
}

static void take_sides(const Conflict *conflict, Cause *cause)
{
    for (int k = 0; k < conflict->sides; k++)
        cause_add_side(cause, conflict->side[k]);
}

/* The few limits of the model that the own ones stand against. */
static void find_with(const Seeker *s, bool *own, Cause *cause)
{
    bool *always = mem_new((size_t)s->sides->sides + 1, sizeof *always);
    Conflict conflict;
    for (int k = 0; k < s->sides->sides; k++)
        own[k] = !own[k] && !s->aside[k];
    for (int k = 0; k < cause->sides; k++)
        always[cause->side[k]] = true;
    const int64_t before = oracle_limit(s->oracle, WITH_PROBE);
    conflict_among(s->oracle, own, always, &conflict);
    oracle_limit(s->oracle, before);
    if (conflict_settled(&conflict) && conflict.sides <= WITH_MOST) {
        cause->with = conflict.side;
        cause->withs = conflict.sides;
        conflict.side = NULL;
    }
    conflict_release(&conflict);
    mem_free(always);
}

static CauseRest seek_own(Seeker *s)
{
    const size_t n = (size_t)s->sides->sides + 1;
    bool *own = mem_new(n, sizeof *own), *model = mem_new(n, sizeof *model);
    CauseRest rest = REST_IMPOSSIBLE;
    int count = 0;
    for (int k = 0; k < s->sides->sides; k++) {
        own[k] = is_own(s->e->instance, &s->sides->side[k]) && s->sides->side[k].hard && !s->aside[k];
        model[k] = s->sides->side[k].hard && !own[k] && !s->aside[k];
        count += own[k];
    }
    Conflict conflict = {0};
    if (count > 0)
        conflict_among(s->oracle, own, model, &conflict);
    if (conflict_settled(&conflict) && conflict.sides > 0) {
        Cause *cause = cause_add(s->causes, CAUSE_OWN);
        take_sides(&conflict, cause);
        find_with(s, own, cause);
        set_aside(s, cause);
        rest = cause->rest = rest_now(s);
    }
    conflict_release(&conflict);
    mem_free(own);
    mem_free(model);
    return rest;
}

/* ---- sums ---- */

static bool is_count(const Side *side)
{
    const Limit *limit = side->limit;
    if (!side->hard || side->row < 0)
        return false;
    return limit->kind == LIMIT_SIZE ||
           (limit->kind == LIMIT_RULE && limit->measure == MEASURE_COUNT && limit->bounds.kind == BOUND_ABSOLUTE);
}

/* Of a conflict with one upper side, or one lower side, among others: that one, else -1. */
static int odd_side(const Seeker *s, const Conflict *conflict)
{
    int low = 0, lone_low = -1, lone_high = -1;
    for (int k = 0; k < conflict->sides; k++) {
        const bool is_low = s->sides->side[conflict->side[k]].low;
        low += is_low;
        *(is_low ? &lone_low : &lone_high) = conflict->side[k];
    }
    return conflict->sides < 2 ? -1 : conflict->sides - low == 1 ? lone_high : low == 1 ? lone_low : -1;
}

static void take_sum(const Seeker *s, const Conflict *conflict, int odd)
{
    for (int k = 0; k < s->sides->sides; k++)
        if (s->sides->side[k].hard)
            oracle_drop(s->oracle, k, true);
    for (int k = 0; k < conflict->sides; k++)
        oracle_drop(s->oracle, conflict->side[k], false);
    const Range by = least_loosening(s->oracle, s->sides, odd, 0);
    if (!range_exact(&by))
        return;
    const Side *side = &s->sides->side[odd];
    Cause *cause = cause_add(s->causes, CAUSE_SUM);
    take_sides(conflict, cause);
    cause->against = odd;
    cause->amount = side->low ? side->limit->bounds.low - by.low : side->limit->bounds.high + by.low;
}

static CauseRest seek_sum(Seeker *s)
{
    bool *counts = mem_new((size_t)s->sides->sides + 1, sizeof *counts);
    for (int k = 0; k < s->sides->sides; k++)
        counts[k] = is_count(&s->sides->side[k]) && !s->aside[k];
    Conflict conflict;
    CauseRest rest = REST_IMPOSSIBLE;
    conflict_among(s->oracle, counts, NULL, &conflict);
    const int odd = conflict_settled(&conflict) ? odd_side(s, &conflict) : -1;
    const size_t before = s->causes->causes;
    if (odd >= 0)
        take_sum(s, &conflict, odd);
    if (s->causes->causes > before) {
        Cause *cause = &s->causes->cause[before];
        set_aside(s, cause);
        rest = cause->rest = rest_now(s);
    }
    conflict_release(&conflict);
    mem_free(counts);
    return rest;
}

/* ---- */

static CauseRest seek_data(Seeker *s)
{
    causes_of_data(s->e, s->causes);
    for (size_t k = 0; k < s->causes->causes; k++)
        set_aside(s, &s->causes->cause[k]);
    const CauseRest rest = s->causes->causes > 0 ? rest_now(s) : REST_IMPOSSIBLE;
    if (s->causes->causes > 0)
        s->causes->cause[s->causes->causes - 1].rest = rest;
    return rest;
}

void causes_find(Explain *explain, Causes *causes)
{
    static CauseRest (*const stage[])(Seeker *) = {seek_data, seek_risk, seek_cap, seek_own, seek_money, seek_sum};
    *causes = (Causes){.arena = arena_new()};
    Seeker s = {.e = explain, .oracle = explain->oracle, .sides = explain->sides, .causes = causes};
    s.aside = mem_new((size_t)s.sides->sides + 1, sizeof *s.aside);
    for (size_t k = 0; k < sizeof stage / sizeof *stage && !causes_complete(causes); k++)
        stage[k](&s);
    memset(s.aside, 0, (size_t)s.sides->sides * sizeof *s.aside);
    apply(&s, s.oracle, s.sides);
    mem_free(s.aside);
}

bool causes_complete(const Causes *causes)
{
    return causes->causes > 0 && causes->cause[causes->causes - 1].rest == REST_POSSIBLE;
}

void causes_release(Causes *causes)
{
    for (size_t k = 0; k < causes->causes; k++) {
        mem_free(causes->cause[k].side);
        mem_free(causes->cause[k].with);
    }
    mem_free(causes->cause);
    arena_free(causes->arena);
    *causes = (Causes){0};
}
