/* pool_summary.c - counting a pool. */
#include "programme/count/pool_summary.h"

#include <string.h>

#include "base/memory.h"
#include "base/number.h"
#include "base/sort.h"

static bool counts_for_theme(const Instance *in, size_t theme, size_t card, const CardTag **tag)
{
    *tag = instance_theme_tag(in, theme, card);
    return *tag != NULL && colours_playable(&in->cards->card[card].colours, in->model->theme[theme].colours);
}

static bool has_other_theme(const Instance *in, size_t theme, size_t card)
{
    for (size_t t = 0; t < in->model->themes; t++)
        if (t != theme && instance_theme_tag(in, t, card) != NULL)
            return true;
    return false;
}

static void sum_theme(const Instance *in, const int *copies, size_t t, ThemeSummary *s)
{
    int128 strength = 0; /* millionths: rounded once, when all are added up */
    for (size_t c = 0; c < in->cards->count; c++) {
        const CardTag *tag;
        if (copies[c] <= 0 || !counts_for_theme(in, t, c, &tag))
            continue;
        s->cards += copies[c];
        if (role_is_enabler(tag->role))
            s->enablers += copies[c];
        if (role_is_payoff(tag->role))
            s->payoffs += copies[c];
        if (in->class[c] == CLASS_GOLD)
            s->gold += copies[c];
        if (has_other_theme(in, t, c))
            s->shared += copies[c];
        strength += (int128)tag->weight * in->model->theme[t].weight * copies[c];
    }
    s->strength = (int64_t)round_div(strength, 1000);
}

static size_t curve_step(int64_t cost)
{
    return cost < 3000 ? 0 : cost < 5000 ? 1 : 2;
}

static void add_to_colour(const Instance *in, size_t c, int copies, int removal_tag, ColourSummary *s)
{
    const Card *card = &in->cards->card[c];
    if (in->class[c] == CLASS_FIXING)
        s->fixing += copies;
    if (in->class[c] != CLASS_MONO)
        return;
    s->mono += copies;
    if (removal_tag >= 0 && card_has_tag(card, removal_tag) != NULL)
        s->removal += copies;
    if (card->has_cost) {
        s->curve[curve_step(card->cost)] += copies;
        s->cost_sum += card->cost * copies;
        s->cost_cards += copies;
    }
}

static void sum_colours(const Instance *in, const int *copies, PoolSummary *s)
{
    int removal = card_tag(in->cards, "removal");
    s->has_removal = removal >= 0;
    for (size_t c = 0; c < in->cards->count; c++) {
        s->has_costs = s->has_costs || in->cards->card[c].has_cost;
        if (copies[c] <= 0)
            continue;
        s->by_class[in->class[c]] += copies[c];
        if (in->unpriced[c])
            s->unpriced += copies[c];
        if (!in->cards->card[c].has_power)
            s->unscored += copies[c];
        ColourMask mask = colours_union(&in->cards->card[c].colours);
        for (size_t k = 0; k < in->model->colours; k++)
            if (mask >> k & 1)
                add_to_colour(in, c, copies[c], removal, &s->colour[k]);
    }
}

static void compare_present(const Instance *in, const int *copies, PoolSummary *s)
{
    exchange_between(in->cards->count, in->present, copies, &s->change);
    for (size_t c = 0; c < in->cards->count; c++)
        s->stay += copies[c] < in->present[c] ? copies[c] : in->present[c];
}

static int by_folded(const void *a, const void *b)
{
    return strcmp(((const WisherSummary *)a)->who.folded, ((const WisherSummary *)b)->who.folded);
}

/* One for each person. */
static void count_wishers(const Instance *in, const int *copies, PoolSummary *s)
{
    size_t all = 0, kept = 0;
    for (size_t k = 0; k < s->wishes; k++)
        all += in->cards->card[s->wish[k]].wishers;
    s->wisher = mem_new(all, sizeof *s->wisher);
    for (size_t k = 0, at = 0; k < s->wishes; k++) {
        const Card *card = &in->cards->card[s->wish[k]];
        for (size_t w = 0; w < card->wishers; w++)
            s->wisher[at++] = (WisherSummary){card->wisher[w], 1, copies[s->wish[k]] > 0};
    }
    sort_stable(s->wisher, all, sizeof *s->wisher, by_folded);
    for (size_t k = 0; k < all; k++)
        if (kept > 0 && by_folded(&s->wisher[kept - 1], &s->wisher[k]) == 0) {
            s->wisher[kept - 1].wishes++;
            s->wisher[kept - 1].in += s->wisher[k].in;
        } else
            s->wisher[kept++] = s->wisher[k];
    s->wishers = kept;
}

static void list_wishes(const Instance *in, const int *copies, PoolSummary *s)
{
    s->wish = mem_new(in->cards->count, sizeof *s->wish);
    for (size_t c = 0; c < in->cards->count; c++) {
        if (!(in->status[c] & STATUS_WISH))
            continue;
        s->wish[s->wishes++] = c;
        s->wishes_in += copies[c] > 0;
    }
    count_wishers(in, copies, s);
}

/* Insertion into the list. */
size_t pool_dearest(const Instance *instance, const int *copies, size_t card[SUMMARY_DEAREST + 1])
{
    size_t count = 0;
    for (size_t c = 0; c < instance->cards->count; c++) {
        if (instance_spend(instance, c, copies[c]) <= 0)
            continue;
        size_t at = count;
        while (at > 0 && instance->price[card[at - 1]] < instance->price[c])
            at--;
        for (size_t k = count; k > at; k--)
            card[k] = card[k - 1];
        card[at] = c;
        if (count < SUMMARY_DEAREST)
            count++;
    }
    return count;
}

void pool_summary(const Instance *instance, const Answer *answer, PoolSummary *summary)
{
    *summary = (PoolSummary){.weakest = -1};
    summary->theme = mem_new(instance->model->themes, sizeof *summary->theme);
    summary->colour = mem_new(instance->model->colours, sizeof *summary->colour);
    for (size_t t = 0; t < instance->model->themes; t++) {
        sum_theme(instance, answer->copies, t, &summary->theme[t]);
        summary->theme[t].left_out = answer->has_pool && !answer->check.chosen[t];
        if (summary->theme[t].left_out || instance->model->theme[t].weight == 0)
            continue;
        if (summary->weakest < 0 || summary->theme[t].strength < summary->theme[summary->weakest].strength)
            summary->weakest = (long)t;
    }
    sum_colours(instance, answer->copies, summary);
    compare_present(instance, answer->copies, summary);
    list_wishes(instance, answer->copies, summary);
    summary->dear = mem_new(SUMMARY_DEAREST + 1, sizeof *summary->dear);
    summary->dears = pool_dearest(instance, answer->copies, summary->dear);
}

void pool_summary_release(PoolSummary *summary)
{
    mem_free(summary->theme);
    mem_free(summary->colour);
    exchange_release(&summary->change);
    mem_free(summary->wish);
    mem_free(summary->wisher);
    mem_free(summary->dear);
    *summary = (PoolSummary){0};
}

/* ---- decks and outliers ---- */

int64_t pool_playable(const Instance *instance, const int *copies, ColourMask deck)
{
    int64_t cards = 0;
    for (size_t c = 0; c < instance->cards->count; c++)
        if (copies[c] > 0 && colours_playable(&instance->cards->card[c].colours, deck))
            cards += copies[c];
    return cards;
}

typedef struct {
    size_t card;
    int64_t power;
} Strong;

static int by_power(const void *a, const void *b)
{
    const Strong *x = a, *y = b;
    if (x->power != y->power)
        return x->power < y->power ? 1 : -1;
    return (x->card > y->card) - (x->card < y->card);
}

long pool_exempt(const Instance *instance, const int *copies, size_t k)
{
    const long card = card_find(instance->cards, instance->model->exempt[k].card.name);
    return card >= 0 && copies[card] > 0 ? card : -1;
}

/* power above mean + 2 deviations: n power - sum > 0 and (n power - sum)^2 > 4 (n sum of squares - sum^2). Powers
 * beyond what fits are no scores. */
size_t *pool_outliers(const Instance *instance, const int *copies, size_t *count)
{
    const CardSet *cards = instance->cards;
    const int64_t limit = INT64_C(1000000000);
    int128 n = 0, sum = 0, squares = 0;
    for (size_t c = 0; c < cards->count; c++) {
        const int64_t power = cards->card[c].power;
        if (copies[c] <= 0 || !cards->card[c].has_power || power > limit || power < -limit)
            continue;
        n += copies[c];
        sum += (int128)power * copies[c];
        squares += (int128)power * power * copies[c];
    }
    Strong *strong = mem_new(cards->count, sizeof *strong);
    size_t found = 0;
    for (size_t c = 0; c < cards->count; c++) {
        const int64_t power = cards->card[c].power;
        const int128 above = n * power - sum;
        if (copies[c] > 0 && cards->card[c].has_power && power <= limit && above > 0 &&
            above * above > 4 * (n * squares - sum * sum))
            strong[found++] = (Strong){c, power};
    }
    sort_stable(strong, found, sizeof *strong, by_power);
    size_t *card = mem_new(found, sizeof *card);
    for (size_t k = 0; k < found; k++)
        card[k] = strong[k].card;
    mem_free(strong);
    *count = found;
    return card;
}
