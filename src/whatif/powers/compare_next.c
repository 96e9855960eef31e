/* compare_next.c - the next question whose answer changes the best pool.
 *
 * The pool P is best by the powers as proposed until now. Let i be in it and o not, let P' be P with one copy of o for
 * one of i, and let P' meet every limit. Of the two answers
 *   - "rather i" leaves P best, if it changes no power, or raises only cards that are in P with all copies they may
 *     have and lowers only cards that are not in it (and nothing but fit looks at powers): then no other pool gains
 *     more;
 *   - "rather o" makes P' better than P, which is counted from cards and model with the powers that this answer gives.
 * So the best pool after one answer is not best after the other: proven, without a search. The pairs are tried nearest
 * first, by what is lost in fit with the exchange and by how far apart the two cards are: there the answer is least
 * known beforehand, and right answers gain most. Among pairs that are equally near cards come first that were asked
 * about least. */
#include "base/memory.h"
#include "base/sort.h"
#include "whatif/powers/compare_inner.h"

#define TRIED_MOST 64

typedef struct {
    uint32_t in, out; /* cards; there may be millions of pairs */
    int32_t times;    /* either was asked about */
    int64_t gap;      /* millionths by which the one in is worth more, at least 0 */
    int64_t loss;     /* millionths */
    int64_t key;      /* the greater of the two */
} Pair;

typedef struct {
    const Compare *compare;
    const Instance *in; /* by the proposed powers */
    int128 unit;        /* what a grain of power is worth, millionths */
    bool only_fit;      /* nothing but fit looks at powers */
    int32_t *times;     /* [cards] asked about */
    Pair *pair;
    size_t pairs, capacity;
} Hunt;

static bool looks_at_power(const Filter *filter)
{
    for (size_t k = 0; k < filter->tests; k++)
        if (filter->test[k].field == FIELD_POWER || filter->test[k].field == FIELD_FIT)
            return true;
    return false;
}

static bool is_only_fit(const Model *model)
{
    bool looks = model->has_fixing && looks_at_power(&model->fixing);
    for (size_t r = 0; r < model->rules; r++) {
        const Rule *rule = &model->rule[r];
        looks = looks || rule->measure == MEASURE_POWER || rule->measure == MEASURE_FIT ||
                looks_at_power(&rule->where) || (rule->has_of && looks_at_power(&rule->of));
    }
    for (size_t p = 0; p < model->patterns; p++)
        looks = looks || looks_at_power(&model->pattern[p].where);
    return !looks;
}

static bool was_asked(const Compare *compare, size_t a, size_t b)
{
    for (size_t k = 0; k < compare->count; k++)
        if ((compare->asked[k].first == a && compare->asked[k].second == b) ||
            (compare->asked[k].first == b && compare->asked[k].second == a))
            return true;
    return false;
}

static int order_of(int64_t a, int64_t b)
{
    return a < b ? -1 : a > b;
}

static int by_names(const Pair *x, const Pair *y)
{
    if (x->in != y->in)
        return x->in < y->in ? -1 : 1;
    return x->out < y->out ? -1 : x->out > y->out;
}

static int by_gap(const void *a, const void *b)
{
    const Pair *x = a, *y = b;
    const int order = order_of(x->gap, y->gap);
    return order != 0 ? order : by_names(x, y);
}

static int by_key(const void *a, const void *b)
{
    const Pair *x = a, *y = b;
    int order = order_of(x->key, y->key);
    order = order != 0 ? order : order_of(x->times, y->times);
    return order != 0 ? order : by_names(x, y);
}

/* Pairs of cards that are near each other, the nearest first. A pair of which the one that is out is worth more by a
 * grain is no question: more of that changes nothing, and less keeps it out. */
static void list_pairs(Hunt *h)
{
    const int *copies = h->compare->best.copies;
    const size_t cards = h->in->cards->count;
    int128 *worth = mem_new(cards + 1, sizeof *worth);
    const int128 point = (int128)h->in->model->power_weight * 1000, near = point > h->unit ? point : h->unit;
    for (size_t c = 0; c < cards; c++)
        worth[c] = compare_worth(h->in, c);
    for (size_t i = 0; i < cards; i++)
        for (size_t o = 0; o < cards && copies[i] > h->in->least[i]; o++) {
            const int128 gap = worth[i] - worth[o];
            if (o == i || copies[o] >= h->in->most[o] || gap <= -h->unit || gap > near || was_asked(h->compare, i, o))
                continue;
            mem_reserve((void **)&h->pair, &h->capacity, h->pairs + 1, sizeof *h->pair);
            h->pair[h->pairs++] = (Pair){.in = (uint32_t)i,
                                         .out = (uint32_t)o,
                                         .times = h->times[i] + h->times[o],
                                         .gap = gap > 0 ? (int64_t)gap : 0};
        }
    mem_free(worth);
    sort_stable(h->pair, h->pairs, sizeof *h->pair, by_gap);
}

/* Those whose exchange meets every limit, the nearest first; the others are dropped. No more than are tried. */
static void price_pairs(Hunt *h)
{
    PoolCheck base;
    PoolCount *count = pool_count_new(h->in, h->compare->best.copies);
    size_t kept = 0, sure = 0; /* sure: none of those that follow stands before them */
    pool_count_check(count, &base);
    for (size_t k = 0; k < h->pairs && sure < TRIED_MOST; k++) {
        Pair pair = h->pair[k];
        pool_count_change(count, pair.in, -1);
        pool_count_change(count, pair.out, 1);
        PoolCheck check = {0};
        if (!pool_count_breaks(count)) {
            pool_count_check(count, &check);
            pair.loss = (base.fit - check.fit) * 1000;
            pair.key = pair.loss > pair.gap ? pair.loss : pair.gap;
            if (check.kept)
                h->pair[kept++] = pair;
            pool_check_release(&check);
        }
        pool_count_change(count, pair.out, -1);
        pool_count_change(count, pair.in, 1);
        if (k + 1 < h->pairs && h->pair[k + 1].gap > pair.gap) {
            sure = 0;
            for (size_t j = 0; j < kept; j++)
                sure += h->pair[j].key <= pair.gap;
        }
    }
    pool_check_release(&base);
    pool_count_free(count);
    h->pairs = kept;
    sort_stable(h->pair, h->pairs, sizeof *h->pair, by_key);
}

/* The powers if the pair is answered so; false: that would go round in a circle. */
static bool propose(const Hunt *h, const Pair *pair, bool rather_in, Feedback *proposal)
{
    const Compare *compare = h->compare;
    Comparison asked[COMPARE_MOST];
    for (size_t k = 0; k < compare->count; k++)
        asked[k] = compare->asked[k];
    asked[compare->count] = (Comparison){
        .first = rather_in ? pair->in : pair->out, .second = rather_in ? pair->out : pair->in, .answer = PREFERS_FIRST};
    return compare_propose(compare, asked, compare->count + 1, proposal);
}

/* Does the pool stay best with these powers? True: proven. */
static bool stays_best(const Hunt *h, const Feedback *proposal)
{
    const Compare *compare = h->compare;
    for (size_t k = 0; k < proposal->cards; k++) {
        const size_t c = proposal->card[k].card;
        const int64_t before = compare_power(compare, &compare->proposal, c), after = proposal->card[k].after;
        if (after == before)
            continue;
        if (!h->only_fit || compare->best.copies[c] != (after > before ? h->in->most[c] : 0))
            return false;
    }
    return true;
}

/* By how much the exchange is better with these powers, millionths; an estimate where playability counts. */
static int128 gain_of(const Hunt *h, const Pair *pair, const Feedback *proposal)
{
    const int64_t out = compare_power(h->compare, proposal, pair->out) -
                        compare_power(h->compare, &h->compare->proposal, pair->out),
                  in = compare_power(h->compare, proposal, pair->in) -
                       compare_power(h->compare, &h->compare->proposal, pair->in);
    return (int128)h->in->model->power_weight * ((int128)out - in) - pair->loss;
}

/* Counted anew with these powers: is the exchanged pool better than the pool? */
static bool is_better(const Hunt *h, const Pair *pair, const Feedback *proposal, Diags *diags)
{
    const int *copies = h->compare->best.copies;
    Instance *in = feedback_instance(h->compare->loaded, proposal, diags);
    if (in == NULL)
        return false;
    const size_t cards = in->cards->count;
    int *other = mem_new(cards + 1, sizeof *other);
    for (size_t c = 0; c < cards; c++)
        other[c] = copies[c] + (c == pair->out) - (c == pair->in);
    PoolCheck was, now;
    pool_check(in, copies, &was);
    pool_check(in, other, &now);
    const bool better = now.kept && (!was.kept || now.fit > was.fit);
    pool_check_release(&was);
    pool_check_release(&now);
    mem_free(other);
    instance_free(in);
    return better;
}

static bool changes_the_pool(const Hunt *h, const Pair *pair, Diags *diags)
{
    Feedback as_is = {0}, other = {0};
    bool changes = propose(h, pair, true, &as_is) && stays_best(h, &as_is) && propose(h, pair, false, &other) &&
                   gain_of(h, pair, &other) > -h->unit && is_better(h, pair, &other, diags);
    feedback_release(&as_is);
    feedback_release(&other);
    return changes;
}

bool compare_next(const Compare *compare, Comparison *next, Diags *diags)
{
    Hunt h = {.compare = compare, .in = compare->now};
    bool found = false;
    h.unit = (int128)h.in->model->power_weight * compare->grain;
    if (!compare_proven(compare) || compare->count >= COMPARE_MOST || h.unit <= 0)
        return false;
    h.only_fit = is_only_fit(h.in->model);
    h.times = mem_new(h.in->cards->count + 1, sizeof *h.times);
    for (size_t k = 0; k < compare->count; k++) {
        h.times[compare->asked[k].first]++;
        h.times[compare->asked[k].second]++;
    }
    list_pairs(&h);
    price_pairs(&h);
    for (size_t k = 0; k < h.pairs && k < TRIED_MOST && !found && !search_cancelled(&compare->search); k++) {
        const Pair *pair = &h.pair[k];
        const bool in_first = pair->in < pair->out;
        found = changes_the_pool(&h, pair, diags);
        *next = (Comparison){in_first ? pair->in : pair->out, in_first ? pair->out : pair->in, PREFERS_NEITHER};
    }
    mem_free(h.times);
    mem_free(h.pair);
    return found;
}
