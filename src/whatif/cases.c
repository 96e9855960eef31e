/* cases.c - which what-ifs there are, in which order they are solved, and what differs from the base. */
#include "whatif/cases.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "explain/swaps/nearest.h"
#include "whatif/frontier/parametric.h"

#define MOST_STEPS 400
#define STEP_EFFORT 600000      /* pivots for all exact steps together, unless --effort says otherwise */
#define CONFLICT_EFFORT 1000000 /* pivots, for each case that nothing fits */
#define NEAREST_EFFORT 60000    /* pivots, for the nearest pools of all cases and caps together */
#define NEAREST_CASE 12000      /* of one of them */
#define EAGER_SHARE 40          /* along caps, one of many is not worth as much of a try for the proven best */
#define EAGER_SHARE_AT_RISK 6   /* it is where the closer the fit, the fewer cards can differ among equals */
#define CAP_EQUALS 60000        /* pivots of each step among equals, along caps */
#define GRID_POINTS 20          /* where exact steps are too dear */

typedef struct {
    const WhatIfPlan *plan;
    const SearchOptions *options;
    WhatIf *all;
    size_t capacity;
    bool unread;   /* files could not be read */
    bool answered; /* some what-if could be asked */
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

static WhatIfCase *add_item(Builder *b, const char *name, size_t loaded, bool has_cap, int64_t cap)
{
    mem_reserve((void **)&b->all->item, &b->capacity, b->all->count + 1, sizeof *b->all->item);
    WhatIfCase *item = &b->all->item[b->all->count++];
    *item = (WhatIfCase){.name = name, .loaded = loaded, .has_cap = has_cap, .cap = cap};
    return item;
}

/* Solves the item beginning from this solution of the loaded scenario's programme (may be NULL). */
static bool solve_item(Builder *b, WhatIfCase *item, Reoptimiser *search, const int64_t *from, int64_t known_bound)
{
    SearchOptions options = *b->options;
    options.known_bound = known_bound;
    options.start = from;
    const Loaded *loaded = &b->all->loaded[item->loaded];
    if (b->all->frontiers > 0)
        options.eager /= programme_at_risk(loaded->programme) ? EAGER_SHARE_AT_RISK : EAGER_SHARE;
    SearchOptions equals = options;
    if (b->all->frontiers > 0 && (options.effort == 0 || options.effort > CAP_EQUALS))
        equals.effort = CAP_EQUALS;
    Reoptimiser *own = search == NULL ? reoptimiser_new(loaded, &loaded->programme->problem) : NULL;
    const bool found = reoptimiser_best(own != NULL ? own : search, &options, &equals, &item->answer, b->diags);
    reoptimiser_free(own);
    return found;
}

/* The base's pool as a solution of this loaded scenario's programme. NULL when there is none. */
static int64_t *base_solution(const Builder *b, const Loaded *loaded)
{
    const WhatIfCase *base = &b->all->item[0];
    if (b->all->count == 0 || !base->answer.has_pool)
        return NULL;
    int *copies = mem_new(loaded->instance->cards->count, sizeof *copies);
    int64_t *x = mem_new((size_t)loaded->programme->problem.columns + 1, sizeof *x);
    pool_carry(b->all->loaded[base->loaded].instance, base->answer.copies, loaded->instance, copies);
    const bool good = programme_solution(loaded->programme, copies, x);
    mem_free(copies);
    if (good)
        return x;
    mem_free(x);
    return NULL;
}

static bool solve_alone(Builder *b, const char *name, size_t at)
{
    const Loaded *loaded = &b->all->loaded[at];
    const Model *model = loaded->instance->model;
    int64_t *from = base_solution(b, loaded);
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
        if (!larger->has_bound || (smaller->has_bound && smaller->bound <= larger->bound) ||
            smaller->status == ANSWER_INFEASIBLE)
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
    const Loaded *loaded = &b->all->loaded[item->loaded];
    item->answer = (Answer){.status = ANSWER_INFEASIBLE,
                            .copies = mem_new(loaded->instance->cards->count, sizeof *item->answer.copies),
                            .gap_ppm = b->options->gap_ppm,
                            .columns = loaded->programme->problem.columns,
                            .rows = loaded->programme->problem.rows};
}

/* What goes along with the caps of one loaded scenario. Solutions to begin from: the base's, the parametric run's, and
 * the smaller cap's, which the search remembers itself. */
typedef struct {
    Loaded *loaded;
    Reoptimiser *search;
    Parametric *parametric;   /* NULL: none */
    int64_t *base, *near;     /* [columns]; base NULL: none */
    const WhatIfCase *proven; /* the base, where its bound holds for smaller caps; NULL: other rules than these */
} Along;

static void along_init(Along *along, const Builder *b, size_t at)
{
    Loaded *loaded = &b->all->loaded[at];
    *along = (Along){.loaded = loaded,
                     .base = base_solution(b, loaded),
                     .near = mem_new((size_t)loaded->programme->problem.columns + 1, sizeof *along->near)};
    along->search = reoptimiser_new(loaded, &loaded->programme->problem);
    along->parametric = parametric_new(loaded);
}

static void along_release(Along *along)
{
    mem_free(along->base);
    mem_free(along->near);
    parametric_free(along->parametric);
    reoptimiser_free(along->search);
}

/* The solution to begin from at this cap, and what is known about its bound. */
static const int64_t *find_start(const Builder *b, Along *along, const WhatIfCase *item, int64_t *bound)
{
    const SearchProblem *p = &along->loaded->programme->problem;
    int64_t near_bound = SEARCH_PLUS_INFINITY, near, base;
    const bool found = along->parametric != NULL && parametric_step(along->parametric, item->has_cap, item->cap,
                                                                    b->options, &near_bound, along->near, &near);
    *bound = near_bound < *bound ? near_bound : *bound;
    if (along->base != NULL && search_feasible(p, along->base, &base) && (!found || base > near))
        return along->base;
    return found ? along->near : NULL;
}

static bool solve_cap(Builder *b, Along *along, WhatIfCase *item, int64_t bound)
{
    Loaded *loaded = along->loaded;
    reoptimiser_row(along->search, loaded->cap_row, SEARCH_MINUS_INFINITY,
                    loaded_cap_side(loaded, item->has_cap, item->cap));
    const WhatIfCase *proven = along->proven;
    if (proven != NULL && (!proven->has_cap || (item->has_cap && item->cap <= proven->cap)) &&
        proven->answer.bound < bound)
        bound = proven->answer.bound;
    const int64_t *start = find_start(b, along, item, &bound);
    return solve_item(b, item, along->search, start, bound);
}

/* What is found by then is shown, the rest is not looked into. */
static bool is_stopped(const Builder *b)
{
    b->all->stopped = b->all->stopped || search_cancelled(b->options);
    return b->all->stopped;
}

static bool solve_caps(Builder *b, const char *case_name, int size, Along *along, const CapAt *cap, size_t caps,
                       Frontier *frontier)
{
    const int64_t bound = frontier->has_free ? frontier->free_bound : SEARCH_PLUS_INFINITY;
    const size_t at = (size_t)(along->loaded - b->all->loaded);
    bool good = true;
    frontier->first = b->all->count;
    for (size_t k = 0; k < caps && good && !is_stopped(b); k++) {
        const bool has_cap = !cap[k].none;
        loaded_set_cap(along->loaded, has_cap, cap[k].cap);
        WhatIfCase *item =
            add_item(b, item_name(b->all->arena, case_name, size, true, has_cap, cap[k].cap), at, has_cap, cap[k].cap);
        if (has_cap && (frontier->impossible || (frontier->least.known && cap[k].cap < frontier->least.low)))
            set_impossible(b, item);
        else
            good = solve_cap(b, along, item, bound);
        frontier->count += has_cap;
    }
    frontier->exact = frontier->count;
    carry_bounds(b->all, frontier->first, b->all->count - frontier->first);
    return good;
}

/* What is known of a pool of these limits, whatever its cap, and of the caps that were searched may narrow the ends. */
static void narrow_by_pool(const Loaded *loaded, const Answer *answer, Frontier *frontier)
{
    if (!answer->has_pool)
        return;
    const int64_t cap = loaded_pool_cap(loaded, answer->copies);
    if (frontier->least.known && cap < frontier->least.high)
        frontier->least.high = cap;
    if (frontier->enough.known && answer->check.fit >= frontier->free_fit && cap < frontier->enough.high)
        frontier->enough.high = cap;
}

static void narrow_ends(const WhatIf *all, const Along *along, Frontier *frontier)
{
    if (along->proven != NULL)
        narrow_by_pool(along->loaded, &along->proven->answer, frontier);
    for (size_t k = 0; k < frontier->count; k++) {
        const WhatIfCase *item = &all->item[frontier->first + k];
        const Answer *a = &item->answer;
        narrow_by_pool(along->loaded, a, frontier);
        const bool buys_less = a->has_bound && a->bound < frontier->free_fit;
        if (frontier->enough.known && buys_less && item->cap >= frontier->enough.low)
            frontier->enough.low = item->cap + 1;
        const bool begins_here = k > frontier->exact || (k == frontier->exact && frontier->steps);
        if (frontier->enough.known && begins_here && a->has_pool && a->check.fit >= frontier->free_fit)
            frontier->enough.low = frontier->enough.high; /* a step begins where its fit does: proven */
    }
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

/* Round caps of the range: its ends and multiples of 1, 2 or 5 times a power of ten between. */
static size_t round_caps(int64_t from, int64_t to, CapAt cap[GRID_POINTS])
{
    int64_t step = 1;
    for (int k = 0; (to - from) / step > GRID_POINTS - 3; k++)
        step = k % 3 == 1 ? step / 2 * 5 : step * 2;
    size_t caps = 0;
    cap[caps++] = (CapAt){.cap = from};
    for (int64_t here = (from / step + 1) * step; here < to; here += step)
        cap[caps++] = (CapAt){.cap = here};
    if (to > from)
        cap[caps++] = (CapAt){.cap = to};
    return caps;
}

/* So much effort for all of them; what it does not reach stays open. */
static bool steps_among_equals(const Builder *b, Loaded *loaded, Step *step, size_t steps, int64_t effort)
{
    SearchOptions options = *b->options;
    bool good = true;
    options.effort = effort;
    for (size_t k = 0; k < steps && good && options.effort > 0; k++) {
        loaded_set_cap(loaded, true, step[k].cap);
        good = answer_among_equals(loaded->programme, &options, NULL, &step[k].answer, b->diags);
        options.effort -= step[k].answer.equals.pivots;
    }
    return good;
}

static bool solve_steps(Builder *b, const char *case_name, int size, Along *along, Frontier *frontier)
{
    const size_t at = (size_t)(along->loaded - b->all->loaded);
    const int64_t effort = b->options->effort > 0 ? b->options->effort : STEP_EFFORT, from = b->plan->cap_from,
                  to = b->plan->cap_to;
    Step *step = NULL;
    size_t steps = 0;
    bool complete = false, good = true;
    SearchOptions options = *b->options;
    const WhatIfCase *proven = along->proven;
    if (proven != NULL && (!proven->has_cap || to <= proven->cap))
        options.known_bound = proven->answer.bound;
    options.start = proven != NULL && proven->has_cap && to == proven->cap ? along->base : NULL;
    if (!frontier_steps(along->loaded, along->parametric, from, to, MOST_STEPS, effort, &options, &step, &steps,
                        &complete, b->diags))
        return false;
    frontier->first = b->all->count;
    frontier->steps = complete;
    frontier->steps_given_up = !complete;
    if (!complete) {
        CapAt cap[GRID_POINTS];
        const int64_t rest = steps > 0 ? step[0].cap - 1 : to;
        good = rest < from || solve_caps(b, case_name, size, along, cap, round_caps(from, rest, cap), frontier);
    }
    frontier->exact = frontier->count;
    frontier->exact_to = to;
    good = steps_among_equals(b, along->loaded, step, steps, effort) && good;
    for (size_t k = 0; k < steps; k++)
        add_item(b, item_name(b->all->arena, case_name, size, true, true, step[k].cap), at, true, step[k].cap)->answer =
            step[k].answer;
    frontier->count += steps;
    carry_bounds(b->all, frontier->first, frontier->count);
    mem_free(step);
    return good;
}

static bool is_base(const Builder *b, const char *case_name, int size)
{
    const Model *model = b->all->loaded[0].instance->model;
    return case_name == NULL && (size == 0 || (model->size_from == size && model->size_to == size));
}

static bool solve_frontier(Builder *b, const char *case_name, int size, size_t at)
{
    Frontier *frontier = &b->all->frontier[b->all->frontiers++];
    Along along;
    *frontier = (Frontier){.knee = -1};
    along_init(&along, b, at);
    const WhatIfCase base = b->all->item[0]; /* items move when there are more */
    if (is_base(b, case_name, size) && base.answer.has_pool && base.answer.has_bound)
        along.proven = &base;
    bool good = frontier_ends(along.loaded, along.parametric, b->options, frontier, b->diags);
    if (good)
        good = b->plan->steps && !frontier->impossible
                   ? solve_steps(b, case_name, size, &along, frontier)
                   : solve_caps(b, case_name, size, &along, b->plan->cap, b->plan->caps, frontier);
    if (good) {
        narrow_ends(b->all, &along, frontier);
        shape(b->all, frontier);
    }
    along_release(&along);
    return good;
}

/* ---- all of them ---- */

static bool read_one(const Builder *b, const char *case_name, int size, bool capped, Loaded *loaded, Diags *diags)
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
    return loaded_read(loaded, plan->subject, &overrides, plan->files, where, diags);
}

/* What cannot be read at another size, but at its own, is refused for that size alone. */
static bool is_size_to_blame(const Builder *b, const char *case_name, bool capped)
{
    Diags unused;
    Loaded own;
    diags_init(&unused);
    const bool good = read_one(b, case_name, 0, capped, &own, &unused);
    if (good)
        loaded_release(&own);
    diags_release(&unused);
    return good;
}

static void refuse(Builder *b, const char *case_name, int size, const Diags *found)
{
    for (size_t k = 0; k < found->count; k++) {
        const Diag *item = &found->item[k];
        if (item->kind != DIAG_ERROR)
            continue;
        RefusedSize *refused = &b->all->refused[b->all->refuseds++];
        *refused = (RefusedSize){.name = item_name(b->all->arena, case_name, size, false, false, 0),
                                 .text = arena_strdup(b->all->arena, item->text),
                                 .at = item->at};
        refused->at.file = item->at.file != NULL ? arena_strdup(b->all->arena, item->at.file) : NULL;
        return;
    }
}

/* False with errors in diags, unless only this size is refused: then *refused. */
static bool read_ground(Builder *b, const char *case_name, int size, bool capped, bool *refused)
{
    Diags found;
    diags_init(&found);
    const bool good = read_one(b, case_name, size, capped, &b->all->loaded[b->all->loaded_count], &found);
    *refused = !good && size > 0 && is_size_to_blame(b, case_name, capped);
    if (*refused)
        refuse(b, case_name, size, &found);
    else
        loaded_tell(b->diags, &found, "");
    diags_release(&found);
    b->unread = !good && !*refused;
    b->all->loaded_count += good;
    return !b->unread;
}

static bool one_ground(Builder *b, const char *case_name, int size)
{
    const bool capped = b->plan->caps > 0 || b->plan->steps, stays = !capped && is_base(b, case_name, size);
    bool refused = false;
    if (!is_stopped(b) && !stays && !read_ground(b, case_name, size, capped, &refused))
        return false;
    b->answered = b->answered || !refused;
    if (is_stopped(b) || stays || refused)
        return true;
    const size_t at = b->all->loaded_count - 1;
    return capped ? solve_frontier(b, case_name, size, at)
                  : solve_alone(b, item_name(b->all->arena, case_name, size, false, false, 0), at);
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

static bool is_meant(const WhatIfPlan *plan, const char *case_name)
{
    return plan->onlys == 0 || text_find(case_name, plan->only, plan->onlys) >= 0;
}

static bool run_all(Builder *b)
{
    const Scenario *scenario = b->all->loaded[0].scenario;
    const size_t cases = b->plan->cases ? scenario->cases_count : 0;
    const size_t most = 1 + (cases + 1) * (b->plan->sizes > 0 ? b->plan->sizes : 1);
    Loaded *room = mem_new(most, sizeof *room);
    room[0] = b->all->loaded[0];
    mem_free(b->all->loaded);
    b->all->loaded = room;
    b->all->frontier = mem_new(most, sizeof *b->all->frontier);
    b->all->refused = arena_alloc(b->all->arena, most, sizeof *b->all->refused);
    if (!solve_alone(b,
                     b->plan->overrides->case_name != NULL ? arena_strdup(b->all->arena, b->plan->overrides->case_name)
                                                           : "base",
                     0) ||
        !one_case(b, NULL))
        return false;
    for (size_t k = 0; k < cases; k++)
        if (is_meant(b->plan, scenario->cases[k].name) && !one_case(b, scenario->cases[k].name))
            return false;
    for (size_t k = 0; k < b->all->refuseds && !b->answered; k++) {
        const RefusedSize *refused = &b->all->refused[k];
        diag_error(b->diags, refused->at, "%s: %s", refused->name, refused->text);
        b->unread = true;
    }
    return !b->unread;
}

/* ---- against the base ---- */

static bool same_limit(const Limit *a, const Limit *b)
{
    const char *x = a->member != NULL ? a->member->rule->folded : a->name,
               *y = b->member != NULL ? b->member->rule->folded : b->name;
    return a->kind == b->kind && strcmp(x, y) == 0 && strcmp(a->of, b->of) == 0;
}

static bool was_tight(const PoolCheck *base, const LimitUse *use)
{
    for (size_t u = 0; u < base->uses; u++) {
        const LimitUse *old = &base->use[u];
        if (same_limit(old->limit, use->limit) &&
            ((use->low_tight && old->low_tight) || (use->high_tight && old->high_tight)))
            return true;
    }
    return false;
}

static void compare_tight(const WhatIfCase *base, WhatIfCase *item)
{
    item->tight = mem_new(item->answer.check.uses, sizeof *item->tight);
    for (size_t u = 0; u < item->answer.check.uses; u++) {
        const LimitUse *use = &item->answer.check.use[u];
        if (limit_use_tight(use) && !was_tight(&base->answer.check, use))
            item->tight[item->tights++] = use;
    }
}

/* The pool as the base counts: its cards that the base has too, with what structure adds there, and the others as they
 * count here. */
static void compare_fit(const Instance *old, const Instance *now, WhatIfCase *item)
{
    int128 others = 0;
    size_t a = 0;
    int *copies = mem_new(old->cards->count, sizeof *copies);
    for (size_t c = 0; c < now->cards->count; c++) {
        const char *name = now->cards->card[c].folded;
        while (a < old->cards->count && strcmp(old->cards->card[a].folded, name) < 0)
            a++;
        const bool same = a < old->cards->count && strcmp(old->cards->card[a].folded, name) == 0;
        item->other_fit = item->other_fit || (same && old->fit[a] != now->fit[c]);
        if (same)
            copies[a] = item->answer.copies[c];
        else
            others += (int128)now->fit[c] * item->answer.copies[c];
    }
    PoolCheck check;
    pool_check(old, copies, &check);
    item->base_fit = check.fit + (int64_t)others;
    pool_check_release(&check);
    mem_free(copies);
}

static bool blame(Builder *b, WhatIfCase *item)
{
    const Loaded *loaded = &b->all->loaded[item->loaded];
    if (item->answer.status != ANSWER_INFEASIBLE || b->all->frontiers > 0 || is_stopped(b))
        return true;
    ExplainOptions options = {.engine = b->options->engine,
                              .threads = b->options->threads,
                              .cancel = b->options->cancel,
                              .effort = CONFLICT_EFFORT};
    item->explain = explain_new(loaded->instance, &item->answer, &options, b->diags);
    if (item->explain == NULL)
        return false;
    causes_find(item->explain, &item->causes);
    if (!causes_complete(&item->causes))
        conflict_find(item->explain->oracle, &item->conflict, NULL);
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
    const Instance *old = all->loaded[base->loaded].instance;
    for (size_t k = 1; k < all->count; k++) {
        WhatIfCase *item = &all->item[k];
        const Instance *now = all->loaded[item->loaded].instance;
        if (!item->answer.has_pool)
            continue;
        compare_fit(old, now, item);
        if (!base->answer.has_pool)
            continue;
        item->change = pool_changes(old, base->answer.copies, now, item->answer.copies, &item->changes);
        pool_changes_sum(item->change, item->changes, &item->in, &item->out);
        compare_tight(base, item);
    }
}

static bool same_candidates(const Instance *a, const Instance *b)
{
    bool same = a->cards->count == b->cards->count;
    for (size_t c = 0; same && c < a->cards->count; c++)
        same = strcmp(a->cards->card[c].folded, b->cards->card[c].folded) == 0;
    return same;
}

/* The pool of the item's fit that is nearest to the base's, where it is nearer than the one among equals. */
static bool find_nearest(Builder *b, WhatIfCase *item, int64_t *effort)
{
    Loaded *loaded = &b->all->loaded[item->loaded];
    const WhatIfCase *base = &b->all->item[0];
    if (item->changes == 0 || *effort <= 0 || is_stopped(b) ||
        !same_candidates(b->all->loaded[base->loaded].instance, loaded->instance))
        return true;
    if (b->all->frontiers > 0)
        loaded_set_cap(loaded, item->has_cap, item->cap);
    ExplainOptions options = {.engine = b->options->engine,
                              .threads = b->options->threads,
                              .cancel = b->options->cancel,
                              .effort = *effort < NEAREST_CASE ? *effort : NEAREST_CASE};
    Explain *explain = explain_new(loaded->instance, &item->answer, &options, b->diags);
    if (explain == NULL)
        return false;
    nearest_exchange_from(explain, base->answer.copies, &item->nearest);
    item->has_nearest = exchange_changes(&item->nearest) < item->in + item->out;
    *effort -= oracle_used(explain->oracle);
    explain_free(explain);
    return true;
}

static bool find_all_nearest(Builder *b)
{
    int64_t effort = NEAREST_EFFORT;
    for (size_t k = 1; k < b->all->count; k++)
        if (!find_nearest(b, &b->all->item[k], &effort))
            return false;
    return true;
}

WhatIf *what_if_read(const WhatIfPlan *plan, Diags *diags)
{
    WhatIf *all = mem_new(1, sizeof *all);
    all->arena = arena_new();
    all->loaded = mem_new(1, sizeof *all->loaded);
    Builder b = {.plan = plan, .all = all, .diags = diags};
    bool refused;
    if (read_ground(&b, NULL, 0, false, &refused))
        return all;
    what_if_free(all);
    return NULL;
}

bool what_if_run(WhatIf *all, const WhatIfPlan *plan, const SearchOptions *options, bool *unread, Diags *diags)
{
    Builder b = {.plan = plan, .options = options, .all = all, .diags = diags};
    if (run_all(&b) && blame_all(&b)) {
        is_stopped(&b); /* also when it came last */
        compare(all);
        if (find_all_nearest(&b))
            return true;
    }
    if (unread != NULL)
        *unread = b.unread;
    return false;
}

void what_if_free(WhatIf *what_if)
{
    if (what_if == NULL)
        return;
    for (size_t k = 0; k < what_if->count; k++) {
        answer_release(&what_if->item[k].answer);
        mem_free(what_if->item[k].change);
        exchange_release(&what_if->item[k].nearest);
        mem_free(what_if->item[k].tight);
        causes_release(&what_if->item[k].causes);
        conflict_release(&what_if->item[k].conflict);
        explain_free(what_if->item[k].explain);
    }
    for (size_t k = 0; k < what_if->frontiers; k++)
        frontier_release(&what_if->frontier[k]);
    for (size_t k = 0; k < what_if->loaded_count; k++)
        loaded_release(&what_if->loaded[k]);
    mem_free(what_if->item);
    mem_free(what_if->frontier);
    mem_free(what_if->loaded);
    arena_free(what_if->arena);
    mem_free(what_if);
}
