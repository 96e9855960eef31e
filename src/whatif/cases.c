/* cases.c - which what-ifs there are, in which order they are solved, and what differs from the base. */
#include "whatif/cases.h"

#include <string.h>

#include "base/number.h"

#define MOST_STEPS 400
#define STEP_EFFORT 100000 /* pivots for all exact steps together, unless --effort says otherwise */
#define CONFLICT_EFFORT 1000000 /* pivots, for each case that nothing fits */
#define EAGER_SHARE 8     /* along caps, one of many is not worth as much of a try for the proven best */
#define GRID_POINTS 20     /* where exact steps are too dear */

typedef struct {
    const WhatIfPlan *plan;
    const SearchOptions *options;
    WhatIf *all;
    size_t capacity;
    Diags *diags;
} Builder;

/* ---- items ---- */

static const char *item_name(Arena *arena, const char *case_name, int size, bool capped, bool has_cap, int64_t cap)
{
    char money[NUMBER_TEXT];
    const char *name = case_name != NULL ? arena_strdup(arena, case_name) : "";
    if (size > 0)
        name = arena_printf(arena, "%s%s%d cards", name, name[0] != '\0' ? ", " : "", size);
    if (capped && has_cap)
        name = arena_printf(arena, "%s%scap %s", name, name[0] != '\0' ? ", " : "", number_format(money, cap, 2, 2));
    else if (capped)
        name = arena_printf(arena, "%s%sno cap", name, name[0] != '\0' ? ", " : "");
    return name[0] != '\0' ? name : "base";
}

static WhatIfCase *add_item(Builder *b, const char *name, size_t ground, bool has_cap, int64_t cap)
{
    mem_reserve((void **)&b->all->item, &b->capacity, b->all->count + 1, sizeof *b->all->item);
    WhatIfCase *item = &b->all->item[b->all->count++];
    *item = (WhatIfCase){.name = name, .ground = ground, .has_cap = has_cap, .cap = cap};
    return item;
}

/* Solves the item beginning from this pool of the ground's cards (may be NULL). */
static bool solve_item(Builder *b, WhatIfCase *item, Search *search, const int *from, int64_t known_bound)
{
    const Ground *ground = &b->all->ground[item->ground];
    SearchOptions options = *b->options;
    Solved solved;
    int64_t *x = NULL;
    options.known_bound = known_bound;
    if (b->all->frontiers > 0)
        options.eager = b->options->eager / EAGER_SHARE;
    if (from != NULL) {
        x = mem_new((size_t)ground->programme->problem.columns + 1, sizeof *x);
        if (programme_solution(ground->programme, from, x))
            options.start = x;
    }
    bool good = ground_solve(ground, search, &options, true, &item->answer, &solved, b->diags);
    mem_free(x);
    return good;
}

/* The base's pool as this ground's cards. NULL when there is none. */
static int *base_pool(const Builder *b, const Ground *ground)
{
    const WhatIfCase *base = &b->all->item[0];
    if (b->all->count == 0 || !base->answer.has_pool)
        return NULL;
    int *copies = mem_new(ground->instance->cards->count, sizeof *copies);
    pool_carry(b->all->ground[base->ground].instance, base->answer.copies, ground->instance, copies);
    return copies;
}

static bool solve_alone(Builder *b, const char *name, size_t at)
{
    const Ground *ground = &b->all->ground[at];
    const Model *model = ground->instance->model;
    int *from = base_pool(b, ground);
    WhatIfCase *item = add_item(b, name, at, model->has_cap, model->cap_stated);
    bool good = solve_item(b, item, NULL, from, SEARCH_PLUS_INFINITY);
    mem_free(from);
    return good;
}

/* ---- along caps ---- */

/* What a larger cap proves holds for a smaller one. */
static void carry_bounds(WhatIf *all, size_t first, size_t count)
{
    for (size_t k = first + count; k-- > first + 1;) {
        const Answer *larger = &all->item[k].answer;
        Answer *smaller = &all->item[k - 1].answer;
        if (!larger->has_bound || (smaller->has_bound && smaller->bound <= larger->bound) || smaller->status == ANSWER_INFEASIBLE)
            continue;
        smaller->has_bound = true;
        smaller->bound = larger->bound;
        int64_t gap = answer_gap_ppm(smaller);
        if (smaller->has_pool && smaller->bound == smaller->check.fit)
            smaller->status = ANSWER_BEST;
        else if (smaller->has_pool && gap >= 0 && gap <= smaller->gap_ppm)
            smaller->status = ANSWER_WITHIN_GAP;
    }
}

static void set_impossible(const Builder *b, WhatIfCase *item)
{
    const Ground *ground = &b->all->ground[item->ground];
    item->answer = (Answer){.status = ANSWER_INFEASIBLE,
                            .copies = mem_new(ground->instance->cards->count, sizeof *item->answer.copies),
                            .gap_ppm = b->options->gap_ppm,
                            .columns = ground->programme->problem.columns,
                            .rows = ground->programme->problem.rows};
}

/* Of two pools to begin from, the better one that the cap allows now: the smaller cap's, or the base's. */
static const int *better_start(const Ground *ground, const int *one, const int *other)
{
    const SearchProblem *p = &ground->programme->problem;
    int64_t *x = mem_new((size_t)p->columns + 1, sizeof *x), best = 0, value;
    const int *start = NULL, *candidate[2] = {one, other};
    for (int k = 0; k < 2; k++) {
        if (candidate[k] == NULL || !programme_solution(ground->programme, candidate[k], x) || !search_feasible(p, x, &value))
            continue;
        if (start == NULL || value > best) {
            start = candidate[k];
            best = value;
        }
    }
    mem_free(x);
    return start;
}

static bool solve_caps(Builder *b, const char *case_name, int size, size_t at, const CapAt *cap, size_t caps, Frontier *frontier)
{
    Ground *ground = &b->all->ground[at];
    Search *search = ground_at_risk(ground) ? NULL : search_new(&ground->programme->problem);
    int *base = base_pool(b, ground), *from = NULL;
    bool good = true;
    frontier->first = b->all->count;
    for (size_t k = 0; k < caps && good; k++) {
        const bool has_cap = !cap[k].none;
        ground_set_cap(ground, has_cap, cap[k].cap);
        if (search != NULL)
            search_set_row(search, ground->cap_row, SEARCH_MINUS_INFINITY, ground_cap_side(ground, has_cap, cap[k].cap));
        WhatIfCase *item = add_item(b, item_name(b->all->arena, case_name, size, true, has_cap, cap[k].cap), at, has_cap, cap[k].cap);
        bool too_little = has_cap && (frontier->impossible || (frontier->least.known && cap[k].cap < frontier->least.low));
        if (too_little)
            set_impossible(b, item);
        else
            good = solve_item(b, item, search, better_start(ground, from, base), frontier->has_free ? frontier->free_bound : SEARCH_PLUS_INFINITY);
        if (good && item->answer.has_pool) {
            mem_free(from);
            from = mem_new(ground->instance->cards->count, sizeof *from);
            memcpy(from, item->answer.copies, ground->instance->cards->count * sizeof *from);
        }
        frontier->count += has_cap;
    }
    mem_free(base);
    mem_free(from);
    search_free(search);
    carry_bounds(b->all, frontier->first, b->all->count - frontier->first);
    return good;
}

static void shape(const WhatIf *all, Frontier *frontier)
{
    FrontierPoint *point = mem_new(frontier->count, sizeof *point);
    for (size_t k = 0; k < frontier->count; k++) {
        const WhatIfCase *item = &all->item[frontier->first + k];
        const Answer *a = &item->answer;
        point[k] = (FrontierPoint){item->cap, a->has_pool, a->check.fit, a->has_bound ? a->bound : INT64_MAX};
    }
    frontier_shape(point, frontier->count, frontier);
    mem_free(point);
}

static bool solve_steps(Builder *b, const char *case_name, int size, size_t at, Frontier *frontier)
{
    Step *step = NULL;
    size_t steps = 0;
    bool complete;
    int64_t effort = b->options->effort > 0 ? b->options->effort : STEP_EFFORT;
    bool at_risk = ground_at_risk(&b->all->ground[at]);
    complete = false;
    if (!at_risk && !frontier_steps(&b->all->ground[at], b->plan->cap_from, b->plan->cap_to, MOST_STEPS, effort, b->options, &step, &steps, &complete, b->diags))
        return false;
    if (complete) {
        frontier->steps = true;
        frontier->first = b->all->count;
        frontier->count = steps;
        for (size_t k = 0; k < steps; k++)
            add_item(b, item_name(b->all->arena, case_name, size, true, true, step[k].cap), at, true, step[k].cap)->answer = step[k].answer;
        mem_free(step);
        return true;
    }
    CapAt cap[GRID_POINTS];
    size_t caps = 0;
    for (int k = 0; k < GRID_POINTS; k++) {
        int64_t here = b->plan->cap_from + (b->plan->cap_to - b->plan->cap_from) * k / (GRID_POINTS - 1);
        if (caps == 0 || here > cap[caps - 1].cap)
            cap[caps++] = (CapAt){.cap = here};
    }
    frontier->steps_given_up = true;
    return solve_caps(b, case_name, size, at, cap, caps, frontier);
}

static bool solve_frontier(Builder *b, const char *case_name, int size, size_t at)
{
    Frontier *frontier = &b->all->frontier[b->all->frontiers++];
    *frontier = (Frontier){.knee = -1};
    if (!ground_at_risk(&b->all->ground[at]) && !frontier_ends(&b->all->ground[at], b->options, frontier, b->diags))
        return false;
    bool good = b->plan->steps && !frontier->impossible ? solve_steps(b, case_name, size, at, frontier)
                                                        : solve_caps(b, case_name, size, at, b->plan->cap, b->plan->caps, frontier);
    if (good)
        shape(b->all, frontier);
    return good;
}

/* ---- all of them ---- */

static bool read_ground(Builder *b, const char *case_name, int size, bool capped)
{
    const WhatIfPlan *plan = b->plan;
    Overrides overrides = *plan->overrides;
    if (case_name != NULL)
        overrides.case_name = case_name;
    if (size > 0) {
        overrides.has_size = true;
        overrides.size_from = overrides.size_to = size;
    }
    if (capped) { /* so that prices are asked for, and the programme has a row for it */
        overrides.has_cap = true;
        overrides.no_cap = false;
        overrides.cap = plan->cap_to;
    }
    const char *where = case_name != NULL ? arena_printf(b->all->arena, "in case '%s': ", case_name) : "";
    if (!ground_read(&b->all->ground[b->all->grounds], plan->subject, &overrides, where, b->diags))
        return false;
    b->all->grounds++;
    return true;
}

static bool is_base(const Builder *b, const char *case_name, int size)
{
    const Model *model = b->all->ground[0].instance->model;
    return case_name == NULL && (size == 0 || (model->size_from == size && model->size_to == size));
}

static bool one_ground(Builder *b, const char *case_name, int size)
{
    const bool capped = b->plan->caps > 0 || b->plan->steps;
    if (!capped && is_base(b, case_name, size))
        return true;
    if (!read_ground(b, case_name, size, capped))
        return false;
    const size_t at = b->all->grounds - 1;
    return capped ? solve_frontier(b, case_name, size, at) : solve_alone(b, item_name(b->all->arena, case_name, size, false, false, 0), at);
}

static bool one_case(Builder *b, const char *case_name)
{
    if (b->plan->sizes == 0)
        return one_ground(b, case_name, 0);
    for (size_t k = 0; k < b->plan->sizes; k++)
        if (!one_ground(b, case_name, b->plan->size[k]))
            return false;
    return true;
}

static bool run_all(Builder *b)
{
    if (!read_ground(b, NULL, 0, false))
        return false;
    const Scenario *scenario = b->all->ground[0].scenario;
    const size_t cases = b->plan->cases ? scenario->cases_count : 0;
    const size_t most = 1 + (cases + 1) * (b->plan->sizes > 0 ? b->plan->sizes : 1);
    Ground *room = mem_new(most, sizeof *room);
    room[0] = b->all->ground[0];
    mem_free(b->all->ground);
    b->all->ground = room;
    b->all->frontier = mem_new(most, sizeof *b->all->frontier);
    if (!solve_alone(b, b->plan->overrides->case_name != NULL ? arena_strdup(b->all->arena, b->plan->overrides->case_name) : "base", 0) || !one_case(b, NULL))
        return false;
    for (size_t k = 0; k < cases; k++)
        if (!one_case(b, scenario->cases[k].name))
            return false;
    return true;
}

/* ---- against the base ---- */

static bool is_tight_side(const RuleUse *use)
{
    bool equality = use->bounds.has_low && use->bounds.has_high && use->bounds.low == use->bounds.high;
    return use->kind != USE_SIZE && !equality && (use->low_tight || use->high_tight);
}

static bool same_limit(const RuleUse *a, const RuleUse *b)
{
    if (a->kind != b->kind || a->kind != USE_MEMBER)
        return a->kind == b->kind;
    return strcmp(a->member->rule->folded, b->member->rule->folded) == 0 && strcmp(a->member->of, b->member->of) == 0;
}

static bool was_tight(const PoolCheck *base, const RuleUse *use)
{
    for (size_t u = 0; u < base->uses; u++) {
        const RuleUse *old = &base->use[u];
        if (same_limit(old, use) && ((use->low_tight && old->low_tight) || (use->high_tight && old->high_tight)))
            return true;
    }
    return false;
}

static void compare_tight(const WhatIfCase *base, WhatIfCase *item)
{
    item->tight = mem_new(item->answer.check.uses, sizeof *item->tight);
    for (size_t u = 0; u < item->answer.check.uses; u++) {
        const RuleUse *use = &item->answer.check.use[u];
        if (is_tight_side(use) && !was_tight(&base->answer.check, use))
            item->tight[item->tights++] = use;
    }
}

static void compare_fit(const Instance *old, const Instance *now, WhatIfCase *item)
{
    int128 sum = 0;
    size_t a = 0;
    for (size_t c = 0; c < now->cards->count; c++) {
        const char *name = now->cards->card[c].folded;
        while (a < old->cards->count && strcmp(old->cards->card[a].folded, name) < 0)
            a++;
        bool same = a < old->cards->count && strcmp(old->cards->card[a].folded, name) == 0;
        item->other_fit = item->other_fit || (same && old->fit[a] != now->fit[c]);
        sum += (int128)(same ? old->fit[a] : now->fit[c]) * item->answer.copies[c];
    }
    item->base_fit = (int64_t)sum;
}

static bool blame(Builder *b, WhatIfCase *item)
{
    const Ground *ground = &b->all->ground[item->ground];
    if (item->answer.status != ANSWER_INFEASIBLE || b->all->frontiers > 0 || ground_at_risk(ground))
        return true;
    ExplainOptions options = {.engine = b->options->engine, .threads = b->options->threads, .cancel = b->options->cancel, .effort = CONFLICT_EFFORT};
    item->explain = explain_new(ground->instance, &item->answer, &options, b->diags);
    if (item->explain == NULL)
        return false;
    conflict_find(item->explain->prober, &item->conflict, NULL);
    return true;
}

static bool blame_all(Builder *b)
{
    for (size_t k = 0; k < b->all->count; k++)
        if (!blame(b, &b->all->item[k]))
            return false;
    return true;
}

static void compare(WhatIf *all)
{
    const WhatIfCase *base = &all->item[0];
    const Instance *old = all->ground[base->ground].instance;
    for (size_t k = 1; k < all->count; k++) {
        WhatIfCase *item = &all->item[k];
        const Instance *now = all->ground[item->ground].instance;
        compare_fit(old, now, item);
        if (!item->answer.has_pool || !base->answer.has_pool)
            continue;
        item->change = pool_changes(old, base->answer.copies, now, item->answer.copies, &item->changes);
        pool_changes_sum(item->change, item->changes, &item->in, &item->out);
        compare_tight(base, item);
    }
}

WhatIf *what_if_run(const WhatIfPlan *plan, const SearchOptions *options, Diags *diags)
{
    WhatIf *all = mem_new(1, sizeof *all);
    all->arena = arena_new();
    all->ground = mem_new(1, sizeof *all->ground);
    Builder b = {.plan = plan, .options = options, .all = all, .diags = diags};
    if (run_all(&b) && blame_all(&b)) {
        compare(all);
        return all;
    }
    what_if_free(all);
    return NULL;
}

void what_if_free(WhatIf *what_if)
{
    if (what_if == NULL)
        return;
    for (size_t k = 0; k < what_if->count; k++) {
        answer_release(&what_if->item[k].answer);
        mem_free(what_if->item[k].change);
        mem_free(what_if->item[k].tight);
        conflict_release(&what_if->item[k].conflict);
        explain_free(what_if->item[k].explain);
    }
    for (size_t k = 0; k < what_if->frontiers; k++)
        frontier_release(&what_if->frontier[k]);
    for (size_t k = 0; k < what_if->grounds; k++)
        ground_release(&what_if->ground[k]);
    mem_free(what_if->item);
    mem_free(what_if->frontier);
    mem_free(what_if->ground);
    arena_free(what_if->arena);
    mem_free(what_if);
}
