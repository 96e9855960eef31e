/* revise_rank.c - which swap first.
 *
 * Swap by swap: what has changed stays changed, one more copy may leave, and the best such pool is taken. So the list
 * can be followed from the top and stopped anywhere; its sum may stay below the best pool with as many swaps, which is
 * free to choose otherwise. */
#include "whatif/list/revise_inner.h"

#include <string.h>

void revise_fix_changed(const Reviser *r, Reoptimiser *search, const int *copies)
{
    int64_t *x = distance_solution(&r->distance, copies);
    const Programme *programme = r->loaded->programme;
    for (int j = 0; j < programme->problem.columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        if (!column_is_card(column->role))
            continue;
        const int now = copies[column->card], from = r->distance.from[column->card];
        if (now > from)
            reoptimiser_column(search, j, x[j], programme->problem.high[j]);
        else if (now < from)
            reoptimiser_column(search, j, programme->problem.low[j], x[j]);
    }
    mem_free(x);
}

/* Copies of the present pool that have left. */
static int copies_out(const Reviser *r, const int *now)
{
    return r->distance.copies - distance_kept(&r->distance, now);
}

/* The first swap of a pool that keeps every limit is the same question as the point of one swap. */
static const RevisePoint *asked_already(const Reviser *r, const int *now, int swaps)
{
    const size_t cards = r->loaded->instance->cards->count;
    if (memcmp(now, r->distance.from, cards * sizeof *now) != 0)
        return NULL;
    for (size_t k = 0; k < r->all->points; k++)
        if (r->all->point[k].swaps == swaps && r->all->point[k].answer.status == ANSWER_BEST)
            return &r->all->point[k];
    return NULL;
}

static bool rank_solve(Reviser *r, const int *now, RevisePoint *point)
{
    Reoptimiser *search = revise_within(r, point->swaps);
    SearchOptions options = *r->options;
    options.gap_ppm = 0; /* small searches, and their order is what is asked */
    revise_fix_changed(r, search, now);
    const bool good = revise_solve(r, search, now, options, &point->answer);
    reoptimiser_free(search);
    return good;
}

/* One more swap from `now`, which is changed in place, where one adds fit and is proven the best; else *more is false.
 */
static bool rank_next(Reviser *r, int *now, int64_t *fit, ToldEffort *effort, bool *more)
{
    const Instance *in = r->loaded->instance;
    RevisePoint point = {.swaps = copies_out(r, now) + 1};
    const RevisePoint *known = asked_already(r, now, point.swaps);
    const Answer *better = known != NULL ? &known->answer : &point.answer;
    *more = false;
    if (known == NULL && !rank_solve(r, now, &point))
        return false;
    bool good = true;
    const bool proven = better->status == ANSWER_BEST;
    r->all->rank_ends = proven && better->check.fit <= *fit;
    if (known == NULL && proven && better->check.fit > *fit)
        good = revise_tell(r, &point, now, effort);
    if (good && proven && better->check.fit > *fit) {
        RankedSwap *swap = &r->all->rank[r->all->ranks++];
        swap->gain = better->check.fit - *fit;
        swap->change = pool_changes(in, now, in, better->copies, &swap->changes);
        swap->spent = revise_spent(in, r->distance.from, better->copies) - revise_spent(in, r->distance.from, now);
        memcpy(now, better->copies, in->cards->count * sizeof *now);
        *fit = better->check.fit;
        *more = true;
    }
    answer_release(&point.answer);
    return good;
}

/* The present pool where it keeps the rules, else what mends it: whoever follows the list has that before them. */
static bool rank_start(Reviser *r, int **now, int64_t *fit)
{
    const size_t cards = r->loaded->instance->cards->count;
    PoolCheck check;
    pool_check(r->loaded->instance, r->distance.from, &check);
    const bool kept = check.kept;
    *fit = check.fit;
    pool_check_release(&check);
    if (!kept)
        return revise_mended(r, now, fit);
    *now = mem_copy(r->distance.from, cards, sizeof **now);
    return true;
}

bool revise_rank_swaps(Reviser *r, int most)
{
    Revision *all = r->all;
    int *now;
    int64_t fit;
    if (!all->least_exact || most <= all->least_swaps)
        return true;
    if (!rank_start(r, &now, &fit))
        return false;
    bool good = true, more = now != NULL;
    ToldEffort effort = revise_told_effort();
    all->rank = mem_new(REVISE_RANKS, sizeof *all->rank);
    while (good && more && copies_out(r, now) < most && all->ranks < REVISE_RANKS)
        good = rank_next(r, now, &fit, &effort, &more);
    mem_free(now);
    return good;
}
