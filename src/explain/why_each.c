/* why_each.c - the same as why_sides.c for many sides at once, where single questions take long.
 *
 * One tree proves of all sides how far each has to be loosened for the card to reach its target, a second that nothing
 * else gains more by that than the target (oracle_each.c). A side where something else does has that fit for its next
 * target: below its loosening the card's fit is less than what the last one reaches. */
#include "explain/why_inner.h"

#define FIRST_SHARE 0.75 /* of the effort, for the trees of the first wave; */
#define LATER_SHARE 0.25 /* and of what is left then, for those of others */
#define MOST_LEVELS 64   /* times the first level: after that all units are asked about, whatever they are worth */

typedef struct {
    Explain *e;
    size_t card;
    const int64_t *with; /* a pool with the card */
    int times;
    Blame **blame;    /* those that are open, [count] */
    SideLeast *asked; /* [count] the same */
    int count;
    int64_t bound; /* of the card's fit, by the relaxation */
    int64_t level; /* how far above that sides are asked about, by their relaxations */
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

/* How far each side has to be loosened for the card to reach the side's target. False: that was not settled. The card
 * is forced in. */
static bool find_forced(Wave *w)
{
    plan_units(w);
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
        Blame *b = w->blame[of[c]];
        if (asked[c].x != NULL) {
            w->asked[of[c]].target = oracle_value(e->oracle, asked[c].x);
            explain_learn(e, asked[c].side, asked[c].need, asked[c].x, false);
            mem_free(asked[c].x);
        } else if (all) {
            b->kind = BLAME_SOLVED;
            b->units = (Range){true, true, asked[c].units, asked[c].units};
        }
    }
    mem_free(asked);
    mem_free(of);
    return all;
}

/* Sides of which it was just proven that they need more than was asked about get more asked about. */
static void raise_level(Wave *w)
{
    bool missed = false;
    for (int k = 0; k < w->count; k++)
        missed = missed || w->asked[k].x == NULL;
    if (missed && w->level < w->most_level)
        w->level += w->level / 2 > w->e->grain ? w->level / 2 : w->e->grain;
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
        good = find_forced(&w) && find_free(&w);
        raise_level(&w);
        keep_open(&w);
    }
    oracle_limit(e->oracle, before);
    mem_free(w.blame);
    mem_free(w.asked);
}
