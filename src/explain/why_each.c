/* why_each.c - the same as why_sides.c for many sides at once, where single questions take long.
 *
 * One tree proves of all sides how far each has to be loosened for the card to reach its target, a second that nothing
 * else gains more by that than the target (oracle_each.c). A side where something else does has that fit for its next
 * target: below its loosening the card's fit is less than what the last one reaches. To see that early is worth a look
 * ahead: a higher target is sooner proven not to be reached. */
#include "explain/why_inner.h"

#define FIRST_SHARE 0.75 /* of the effort, for the trees of the first wave; */
#define LATER_SHARE 0.25 /* and of what is left then, for those of others */
#define AHEAD_SHARE 0.15 /* of a tree's, to look what the best pool gains */
#define MOST_LEVELS 64   /* times the first level: after that all units are asked about, whatever they are worth */

typedef struct {
    Explain *e;
    size_t card;
    const int64_t *with; /* a pool with the card */
    int times;
    Blame **blame;    /* those that are open, [count] */
    SideLeast *asked; /* [count] the same */
    int count;        /* so many are open now */
    int64_t bound;    /* of the card's fit, by the relaxation */
    int64_t level;    /* how far above that sides are asked about, by their relaxations */
    int64_t most_level;
} Wave;

/* Units as many as are worth the same: one side that is loosened much would leave the tree next to no bound. Of some
 * sides relaxations say nothing, so that this would go on unit by unit. */
static void plan_units(Wave *w)
{
    Explain *e = w->e;
    for (int k = 0; k < w->count; k++) {
        SideLeast *asked = &w->asked[k];
        const int64_t upto = why_far_units(e, asked->side, w->times), low = w->blame[k]->units.low;
        const int64_t level = w->bound + asked->target - e->best.low + w->level;
        const int64_t units = w->level < w->most_level ? oracle_line(e->oracle, asked->side, low, upto, level) : upto;
        asked->units = units < upto ? units : upto;
        asked->least = low;
    }
}

/* With what units the best pool, the card free, has more than the side's target: from there on that is the next target,
 * so only fewer are asked about. All of it need not be proven. True: with what is asked about then no side has more. */
static bool look_ahead(Wave *w, int64_t *next)
{
    Explain *e = w->e;
    SideLeast *ahead = mem_copy(w->asked, (size_t)w->count, sizeof *ahead);
    for (int k = 0; k < w->count; k++)
        ahead[k].target += e->grain;
    explain_unforce(e, w->card);
    const int64_t limit = oracle_limit(e->oracle, 0);
    oracle_limit(e->oracle, (int64_t)((double)limit * AHEAD_SHARE) + 1);
    bool all = probe_each(e->oracle, ahead, w->count, false, e->x);
    oracle_limit(e->oracle, limit);
    explain_force(e, w->card, 1, INT32_MAX);
    for (int k = 0; k < w->count; k++) {
        if (ahead[k].x == NULL)
            continue;
        const int64_t fit = oracle_value(e->oracle, ahead[k].x);
        explain_learn(e, ahead[k].side, ahead[k].need, ahead[k].x, false);
        if (ahead[k].need > w->asked[k].least) {
            w->asked[k].units = ahead[k].need - 1;
            next[k] = fit;
        } else {
            w->asked[k].target = fit; /* others may have more than that */
            all = false;
        }
        mem_free(ahead[k].x);
    }
    mem_free(ahead);
    return all;
}

/* How far each side has to be loosened for the card to reach the side's target. False: that was not settled. The card
 * is forced in. */
static bool find_forced(Wave *w)
{
    const bool all = probe_each(w->e->oracle, w->asked, w->count, false, w->with);
    for (int k = 0; k < w->count; k++) {
        Blame *b = w->blame[k];
        const SideLeast *asked = &w->asked[k];
        if (asked->x != NULL)
            explain_learn(w->e, asked->side, asked->need, asked->x, false);
        if (all && asked->need > b->units.low)
            b->units.low = asked->need;
        if (all && asked->x == NULL && asked->units >= w->e->sides->side[asked->side].most)
            b->kind = BLAME_NEVER;
    }
    return all;
}

static void settle(Blame *b, int64_t units)
{
    b->kind = BLAME_SOLVED;
    b->units = (Range){true, true, units, units};
}

/* Of the sides with which the card reaches its target: those where nothing has more fit, loosened so far, are settled;
 * the others get what has for their next target. The card is forced in when this is called, and after. */
static bool find_free(Wave *w)
{
    Explain *e = w->e;
    SideLeast *asked = mem_new((size_t)w->count + 1, sizeof *asked);
    int *of = mem_new((size_t)w->count + 1, sizeof *of), count = 0;
    for (int k = 0; k < w->count; k++)
        if (w->asked[k].x != NULL) {
            of[count] = k;
            asked[count++] = (SideLeast){w->asked[k].side, 1, w->asked[k].need, w->asked[k].target + e->grain, NULL, 0};
        }
    explain_unforce(e, w->card);
    const bool all = probe_each(e->oracle, asked, count, true, e->x);
    explain_force(e, w->card, 1, INT32_MAX);
    for (int c = 0; c < count; c++) {
        if (asked[c].x != NULL) {
            w->asked[of[c]].target = oracle_value(e->oracle, asked[c].x);
            explain_learn(e, asked[c].side, asked[c].need, asked[c].x, false);
            mem_free(asked[c].x);
        } else if (all)
            settle(w->blame[of[c]], asked[c].units);
    }
    mem_free(asked);
    mem_free(of);
    return all;
}

/* Sides of which it was just proven that they need more than was asked about get more asked about. */
static void raise_level(Wave *w)
{
    if (w->level < w->most_level)
        w->level += w->level / 2 > w->e->grain ? w->level / 2 : w->e->grain;
}

/* False: it was not settled. */
static bool one_wave(Wave *w)
{
    int64_t *next = mem_new((size_t)w->count + 1, sizeof *next);
    plan_units(w);
    const bool none_has_more = look_ahead(w, next);
    bool good = find_forced(w), missed = false;
    if (good && !none_has_more)
        good = find_free(w);
    for (int k = 0; k < w->count; k++) {
        if (none_has_more && good && w->asked[k].x != NULL)
            settle(w->blame[k], w->asked[k].need);
        if (w->asked[k].x == NULL && next[k] != 0)
            w->asked[k].target = next[k];
        missed = missed || (w->asked[k].x == NULL && next[k] == 0);
    }
    if (missed)
        raise_level(w);
    mem_free(next);
    return good;
}

static bool is_open(const Wave *w, const Blame *b)
{
    return b->kind == BLAME_UNKNOWN && b->units.low <= why_far_units(w->e, b->side, w->times);
}

static void keep_open(Wave *w)
{
    int left = 0;
    for (int k = 0; k < w->count; k++) {
        mem_free(w->asked[k].x);
        w->asked[k].x = NULL;
        if (!is_open(w, w->blame[k]))
            continue;
        w->blame[left] = w->blame[k];
        w->asked[left++] = w->asked[k];
    }
    w->count = left;
}

void why_each(Explain *e, size_t card, const int64_t *with, int times, int64_t effort, Blame *const *blame, int count)
{
    const int64_t begun = oracle_used(e->oracle);
    Wave w = {.e = e,
              .card = card,
              .with = with,
              .times = times,
              .blame = mem_new((size_t)count + 1, sizeof *w.blame),
              .asked = mem_new((size_t)count + 1, sizeof *w.asked)};
    for (int k = 0; k < count; k++)
        if (is_open(&w, blame[k])) {
            w.blame[w.count] = blame[k];
            w.asked[w.count++] = (SideLeast){.side = blame[k]->side, .target = e->best.low};
        }
    oracle_relax(e->oracle);
    w.bound = oracle_bound(e->oracle);
    const int64_t loss = with != NULL ? e->best.low - oracle_value(e->oracle, with) : 0;
    const int64_t before = oracle_limit(e->oracle, 0);
    double share = FIRST_SHARE;
    w.level = loss > e->grain ? loss : e->grain;
    w.most_level = w.level * MOST_LEVELS;
    for (bool good = w.bound != SEARCH_PLUS_INFINITY && w.bound != SEARCH_MINUS_INFINITY; good && w.count > 1;) {
        const int64_t left = effort - (oracle_used(e->oracle) - begun);
        oracle_limit(e->oracle, left > 0 ? (int64_t)((double)left * share) + 1 : 1);
        share = LATER_SHARE;
        good = one_wave(&w);
        keep_open(&w);
    }
    oracle_limit(e->oracle, before);
    mem_free(w.blame);
    mem_free(w.asked);
}
