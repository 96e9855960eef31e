/* case_solve.c - one what-if solved: a case at one size, alone or along many caps. */
#include "whatif/cases/cases_inner.h"

#include "base/number.h"
#include "whatif/frontier/parametric.h"

#define STEP_EFFORT 600000    /* pivots for all exact steps together, unless --effort says otherwise */
#define EAGER_SHARE 40        /* along caps, one of many is not worth as much of a try for the proven best */
#define EAGER_SHARE_AT_RISK 3 /* where what is left of the proof is done among equals */
#define CAP_EQUALS 60000      /* pivots of each step among equals, along caps */
#define GRID_POINTS 20        /* where exact steps are too dear */

/* ---- items ---- */

const char *case_item_name(Arena *arena, const char *case_name, int size, bool capped, bool has_cap, int64_t cap)
{
    char money[NUMBER_TEXT];
    const char *name = case_name != NULL ? arena_strdup(arena, case_name) : "";
    if (size > 0)
        name = arena_printf(arena, "%s%s%d %s", name, name[0] != '\0' ? ", " : "", size, size == 1 ? "card" : "cards");
    if (capped && has_cap)
        name = arena_printf(arena, "%s%scap %s", name, name[0] != '\0' ? ", " : "", number_format(money, cap, 2, 2));
    else if (capped)
        name = arena_printf(arena, "%s%sno cap", name, name[0] != '\0' ? ", " : "");
    return name[0] != '\0' ? name : "base";
}

static WhatIfCase *add_item(CaseBuilder *b, const char *name, size_t loaded, bool has_cap, int64_t cap)
{
    mem_reserve((void **)&b->all->item, &b->capacity, b->all->count + 1, sizeof *b->all->item);
    WhatIfCase *item = &b->all->item[b->all->count++];
    *item = (WhatIfCase){.name = name, .loaded = loaded, .has_cap = has_cap, .cap = cap};
    return item;
}

/* Solves the item beginning from this solution of the loaded scenario's programme (may be NULL), by this search of it
 * (NULL: by one of its own). */
static bool solve_item(CaseBuilder *b, WhatIfCase *item, Reoptimiser *search, const int64_t *from, int64_t known_bound)
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
    return search != NULL ? reoptimiser_best(search, &options, &equals, &item->answer, b->diags)
                          : loaded_best(loaded, &options, &equals, &item->answer, b->diags);
}

/* The base's pool as a solution of this loaded scenario's programme. NULL when there is none. */
static int64_t *base_solution(const CaseBuilder *b, const Loaded *loaded)
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

bool case_solve_alone(CaseBuilder *b, const char *name, size_t at)
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
    for (size_t k = first + count; k-- > first + 1;)
        if (all->item[k].answer.has_bound)
            answer_lower_bound(&all->item[k - 1].answer, all->item[k].answer.bound);
}

static void set_impossible(const CaseBuilder *b, WhatIfCase *item)
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
    const char *case_name; /* NULL: none */
    int size;              /* 0: none */
    Frontier *frontier;
    Reoptimiser *search;
    Parametric *parametric;   /* NULL: none */
    int64_t *base, *near;     /* [columns]; base NULL: none */
    const WhatIfCase *proven; /* the base, where its bound holds for smaller caps; NULL: other rules than these */
} Along;

static void along_init(Along *along, const CaseBuilder *b, size_t at)
{
    Loaded *loaded = &b->all->loaded[at];
    along->loaded = loaded;
    along->base = base_solution(b, loaded);
    along->near = mem_new((size_t)loaded->programme->problem.columns + 1, sizeof *along->near);
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
static const int64_t *find_start(const CaseBuilder *b, Along *along, const WhatIfCase *item, int64_t *bound)
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

/* At its own cap, what was found of the base is all there is to ask. */
static bool take_base(const CaseBuilder *b, const Along *along, WhatIfCase *item)
{
    const WhatIfCase *base = along->proven;
    if (base == NULL || base->has_cap != item->has_cap || (item->has_cap && base->cap != item->cap))
        return false;
    const Instance *in = along->loaded->instance;
    Answer answer = base->answer;
    answer.copies = mem_new(in->cards->count, sizeof *answer.copies);
    pool_carry(b->all->loaded[base->loaded].instance, base->answer.copies, in, answer.copies);
    pool_check(in, answer.copies, &answer.check);
    answer.columns = along->loaded->programme->problem.columns;
    answer.rows = along->loaded->programme->problem.rows;
    const bool same = answer.check.kept && answer.check.fit == base->answer.check.fit;
    if (same)
        item->answer = answer;
    else
        answer_release(&answer);
    return same;
}

static bool solve_cap(CaseBuilder *b, Along *along, WhatIfCase *item, int64_t bound)
{
    if (take_base(b, along, item))
        return true;
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

/* An item at this cap (has_cap false: at none). */
static WhatIfCase *add_cap_item(CaseBuilder *b, const Along *along, bool has_cap, int64_t cap)
{
    return add_item(b, case_item_name(b->all->arena, along->case_name, along->size, true, has_cap, cap),
                    (size_t)(along->loaded - b->all->loaded), has_cap, cap);
}

static bool solve_caps(CaseBuilder *b, Along *along, const CapAt *cap, size_t caps)
{
    Frontier *frontier = along->frontier;
    const int64_t bound = frontier->has_free ? frontier->free_bound : SEARCH_PLUS_INFINITY;
    bool good = true;
    frontier->first = b->all->count;
    for (size_t k = 0; k < caps && good && !cases_stopped(b); k++) {
        const bool has_cap = !cap[k].none;
        loaded_set_cap(along->loaded, has_cap, cap[k].cap);
        WhatIfCase *item = add_cap_item(b, along, has_cap, cap[k].cap);
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

static void narrow_ends(const WhatIf *all, const Along *along)
{
    Frontier *frontier = along->frontier;
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
    CurvePoint *point = mem_new(frontier->count, sizeof *point);
    for (size_t k = 0; k < frontier->count; k++) {
        const WhatIfCase *item = &all->item[frontier->first + k];
        point[k] = curve_point(item->cap, &item->answer);
    }
    frontier_shape(point, frontier->count, frontier);
    mem_free(point);
}

/* Round caps of the range: its ends and multiples of a round step between. */
static size_t round_caps(int64_t from, int64_t to, CapAt cap[GRID_POINTS])
{
    const int64_t step = round_step((to - from) / (GRID_POINTS - 2) + 1);
    size_t caps = 0;
    cap[caps++] = (CapAt){.cap = from};
    for (int64_t here = (from / step + 1) * step; here < to; here += step)
        cap[caps++] = (CapAt){.cap = here};
    if (to > from)
        cap[caps++] = (CapAt){.cap = to};
    return caps;
}

/* So much effort for all of them; what it does not reach stays open. */
static bool steps_among_equals(const CaseBuilder *b, Loaded *loaded, const Steps *steps, int64_t effort)
{
    SearchOptions options = *b->options;
    bool good = true;
    options.effort = effort;
    for (size_t k = 0; k < steps->steps && good && options.effort > 0; k++) {
        Answer *answer = &steps->step[k].answer;
        loaded_set_cap(loaded, true, steps->step[k].cap);
        good = answer_among_equals(loaded->programme, &options, NULL, answer, b->diags);
        options.effort -= answer->equals.pivots;
    }
    return good;
}

static bool solve_steps(CaseBuilder *b, Along *along)
{
    Frontier *frontier = along->frontier;
    Steps steps = {.from = b->plan->cap_from, .to = b->plan->cap_to};
    bool good = true;
    SearchOptions options = *b->options;
    options.effort = b->options->effort > 0 ? b->options->effort : STEP_EFFORT;
    const WhatIfCase *proven = along->proven;
    if (proven != NULL && (!proven->has_cap || steps.to <= proven->cap))
        options.known_bound = proven->answer.bound;
    options.start = proven != NULL && proven->has_cap && steps.to == proven->cap ? along->base : NULL;
    if (!frontier_steps(along->loaded, along->parametric, &options, &steps, b->diags))
        return false;
    frontier->first = b->all->count;
    frontier->steps = steps.complete;
    frontier->steps_given_up = !steps.complete;
    if (!steps.complete) {
        CapAt cap[GRID_POINTS];
        const int64_t rest = steps.steps > 0 ? steps.step[0].cap - 1 : steps.to;
        good = rest < steps.from || solve_caps(b, along, cap, round_caps(steps.from, rest, cap));
    }
    frontier->exact = frontier->count;
    frontier->exact_to = steps.to;
    good = steps_among_equals(b, along->loaded, &steps, options.effort) && good;
    for (size_t k = 0; k < steps.steps; k++)
        add_cap_item(b, along, true, steps.step[k].cap)->answer = steps.step[k].answer;
    frontier->count += steps.steps;
    carry_bounds(b->all, frontier->first, frontier->count);
    mem_free(steps.step);
    return good;
}

bool case_solve_frontier(CaseBuilder *b, const char *case_name, int size, size_t at)
{
    Frontier *frontier = &b->all->frontier[b->all->frontiers++];
    Along along = {.case_name = case_name, .size = size, .frontier = frontier};
    *frontier = (Frontier){.knee = -1};
    along_init(&along, b, at);
    const WhatIfCase base = b->all->item[0]; /* items move when there are more */
    if (cases_is_base(b, case_name, size) && base.answer.has_pool && base.answer.has_bound)
        along.proven = &base;
    bool good = frontier_ends(along.loaded, along.parametric, b->options, frontier, b->diags);
    if (good)
        good = b->plan->steps && !frontier->impossible ? solve_steps(b, &along)
                                                       : solve_caps(b, &along, b->plan->cap, b->plan->caps);
    if (good) {
        narrow_ends(b->all, &along);
        shape(b->all, frontier);
    }
    along_release(&along);
    return good;
}
