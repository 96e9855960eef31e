/* revise_curve.c - the most fit for each number of swaps.
 *
 * The most copies that can stay say how many must leave at least. From there on, along growing numbers of swaps, every
 * pool is a start for the next, and a bound for more swaps is one for fewer. */
#include "whatif/list/revise_inner.h"

#define NEAREST_EFFORT 60000 /* pivots, for the nearest pools of all points together, and for the cheapest of these */

static void count_point(const Reviser *r, RevisePoint *point)
{
    const int kept = distance_kept(&r->distance, point->answer.copies);
    point->out = r->distance.copies - kept;
    point->in = (int)point->answer.check.size - kept;
    point->spent = revise_spent(r->loaded->instance, r->distance.from, point->answer.copies);
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
    revise_limit_swaps(r, search, swaps);
    RevisePoint point = {.swaps = swaps};
    const int *from = all->points > 0 && all->point[all->points - 1].answer.has_pool
                          ? all->point[all->points - 1].answer.copies
                          : NULL;
    if (!revise_solve(r, search, from, options, &point.answer))
        return false;
    if (point.answer.has_pool) {
        count_point(r, &point);
        all->possible = true;
    }
    append_point(r, point);
    return true;
}

/* Where it is not, the first among equals stays, which the order of the swaps names too. */
static bool is_better(const RevisePoint *a, const RevisePoint *b)
{
    const int changes = a->out + a->in, now = b->out + b->in;
    return changes < now || (changes == now && a->spent < b->spent);
}

/* What the search finds takes the point's place where it is better, as far as it is found with this effort. changed: as
 * of revise_tell. Frees the search; NULL: it has numbers too large to be counted. */
static bool take_better(Reviser *r, RevisePoint *point, const int *changed, Reoptimiser *search, int64_t *effort)
{
    SearchOptions options = *r->options;
    Answer better;
    Solved solved;
    if (search == NULL)
        return true;
    int64_t *x = distance_solution(&r->distance, point->answer.copies);
    revise_limit_spend(r, search);
    revise_limit_swaps(r, search, point->swaps);
    if (changed != NULL)
        revise_fix_changed(r, search, changed);
    options.gap_ppm = 0;
    options.start = x;
    options.effort = options.effort > 0 && options.effort < *effort ? options.effort : *effort;
    const bool good = reoptimiser_solve(search, &options, false, &better, &solved, r->diags);
    reoptimiser_free(search);
    mem_free(x);
    if (!good)
        return false;
    *effort -= solved.pivots;
    if (better.has_pool) {
        RevisePoint other = {.answer = better};
        count_point(r, &other);
        if (is_better(&other, point)) {
            exchange_pools(&point->answer, &better);
            count_point(r, point);
        }
    }
    answer_release(&better);
    return true;
}

static bool can_be_better(const Reviser *r, const RevisePoint *point, int64_t effort)
{
    return point->answer.has_pool && point->out + point->in > 0 && effort > 0 && !search_cancelled(r->options);
}

static bool take_nearest(Reviser *r, RevisePoint *point, const int *changed, int64_t *effort)
{
    return !can_be_better(r, point, *effort) ||
           take_better(r, point, changed, distance_nearest(&r->distance, point->answer.check.fit), effort);
}

static bool take_cheapest(Reviser *r, RevisePoint *point, const int *changed, int64_t *effort)
{
    return !can_be_better(r, point, *effort) ||
           take_better(r, point, changed,
                       distance_cheapest(&r->distance, point->answer.check.fit, point->out + point->in), effort);
}

ToldEffort revise_told_effort(void)
{
    return (ToldEffort){NEAREST_EFFORT, NEAREST_EFFORT};
}

/* Nobody changes a card for nothing, nor pays more than it takes. */
bool revise_nearest(Reviser *r)
{
    ToldEffort effort = revise_told_effort();
    bool good = true;
    for (size_t k = 0; k < r->all->points && good; k++)
        good = take_nearest(r, &r->all->point[k], NULL, &effort.nearest);
    for (size_t k = 0; k < r->all->points && good; k++)
        good = take_cheapest(r, &r->all->point[k], NULL, &effort.cheapest);
    return good;
}

bool revise_tell(Reviser *r, RevisePoint *point, const int *changed, ToldEffort *effort)
{
    if (point->answer.has_pool)
        count_point(r, point);
    return take_nearest(r, point, changed, &effort->nearest) && take_cheapest(r, point, changed, &effort->cheapest);
}

bool revise_mended(Reviser *r, int **copies, int64_t *fit)
{
    const Revision *all = r->all;
    const size_t cards = r->loaded->instance->cards->count;
    RevisePoint mended = {.swaps = all->least_swaps};
    const bool told = all->points > 0 && all->point[0].swaps == all->least_swaps;
    ToldEffort effort = revise_told_effort();
    *copies = NULL;
    if (!told) {
        Reoptimiser *search = revise_within(r, all->least_swaps);
        const bool solved = revise_solve(r, search, NULL, *r->options, &mended.answer);
        reoptimiser_free(search);
        if (!solved)
            return false;
    }
    const bool good = told || revise_tell(r, &mended, NULL, &effort);
    const Answer *answer = told ? &all->point[0].answer : &mended.answer;
    if (good && answer->has_pool) {
        *copies = mem_copy(answer->copies, cards, sizeof **copies);
        *fit = answer->check.fit;
    }
    answer_release(&mended.answer);
    return good;
}

/* One by one at first, then in growing strides. */
static int next_swaps(int swaps, int least)
{
    const int further = swaps - least;
    return swaps + (further < 5 ? 1 : further < 20 ? 5 : further / 2);
}

bool revise_curve(Reviser *r)
{
    Revision *all = r->all;
    Reoptimiser *search = revise_within(r, r->distance.copies);
    Answer end;
    bool good = revise_solve(r, search, NULL, *r->options, &end);
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
    revise_limit_spend(r, search);
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

bool revise_one_point(Reviser *r)
{
    Reoptimiser *search = reoptimiser_new(r->loaded, r->distance.problem);
    revise_limit_spend(r, search);
    bool good = add_point(r, search, r->plan->swaps, SEARCH_PLUS_INFINITY);
    reoptimiser_free(search);
    return good;
}
