/* explain.c - what all explanations share: the loaded search, forcing of cards. */
#include "explain/explain.h"

#include <string.h>

int range_by_high(const Range *a, const Range *b)
{
    if (a->has_high != b->has_high)
        return a->has_high ? -1 : 1;
    return a->has_high ? (a->high > b->high) - (a->high < b->high) : 0;
}

bool range_exact(const Range *range)
{
    return range->has_low && range->has_high && range->low == range->high;
}

static void take_answer(Explain *e, const Answer *answer)
{
    size_t cards = e->instance->cards->count;
    e->copies = mem_new(cards + 1, sizeof *e->copies);
    e->x = mem_new((size_t)e->sides->problem.columns + 1, sizeof *e->x);
    e->grain = answer->statistics.grain > 0 ? answer->statistics.grain : 1;
    if (answer->has_bound)
        e->best = (Range){.has_high = true, .high = answer->bound};
    if (!answer->has_pool)
        return;
    memcpy(e->copies, answer->copies, cards * sizeof *e->copies);
    e->has_pool = programme_solution(e->programme, e->copies, e->x);
    e->best.has_low = true;
    e->best.low = answer->check.fit;
}

Explain *explain_new(const Instance *instance, const Answer *answer, const ExplainOptions *options, Diags *diags)
{
    Explain *e = mem_new(1, sizeof *e);
    e->instance = instance;
    /* A programme of its own: that of the answer has no column for what is banned and bounds for what is kept, which
     * makes its search the quicker. At 1,400 candidates it takes 6 ms to build, at 5,000 16 ms. */
    e->free_instance = side_free_instance(instance);
    e->programme = programme_new(e->free_instance, diags);
    if (e->programme == NULL) {
        explain_free(e);
        return NULL;
    }
    e->sides = side_problem_new(e->programme, instance);
    const char *trouble = search_problem_trouble(&e->sides->problem);
    if (trouble != NULL) {
        diag_error(diags, (SourcePos){.file = instance->model->path},
                   "the numbers are too large to be explained exactly: %s", trouble);
        explain_free(e);
        return NULL;
    }
    e->oracle = oracle_new(e->sides, options);
    e->card = card_columns_new(e->programme);
    take_answer(e, answer);
    return e;
}

bool explain_prove(Explain *e, int64_t pivots)
{
    if (!e->has_pool || !e->best.has_low || range_exact(&e->best))
        return range_exact(&e->best);
    int64_t before = oracle_limit(e->oracle, pivots);
    Probe probe;
    oracle_relax(e->oracle);
    probe_most(e->oracle, e->best.low, e->grain, &probe);
    oracle_limit(e->oracle, before);
    if (probe.high != SEARCH_PLUS_INFINITY && (!e->best.has_high || probe.high < e->best.high)) {
        e->best.has_high = true;
        e->best.high = probe.high > e->best.low ? probe.high : e->best.low;
    }
    probe_release(&probe);
    return range_exact(&e->best);
}

void explain_free(Explain *e)
{
    if (e == NULL)
        return;
    for (size_t k = 0; k < e->memos; k++)
        mem_free(e->memo[k].x);
    mem_free(e->memo);
    nearest_free(e->nearest);
    oracle_free(e->oracle);
    side_problem_free(e->sides);
    programme_free(e->programme);
    side_free_instance_free(e->free_instance);
    mem_free(e->copies);
    mem_free(e->x);
    mem_free(e->card);
    mem_free(e);
}

void explain_force(Explain *e, size_t card, int least, int most)
{
    const SearchProblem *p = &e->sides->problem;
    const int first = e->card[card].first, second = e->card[card].second;
    if (first < 0)
        return;
    int64_t room = p->high[first];
    int64_t first_most = most < room ? most : room, first_least = least < room ? least : room;
    oracle_column(e->oracle, first, first_least, first_most);
    if (second >= 0) { /* no more copies than there are */
        const int64_t more = most > room ? most - room : 0;
        oracle_column(e->oracle, second, least > room ? least - room : 0,
                      more < p->high[second] ? more : p->high[second]);
    }
}

void explain_unforce(Explain *e, size_t card)
{
    const SearchProblem *p = &e->sides->problem;
    if (e->card[card].first >= 0)
        oracle_column(e->oracle, e->card[card].first, p->low[e->card[card].first], p->high[e->card[card].first]);
    if (e->card[card].second >= 0)
        oracle_column(e->oracle, e->card[card].second, p->low[e->card[card].second], p->high[e->card[card].second]);
}

void explain_above(Explain *e, Probe *probe)
{
    while (probe->status == PROBE_RANGE && !oracle_spent(e->oracle)) {
        Probe more;
        probe_most(e->oracle, probe->low, e->grain, &more);
        const int64_t high = more.status == PROBE_NONE ? probe->low : more.high < probe->high ? more.high : probe->high;
        if (more.x == NULL) {
            probe->status = high <= probe->low ? PROBE_SOLVED : PROBE_RANGE;
            probe->high = high;
            probe_release(&more);
            return;
        }
        probe_release(probe);
        *probe = more;
        probe->high = high;
    }
}

void explain_most(Explain *e, Probe *probe)
{
    probe_most(e->oracle, SEARCH_MINUS_INFINITY, e->grain, probe);
    explain_above(e, probe);
    if (probe->x != NULL || probe->status == PROBE_NONE)
        return;
    int64_t bound = probe->high;
    probe_best(e->oracle, NULL, bound, SEARCH_MINUS_INFINITY, probe);
}

void explain_copies(const Explain *e, const int64_t *x, int *copies)
{
    programme_copies(e->programme, x, copies);
}

void explain_exchange(const Explain *e, const int64_t *x, Exchange *exchange)
{
    size_t cards = e->instance->cards->count;
    int *copies = mem_new(cards + 1, sizeof *copies);
    explain_copies(e, x, copies);
    exchange_between(cards, e->copies, copies, exchange);
    mem_free(copies);
}

Range explain_loss(const Explain *e, const Probe *probe)
{
    Range loss = {0};
    if (e->best.has_low && probe->high != SEARCH_PLUS_INFINITY && probe->high != SEARCH_MINUS_INFINITY) {
        loss.has_low = true;
        loss.low = e->best.low > probe->high ? e->best.low - probe->high : 0;
    }
    if (e->best.has_high && probe->low != SEARCH_MINUS_INFINITY) {
        loss.has_high = true;
        loss.high = e->best.high > probe->low ? e->best.high - probe->low : 0;
    }
    return loss;
}

int explain_status_side(const Explain *e, size_t card, LimitKind kind)
{
    for (int s = 0; s < e->sides->sides; s++)
        if (e->sides->side[s].limit->kind == kind && e->sides->side[s].limit->card == (long)card)
            return s;
    return -1;
}

Bounds side_bounds(const Side *side)
{
    Bounds bounds = side->limit->bounds;
    bounds.has_low = side->low;
    bounds.has_high = !side->low;
    return bounds;
}
