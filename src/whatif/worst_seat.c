/* worst_seat.c - see worst_seat.h. */
#include "whatif/worst_seat.h"

#include <math.h>
#include <string.h>

#include "base/sort.h"

/* Pools need not be proven best to be compared at the table. */
#define GAP_PPM 5000
#define MORE_SHARE 5 /* a limit is tightened by so great a part of what it asks for */

typedef struct {
    Instance *instance;
    const Drafting *drafting;
    const Package *package;
    const DraftOptions *options;
    SearchOptions search;
    Diags *diags;
} Trial;

static double variance_of_mean(const Spread *s)
{
    const double times = (double)s->times, deviation = spread_deviation(s);
    return fmax(deviation * deviation, 1 / times) / times;
}

double spread_apart(const Spread *before, const Spread *after)
{
    if (before->times < 2 || after->times < 2)
        return 0;
    return (spread_mean(before) - spread_mean(after)) / sqrt(variance_of_mean(before) + variance_of_mean(after));
}

/* ---- one pool ---- */

typedef struct {
    bool has_pool, impossible;
    bool near; /* proven near the best, or impossible */
} Found;

/* The best pool of the limits as they stand now. False with errors. */
static bool find_pool(const Trial *t, int *copies, Found *found)
{
    Programme *programme = programme_new(t->instance, t->diags);
    Answer answer;
    const bool good = programme != NULL && answer_find(programme, &t->search, &answer, t->diags);
    if (good) {
        *found = (Found){answer.has_pool, answer.status == ANSWER_INFEASIBLE, answer.status != ANSWER_STOPPED};
        memcpy(copies, answer.copies, t->instance->cards->count * sizeof *copies);
        answer_release(&answer);
    }
    programme_free(programme);
    return good;
}

/* What the worst seat misses, in the first set of drafts or in the second. */
static void draft(const Trial *t, const int *copies, bool again, Spread *worst)
{
    DraftOptions options = *t->options;
    Drafts drafts;
    options.first = again ? (uint64_t)options.drafts : 0;
    drafts_run(t->instance, copies, 0, t->drafting, t->package, &options, &drafts);
    *worst = drafts.worst;
    drafts_release(&drafts);
}

/* ---- rules ---- */

/* By how much the limit can ask for more. */
static int64_t more_of(const Limit *limit, const Rule *rule)
{
    const Bounds *b = &limit->bounds;
    if (limit->kind != LIMIT_RULE || limit->member->rule != rule || b->kind != BOUND_ABSOLUTE || !b->has_low ||
        b->low < 1)
        return 0;
    const int64_t more = (b->low + MORE_SHARE - 1) / MORE_SHARE;
    return b->has_high && b->low + more > b->high ? b->high - b->low : more;
}

/* The greatest of it over the rule's members; 0: it cannot. */
static int64_t most_more(const Instance *in, const Rule *rule)
{
    int64_t most = 0;
    for (size_t l = 0; l < in->limits && rule->measure == MEASURE_COUNT; l++) {
        const int64_t more = more_of(&in->limit[l], rule);
        most = more > most ? more : most;
    }
    return most;
}

static bool find_tightened(const Trial *t, const Rule *rule, int *copies, Found *found)
{
    Instance *in = t->instance;
    int64_t *low = mem_new(in->limits, sizeof *low);
    for (size_t l = 0; l < in->limits; l++) {
        low[l] = in->limit[l].bounds.low;
        in->limit[l].bounds.low += more_of(&in->limit[l], rule);
    }
    const bool good = find_pool(t, copies, found);
    for (size_t l = 0; l < in->limits; l++)
        in->limit[l].bounds.low = low[l];
    mem_free(low);
    return good;
}

/* Nothing is told of a rule at which the run was stopped. */
static bool try_rule(const Trial *t, const Rule *rule, WorstSeat *w, int *copies)
{
    const int64_t more = most_more(t->instance, rule);
    Found found;
    TightenedRule tried = {.rule = rule, .more = more};
    if (more == 0)
        return true;
    if (!find_tightened(t, rule, copies, &found))
        return false;
    if (found.has_pool) {
        tried.fit = pool_fit(t->instance, copies);
        draft(t, copies, false, &tried.chosen);
    }
    tried.has_pool = found.has_pool;
    tried.impossible = found.impossible;
    if (search_cancelled(&t->search)) {
        w->stopped = true;
        return true;
    }
    w->near = w->near && found.near;
    w->rule[w->rules++] = tried;
    return true;
}

/* Those with a pool first; then the fewest cards missed, then the more fit. */
static int compare_rules(const void *a, const void *b)
{
    const TightenedRule *p = a, *q = b;
    if (p->has_pool != q->has_pool)
        return p->has_pool ? -1 : 1;
    if (p->chosen.sum != q->chosen.sum)
        return p->chosen.sum < q->chosen.sum ? -1 : 1;
    return p->fit > q->fit ? -1 : p->fit < q->fit;
}

/* The first rule's pool once more, which is found again rather than kept of all. */
static bool draft_again(const Trial *t, WorstSeat *w, int *copies)
{
    Found found;
    if (w->rules == 0 || !w->rule[0].has_pool)
        return true;
    if (!find_tightened(t, w->rule[0].rule, copies, &found))
        return false;
    if (found.has_pool)
        draft(t, copies, true, &w->after_again);
    if (search_cancelled(&t->search)) {
        w->stopped = true;
        w->after_again = (Spread){0};
    }
    return true;
}

static bool try_rules(const Trial *t, WorstSeat *w, int *copies)
{
    const Model *model = t->instance->model;
    w->rule = arena_alloc(w->arena, model->rules, sizeof *w->rule);
    for (size_t r = 0; r < model->rules && !w->stopped; r++)
        if (!try_rule(t, &model->rule[r], w, copies))
            return false;
    sort_stable(w->rule, w->rules, sizeof *w->rule, compare_rules);
    return w->stopped || draft_again(t, w, copies);
}

bool worst_seat_find(Instance *instance, const Drafting *drafting, const Package *package, const DraftOptions *options,
                     const SearchOptions *search, WorstSeat *w, Diags *diags)
{
    *w = (WorstSeat){.arena = arena_new(), .instance = instance, .drafts = options->drafts};
    Trial t = {instance, drafting, package, options, *search, diags};
    Found found;
    t.search.gap_ppm = GAP_PPM;
    t.search.eager = 0;
    int *copies = arena_alloc(w->arena, instance->cards->count, sizeof *copies);
    if (!find_pool(&t, copies, &found))
        return false;
    w->impossible = found.impossible;
    w->near = found.near;
    if (found.has_pool) {
        w->fit = pool_fit(instance, copies);
        draft(&t, copies, false, &w->before);
        draft(&t, copies, true, &w->before_again);
    }
    w->stopped = search_cancelled(&t.search);
    w->has_pool = found.has_pool && !w->stopped;
    return !w->has_pool || try_rules(&t, w, copies);
}

void worst_seat_release(WorstSeat *w)
{
    arena_free(w->arena);
    *w = (WorstSeat){0};
}
