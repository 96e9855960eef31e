/* ranging.c - each chosen card forced out, each near one forced in.
 *
 * The relaxation's multipliers bound what is lost from below, by an exact evaluation with the one column changed
 * (reduced costs: G. B. Dantzig, D. R. Fulkerson, S. M. Johnson, Operations Research 2(4), 1954), then a relaxation
 * with the card forced; where that is the margin or more the card is sure and needs no search. Pools that were found
 * for one card bound from above what is lost with others. Only between the two is searched, and no further than the
 * margin. What one point of a card's power changes follows from the same numbers: a card leaves as soon as its fit
 * falls by more than is lost without it, and comes in as soon as it rises by more than is lost with it. */
#include "explain/ranging.h"

#include <stdint.h>

#include "base/number.h"
#include "explain/swaps/nearest.h"
#include "explain/swaps/swap.h"

static void judge(Ranging *ranging, int64_t margin)
{
    if (ranging->loss.has_low && ranging->loss.low >= margin)
        ranging->kind = RANGING_SURE;
    else if (ranging->loss.has_high && ranging->loss.high == 0)
        ranging->kind = RANGING_INTERCHANGEABLE;
    else if (ranging->loss.has_low && ranging->loss.low > 0 && ranging->loss.has_high && ranging->loss.high < margin)
        ranging->kind = RANGING_COULD_AS_WELL;
    else
        ranging->kind = RANGING_UNKNOWN;
}

/* Pools that came up so far: one that does without a card, or has it, says what is lost at most, for every card. */
typedef struct {
    int *copies; /* [cards] */
    int64_t *x;  /* [problem.columns] the same as a solution */
    int64_t fit;
} Seen;

typedef struct {
    Seen *seen;
    size_t count, capacity;
} Pools;

static void remember(const Explain *e, const Probe *probe, Pools *pools)
{
    mem_reserve((void **)&pools->seen, &pools->capacity, pools->count + 1, sizeof *pools->seen);
    Seen *seen = &pools->seen[pools->count++];
    seen->copies = mem_new(e->instance->cards->count + 1, sizeof *seen->copies);
    seen->fit = probe->low;
    explain_copies(e, probe->x, seen->copies);
    seen->x = mem_copy(probe->x, (size_t)e->sides->problem.columns, sizeof *seen->x);
}

static const Seen *best_seen(const Pools *pools, const Ranging *ranging)
{
    const Seen *best = NULL;
    for (size_t k = 0; k < pools->count; k++)
        if ((pools->seen[k].copies[ranging->card] > 0) != ranging->in &&
            (best == NULL || pools->seen[k].fit > best->fit))
            best = &pools->seen[k];
    return best;
}

static void take_pool(const Explain *e, const Seen *seen, Ranging *ranging)
{
    exchange_release(&ranging->exchange);
    exchange_between(e->instance->cards->count, e->copies, seen->copies, &ranging->exchange);
    ranging->loss.has_high = true;
    ranging->loss.high = e->best.high > seen->fit ? e->best.high - seen->fit : 0;
}

/* What it is called and whether its score matters is settled, and what is lost is known well enough. */
static bool is_near_enough(const Ranging *ranging, int64_t margin)
{
    return ranging->loss.low > 0 && ranging->loss.high < margin &&
           ranging->loss.high - ranging->loss.low <= margin / 5 &&
           (ranging->loss.high < ranging->point || ranging->loss.low >= ranging->point);
}

/* Where nothing is lost: of the pools that are as good the one that changes least. */
static void approach(Explain *e, Ranging *ranging, const Pools *pools)
{
    const int64_t fit = e->best.low;
    if (ranging->kind != RANGING_INTERCHANGEABLE || exchange_changes(&ranging->exchange) <= 2)
        return;
    for (size_t k = 0; k < pools->count; k++) {
        const Seen *seen = &pools->seen[k];
        if (seen->fit != fit || (seen->copies[ranging->card] > 0) == ranging->in)
            continue;
        explain_force(e, ranging->card, ranging->in ? 0 : 1, ranging->in ? 0 : INT32_MAX);
        exchange_release(&ranging->exchange);
        nearest_exchange(e, fit, seen->x, &ranging->exchange);
        explain_unforce(e, ranging->card);
        return;
    }
}

/* Looks for the best pool with the card forced, if less than margin is lost. */
static void run_card(Explain *e, Ranging *ranging, int64_t margin, Pools *pools)
{
    const Seen *seen = best_seen(pools, ranging);
    int64_t enough = e->best.low - margin, grain = e->grain; /* a fit up to this: sure */
    enough = enough - (enough % grain + grain) % grain;
    bool useful = seen != NULL && seen->fit > enough;
    int64_t known = useful ? seen->fit : enough;
    if (useful)
        take_pool(e, seen, ranging);
    int64_t low = ranging->loss.low;
    if (ranging->loss.has_high && (low >= ranging->loss.high || is_near_enough(ranging, margin)))
        return;
    explain_force(e, ranging->card, ranging->in ? 0 : 1, ranging->in ? 0 : INT32_MAX);
    Probe probe;
    probe_most(e->oracle, known, grain, &probe);
    explain_unforce(e, ranging->card);
    if (probe.high != SEARCH_PLUS_INFINITY && e->best.low - probe.high > low)
        ranging->loss.low = e->best.low - probe.high;
    if (probe.x != NULL) {
        remember(e, &probe, pools);
        take_pool(e, &pools->seen[pools->count - 1], ranging);
    }
    probe_release(&probe);
}

/* Nobody wants to read of two swaps where a single one loses as little. */
static void prefer_one_swap(const Explain *e, Ranging *ranging)
{
    const size_t cards = e->instance->cards->count, card = ranging->card;
    Single best;
    if (!ranging->loss.has_high || exchange_changes(&ranging->exchange) <= 2 || (ranging->in && e->copies[card] != 1) ||
        !(ranging->in ? swap_out(e, card, &best) : swap_in(e, card, &best)))
        return;
    const Seen seen = {.copies = mem_copy(e->copies, cards, sizeof *seen.copies), .fit = e->best.low + best.fit_change};
    seen.copies[card] += ranging->in ? -1 : 1;
    if (best.card != card)
        seen.copies[best.card] += ranging->in ? 1 : -1;
    if (e->best.high - seen.fit <= ranging->loss.high)
        take_pool(e, &seen, ranging);
    mem_free(seen.copies);
}

/* What the relaxation alone proves to be lost, for every card: first with the multipliers of the base, then, where that
 * is not the margin, with its own. */
static void bound_cards(Explain *e, int64_t margin, int64_t *lost)
{
    oracle_relax(e->oracle);
    for (size_t c = 0; c < e->instance->cards->count; c++) {
        lost[c] = 0;
        if (e->card[c].first < 0 || (e->card[c].second >= 0 && e->copies[c] > 0))
            continue;
        bool in = e->copies[c] > 0;
        int64_t high = e->sides->problem.high[e->card[c].first];
        int64_t bound = oracle_bound_column(e->oracle, e->card[c].first, in ? 0 : 1, in ? 0 : high);
        lost[c] = bound == SEARCH_MINUS_INFINITY ? INT64_MAX / 4 : bound < e->best.low ? e->best.low - bound : 0;
    }
    for (size_t c = 0; c < e->instance->cards->count && !oracle_spent(e->oracle); c++) {
        if (e->card[c].first < 0 || lost[c] >= margin)
            continue;
        bool in = e->copies[c] > 0;
        explain_force(e, c, in ? 0 : 1, in ? 0 : INT32_MAX);
        int64_t bound = oracle_bound(e->oracle);
        explain_unforce(e, c);
        int64_t sure = bound == SEARCH_MINUS_INFINITY ? INT64_MAX / 4
                       : bound < e->best.low          ? (int64_t)ceil_div(e->best.low - bound, e->grain) * e->grain
                                                      : 0;
        lost[c] = sure > lost[c] ? sure : lost[c];
    }
}

static bool may_enter(const Explain *e, size_t c)
{
    return e->copies[c] == 0 && e->card[c].first >= 0 && e->instance->most[c] > 0;
}

static void list_cards(const Explain *e, const int64_t *lost, Rangings *f)
{
    size_t cards = e->instance->cards->count;
    f->ranging = mem_new(cards + 1, sizeof *f->ranging);
    for (int in = 1; in >= 0; in--)
        for (size_t c = 0; c < cards; c++) {
            if (!in && may_enter(e, c) && lost[c] >= f->margin && e->free_instance->most[c] > 1)
                f->far_several = f->far_several || lost[c] / e->free_instance->most[c] < f->margin;
            if (in ? e->copies[c] <= 0 : !may_enter(e, c) || lost[c] >= f->margin)
                continue;
            Ranging ranging = {.card = c,
                               .in = in,
                               .several = e->free_instance->most[c] > 1,
                               .point = in ? -instance_points(e->instance, c, -1) : instance_points(e->instance, c, 1),
                               .kind = RANGING_UNKNOWN,
                               .loss = {.has_low = true, .low = lost[c]}};
            if (in && e->instance->least[c] > 0)
                ranging.kind = RANGING_KEPT;
            else
                judge(&ranging, f->margin);
            f->ranging[f->count++] = ranging;
        }
}

/* xorshift64* (S. Vigna, ACM TOMS 42(4), 2016), from a fixed seed. */
static uint64_t next_random(uint64_t *state)
{
    *state ^= *state >> 12;
    *state ^= *state << 25;
    *state ^= *state >> 27;
    return *state * UINT64_C(2685821657736338717);
}

static void shake_scores(Explain *e, int runs, Rangings *f)
{
    size_t cards = e->instance->cards->count;
    int64_t *objective = mem_new((size_t)e->sides->columns + 1, sizeof *objective);
    int64_t *change = mem_new(cards + 1, sizeof *change);
    int *copies = mem_new(cards + 1, sizeof *copies);
    uint64_t state = UINT64_C(0x9E3779B97F4A7C15);
    f->stayed_proven = true;
    for (int r = 0; r < runs && !oracle_spent(e->oracle); r++) {
        for (size_t c = 0; c < cards; c++)
            change[c] = instance_points(e->instance, c, (int)((next_random(&state) >> 33) % 3) - 1);
        for (int j = 0; j < e->sides->columns; j++) {
            ColumnRole role = e->programme->column[j].role;
            bool of_card = role == COLUMN_COPIES || role == COLUMN_OWNED || role == COLUMN_BOUGHT;
            objective[j] = e->sides->objective[j] + (of_card ? change[e->programme->column[j].card] : 0);
        }
        oracle_fit(e->oracle, objective);
        Probe probe;
        probe_best(e->oracle, e->x, SEARCH_PLUS_INFINITY, SEARCH_MINUS_INFINITY, &probe);
        oracle_fit(e->oracle, NULL);
        if (probe.x != NULL) {
            explain_copies(e, probe.x, copies);
            for (size_t c = 0; c < cards; c++) {
                f->of += e->copies[c];
                f->stayed += copies[c] < e->copies[c] ? copies[c] : e->copies[c];
            }
            f->runs++;
            f->stayed_proven = f->stayed_proven && probe.status == PROBE_SOLVED;
        }
        probe_release(&probe);
    }
    mem_free(objective);
    mem_free(change);
    mem_free(copies);
}

void firmness_find(Explain *e, int runs, Rangings *f)
{
    *f = (Rangings){.margin = e->instance->model->power_weight, .scored = e->instance->model->power_weight > 0};
    if (f->margin <= 0)
        f->margin = 1000;
    if (!e->has_pool || !e->best.has_high)
        return;
    int64_t *lost = mem_new(e->instance->cards->count + 1, sizeof *lost);
    bound_cards(e, f->margin, lost);
    list_cards(e, lost, f);
    mem_free(lost);
    Pools pools = {0};
    for (size_t k = 0; k < f->count; k++) {
        oracle_tell(e->oracle, "cards", (int)k, (int)f->count);
        if (f->ranging[k].kind != RANGING_UNKNOWN || oracle_spent(e->oracle))
            continue;
        run_card(e, &f->ranging[k], f->margin, &pools);
        judge(&f->ranging[k], f->margin);
        if (f->ranging[k].kind == RANGING_SURE)
            continue;
        prefer_one_swap(e, &f->ranging[k]);
        judge(&f->ranging[k], f->margin);
    }
    for (size_t k = 0; k < f->count; k++) /* when all are judged: with the effort that is left */
        approach(e, &f->ranging[k], &pools);
    for (size_t k = 0; k < pools.count; k++) {
        mem_free(pools.seen[k].copies);
        mem_free(pools.seen[k].x);
    }
    mem_free(pools.seen);
    if (f->scored)
        shake_scores(e, runs, f);
}

void firmness_release(Rangings *f)
{
    for (size_t k = 0; k < f->count; k++)
        exchange_release(&f->ranging[k].exchange);
    mem_free(f->ranging);
    *f = (Rangings){0};
}

ScoreMatters ranging_score_matters(const Rangings *f, const Ranging *ranging)
{
    if (!f->scored || (ranging->kind == RANGING_KEPT && !ranging->several))
        return SCORE_DOES_NOT;
    if (ranging->kind == RANGING_KEPT) /* how many copies are best may change */
        return SCORE_UNKNOWN;
    if (ranging->loss.has_high && ranging->loss.high < ranging->point)
        return SCORE_MATTERS;
    return !ranging->several && ranging->loss.has_low && ranging->loss.low >= ranging->point ? SCORE_DOES_NOT
                                                                                             : SCORE_UNKNOWN;
}
