/* revise.c - see revise.h.
 *
 * The least that must leave, and for too little money the least that must be spent, each by one search. Then the curve
 * (revise_curve.c), the order of swaps (revise_rank.c) and what newcomers are worth (revise_newcomers.c). */
#include "whatif/list/revise_inner.h"

#include "whatif/frontier/frontier.h"

/* ---- questions ---- */

void revise_limit_spend(const Reviser *r, Reoptimiser *search)
{
    if (r->plan->has_spend)
        reoptimiser_row(search, r->distance.enter_row, SEARCH_MINUS_INFINITY, r->plan->spend);
}

void revise_limit_swaps(const Reviser *r, Reoptimiser *search, int swaps)
{
    reoptimiser_row(search, r->distance.kept_row, r->distance.copies - swaps, SEARCH_PLUS_INFINITY);
}

Reoptimiser *revise_within(const Reviser *r, int swaps)
{
    Reoptimiser *search = reoptimiser_new(r->loaded, r->distance.problem);
    revise_limit_spend(r, search);
    revise_limit_swaps(r, search, swaps);
    return search;
}

int64_t revise_spent(const Instance *in, const int *from, const int *copies)
{
    int64_t sum = 0;
    for (size_t c = 0; c < in->cards->count; c++) {
        const int room = from[c] > in->cards->card[c].owned ? from[c] : in->cards->card[c].owned;
        if (copies[c] > room)
            sum += (copies[c] - room) * instance_buy_price(in, c);
    }
    return sum;
}

bool revise_solve(const Reviser *r, Reoptimiser *search, const int *from, SearchOptions options, Answer *answer)
{
    Solved solved;
    int64_t *x = from != NULL ? distance_solution(&r->distance, from) : NULL;
    options.start = x;
    bool good = reoptimiser_solve(search, &options, true, answer, &solved, r->diags);
    mem_free(x);
    return good;
}

/* ---- the least that must leave ---- */

static bool find_least(Reviser *r)
{
    SearchOptions exact = *r->options;
    exact.gap_ppm = 0;
    Reoptimiser *search = distance_question(&r->distance, DISTANCE_KEPT);
    revise_limit_spend(r, search);
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
        revise_limit_swaps(r, search, swaps);
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
        all->enough_spend = revise_spent(r->loaded->instance, r->distance.from, cheap.copies);
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

/* ---- all of it ---- */

/* What more swaps prove holds for fewer. */
static void carry_bounds(Revision *all)
{
    for (size_t k = all->points; k-- > 1;)
        if (all->point[k].answer.has_bound)
            answer_lower_bound(&all->point[k - 1].answer, all->point[k].answer.bound);
}

static void find_knee(Revision *all)
{
    CurvePoint *point = mem_new(all->points, sizeof *point);
    for (size_t k = 0; k < all->points; k++)
        point[k] = curve_point(all->point[k].swaps, &all->point[k].answer);
    all->knee = curve_knee(point, all->points);
    mem_free(point);
}

bool revise_run(const Loaded *loaded, const PoolFile *present, const RevisePlan *plan, const SearchOptions *options,
                Revision *revision, Diags *diags)
{
    *revision = (Revision){.present = present, .knee = -1};
    Reviser r = {.loaded = loaded, .plan = plan, .options = options, .all = revision, .diags = diags};
    distance_init(&r.distance, loaded, present->copies);
    bool good = find_least(&r);
    if (good && !revision->impossible)
        good = plan->has_swaps ? revise_one_point(&r) : revise_curve(&r);
    if (good && revision->impossible) {
        revision->no_pool = !plan->has_spend;
        good = !plan->has_spend || find_money(&r);
    }
    if (good && !revision->impossible) {
        carry_bounds(revision);
        find_knee(revision);
        good = revise_nearest(&r) && revise_rank_swaps(&r, plan->has_swaps ? plan->swaps : r.distance.copies) &&
               revise_judge_newcomers(&r);
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
