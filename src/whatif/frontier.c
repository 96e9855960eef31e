/* frontier.c - fit against the spending cap.
 *
 * Ends. The least cost of any pool is one programme: minimise the money under all other rules. So is the cap from which
 * money no longer matters: the least money with at least the fit of the best pool without a cap. Steps. From the
 * greatest cap downwards: the best pool at this cap has fit v. A short search for a cheaper pool with v leaves one that
 * costs c. The best pool at c - 0.01, proven, has v again (then c is its cost, and so on) or less: then v begins at c,
 * and the next step is known already. So a step costs about one proof. (Proving c by minimising money takes far longer:
 * a cent is a finer grain than those of fit are.) Knee. See the header. Dead zones: between two caps where the larger
 * one's bound is no more than the smaller one's fit. */
#include "whatif/frontier.h"

#include "base/number.h"
#include "base/sort.h"
#include "programme/extend.h"

#define ENDS_EFFORT 4000    /* pivots for each end, where the best itself was not asked for: the rest stays a band */
#define CHEAPEN_EFFORT 2000 /* pivots for a cheaper pool of the same fit */
#define ENDS_SHORT 500      /* the same, where a gap is enough at once */

/* ---- money as objective ---- */

/* A programme with a row for its fit, to be bounded from below, whose objective is the money spent, negated. Freed with
 * extension_problem_free. */
static SearchProblem *cost_problem(const Loaded *loaded, int *fit_row)
{
    const Programme *programme = loaded->programme;
    const Instance *in = loaded->instance;
    Extension *extension = extension_new(&programme->problem);
    *fit_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (int j = 0; j < programme->problem.columns; j++)
        extension_entry(extension, *fit_row, j, programme->problem.objective[j]);
    SearchProblem *problem = extension_build(extension);
    for (int j = 0; j < programme->problem.columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        bool paid = column->role == COLUMN_BOUGHT ||
                    (column->role == COLUMN_COPIES && in->cards->card[column->card].owned <= 0);
        problem->objective[j] = paid ? -instance_buy_price(in, (size_t)column->card) : 0;
    }
    if (loaded->cap_row >= 0)
        problem->row_high[loaded->cap_row] = SEARCH_PLUS_INFINITY;
    return problem;
}

static MoneyBand money_band(const Loaded *loaded, const Solved *solved)
{
    if (!solved->has_value || !solved->has_bound)
        return (MoneyBand){0};
    return (MoneyBand){.known = true,
                       .low = loaded_stated_cap(loaded, -solved->bound),
                       .high = loaded_stated_cap(loaded, -solved->value)};
}

static int64_t *columns_of(const Loaded *loaded, const int *copies)
{
    int64_t *x = mem_new((size_t)loaded->programme->problem.columns + 1, sizeof *x);
    programme_solution(loaded->programme, copies, x);
    return x;
}

/* ---- ends ---- */

static bool find_free(Loaded *loaded, Parametric *parametric, const SearchOptions *options, Frontier *frontier,
                      Answer *answer, Diags *diags)
{
    Solved solved;
    SearchOptions own = *options;
    int64_t *x = mem_new((size_t)loaded->programme->problem.columns + 1, sizeof *x), value;
    if (parametric != NULL && parametric_step(parametric, false, 0, options, &own.known_bound, x, &value))
        own.start = x;
    bool good = loaded_solve(loaded, &own, answer, &solved, diags);
    mem_free(x);
    if (!good)
        return false;
    frontier->has_free = answer->has_pool && answer->has_bound;
    frontier->free_fit = answer->check.fit;
    frontier->free_bound = answer->bound;
    return true;
}

static bool find_ends(Loaded *loaded, const SearchOptions *options, const SearchOptions *rough, Frontier *frontier,
                      Parametric *parametric, Reoptimiser *cost, int fit_row, Diags *diags)
{
    Answer cheapest, best, enough;
    Solved solved;
    if (!reoptimiser_solve(cost, rough, false, &cheapest, &solved, diags))
        return false;
    frontier->least = money_band(loaded, &solved);
    frontier->impossible = solved.status == SEARCH_INFEASIBLE;
    answer_release(&cheapest);
    if (frontier->impossible)
        return true;
    if (!find_free(loaded, parametric, options, frontier, &best, diags))
        return false;
    bool good = true;
    if (frontier->has_free) {
        int64_t *x = columns_of(loaded, best.copies);
        SearchOptions from_best = *rough;
        from_best.start = x;
        reoptimiser_row(cost, fit_row, frontier->free_fit, SEARCH_PLUS_INFINITY);
        good = reoptimiser_solve(cost, &from_best, false, &enough, &solved, diags);
        if (good) {
            frontier->enough = money_band(loaded, &solved);
            if (enough.has_pool && enough.check.fit > frontier->free_fit)
                frontier->free_fit = enough.check.fit;
            answer_release(&enough);
        }
        mem_free(x);
    }
    answer_release(&best);
    return good;
}

bool frontier_ends(Loaded *loaded, Parametric *parametric, const SearchOptions *options, Frontier *frontier,
                   Diags *diags)
{
    const Model *model = loaded->instance->model;
    const bool has_cap = model->has_cap;
    const int64_t cap = model->cap_stated;
    int fit_row;
    SearchOptions rough = *options; /* money need not be known as closely as fit */
    rough.gap_ppm = options->gap_ppm < 100000 ? options->gap_ppm * 10 : options->gap_ppm;
    rough.eager = 0;
    if (rough.gap_ppm > 0 && (rough.effort == 0 || rough.effort > ENDS_EFFORT))
        rough.effort = options->eager > 0 ? ENDS_EFFORT : ENDS_SHORT;
    loaded_set_cap(loaded, false, cap);
    SearchProblem *problem = cost_problem(loaded, &fit_row);
    Reoptimiser *cost = reoptimiser_new(loaded, problem);
    bool good = find_ends(loaded, options, &rough, frontier, parametric, cost, fit_row, diags);
    reoptimiser_free(cost);
    extension_problem_free(problem);
    loaded_set_cap(loaded, has_cap, cap);
    return good;
}

/* ---- steps ---- */

typedef struct {
    Loaded *loaded;
    Parametric *parametric;
    SearchOptions options;
    Reoptimiser *fit, *cost;
    int fit_row;
    int64_t left; /* pivots */
    int64_t *x;   /* [columns] scratch */
    Step *step;   /* descending; the last one may begin lower as long as it is not settled */
    size_t steps, capacity;
    Diags *diags;
} Walk;

typedef enum { WALK_ON, WALK_DONE, WALK_GIVE_UP, WALK_FAILED } WalkState;

static bool spend_effort(Walk *w, const Solved *solved)
{
    w->left -= solved->pivots;
    return w->left > 0;
}

/* A cheaper pool of no less fit instead of the answer's, if one is soon found. False with an error in diags. */
static bool cheapen(Walk *w, Answer *answer)
{
    Solved solved;
    Answer cheaper;
    SearchOptions options = w->options;
    programme_solution(w->loaded->programme, answer->copies, w->x);
    options.start = w->x;
    options.effort = w->left < CHEAPEN_EFFORT ? w->left : CHEAPEN_EFFORT;
    reoptimiser_row(w->cost, w->fit_row, answer->check.fit, SEARCH_PLUS_INFINITY);
    if (!reoptimiser_solve(w->cost, &options, false, &cheaper, &solved, w->diags))
        return false;
    w->left -= solved.pivots;
    const bool better =
        cheaper.has_pool && cheaper.check.cost < answer->check.cost && cheaper.check.fit == answer->check.fit;
    if (better) { /* the proven bound and status stay */
        int *copies = answer->copies;
        answer->copies = cheaper.copies;
        cheaper.copies = copies;
    }
    answer_release(&cheaper);
    return true;
}

/* The answer as the lowest step: at the money it costs. Its rules are counted again with that as cap. */
static void take_step(Walk *w, Answer *answer)
{
    PoolCheck check;
    pool_check(w->loaded->instance, answer->copies, &check);
    const int64_t cap = loaded_stated_cap(w->loaded, check.cost);
    pool_check_release(&check);
    loaded_set_cap(w->loaded, true, cap);
    pool_check_release(&answer->check);
    pool_check(w->loaded->instance, answer->copies, &answer->check);
    if (w->steps > 0 && w->step[w->steps - 1].answer.check.fit == answer->check.fit)
        answer_release(&w->step[--w->steps].answer); /* the same fit for less */
    mem_reserve((void **)&w->step, &w->capacity, w->steps + 1, sizeof *w->step);
    w->step[w->steps++] = (Step){.cap = cap, .answer = *answer};
}

/* The best pool at this cap, which is below the last step. */
static WalkState walk_down(Walk *w, int64_t cap)
{
    Solved solved;
    Answer best;
    SearchOptions options = w->options;
    int64_t value, known = w->steps > 0 ? w->step[w->steps - 1].answer.check.fit : SEARCH_PLUS_INFINITY;
    loaded_set_cap(w->loaded, true, cap);
    reoptimiser_row(w->fit, w->loaded->cap_row, SEARCH_MINUS_INFINITY, loaded_cap_side(w->loaded, true, cap));
    if (w->parametric != NULL &&
        parametric_step(w->parametric, true, cap, &options, &options.known_bound, w->x, &value) &&
        options.start == NULL)
        options.start = w->x;
    known = known < w->options.known_bound ? known : w->options.known_bound;
    options.known_bound = known < options.known_bound ? known : options.known_bound;
    options.effort = w->left;
    if (!reoptimiser_solve(w->fit, &options, true, &best, &solved, w->diags))
        return WALK_FAILED;
    const bool more = spend_effort(w, &solved);
    WalkState state = solved.status == SEARCH_INFEASIBLE ? WALK_DONE
                      : solved.status == SEARCH_BEST     ? WALK_ON
                                                         : WALK_GIVE_UP;
    if (state == WALK_ON && more && !cheapen(w, &best))
        state = WALK_FAILED;
    if (state != WALK_ON) {
        answer_release(&best);
        return state;
    }
    take_step(w, &best);
    w->options.start = NULL;                             /* it was for the greatest cap */
    return more && w->left > 0 ? WALK_ON : WALK_GIVE_UP; /* looking for a cheaper pool may have taken what was left */
}

/* Down to the step that `from` buys, wherever that begins. */
static WalkState walk(Walk *w, int64_t from, int64_t to, size_t most)
{
    for (int64_t cap = to; cap >= 0; cap = w->step[w->steps - 1].cap - 1) {
        const size_t before = w->steps;
        const WalkState state = before < most ? walk_down(w, cap) : WALK_GIVE_UP;
        if (w->steps > before && before > 0 && w->step[before - 1].cap <= from) {
            answer_release(&w->step[--w->steps].answer); /* one further step, which settles the one before */
            return WALK_DONE;
        }
        if (state != WALK_ON)
            return state;
    }
    return WALK_DONE;
}

static void release_steps(Walk *w)
{
    for (size_t k = 0; k < w->steps; k++)
        answer_release(&w->step[k].answer);
    mem_free(w->step);
    w->step = NULL;
    w->steps = 0;
}

bool frontier_steps(Loaded *loaded, Parametric *parametric, int64_t from, int64_t to, size_t most, int64_t effort,
                    const SearchOptions *options, Step **step, size_t *steps, bool *complete, Diags *diags)
{
    Walk w = {.loaded = loaded, .parametric = parametric, .options = *options, .left = effort, .diags = diags};
    w.options.gap_ppm = 0;
    w.options.eager = 0;
    w.x = mem_new((size_t)loaded->programme->problem.columns + 2, sizeof *w.x);
    SearchProblem *problem = cost_problem(loaded, &w.fit_row);
    w.cost = reoptimiser_new(loaded, problem);
    w.fit = reoptimiser_new(loaded, &loaded->programme->problem);
    WalkState state = walk(&w, from, to, most);
    reoptimiser_free(w.cost);
    reoptimiser_free(w.fit);
    extension_problem_free(problem);
    mem_free(w.x);
    *complete = state == WALK_DONE;
    if (state == WALK_FAILED)
        release_steps(&w);
    for (size_t k = 0; k < w.steps / 2; k++) {
        Step swap = w.step[k];
        w.step[k] = w.step[w.steps - 1 - k];
        w.step[w.steps - 1 - k] = swap;
    }
    *step = w.step;
    *steps = w.steps;
    return state != WALK_FAILED;
}

/* ---- shape ---- */

long curve_knee(const int64_t *x, const int64_t *y, size_t points, int64_t noise)
{
    long knee = -1;
    int128 highest = points > 0 ? (int128)noise * (x[points - 1] - x[0]) : 0;
    for (size_t k = 1; k + 1 < points; k++) {
        const size_t last = points - 1;
        int128 above = (int128)(y[k] - y[0]) * (x[last] - x[0]) - (int128)(y[last] - y[0]) * (x[k] - x[0]);
        if (above > highest) {
            highest = above;
            knee = (long)k;
        }
    }
    return knee;
}

static int by_length(const void *a, const void *b)
{
    const DeadZone *x = a, *y = b;
    const int64_t p = x->to - x->from, q = y->to - y->from;
    if (p != q)
        return p > q ? -1 : 1;
    return (x->from > y->from) - (x->from < y->from);
}

static void add_dead_zone(DeadZone *dead, size_t *count, int64_t from, int64_t to)
{
    if (from >= to)
        return;
    if (*count > 0 && dead[*count - 1].to == from)
        dead[*count - 1].to = to;
    else
        dead[(*count)++] = (DeadZone){from, to};
}

static void find_dead_zones(const FrontierPoint *point, size_t points, Frontier *frontier)
{
    DeadZone *dead = mem_new(points + 1, sizeof *dead);
    size_t count = 0;
    for (size_t k = 0; k + 1 < points; k++) {
        const FrontierPoint *a = &point[k], *b = &point[k + 1];
        if (k >= frontier->exact)
            add_dead_zone(dead, &count, a->cap, b->cap - 1);
        else if (a->has_pool && b->bound <= a->fit)
            add_dead_zone(dead, &count, a->cap, b->cap);
    }
    if (frontier->exact < points)
        add_dead_zone(dead, &count, point[points - 1].cap, frontier->exact_to);
    sort_stable(dead, count, sizeof *dead, by_length);
    frontier->dead = dead;
    frontier->deads = count;
}

void frontier_shape(const FrontierPoint *point, size_t points, Frontier *frontier)
{
    int64_t *x = mem_new(points, sizeof *x), *y = mem_new(points, sizeof *y);
    size_t first = 0, count = 0;
    int64_t noise = 0;
    while (first < points && !point[first].has_pool)
        first++;
    for (size_t k = first; k < points && point[k].has_pool; k++, count++) {
        if (point[k].bound != INT64_MAX && point[k].bound - point[k].fit > noise)
            noise = point[k].bound - point[k].fit;
        x[count] = point[k].cap;
        y[count] = point[k].fit;
    }
    long knee = curve_knee(x, y, count, noise);
    frontier->knee = knee < 0 ? -1 : knee + (long)first;
    find_dead_zones(point, points, frontier);
    mem_free(x);
    mem_free(y);
}

void frontier_release(Frontier *frontier)
{
    mem_free(frontier->dead);
    *frontier = (Frontier){0};
}
