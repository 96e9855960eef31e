/* why_sides.c - which single limits keep a card out, and by how much each would have to be loosened.
 *
 * Not monotone, since a looser limit may lift the other pools more. So an exact ascent: target T = best fit; s = least
 * loosening with the card forced in and fit >= T; the best fit at s without forcing is either T (done: the card is in a
 * best pool) or higher: that is the new T. Each T is reached by a pool, and each s is proven, so no smaller s is
 * overlooked: below s the forced fit is less than T, which the unforced one reaches. */
#include "explain/why_inner.h"

#include "base/sort.h"
#include "explain/binding.h"

#define LOOK_UP 12000 /* pivots of a short look for a better pool with a limit loosened */
#define ASCENT_STEPS 200
#define FURTHER 4       /* sides further away get a quarter of a share */
#define LIKELIEST 10    /* so many are sure of their share of the effort, */
#define TOGETHER 3      /* of which so many are asked by one tree: it is about as long as theirs one by one would be */
#define SHORT_TRY 30000 /* pivots for a question of one of them, before that, */
#define SHORT_MISSES 2  /* until so many are left open */
#define ALL_SHARE 2     /* of the effort that is left, for all that are open together, where all are asked to the end */

/* The best fit known with the side loosened by s and the card free, after a look for more; with so many pivots for the
 * greatest, or any where it is hard, or (0) to the end for any. The card is forced in when this is called, and after.
 */
static int64_t unforced(Explain *e, size_t card, int side, int64_t s, int64_t pivots, bool *best)
{
    int64_t fit;
    explain_unforce(e, card);
    if (pivots > 0) {
        const int64_t before = oracle_limit(e->oracle, pivots);
        const bool any = oracle_is_hard(e->oracle) && e->sides->problem.protections == NULL;
        fit = any ? explain_exceed(e, side, s, best) : explain_climb(e, side, s, best);
        oracle_limit(e->oracle, before);
    } else {
        fit = explain_exceed(e, side, s, best);
    }
    explain_force(e, card, 1, INT32_MAX);
    return fit;
}

/* Raises target and b->units.low in turn by relaxations and short looks, until neither rises. */
static int64_t rise(Explain *e, size_t card, int64_t upto, int64_t target, Blame *b)
{
    for (int k = 0; k < ASCENT_STEPS && !oracle_spent(e->oracle); k++) {
        bool best;
        b->units.low = oracle_line(e->oracle, b->side, b->units.low, upto, target);
        if (b->units.low > upto)
            break;
        int64_t fit = unforced(e, card, b->side, b->units.low, LOOK_UP, &best);
        if (fit <= target)
            break;
        target = fit;
    }
    return target;
}

/* Where that is hard a look goes only so many units further than the next one: to prove that there is nothing takes
 * less than to find what there is further on, and there the target is higher. None when the target has just risen (of
 * cents, a stride), and twice as many as last time when it has not. */
static int64_t units_ahead(int64_t last, bool risen, int64_t stride, int64_t most)
{
    if (risen)
        return stride > 1 ? stride : 0;
    return last < most / 2 ? 2 * last + 1 : most;
}

/* The card is forced in when this is called. Keeps and bans are either there or dropped: one unit.
 * far: units after which the side is given up. True when it was. share: pivots after which no further step is begun. */
static bool ascend(Explain *e, size_t card, int64_t far, int64_t share, Blame *b)
{
    int64_t begun = oracle_used(e->oracle);
    const Side *side = &e->sides->side[b->side];
    int64_t upto = far < side->most ? far : side->most, stride = explain_stride(e, b->side);
    int64_t target = e->best.low; /* the unforced best at units.low is at least this */
    b->kind = BLAME_UNKNOWN;
    int64_t ahead = stride;
    for (int step = 0; step < ASCENT_STEPS && !oracle_spent(e->oracle) && oracle_used(e->oracle) - begun < share;
         step++) {
        const int64_t before = target;
        target = rise(e, card, upto, target, b);
        ahead = units_ahead(ahead, target > before, stride, upto);
        const bool all = !oracle_is_hard(e->oracle) || ahead >= upto - b->units.low;
        const int64_t end = all ? upto : b->units.low + ahead;
        /* Below least.low the forced fit is under the target, which the unforced one reaches. */
        Probe least;
        bool best = false;
        probe_least(e->oracle, b->side, target, b->units.low, end, stride, &least);
        b->units.low = least.low;
        if (least.status == PROBE_NONE)
            b->kind = BLAME_NEVER;
        if (least.x == NULL) {
            probe_release(&least);
            if (b->kind != BLAME_NEVER && end < upto && b->units.low > end)
                continue;
            return b->kind != BLAME_NEVER && b->units.low > far;
        }
        int64_t forced = oracle_value(e->oracle, least.x);
        explain_learn(e, b->side, least.high, least.x, false);
        int64_t fit = unforced(e, card, b->side, least.high, 0, &best);
        bool exact = least.low == least.high;
        if (best && forced >= fit) {
            b->kind = exact ? BLAME_SOLVED : BLAME_RANGE;
            b->units.has_high = true;
            b->units.high = least.high;
        }
        probe_release(&least);
        if (b->units.has_high || !exact || fit <= target)
            return false;
        target = fit;
    }
    return false;
}

/* Loosening in common measure, without priorities: thousandths of a card, of 1.00, of 1 of a column. */
static int64_t blame_weight(const Explain *e, const Blame *b)
{
    const Side *side = &e->sides->side[b->side];
    if (!b->units.has_high)
        return INT64_MAX;
    int64_t unit = 1000;
    if (side->limit->kind == LIMIT_CAP)
        unit = 10;
    else if (side->limit->kind == LIMIT_RULE)
        unit = side->weight >> (9 - side->limit->priority);
    return b->units.high > INT64_MAX / 2 / (unit > 0 ? unit : 1) ? INT64_MAX / 2 : b->units.high * unit;
}

typedef struct {
    Blame blame;
    int64_t key;
} Ranked;

static int by_key(const void *a, const void *b)
{
    const Ranked *x = a, *y = b;
    if (x->blame.kind != y->blame.kind)
        return x->blame.kind < y->blame.kind ? -1 : 1;
    if (x->key != y->key)
        return x->key < y->key ? -1 : 1;
    return x->blame.side - y->blame.side;
}

static void sort_blames(const Explain *e, Blame *blame, size_t count)
{
    Ranked *ranked = mem_new(count + 1, sizeof *ranked);
    for (size_t k = 0; k < count; k++)
        ranked[k] = (Ranked){blame[k], blame_weight(e, &blame[k])};
    sort_stable(ranked, count, sizeof *ranked, by_key);
    for (size_t k = 0; k < count; k++)
        blame[k] = ranked[k].blame;
    mem_free(ranked);
}

typedef struct {
    int side;
    int64_t low;  /* least loosening that was not excluded */
    double share; /* of what the side can be loosened at all: likelier if small */
} Look;

static int by_share(const void *a, const void *b)
{
    const Look *x = a, *y = b;
    if (x->share != y->share)
        return x->share < y->share ? -1 : 1;
    return x->side - y->side;
}

/* What the side takes of the card's fit by the multipliers loaded: a guide to what to ask first, no answer. */
static double share_of_side(const Explain *e, size_t card, int side)
{
    const SearchProblem *p = &e->sides->problem;
    const Side *s = &e->sides->side[side];
    const int column = e->card[card].first;
    double share = 0;
    if (s->row < 0 || oracle_pull(e->oracle, side) <= 0)
        return 0;
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++)
        if (p->row[k] == s->row)
            share += oracle_duals(e->oracle)[p->row[k]] * (double)p->value[k];
    return share;
}

/* Without any loosening the card is in no best pool, if that is proven; else 0 units may do. */
static int64_t nearest(const Why *why)
{
    return why->impossible || (why->loss.has_low && why->loss.low > 0) ? 1 : 0;
}

/* A relaxation of each side first: most are excluded by it. Then the likeliest to the end. */
static int look_at_sides(Explain *e, const WhyAsk *ask, const double *share, Why *why, Look *look)
{
    int looks = 0;
    for (int s = 0; s < e->sides->sides; s++) {
        const Side *side = &e->sides->side[s];
        if (side->most <= 0)
            continue;
        if (ask->quick) {
            if (share[s] > 0)
                look[looks++] = (Look){s, nearest(why), -share[s]};
            continue;
        }
        /* Most of all: where the side has no multiplier, the forced card's bound stands however far it is loosened. */
        if (oracle_excluded(e->oracle, s, side->most, e->best.low)) {
            why->blame[why->blames++] = (Blame){.side = s, .kind = BLAME_NEVER};
            continue;
        }
        double within = (double)binding_within(e, s);
        int64_t low = oracle_line(e->oracle, s, nearest(why), side->most, e->best.low);
        look[looks++] = (Look){s, low, (double)low / (within > 0 ? within : 1)};
    }
    sort_stable(look, (size_t)looks, sizeof *look, by_share);
    return looks;
}

/* A limit of many rows can only be given up as a whole: then the card is in some best pool or not. The card is forced
 * in when this is called, and after. */
static void give_up(Explain *e, size_t card, Blame *b)
{
    Probe forced, free;
    oracle_drop(e->oracle, b->side, true);
    probe_most(e->oracle, e->best.low - e->grain, e->grain, &forced);
    if (forced.status == PROBE_NONE)
        b->kind = BLAME_NEVER;
    if (forced.x != NULL) {
        explain_unforce(e, card);
        probe_most(e->oracle, forced.low, e->grain, &free);
        explain_force(e, card, 1, INT32_MAX);
        if (free.status == PROBE_NONE) {
            b->kind = BLAME_SOLVED;
            b->units = (Range){true, true, 1, 1};
        } else if (free.x != NULL && forced.high < free.low)
            b->kind = BLAME_NEVER;
        probe_release(&free);
    }
    probe_release(&forced);
    oracle_drop(e->oracle, b->side, false);
}

/* What one of so many sides may take, so that a hard one does not leave the others without: twice an even share, which
 * of the last two is less than all. */
static int64_t share_of_effort(const Explain *e, int sides)
{
    int64_t left = oracle_left(e->oracle);
    return left == INT64_MAX || sides <= 1 ? left : 2 * (left / (sides > 2 ? sides : 3));
}

bool why_blame_is_far(const Blame *blame)
{
    return blame->kind == BLAME_UNKNOWN && blame->units.low > blame->within;
}

int64_t why_far_units(const Explain *e, int side, int times)
{
    const int64_t look = binding_within(e, side), within = look > 0 ? look : 1, most = e->sides->side[side].most;
    return times <= 0 || times > INT64_MAX / 2 / within || within * times > most ? most : within * times;
}

static int by_within(const void *a, const void *b)
{
    const Blame *const *x = a, *const *y = b;
    if ((*x)->within != (*y)->within)
        return (*x)->within < (*y)->within ? -1 : 1;
    return (*x)->order - (*y)->order;
}

typedef struct {
    Explain *e;
    size_t card;
    Blame **turn;
    bool *away; /* proven to be further away than was asked so far */
    int count;
} Turns;

/* The k-th to `times` the usual look; share: see ascend. */
static void ask_one(const Turns *turns, int k, int times, int64_t share)
{
    Explain *e = turns->e;
    Blame *b = turns->turn[k];
    const int64_t units = why_far_units(e, b->side, times);
    oracle_tell(e->oracle, "limits", k, turns->count);
    turns->away[k] =
        (units < e->sides->side[b->side].most && b->units.low > units) || ascend(e, turns->card, units, share, b);
}

/* Those from `from` to `end` - 1 to `times` the usual look. only_away: of those that are further away, with a fraction
 * of the effort. */
static void go_round(const Turns *turns, int from, int end, int times, bool only_away, int fraction)
{
    Explain *e = turns->e;
    for (int k = from; k < end; k++) {
        Blame *b = turns->turn[k];
        if (b->kind != BLAME_UNKNOWN || (only_away && !turns->away[k]))
            continue;
        const int left = turns->count - k; /* for those behind `end`, too */
        ask_one(turns, k, times, share_of_effort(e, left < LIKELIEST ? left : LIKELIEST) / fraction);
    }
}

/* What is left of the effort goes to what is open, but no more than `most`. */
static void go_on(const Turns *turns, int end, int times, int64_t most)
{
    Explain *e = turns->e;
    const int64_t begun = oracle_used(e->oracle);
    for (int k = 0; k < end && oracle_left(e->oracle) != INT64_MAX && !oracle_spent(e->oracle); k++) {
        Blame *b = turns->turn[k];
        const int64_t all = oracle_left(e->oracle), own = most - (oracle_used(e->oracle) - begun);
        if (turns->away[k] || b->kind != BLAME_UNKNOWN || own <= 0)
            continue;
        const int64_t half = (own < all ? own : all) / 2 + 1, before = oracle_limit(e->oracle, half);
        ascend(e, turns->card, why_far_units(e, b->side, times), half, b);
        oracle_limit(e->oracle, before);
    }
}

static bool asks_together(const Explain *e, const WhyAsk *ask, int64_t more)
{
    return ask->hard && more > 0 && range_exact(&e->best) && e->sides->problem.protections == NULL;
}

static int first_look(const WhyAsk *ask)
{
    return ask->far == 0 || ask->far > 1 ? 1 : ask->far;
}

/* Most programmes that are hard are not for each question: until some are left open each is tried by itself. */
static void try_shortly(const Turns *turns, int likely, int times)
{
    Explain *e = turns->e;
    const int64_t limit = oracle_limit(e->oracle, SHORT_TRY);
    for (int k = 0, open = 0; k < likely && open < SHORT_MISSES; k++) {
        ask_one(turns, k, times, SHORT_TRY);
        open += turns->turn[k]->kind == BLAME_UNKNOWN && !turns->away[k];
    }
    oracle_limit(e->oracle, limit);
}

/* The likeliest to one look's distance, with more effort, and of these those with few units first: money in cents takes
 * long for a card that is nearly in. Where that may be hard each is tried shortly, and then a few of those that are
 * open are asked together, the likeliest first. */
static void ask_likeliest(const Turns *turns, const int64_t *with, const WhyAsk *ask, int64_t more)
{
    Explain *e = turns->e;
    const int likely = turns->count < LIKELIEST ? turns->count : LIKELIEST, times = first_look(ask);
    const int64_t begun = oracle_used(e->oracle);
    const OracleLimits before = oracle_allow(e->oracle, more);
    if (asks_together(e, ask, more))
        try_shortly(turns, likely, times);
    for (int k = 0, some; asks_together(e, ask, more) && k < likely; k += some) {
        const int64_t left = oracle_left(e->oracle);
        some = likely - k < 2 * TOGETHER ? likely - k : TOGETHER;
        oracle_tell(e->oracle, "limits", k, turns->count);
        why_each(e, turns->card, with, times, left < more ? left : more, turns->turn + k, some);
    }
    sort_stable(turns->turn, (size_t)likely, sizeof *turns->turn, by_within);
    go_round(turns, 0, likely, times, false, 1);
    go_on(turns, likely, times, more - (oracle_used(e->oracle) - begun));
    oracle_take_back(e->oracle, before);
}

/* The others; where all are asked to the end and it is hard, first all together that are open. Then, with some of what
 * is left, those that are further away, and last those that are open. */
static void ask_others(const Turns *turns, const int64_t *with, const WhyAsk *ask, int64_t more)
{
    Explain *e = turns->e;
    const int count = turns->count, likely = count < LIKELIEST ? count : LIKELIEST, times = first_look(ask);
    if (asks_together(e, ask, more) && ask->far == 0) {
        oracle_tell(e->oracle, "limits", likely, count);
        why_each(e, turns->card, with, times, oracle_left(e->oracle) / ALL_SHARE, turns->turn, count);
    }
    go_round(turns, likely, count, times, false, 1);
    if (ask->far != times)
        go_round(turns, 0, count, ask->far, true, ask->far == 0 ? 1 : FURTHER);
    go_on(turns, count, times, INT64_MAX);
}

/* Where tags add fit for the place that a card fills, fit would be counted in another way without the places. */
static bool changes_fit(const Explain *e, const Side *side)
{
    return side->limit->kind == LIMIT_PLACES && e->instance->model->structure->places.by_place;
}

/* The card is forced in when this is called, and after. */
static void give_up_structure(Explain *e, size_t card, Why *why)
{
    for (int s = 0; s < e->sides->sides; s++)
        if (e->sides->side[s].row < 0 && !changes_fit(e, &e->sides->side[s])) {
            Blame b = {.side = s, .kind = BLAME_UNKNOWN, .units = {.has_low = true, .low = 1}, .within = 1};
            give_up(e, card, &b);
            why->blame[why->blames++] = b;
        }
}

void why_ask_sides(Explain *e, size_t card, const int64_t *with, const WhyAsk *ask, Why *why)
{
    size_t sides = (size_t)e->sides->sides + 1;
    Look *look = mem_new(sides, sizeof *look);
    double *share = mem_new(sides, sizeof *share);
    why->blame = mem_new(sides, sizeof *why->blame);
    for (int s = 0; s < e->sides->sides; s++)
        share[s] = share_of_side(e, card, s);
    explain_force(e, card, 1, INT32_MAX);
    if (!ask->quick)
        oracle_relax(e->oracle);
    int looks = look_at_sides(e, ask, share, why, look),
        asked = ask->most_sides == 0 || ask->most_sides > looks ? looks : ask->most_sides;
    Blame *first = &why->blame[why->blames];
    for (int k = 0; k < (ask->quick ? asked : looks); k++)
        why->blame[why->blames++] = (Blame){.side = look[k].side,
                                            .kind = BLAME_UNKNOWN,
                                            .units = {.has_low = true, .low = look[k].low},
                                            .within = binding_within(e, look[k].side),
                                            .order = k + 1};
    const Turns turns = {.e = e,
                         .card = card,
                         .turn = mem_new((size_t)asked + 1, sizeof *turns.turn),
                         .away = mem_new((size_t)asked + 1, sizeof *turns.away),
                         .count = asked};
    for (int k = 0; k < asked; k++)
        turns.turn[k] = &first[k];
    /* Where it is open whether the card costs anything, that is what every side would be asked again. */
    const int64_t more = nearest(why) > 0 ? ask->more : 0;
    ask_likeliest(&turns, with, ask, more);
    if (!ask->quick)
        give_up_structure(e, card, why); /* a question each, so before what is far */
    ask_others(&turns, with, ask, more);
    for (int k = 0; k < asked; k++)
        why->far_off += why_blame_is_far(&first[k]);
    mem_free(turns.away);
    mem_free(turns.turn);
    explain_unforce(e, card);
    sort_blames(e, why->blame, why->blames);
    mem_free(look);
    mem_free(share);
}
