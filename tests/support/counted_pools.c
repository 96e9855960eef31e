/* counted_pools.c - what is said of other pools than the best, and of what rules can come to at all, against counting
 * every pool: see counted.h. */
#include <stdlib.h>
#include <string.h>

#include "explain/swaps/alternatives.h"
#include "explain/swaps/swap.h"
#include "explain/conflict/together.h"
#include "programme/count/checker.h"
#include "programme/reach/reach.h"
#include "support/counted.h"

#define SAY(counted, text, got, expected)                                                                              \
    fail_msg("%s: %s: %lld, by counting every pool %lld", (counted)->what, text, (long long)(got),                     \
             (long long)(expected))

static size_t cards_of(const Counted *s)
{
    return s->lab.instance->cards->count;
}

/* Keeps everything, but perhaps the keep of a card. */
static bool is_kept(const Counted *s, const CountedPool *pool, long but_keep)
{
    const SideProblem *sides = s->explain->sides;
    for (int i = 0; i < sides->sides; i++)
        if (pool->over[i] > 0 && !(sides->side[i].limit->kind == LIMIT_KEEP && sides->side[i].limit->card == but_keep))
            return false;
    return true;
}

/* The pool is the answer with one copy of `out` less and one of `in` more (out: only less). */
static bool is_exchange(const Counted *s, const CountedPool *pool, size_t out, size_t in)
{
    for (size_t c = 0; c < cards_of(s); c++)
        if (pool->copies[c] != s->explain->copies[c] - (c == out) + (c == in && in != out))
            return false;
    return true;
}

static void judge_single(const Counted *s, const Swap *swap, size_t in, bool expected, int64_t change)
{
    for (size_t k = 0; k < swap->singles; k++)
        if (swap->single[k].card == in) {
            if (!expected || swap->single[k].fit_change != change)
                SAY(s, "a single swap", swap->single[k].fit_change, expected ? change : -1);
            return;
        }
    if (expected)
        SAY(s, "a single swap is missing", in, change);
}

static void judge_swap(const Counted *s, size_t card, long *statements)
{
    int64_t best = NO_POOL;
    Swap swap;
    swap_find(s->explain, card, &swap);
    for (size_t k = 0; k < s->pools; k++)
        if (s->pool[k].copies[card] < s->explain->copies[card] && s->pool[k].fit > best &&
            is_kept(s, &s->pool[k], (long)card))
            best = s->pool[k].fit;
    if (swap.impossible != (best == NO_POOL))
        SAY(s, "a swap is impossible", swap.impossible, best);
    if (best != NO_POOL && (!range_exact(&swap.loss) || swap.loss.low != s->answer.check.fit - best))
        SAY(s, "loss of a swap", swap.loss.low, s->answer.check.fit - best);
    if (swap.forced) {
        bool *may = calloc(s->pools + 1, sizeof *may);
        for (size_t k = 0; k < s->pools; k++)
            may[k] = s->pool[k].copies[card] < s->explain->copies[card] && is_kept(s, &s->pool[k], (long)card);
        counted_judge_exchange(s, may, &swap.exchange, statements);
        free(may);
    }
    for (size_t in = 0; in < cards_of(s); in++) {
        bool expected = false;
        int64_t change = 0;
        for (size_t k = 0; k < s->pools && !expected && in != card; k++)
            if (is_exchange(s, &s->pool[k], card, in) && is_kept(s, &s->pool[k], (long)card)) {
                expected = true;
                change = s->pool[k].fit - s->answer.check.fit;
            }
        judge_single(s, &swap, in, expected, change);
    }
    *statements += 2;
    swap_release(&swap);
}

/* The first two cards that are out and asked about by nobody. */
static void judge_together(const Counted *s, long *statements)
{
    size_t card[2], count = 0;
    int64_t best = NO_POOL;
    for (size_t c = 0; c < cards_of(s) && count < 2; c++)
        if (s->explain->copies[c] == 0 && s->explain->card[c].first >= 0)
            card[count++] = c;
    Together together;
    if (count < 2)
        return;
    together_find(s->explain, card, count, &together);
    for (size_t k = 0; k < s->pools; k++)
        if (s->pool[k].copies[card[0]] > 0 && s->pool[k].copies[card[1]] > 0 && s->pool[k].fit > best &&
            is_kept(s, &s->pool[k], -1))
            best = s->pool[k].fit;
    if (together.asked) {
        if (together.impossible != (best == NO_POOL))
            SAY(s, "both together are impossible", together.impossible, best);
        if (best != NO_POOL && (!range_exact(&together.loss) || together.loss.low != s->answer.check.fit - best))
            SAY(s, "loss of both together", together.loss.low, s->answer.check.fit - best);
        if (together.forced) {
            bool *may = calloc(s->pools + 1, sizeof *may);
            for (size_t k = 0; k < s->pools; k++)
                may[k] =
                    s->pool[k].copies[card[0]] > 0 && s->pool[k].copies[card[1]] > 0 && is_kept(s, &s->pool[k], -1);
            counted_judge_exchange(s, may, &together.exchange, statements);
            free(may);
        }
        *statements += 1;
    }
    together_release(&together);
}

/* Copies that the other pool lacks. */
static int differing(const Counted *s, const int *copies, const int *from)
{
    int count = 0;
    for (size_t c = 0; c < cards_of(s); c++)
        count += copies[c] > from[c] ? copies[c] - from[c] : 0;
    return count;
}

/* It keeps all limits, and differs from the answer and from the first `known` alternatives. */
static bool is_another(const Counted *s, const CountedPool *pool, const Alternatives *a, size_t known, int differ)
{
    bool differs = differing(s, pool->copies, s->explain->copies) >= differ && is_kept(s, pool, -1);
    for (size_t i = 0; i < known && differs; i++)
        differs = differing(s, pool->copies, a->alternative[i].copies) >= differ;
    return differs;
}

/* Fit of the best of these pools. */
static int64_t next_best(const Counted *s, const Alternatives *a, size_t known, int differ)
{
    int64_t best = NO_POOL;
    for (size_t k = 0; k < s->pools; k++)
        if (s->pool[k].fit > best && is_another(s, &s->pool[k], a, known, differ))
            best = s->pool[k].fit;
    return best;
}

/* Of those as good, the one with the fewest changes from the answer is told. */
static void judge_nearest(const Counted *s, const Alternatives *a, size_t k, int differ, long *statements)
{
    bool *may = calloc(s->pools + 1, sizeof *may);
    for (size_t i = 0; i < s->pools; i++)
        may[i] = is_another(s, &s->pool[i], a, k, differ);
    counted_judge_exchange(s, may, &a->alternative[k].exchange, statements);
    free(may);
}

static void judge_alternatives(const Counted *s, int differ, long *statements)
{
    Alternatives a;
    alternatives_find(s->explain, 2, differ, &a);
    for (size_t k = 0; k < a.count; k++) {
        const int64_t best = next_best(s, &a, k, differ);
        if (!a.alternative[k].best || a.alternative[k].fit != best)
            SAY(s, "another pool", a.alternative[k].fit, best);
        judge_nearest(s, &a, k, differ, statements);
    }
    const int64_t rest = next_best(s, &a, a.count, differ);
    if (a.no_more && rest != NO_POOL)
        SAY(s, "no further pool differs so much", 0, rest);
    if (a.count < 2 && !a.no_more)
        SAY(s, "whether a further pool differs so much is not known", a.count, rest);
    *statements += (long)a.count + a.no_more;
    alternatives_release(&a);
}

/* What a limit counts in pools of the model's size, whatever else they break; keeps and bans hold. */
static void judge_reach(const Counted *s, long *statements)
{
    const Instance *in = s->lab.instance;
    LimitReach *reach = calloc(in->limits, sizeof *reach);
    limit_reach(in, reach);
    for (size_t k = 0; k < s->pools; k++) {
        PoolCheck check;
        bool of_size = true;
        for (int i = 0; i < s->explain->sides->sides && of_size; i++) {
            const Limit *limit = s->explain->sides->side[i].limit;
            of_size = (limit->kind != LIMIT_SIZE && !limit_is_status(limit)) || s->pool[k].over[i] == 0;
        }
        if (!of_size)
            continue;
        pool_check(in, s->pool[k].copies, &check);
        for (size_t u = 0; u < check.uses; u++) {
            const LimitUse *use = &check.use[u];
            const LimitReach *r = &reach[use->limit - in->limit];
            if (r->has_least && use->total < r->least)
                SAY(s, "a limit comes to less than it can", use->total, r->least);
            if (r->has_most && use->total > r->most)
                SAY(s, "a limit comes to more than it can", use->total, r->most);
            if (!r->possible && limit_use_kept(use) && !use->limit->soft)
                SAY(s, "a limit that can't be met is", use->total, r->most);
        }
        pool_check_release(&check);
    }
    *statements += (long)in->limits;
    free(reach);
}

void counted_judge_pools(Counted *s, long *statements)
{
    judge_reach(s, statements);
    if (s->answer.status != ANSWER_BEST)
        return;
    for (size_t c = 0; c < cards_of(s); c++)
        if (s->explain->copies[c] > 0)
            judge_swap(s, c, statements);
    judge_together(s, statements);
    for (int differ = 1; differ <= 2; differ++)
        judge_alternatives(s, differ, statements);
}
