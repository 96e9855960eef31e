/* revise_newcomers.c - what new candidates are worth: each is banned (if it is in) or forced (if it is not), and the
 * difference is what it is worth. */
#include "whatif/list/revise_inner.h"

#define NEWCOMER_GAP 200 /* parts per million, at most */

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

static void compare(const Reviser *r, const Answer *best, const Answer *other, Newcomer *newcomer)
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

/* The search with the newcomer banned or forced, against the best pool. */
static bool judge(const Reviser *r, const Answer *best, int swaps, SearchOptions close, Newcomer *newcomer)
{
    const Instance *in = r->loaded->instance;
    const size_t card = newcomer->card;
    if (in->most[card] <= 0 || (best->copies[card] > 0 && in->least[card] > 0)) { /* banned, or kept anyway */
        newcomer->kind = in->most[card] <= 0 ? NEW_IMPOSSIBLE : NEW_IN;
        newcomer->worth_high = -1;
        return true;
    }
    Answer other;
    Reoptimiser *search = revise_within(r, swaps);
    force(r, search, card, newcomer->kind != NEW_IN);
    close.known_bound = best->has_bound ? best->bound : SEARCH_PLUS_INFINITY;
    const bool good = revise_solve(r, search, NULL, close, &other);
    reoptimiser_free(search);
    if (good) {
        compare(r, best, &other, newcomer);
        answer_release(&other);
    }
    return good;
}

bool revise_judge_newcomers(Reviser *r)
{
    Revision *all = r->all;
    const Instance *in = r->loaded->instance;
    if (r->plan->newcomer == NULL || all->points == 0 || !all->point[all->points - 1].answer.has_pool)
        return true;
    SearchOptions close = *r->options;
    close.gap_ppm = close.gap_ppm < NEWCOMER_GAP ? close.gap_ppm : NEWCOMER_GAP;
    const int swaps = r->plan->has_swaps ? r->plan->swaps : r->distance.copies;
    Reoptimiser *search = revise_within(r, swaps);
    Answer best;
    bool good = revise_solve(r, search, all->point[all->points - 1].answer.copies, close, &best);
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
        good = judge(r, &best, swaps, close, newcomer);
    }
    answer_release(&best);
    return good;
}
