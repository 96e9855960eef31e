/* revise.c - see revise.h.
 *
 * Curve. The most copies that can stay say how many must leave at least. From there on, along growing numbers of swaps,
 * every pool is a start for the next, and a bound for more swaps is one for fewer. Ranking. Swap by swap: what has
 * changed stays changed, one more copy may leave, and the best such pool is taken. So the list can be followed from the
 * top and stopped anywhere; its sum may stay below the best pool with as many swaps, which is free to choose otherwise.
 * Newcomers. Each is banned (if it is in) or forced (if it is not), and the difference is what it is worth. */
#include "whatif/list/revise.h"

#include <string.h>

#include "base/number.h"
#include "whatif/list/distance.h"
#include "whatif/frontier/frontier.h"

#define NEAREST_EFFORT 60000 /* pivots, for the nearest pools of all points together */
#define NEWCOMER_GAP 200     /* parts per million, at most */

typedef struct {
    const Loaded *loaded;
    const RevisePlan *plan;
    const SearchOptions *options;
    Distance distance;
    Revision *all;
    size_t point_capacity;
    Diags *diags;
} Reviser;

/* ---- pieces ---- */

static void limit_spend(const Reviser *r, Reoptimiser *search)
{
    if (r->plan->has_spend)
        reoptimiser_row(search, r->distance.enter_row, SEARCH_MINUS_INFINITY, r->plan->spend);
}

static void limit_swaps(const Reviser *r, Reoptimiser *search, int swaps)
{
    reoptimiser_row(search, r->distance.kept_row, r->distance.copies - swaps, SEARCH_PLUS_INFINITY);
}

/* A question of its own: the money, and so many swaps at most. */
static Reoptimiser *ask_within(const Reviser *r, int swaps)
{
    Reoptimiser *search = reoptimiser_new(r->loaded, r->distance.problem);
    limit_spend(r, search);
    limit_swaps(r, search, swaps);
    return search;
}

static int64_t spent_on(const Instance *in, const int *from, const int *copies)
{
    int64_t sum = 0;
    for (size_t c = 0; c < in->cards->count; c++) {
        const int room = from[c] > in->cards->card[c].owned ? from[c] : in->cards->card[c].owned;
        if (copies[c] > room)
            sum += (copies[c] - room) * instance_buy_price(in, c);
    }
    return sum;
}

static bool solve_from(const Reviser *r, Reoptimiser *search, const int *from, SearchOptions options, Answer *answer,
                       Diags *diags)
{
    Solved solved;
    int64_t *x = from != NULL ? distance_solution(&r->distance, from) : NULL;
    options.start = x;
    bool good = reoptimiser_solve(search, &options, true, answer, &solved, diags);
    mem_free(x);
    return good;
}

/* ---- the least that must leave ---- */

static bool find_least(Reviser *r)
{
    SearchOptions exact = *r->options;
    exact.gap_ppm = 0;
    Reoptimiser *search = distance_question(&r->distance, DISTANCE_KEPT);
    limit_spend(r, search);
    Answer near;
    Solved solved;
    bool good = reoptimiser_solve(search, &exact, false, &near, &solved, r->diags);
    reoptimiser_free(search);
    if (!good)
        return false;
    r->all->impossible = solved.status == SEARCH_INFEASIBLE;
    r->all->possible = near.has_pool;
    r->all->least_exact = solved.status == SEARCH_BEST;
    r->all->least_swaps = solved.has_bound ? r->distance.copies - (int)solved.bound : 0;
    answer_release(&near);
    return true;
}

/* ---- the least that must be spent ---- */

/* With so many swaps, or any number (-1). */
static bool find_least_spend(Reviser *r, int swaps)
{
    SearchOptions exact = *r->options;
    exact.gap_ppm = 0;
    Reoptimiser *search = distance_question(&r->distance, DISTANCE_SPENT);
    if (swaps >= 0)
        limit_swaps(r, search, swaps);
    Answer cheap;
    Solved solved;
    const bool good = reoptimiser_solve(search, &exact, false, &cheap, &solved, r->diags);
    reoptimiser_free(search);
    if (!good)
        return false;
    Revision *all = r->all;
    all->no_pool = swaps < 0 && solved.status == SEARCH_INFEASIBLE;
    all->swaps_never = all->swaps_never || (swaps >= 0 && solved.status == SEARCH_INFEASIBLE);
    all->has_least_spend = cheap.has_pool && solved.has_bound;
    if (all->has_least_spend) {
        all->enough_spend = spent_on(r->loaded->instance, r->distance.from, cheap.copies);
        all->least_spend = -solved.bound;
    }
    answer_release(&cheap);
    return true;
}

/* No pool for the money: how much would do. With the swaps asked for, if that is possible at all. */
static bool find_money(Reviser *r)
{
    if (r->plan->has_swaps && !find_least_spend(r, r->plan->swaps))
        return false;
    if (r->plan->has_swaps && !r->all->swaps_never)
        return true;
    return find_least_spend(r, -1);
}

/* ---- the curve ---- */

static void count_point(const Reviser *r, RevisePoint *point)
{
    const int kept = distance_kept(&r->distance, point->answer.copies);
    point->out = r->distance.copies - kept;
    point->in = (int)point->answer.check.size - kept;
    point->spent = spent_on(r->loaded->instance, r->distance.from, point->answer.copies);
}

static void append_point(Reviser *r, RevisePoint point)
{
    Revision *all = r->all;
    mem_reserve((void **)&all->point, &r->point_capacity, all->points + 1, sizeof *all->point);
    all->point[all->points++] = point;
}

static bool add_point(Reviser *r, Reoptimiser *search, int swaps, int64_t known_bound)
{
    Revision *all = r->all;
    SearchOptions options = *r->options;
    options.known_bound = known_bound;
    limit_swaps(r, search, swaps);
    RevisePoint point = {.swaps = swaps};
    const int *from = all->points > 0 && all->point[all->points - 1].answer.has_pool
                          ? all->point[all->points - 1].answer.copies
                          : NULL;
    if (!solve_from(r, search, from, options, &point.answer, r->diags))
        return false;
    if (point.answer.has_pool) {
        count_point(r, &point);
        all->possible = true;
    }
    append_point(r, point);
    return true;
}

/* Nobody changes a card for nothing: of the pools as good as the point's, the one with the fewest changes, as far as
 * that is found with little effort. */
static bool take_nearest(Reviser *r, RevisePoint *point, int64_t *effort)
{
    SearchOptions options = *r->options;
    Answer near;
    Solved solved;
    if (!point->answer.has_pool || point->out + point->in == 0 || *effort <= 0 || search_cancelled(r->options))
        return true;
    Reoptimiser *search = distance_nearest(&r->distance, point->answer.check.fit);
    if (search == NULL)
        return true;
    int64_t *x = distance_solution(&r->distance, point->answer.copies);
    limit_spend(r, search);
    limit_swaps(r, search, point->swaps);
    options.gap_ppm = 0;
    options.start = x;
    options.effort = options.effort > 0 && options.effort < *effort ? options.effort : *effort;
    const bool good = reoptimiser_solve(search, &options, false, &near, &solved, r->diags);
    reoptimiser_free(search);
    mem_free(x);
    if (!good)
        return false;
    *effort -= solved.pivots;
    if (near.has_pool) {
        exchange_pools(&point->answer, &near);
        count_point(r, point);
    }
    answer_release(&near);
    return true;
}

static bool take_all_nearest(Reviser *r)
{
    int64_t effort = NEAREST_EFFORT;
    bool good = true;
    for (size_t k = 0; k < r->all->points && good; k++)
        good = take_nearest(r, &r->all->point[k], &effort);
    return good;
}

/* What more swaps prove holds for fewer. */
static void carry_bounds(Revision *all)
{
    for (size_t k = all->points; k-- > 1;)
        if (all->point[k].answer.has_bound)
            answer_lower_bound(&all->point[k - 1].answer, all->point[k].answer.bound);
}

/* One by one at first, then in growing strides. */
static int next_swaps(int swaps, int least)
{
    const int further = swaps - least;
    return swaps + (further < 5 ? 1 : further < 20 ? 5 : further / 2);
}

static bool draw_curve(Reviser *r)
{
    Revision *all = r->all;
    Reoptimiser *search = ask_within(r, r->distance.copies);
    Answer end;
    bool good = solve_from(r, search, NULL, *r->options, &end, r->diags);
    if (!good || !end.has_pool) {
        all->impossible = good && end.status == ANSWER_INFEASIBLE;
        if (good)
            answer_release(&end);
        reoptimiser_free(search);
        return good;
    }
    const int64_t bound = end.has_bound ? end.bound : SEARCH_PLUS_INFINITY;
    const int last = r->distance.copies - distance_kept(&r->distance, end.copies);
    reoptimiser_free(search);
    search = reoptimiser_new(r->loaded, r->distance.problem); /* one that remembers no pool of more swaps */
    limit_spend(r, search);
    for (int swaps = all->least_swaps; good && swaps < last && !search_cancelled(r->options);
         swaps = next_swaps(swaps, all->least_swaps))
        good = add_point(r, search, swaps, bound);
    if (good) { /* the end is not bound by the number of swaps */
        RevisePoint point = {.swaps = last, .answer = end};
        const Answer *before = all->points > 0 ? &all->point[all->points - 1].answer : NULL;
        count_point(r, &point);
        all->has_end = all->possible = true;
        if (before != NULL && before->has_pool && before->check.fit >= end.check.fit)
            answer_release(&end); /* fewer swaps do as well */
        else
            append_point(r, point);
    } else
        answer_release(&end);
    reoptimiser_free(search);
    return good;
}

static void find_knee(Revision *all)
{
    CurvePoint *point = mem_new(all->points, sizeof *point);
    for (size_t k = 0; k < all->points; k++)
        point[k] = curve_point(all->point[k].swaps, &all->point[k].answer);
    all->knee = curve_knee(point, all->points);
    mem_free(point);
}

static bool one_point(Reviser *r)
{
    Reoptimiser *search = reoptimiser_new(r->loaded, r->distance.problem);
    limit_spend(r, search);
    bool good = add_point(r, search, r->plan->swaps, SEARCH_PLUS_INFINITY);
    reoptimiser_free(search);
    return good;
}

/* ---- ranking ---- */

/* What has changed against the present pool stays as it is now. */
static void fix_changed(const Reviser *r, Reoptimiser *search, const int *copies)
{
    int64_t *x = distance_solution(&r->distance, copies);
    const Programme *programme = r->loaded->programme;
    for (int j = 0; j < programme->problem.columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        if (column_is_card(column->role) && copies[column->card] != r->distance.from[column->card])
            reoptimiser_column(search, j, x[j], x[j]);
    }
    mem_free(x);
}

static bool rank_next(Reviser *r, int **now, int64_t *fit, int swaps, bool *more)
{
    const Instance *in = r->loaded->instance;
    Reoptimiser *search = ask_within(r, swaps);
    Answer better;
    SearchOptions options = *r->options;
    options.gap_ppm = 0; /* small searches, and their order is what is asked */
    fix_changed(r, search, *now);
    bool good = solve_from(r, search, *now, options, &better, r->diags);
    reoptimiser_free(search);
    *more = false;
    if (!good)
        return false;
    if (better.has_pool && better.check.fit > *fit && !search_cancelled(r->options)) {
        RankedSwap *swap = &r->all->rank[r->all->ranks++];
        swap->gain = better.check.fit - *fit;
        swap->change = pool_changes(in, *now, in, better.copies, &swap->changes);
        swap->spent = spent_on(in, r->distance.from, better.copies) - spent_on(in, r->distance.from, *now);
        memcpy(*now, better.copies, in->cards->count * sizeof **now);
        *fit = better.check.fit;
        *more = true;
    }
    answer_release(&better);
    return true;
}

/* The present pool where it keeps the rules, else the best of those that mend it with the fewest leaving. */
static bool rank_start(Reviser *r, Answer *start)
{
    const size_t cards = r->loaded->instance->cards->count;
    PoolCheck check;
    pool_check(r->loaded->instance, r->distance.from, &check);
    if (check.kept) {
        *start = (Answer){.has_pool = true, .check = check, .copies = mem_new(cards, sizeof *start->copies)};
        memcpy(start->copies, r->distance.from, cards * sizeof *start->copies);
        return true;
    }
    pool_check_release(&check);
    Reoptimiser *search = ask_within(r, r->all->least_swaps);
    bool good = solve_from(r, search, NULL, *r->options, start, r->diags);
    reoptimiser_free(search);
    return good;
}

static bool rank_swaps(Reviser *r, int most)
{
    Revision *all = r->all;
    const size_t cards = r->loaded->instance->cards->count;
    Answer start;
    if (!all->least_exact || most <= all->least_swaps)
        return true;
    if (!rank_start(r, &start))
        return false;
    int *now = mem_new(cards, sizeof *now);
    memcpy(now, start.copies, cards * sizeof *now);
    int64_t fit = start.check.fit;
    int swaps = all->least_swaps;
    bool good = true, more = start.has_pool;
    answer_release(&start);
    all->rank = mem_new(REVISE_RANKS, sizeof *all->rank);
    while (good && more && swaps < most && all->ranks < REVISE_RANKS)
        good = rank_next(r, &now, &fit, ++swaps, &more);
    mem_free(now);
    return good;
}

/* ---- newcomers ---- */

static void force(const Reviser *r, Reoptimiser *search, size_t card, bool in)
{
    const Programme *programme = r->loaded->programme;
    for (int j = 0; j < programme->problem.columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        if (column->card != (long)card || !column_is_card(column->role))
            continue;
        if (!in)
            reoptimiser_column(search, j, 0, 0);
        else if (column->role != COLUMN_BOUGHT)
            reoptimiser_column(search, j, programme->problem.low[j] > 1 ? programme->problem.low[j] : 1,
                               programme->problem.high[j]);
    }
}

static void judge(const Reviser *r, const Answer *best, const Answer *other, Newcomer *newcomer)
{
    const Instance *in = r->loaded->instance;
    const bool is_in = newcomer->kind == NEW_IN;
    if (!other->has_pool || !best->has_bound || !other->has_bound) { /* both have one unless they were stopped */
        newcomer->kind = is_in ? NEW_IN : other->status == ANSWER_INFEASIBLE ? NEW_IMPOSSIBLE : NEW_UNKNOWN;
        newcomer->worth_high = -1; /* nothing to compare with */
        return;
    }
    newcomer->worth_low = best->check.fit - other->bound;
    newcomer->worth_high = best->bound - other->check.fit;
    if (newcomer->worth_low < 0)
        newcomer->worth_low = 0;
    newcomer->change = pool_changes(in, best->copies, in, other->copies, &newcomer->changes);
    if (!is_in) /* near, unless it is proven to cost a tenth of its fit */
        newcomer->kind = newcomer->worth_low * 10 < in->fit[newcomer->card] ? NEW_NEAR : NEW_OUT;
}

static bool judge_newcomers(Reviser *r)
{
    Revision *all = r->all;
    const Instance *in = r->loaded->instance;
    if (r->plan->newcomer == NULL || all->points == 0 || !all->point[all->points - 1].answer.has_pool)
        return true;
    SearchOptions close = *r->options;
    close.gap_ppm = close.gap_ppm < NEWCOMER_GAP ? close.gap_ppm : NEWCOMER_GAP;
    const int swaps = r->plan->has_swaps ? r->plan->swaps : r->distance.copies;
    Reoptimiser *search = ask_within(r, swaps);
    Answer best;
    bool good = solve_from(r, search, all->point[all->points - 1].answer.copies, close, &best, r->diags);
    reoptimiser_free(search);
    if (!good)
        return false;
    all->newcomer = mem_new(REVISE_NEWCOMERS, sizeof *all->newcomer);
    if (!best.has_pool) {
        answer_release(&best);
        return true;
    }
    for (size_t c = 0; c < in->cards->count && good && all->newcomers < REVISE_NEWCOMERS; c++) {
        if (!r->plan->newcomer[c] || search_cancelled(r->options))
            continue;
        Newcomer *newcomer = &all->newcomer[all->newcomers++];
        *newcomer = (Newcomer){.card = c, .kind = best.copies[c] > 0 ? NEW_IN : NEW_OUT};
        if (in->most[c] <= 0 || (best.copies[c] > 0 && in->least[c] > 0)) { /* banned, or kept anyway */
            newcomer->kind = in->most[c] <= 0 ? NEW_IMPOSSIBLE : NEW_IN;
            newcomer->worth_high = -1;
            continue;
        }
        Answer other;
        search = ask_within(r, swaps);
        force(r, search, c, newcomer->kind != NEW_IN);
        close.known_bound = best.has_bound ? best.bound : SEARCH_PLUS_INFINITY;
        good = solve_from(r, search, NULL, close, &other, r->diags);
        reoptimiser_free(search);
        if (good) {
            judge(r, &best, &other, newcomer);
            answer_release(&other);
        }
    }
    answer_release(&best);
    return good;
}

/* ---- */

bool revise_run(const Loaded *loaded, const PoolFile *present, const RevisePlan *plan, const SearchOptions *options,
                Revision *revision, Diags *diags)
{
    *revision = (Revision){.present = present, .knee = -1};
    Reviser r = {.loaded = loaded, .plan = plan, .options = options, .all = revision, .diags = diags};
    distance_init(&r.distance, loaded, present->copies);
    bool good = find_least(&r);
    if (good && !revision->impossible)
        good = plan->has_swaps ? one_point(&r) : draw_curve(&r);
    if (good && revision->impossible) {
        revision->no_pool = !plan->has_spend;
        good = !plan->has_spend || find_money(&r);
    }
    if (good && !revision->impossible) {
        carry_bounds(revision);
        find_knee(revision);
        good = take_all_nearest(&r) && rank_swaps(&r, plan->has_swaps ? plan->swaps : r.distance.copies) &&
               judge_newcomers(&r);
    }
    revision->stopped = search_cancelled(options) || (!revision->impossible && revision->points == 0);
    distance_release(&r.distance);
    if (!good)
        revise_release(revision);
    return good;
}

void revise_release(Revision *revision)
{
    for (size_t k = 0; k < revision->points; k++)
        answer_release(&revision->point[k].answer);
    for (size_t k = 0; k < revision->ranks; k++)
        mem_free(revision->rank[k].change);
    for (size_t k = 0; k < revision->newcomers; k++)
        mem_free(revision->newcomer[k].change);
    mem_free(revision->point);
    mem_free(revision->rank);
    mem_free(revision->newcomer);
    *revision = (Revision){0};
}
