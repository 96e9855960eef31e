/* findings.c - see findings.h.
 *
 * The first screen has a small budget, counted in pivots, so that it stays fast and repeatable: the likeliest limits,
 * the wishes. */
#include "explain/findings.h"

#include "base/sort.h"

#define SCREEN_LIMITS 5
#define WISH_PROBE 8000
#define WISH_RUNS 40  /* forced in; of the others only what is lost for certain is said */
#define WISH_LIMITS 6 /* the nearest: asked for the limit that keeps them out */
#define CONFLICTS 20
#define REPAIR_SHARE 4
#define BESIDE_REPAIR_SHARE 100 /* of the effort, beside a cause that says it all */
#define BESIDE_PROBE 500        /* pivots of a question about what conflicts there */
#define BESIDE_SIDES 6
#define TRIALS 20

static void find_bindings(Explained *out, bool all)
{
    Explain *e = out->explain;
    int *order = mem_new((size_t)e->sides->sides + 1, sizeof *order);
    int count = binding_likeliest(e, order);
    int wanted = all ? count : count < SCREEN_LIMITS ? count : SCREEN_LIMITS;
    Binding *binding = mem_new((size_t)wanted + 1, sizeof *binding);
    for (int k = 0; k < wanted; k++) {
        oracle_tell(e->oracle, "limits", k, wanted);
        binding_find(e, order[k], binding_within(e, order[k]), &binding[k]);
    }
    out->binding = binding;
    out->bindings = (size_t)wanted;
    mem_free(order);
}

typedef struct {
    size_t card;
    int64_t lost; /* for certain */
} Wished;

static int by_lost(const void *a, const void *b)
{
    const Wished *x = a, *y = b;
    if (x->lost != y->lost)
        return x->lost < y->lost ? -1 : 1;
    return x->card < y->card ? -1 : x->card > y->card;
}

static int by_card(const void *a, const void *b)
{
    const Why *x = a, *y = b;
    return x->card < y->card ? -1 : x->card > y->card;
}

/* Wishes are forced in, one run each, the nearest ones' likeliest limit loosened. */
static void find_wishes(Explained *out, size_t runs)
{
    Explain *e = out->explain;
    const Instance *in = e->instance;
    out->wish = mem_new(in->cards->count + 1, sizeof *out->wish);
    Wished *wished = mem_new(in->cards->count + 1, sizeof *wished);
    size_t count = 0;
    oracle_relax(e->oracle);
    for (size_t c = 0; c < in->cards->count; c++)
        if ((in->status[c] & STATUS_WISH) != 0 && e->copies[c] == 0)
            wished[count++] = (Wished){c, why_lost_for_certain(e, c)};
    sort_stable(wished, count, sizeof *wished, by_lost);
    int64_t before = oracle_limit(e->oracle, WISH_PROBE);
    for (size_t k = count; k-- > 0;) { /* the furthest first: they take least */
        WhyAsk ask = {.blame = k < WISH_LIMITS, .quick = true, .most_sides = 1, .far = 1, .no_run = k >= runs};
        oracle_tell(e->oracle, "wishes", (int)(count - k - 1), (int)count);
        why_find(e, wished[k].card, &ask, &out->wish[out->wishes++]);
    }
    oracle_limit(e->oracle, before);
    sort_stable(out->wish, out->wishes, sizeof *out->wish, by_card);
    mem_free(wished);
}

void explained_screen(Explained *out, const ScreenAsk *ask)
{
    Explain *e = out->explain;
    find_bindings(out, ask->all_limits);
    find_wishes(out, ask->all_wishes ? SIZE_MAX : WISH_RUNS);
    if (ask->firmness) {
        firmness_find(e, TRIALS, &out->firmness);
        out->has_firmness = true;
    }
    if (ask->alternatives > 0) {
        alternatives_find(e, ask->alternatives, ask->differ, &out->alternatives);
        out->has_alternatives = true;
    }
}

static void find_reach(Explained *out)
{
    const Instance *in = out->explain->instance;
    out->reach = mem_new(in->limits, sizeof *out->reach);
    limit_reach(in, out->reach);
}

/* More money is the repair, or other prices. */
static bool only_money(const Causes *causes)
{
    bool only = causes_complete(causes);
    for (size_t k = 0; k < causes->causes && only; k++)
        only = causes->cause[k].has_money || (causes->cause[k].kind == CAUSE_CAP && causes->cause[k].sides > 1);
    return only;
}

/* Before any conflict, and each of its two questions with a share of what effort is left: a conflict takes all. */
static void find_repair(Explained *out, int64_t share)
{
    Oracle *oracle = out->explain->oracle;
    const int64_t before = oracle_limit(oracle, oracle_left(oracle) / share + 1);
    repair_find(oracle, &out->repair);
    oracle_limit(oracle, before);
}

/* What else could be blamed or mended where money is the cause: where that is found at once. */
static void beside_money(Explained *out)
{
    Oracle *oracle = out->explain->oracle;
    find_repair(out, BESIDE_REPAIR_SHARE);
    out->has_repair = out->repair.found && out->repair.least;
    const int64_t before = oracle_limit(oracle, BESIDE_PROBE);
    conflict_find(oracle, &out->conflict);
    out->has_conflict = conflict_settled(&out->conflict) && out->conflict.sides <= BESIDE_SIDES;
    oracle_limit(oracle, before);
}

void explained_nothing_fits(Explained *out, bool list)
{
    Explain *e = out->explain;
    find_reach(out);
    causes_find(e, &out->causes);
    out->has_causes = true;
    if (!list && only_money(&out->causes)) {
        beside_money(out);
        return;
    }
    find_repair(out, REPAIR_SHARE);
    out->has_repair = true;
    if (list || !causes_complete(&out->causes)) {
        conflict_find(e->oracle, &out->conflict);
        out->has_conflict = true;
    }
    if (list) {
        conflict_list(e->oracle, CONFLICTS, &out->list);
        out->has_list = true;
    }
}

/* All together first: the single cards use up what effort there is. */
bool explained_cards(Explained *out, const size_t *card, size_t count, const WhyAsk *ask)
{
    bool settled = true;
    find_reach(out);
    together_find(out->explain, card, count, &out->together);
    out->card = mem_new(count + 1, sizeof *out->card);
    for (size_t k = 0; k < count; k++) {
        Why *why = &out->card[out->cards++];
        why_find(out->explain, card[k], ask, why);
        together_learn(&out->together, why);
        settled = settled && why_settled(why);
    }
    return settled && together_settled(&out->together);
}

bool explained_swaps(Explained *out, const size_t *card, size_t count)
{
    Explain *e = out->explain;
    bool settled = true;
    out->swap = mem_new(count + 1, sizeof *out->swap);
    for (size_t k = 0; k < count; k++) {
        if (oracle_cancelled(e->oracle))
            return false;
        Swapped *item = &out->swap[out->swaps++];
        *item = (Swapped){.in = e->copies[card[k]] > 0, .swap = {.card = card[k]}};
        if (!item->in)
            continue;
        oracle_tell(e->oracle, "cards", (int)k, (int)count);
        swap_find(e, card[k], &item->swap);
        settled = settled && swap_settled(&item->swap);
    }
    return settled;
}

void explained_release(Explained *out)
{
    for (size_t k = 0; k < out->bindings; k++)
        binding_release(&out->binding[k]);
    for (size_t k = 0; k < out->wishes; k++)
        why_release(&out->wish[k]);
    for (size_t k = 0; k < out->cards; k++)
        why_release(&out->card[k]);
    for (size_t k = 0; k < out->swaps; k++)
        swap_release(&out->swap[k].swap);
    mem_free(out->card);
    mem_free(out->swap);
    together_release(&out->together);
    mem_free(out->binding);
    mem_free(out->wish);
    causes_release(&out->causes);
    conflict_release(&out->conflict);
    conflict_list_release(&out->list);
    repair_release(&out->repair);
    mem_free(out->reach);
    firmness_release(&out->firmness);
    alternatives_release(&out->alternatives);
    explain_free(out->explain);
    *out = (Explained){0};
}
