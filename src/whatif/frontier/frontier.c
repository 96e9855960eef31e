/* frontier.c - fit against the spending cap.
 *
 * Ends. The least cost of any pool is one programme: minimise the money under all other rules. So is the cap from which
 * money no longer matters: the least money with at least the fit of the best pool without a cap. Steps. From the
 * greatest cap downwards: the best pool at this cap has fit v. A short search for a cheaper pool with v leaves one that
 * costs c. The best pool at c - 0.01, proven, has v again (then c is its cost, and so on) or less: then v begins at c,
 * and the next step is known already. So a step costs about one proof. (Proving c by minimising money takes far longer:
 * a cent is a finer grain than those of fit are.) */
#include "whatif/frontier/frontier.h"

#include <string.h>

#include "base/number.h"
#include "programme/count/risk.h"
#include "programme/extend.h"
#include "programme/rows/card_columns.h"

#define ENDS_EFFORT 32000    /* pivots for each end, where the best itself was not asked for: the rest stays a band */
#define CHEAPEN_EFFORT 2000  /* pivots for a cheaper pool of the same fit */
#define ENDS_SHORT 500       /* the same, where a gap is enough at once */
#define FREE_SHARE_AT_RISK 3 /* so much less of a try for the proven best without a cap */
#define MONEY_MOST (INT64_C(1) << 40)
#define MOST_STEPS 400

/* ---- money as objective ---- */

/* A programme with a row for its fit, to be bounded from below, whose objective is the money spent, negated. */
typedef struct {
    SearchProblem *problem; /* freed with extension_problem_free */
    int fit_row;
    int money;  /* -1, or the column of what the cap's row comes to, whichever prices rise, in the row's own unit */
    int64_t *x; /* [columns] scratch, freed with mem_free */
} CostProblem;

/* Is what the cap must hold no plain sum of the columns? */
static bool cap_at_risk(const Loaded *loaded)
{
    return loaded->cap_row >= 0 && programme_at_risk(loaded->programme);
}

/* What all that could be bought comes to if every price rises, in units of the cap's row. */
static int128 most_money(const Loaded *loaded)
{
    const Instance *in = loaded->instance;
    int128 sum = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        sum += (int128)(instance_buy_price(in, c) + risk_rise(in, c)) * in->most[c];
    return ceil_div(sum, loaded->programme->row[loaded->cap_row].divisor);
}

/* False where so much money is out of the search's range; then there is nothing to release. */
static bool cost_problem(const Loaded *loaded, CostProblem *cost)
{
    const Programme *programme = loaded->programme;
    const SearchProblem *base = &programme->problem;
    const int row = loaded->cap_row;
    const bool at_risk = cap_at_risk(loaded);
    if (at_risk && most_money(loaded) > MONEY_MOST)
        return false;
    Extension *extension = extension_new(base);
    cost->fit_row = extension_row(extension, SEARCH_MINUS_INFINITY, SEARCH_PLUS_INFINITY);
    for (int j = 0; j < base->columns; j++)
        extension_entry(extension, cost->fit_row, j, base->objective[j]);
    cost->money = at_risk ? extension_column(extension, SEARCH_INTEGER, 0, 0, (int64_t)most_money(loaded)) : -1;
    if (at_risk)
        extension_entry(extension, row, cost->money, -1); /* it takes the side's place */
    SearchProblem *problem = extension_build(extension);
    if (at_risk) {
        memset(problem->objective, 0, (size_t)problem->columns * sizeof *problem->objective);
        problem->objective[cost->money] = -programme->row[row].divisor;
    } else {
        for (int j = 0; j < base->columns; j++)
            problem->objective[j] = -column_price(programme, j);
    }
    if (row >= 0)
        problem->row_high[row] = at_risk ? 0 : SEARCH_PLUS_INFINITY;
    cost->problem = problem;
    cost->x = mem_new((size_t)problem->columns + 1, sizeof *cost->x);
    return true;
}

static void cost_problem_release(CostProblem *cost)
{
    extension_problem_free(cost->problem);
    mem_free(cost->x);
}

/* The pool as columns of it. */
static const int64_t *cost_start(const CostProblem *cost, const Loaded *loaded, const int *copies)
{
    programme_solution(loaded->programme, copies, cost->x);
    if (cost->money >= 0) {
        RiskCount count;
        risk_count(loaded->instance, NULL, copies, &count);
        cost->x[cost->money] = (int64_t)ceil_div(count.protected, loaded->programme->row[loaded->cap_row].divisor);
    }
    return cost->x;
}

static MoneyBand money_band(const Loaded *loaded, const Solved *solved)
{
    if (!solved->has_value || !solved->has_bound)
        return (MoneyBand){0};
    return (MoneyBand){.known = true,
                       .low = loaded_stated_cap(loaded, -solved->bound),
                       .high = loaded_stated_cap(loaded, -solved->value)};
}

/* ---- ends ---- */

static bool find_free(Loaded *loaded, Parametric *parametric, const SearchOptions *options, Frontier *frontier,
                      Answer *answer, Diags *diags)
{
    Solved solved;
    SearchOptions own = *options;
    if (programme_at_risk(loaded->programme))
        own.eager /= FREE_SHARE_AT_RISK;
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
                      Parametric *parametric, const CostProblem *cost, Reoptimiser *search, Diags *diags)
{
    Answer cheapest, best, enough;
    Solved solved;
    if (!find_free(loaded, parametric, options, frontier, &best, diags))
        return false;
    SearchOptions from_free = *rough;
    from_free.start = best.has_pool ? cost_start(cost, loaded, best.copies) : NULL;
    if (!reoptimiser_solve(search, &from_free, false, &cheapest, &solved, diags)) {
        answer_release(&best);
        return false;
    }
    frontier->least = money_band(loaded, &solved);
    frontier->impossible = solved.status == SEARCH_INFEASIBLE;
    answer_release(&cheapest);
    bool good = true;
    if (frontier->has_free) {
        SearchOptions from_best = *rough;
        from_best.start = cost_start(cost, loaded, best.copies);
        reoptimiser_row(search, cost->fit_row, frontier->free_fit, SEARCH_PLUS_INFINITY);
        good = reoptimiser_solve(search, &from_best, false, &enough, &solved, diags);
        if (good) {
            frontier->enough = money_band(loaded, &solved);
            if (enough.has_pool && enough.check.fit > frontier->free_fit)
                frontier->free_fit = enough.check.fit;
            answer_release(&enough);
        }
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
    SearchOptions rough =
        *options; /* the least money itself: where a gap is enough for fit, as far as the effort goes */
    rough.gap_ppm = rough.eager = 0;
    if (options->gap_ppm > 0 && (rough.effort == 0 || rough.effort > ENDS_EFFORT))
        rough.effort = options->eager > 0 ? ENDS_EFFORT : ENDS_SHORT;
    CostProblem cost;
    frontier->money_large = !cost_problem(loaded, &cost);
    if (frontier->money_large)
        return true;
    loaded_set_cap(loaded, false, cap);
    Reoptimiser *search = reoptimiser_new(loaded, cost.problem);
    bool good = find_ends(loaded, options, &rough, frontier, parametric, &cost, search, diags);
    reoptimiser_free(search);
    cost_problem_release(&cost);
    loaded_set_cap(loaded, has_cap, cap);
    return good;
}

/* ---- steps ---- */

typedef struct {
    Loaded *loaded;
    Parametric *parametric;
    SearchOptions options;
    CostProblem problem;
    Reoptimiser *fit, *cost;
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
    options.start = cost_start(&w->problem, w->loaded, answer->copies);
    options.effort = w->left < CHEAPEN_EFFORT ? w->left : CHEAPEN_EFFORT;
    reoptimiser_row(w->cost, w->problem.fit_row, answer->check.fit, SEARCH_PLUS_INFINITY);
    if (!reoptimiser_solve(w->cost, &options, false, &cheaper, &solved, w->diags))
        return false;
    w->left -= solved.pivots;
    const bool better = cheaper.has_pool && cheaper.check.fit == answer->check.fit &&
                        loaded_pool_cap(w->loaded, cheaper.copies) < loaded_pool_cap(w->loaded, answer->copies);
    if (better) { /* the proven bound and status stay */
        int *copies = answer->copies;
        answer->copies = cheaper.copies;
        cheaper.copies = copies;
    }
    answer_release(&cheaper);
    return true;
}

/* The answer as the lowest step: at the least cap that it keeps. Its rules are counted again with that as cap. */
static void take_step(Walk *w, Answer *answer)
{
    const int64_t cap = loaded_pool_cap(w->loaded, answer->copies);
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
static WalkState walk(Walk *w, int64_t from, int64_t to)
{
    for (int64_t cap = to; cap >= 0; cap = w->step[w->steps - 1].cap - 1) {
        const size_t before = w->steps;
        const WalkState state = before < MOST_STEPS ? walk_down(w, cap) : WALK_GIVE_UP;
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

bool frontier_steps(Loaded *loaded, Parametric *parametric, const SearchOptions *options, Steps *steps, Diags *diags)
{
    Walk w = {.loaded = loaded, .parametric = parametric, .options = *options, .left = options->effort, .diags = diags};
    w.options.gap_ppm = 0;
    w.options.eager = 0;
    *steps = (Steps){.from = steps->from, .to = steps->to};
    if (!cost_problem(loaded, &w.problem))
        return true;
    w.x = mem_new((size_t)loaded->programme->problem.columns + 2, sizeof *w.x);
    w.cost = reoptimiser_new(loaded, w.problem.problem);
    w.fit = reoptimiser_new(loaded, &loaded->programme->problem);
    WalkState state = walk(&w, steps->from, steps->to);
    reoptimiser_free(w.cost);
    reoptimiser_free(w.fit);
    cost_problem_release(&w.problem);
    mem_free(w.x);
    steps->complete = state == WALK_DONE;
    if (state == WALK_FAILED)
        release_steps(&w);
    for (size_t k = 0; k < w.steps / 2; k++) {
        Step swap = w.step[k];
        w.step[k] = w.step[w.steps - 1 - k];
        w.step[w.steps - 1 - k] = swap;
    }
    steps->step = w.step;
    steps->steps = w.steps;
    return state != WALK_FAILED;
}
