/* weigh.c - see weigh.h. */
#include "weigh/weigh.h"

#include <math.h>

#include "base/sort.h"
#include "weigh/deck_counts.h"

#define SURE 3.0          /* so many standard errors: of a thousand cards one or two pass by chance */
#define INTERVAL 1.959964 /* of the normal distribution, 95% both sides; standard tables */
#define PRIOR_DECKS 10    /* whose copies the prior is as strong as */
#define GAMES_LEAST 1
#define TYPICAL_LEAST 8 /* cards of the same colours, else all are looked at */

void weigh_log_odds(double inside, double inside_all, double outside, double outside_all, double prior,
                    double *log_odds, double *error)
{
    const double own = prior * (inside + outside) / (inside_all + outside_all);
    const double in_theme = (inside + own) / (inside_all + prior - inside - own),
                 elsewhere = (outside + own) / (outside_all + prior - outside - own);
    *log_odds = log(in_theme) - log(elsewhere);
    *error = sqrt(1 / (inside + own) + 1 / (outside + own));
}

/* ---- themes ---- */

static int surest_first(const void *a, const void *b)
{
    const Weighed *x = a, *y = b;
    const bool p = x->weight > 0 && !x->seed, q = y->weight > 0 && !y->seed;
    if (p != q)
        return p ? -1 : 1;
    if (p && x->weight != y->weight)
        return x->weight > y->weight ? -1 : 1;
    const double s = x->log_odds / x->error, t = y->log_odds / y->error;
    return s != t ? (s > t ? -1 : 1) : (x->card > y->card) - (x->card < y->card);
}

static void estimate(const DeckCounts *counts, size_t theme, double prior, WeighedTheme *out)
{
    for (size_t k = 0; k < out->cards; k++) {
        Weighed *w = &out->card[k];
        const ThemeCount count = deck_counts_card(counts, theme, w->card);
        w->inside = count.inside;
        w->outside = count.outside;
        weigh_log_odds((double)count.inside, (double)count.inside_all, (double)count.outside, (double)count.outside_all,
                       prior, &w->log_odds, &w->error);
    }
}

static int by_number(const void *a, const void *b)
{
    const double *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

/* The median of log-odds of cards without the tag that need the same colours as card k (NULL: any). *count: how many.
 */
static double median_of(const Instance *in, const WeighedTheme *theme, const Weighed *like, double *value,
                        size_t *count)
{
    *count = 0;
    for (size_t k = 0; k < theme->cards; k++) {
        const Weighed *w = &theme->card[k];
        if (!w->seed &&
            (like == NULL || colours_equal(&in->cards->card[w->card].colours, &in->cards->card[like->card].colours)))
            value[(*count)++] = w->log_odds;
    }
    sort_stable(value, *count, sizeof *value, by_number);
    return *count == 0 ? 0 : (value[(*count - 1) / 2] + value[*count / 2]) / 2;
}

static void find_typical(const Instance *in, WeighedTheme *theme)
{
    double *value = mem_new(theme->cards, sizeof *value);
    bool *known = mem_new(theme->cards, sizeof *known);
    size_t count;
    const double any = median_of(in, theme, NULL, value, &count);
    for (size_t k = 0; k < theme->cards; k++) {
        if (known[k])
            continue;
        const double own = median_of(in, theme, &theme->card[k], value, &count);
        for (size_t i = k; i < theme->cards; i++) {
            if (!colours_equal(&in->cards->card[theme->card[i].card].colours,
                               &in->cards->card[theme->card[k].card].colours))
                continue;
            theme->card[i].typical = count >= TYPICAL_LEAST ? own : any;
            known[i] = true;
        }
    }
    mem_free(known);
    mem_free(value);
}

/* What is sure of it: above the typical card, a standard error less. */
static double sure_part(const Weighed *w)
{
    return w->log_odds - w->typical - w->error;
}

static int64_t tag_weight(const Instance *in, size_t theme, size_t card)
{
    const CardTag *tag = instance_theme_tag(in, theme, card);
    return tag == NULL ? 0 : tag->weight;
}

/* A card that is to the theme what its seeds are gets their average weight, others in proportion, in half points, up to
 * the greatest that some seed has. Without seeds that decks confirm, the surest card gets 3. */
static void propose(const Instance *in, size_t theme, WeighedTheme *out)
{
    double sure = 0, weights = 0, best = 0;
    int64_t most = 0;
    for (size_t k = 0; k < out->cards; k++) {
        const Weighed *w = &out->card[k];
        const int64_t weight = tag_weight(in, theme, w->card);
        if (w->seed && sure_part(w) > 0) {
            sure += sure_part(w);
            weights += (double)weight;
        }
        most = w->seed && weight > most ? weight : most;
        best = sure_part(w) > best ? sure_part(w) : best;
    }
    const double scale = sure > 0 && weights > 0 ? weights / sure : best > 0 ? 3000 / best : 0;
    most = most > 0 ? most : 3000;
    for (size_t k = 0; k < out->cards; k++) {
        Weighed *w = &out->card[k];
        if (w->log_odds - w->typical < SURE * w->error)
            continue;
        const int64_t halves = llround(scale * sure_part(w) / 500);
        if (halves < 1)
            continue; /* sure in many decks, and yet next to nothing */
        w->weight = halves * 500 < most ? halves * 500 : most;
        if (!w->seed) {
            out->proposed++;
            out->top = w->weight > out->top ? w->weight : out->top;
        }
    }
}

typedef struct {
    double by_user, by_decks, rank[2];
} Ranked;

static int by_user(const void *a, const void *b)
{
    const Ranked *x = a, *y = b;
    return (x->by_user > y->by_user) - (x->by_user < y->by_user);
}

static int by_decks(const void *a, const void *b)
{
    const Ranked *x = a, *y = b;
    return (x->by_decks > y->by_decks) - (x->by_decks < y->by_decks);
}

/* Ties share the mean of their ranks. */
static void rank(Ranked *item, size_t count, int which)
{
    sort_stable(item, count, sizeof *item, which == 0 ? by_user : by_decks);
    for (size_t k = 0; k < count;) {
        size_t end = k + 1;
        while (end < count &&
               (which == 0 ? item[end].by_user == item[k].by_user : item[end].by_decks == item[k].by_decks))
            end++;
        for (size_t i = k; i < end; i++)
            item[i].rank[which] = (double)(k + end - 1) / 2;
        k = end;
    }
}

/* Spearman: the correlation of ranks. False: one side says nothing. */
static bool correlate(const Ranked *item, size_t count, double *correlation)
{
    const double mean = (double)(count - 1) / 2;
    double both = 0, own[2] = {0, 0};
    for (size_t k = 0; k < count; k++) {
        both += (item[k].rank[0] - mean) * (item[k].rank[1] - mean);
        for (int w = 0; w < 2; w++)
            own[w] += (item[k].rank[w] - mean) * (item[k].rank[w] - mean);
    }
    if (own[0] <= 0 || own[1] <= 0)
        return false;
    *correlation = both / sqrt(own[0] * own[1]);
    return true;
}

static void compare_seeds(const Instance *in, size_t theme, WeighedTheme *out)
{
    Ranked *item = mem_new(out->cards, sizeof *item);
    size_t seeds = 0;
    for (size_t k = 0; k < out->cards; k++)
        if (out->card[k].seed)
            item[seeds++] = (Ranked){.by_user = (double)tag_weight(in, theme, out->card[k].card),
                                     .by_decks = out->card[k].log_odds};
    if (seeds >= 3) {
        rank(item, seeds, 0);
        rank(item, seeds, 1);
        out->has_agreement = correlate(item, seeds, &out->agreement);
    }
    mem_free(item);
}

static void weigh_theme(const DeckCounts *counts, size_t theme, double prior, Weighing *w)
{
    const Instance *in = w->instance;
    WeighedTheme *out = &w->theme[theme];
    out->decks = deck_counts_of_theme(counts, theme);
    out->card = arena_alloc(w->arena, in->cards->count, sizeof *out->card);
    for (size_t c = 0; c < in->cards->count && out->decks > 0; c++) {
        const ThemeCount count = deck_counts_card(counts, theme, c);
        const int64_t seen = count.inside + count.outside, all = count.inside_all + count.outside_all;
        if (seen > 0 && seen < all && count.inside_all > 0) /* decks of nothing else have no odds */
            out->card[out->cards++] = (Weighed){.card = c, .seed = instance_theme_tag(in, theme, c) != NULL};
    }
    estimate(counts, theme, prior, out);
    find_typical(in, out);
    propose(in, theme, out);
    compare_seeds(in, theme, out);
    sort_stable(out->card, out->cards, sizeof *out->card, surest_first);
}

/* ---- results ---- */

/* Wilson's interval (E. B. Wilson, 1927). */
static void interval(Result *r)
{
    const double n = (double)(r->wins + r->losses), p = (double)r->wins / n, z2 = INTERVAL * INTERVAL;
    const double middle = (p + z2 / (2 * n)) / (1 + z2 / n),
                 half = INTERVAL / (1 + z2 / n) * sqrt(p * (1 - p) / n + z2 / (4 * n * n));
    r->rate = p;
    r->low = middle - half;
    r->high = middle + half;
}

/* Log-odds of winning, half a game added to either side (J. B. S. Haldane, 1956), less those of all; its variance. */
static double effect(const Result *r, double all, double *variance)
{
    const double won = (double)r->wins + .5, lost = (double)r->losses + .5;
    *variance = 1 / won + 1 / lost;
    return log(won / lost) - all;
}

/* How much cards differ beyond chance: the variance, 0 or more. */
static double spread_of(const Weighing *w, double all)
{
    double weights = 0, squares = 0, mean = 0, q = 0;
    for (size_t k = 0; k < w->results; k++) {
        double variance;
        const double e = effect(&w->result[k], all, &variance);
        weights += 1 / variance;
        squares += 1 / (variance * variance);
        mean += e / variance;
    }
    mean /= weights;
    for (size_t k = 0; k < w->results; k++) {
        double variance;
        const double e = effect(&w->result[k], all, &variance);
        q += (e - mean) * (e - mean) / variance;
    }
    const double rest = weights - squares / weights;
    return rest > 0 && q > (double)(w->results - 1) ? (q - (double)(w->results - 1)) / rest : 0;
}

/* Mean and standard deviation of the powers of cards that have results, thousandths. */
static bool powers_of(const Weighing *w, double *mean, double *deviation)
{
    double sum = 0, squares = 0, count = 0;
    for (size_t k = 0; k < w->results; k++) {
        const Card *card = &w->instance->cards->card[w->result[k].card];
        if (!card->has_power)
            continue;
        sum += (double)card->power;
        squares += (double)card->power * (double)card->power;
        count++;
    }
    if (count < 2)
        return false;
    *mean = sum / count;
    const double variance = squares / count - *mean * *mean;
    *deviation = sqrt(variance > 0 ? variance : 0);
    return true;
}

/* Powers are taken to lie as cards' shrunk log-odds of winning do; a card moves where the whole interval of what
 * results make of it lies on one side of its power. */
static void judge_results(Weighing *w)
{
    double mean = 0, deviation = 0;
    const double all = log(((double)w->wins + .5) / ((double)w->losses + .5)), variance = spread_of(w, all);
    w->spread = sqrt(variance);
    if (variance <= 0 || !powers_of(w, &mean, &deviation))
        return;
    for (size_t k = 0; k < w->results; k++) {
        Result *r = &w->result[k];
        const Card *card = &w->instance->cards->card[r->card];
        double own;
        const double e = effect(r, all, &own), share = variance / (variance + own);
        const double power = mean + deviation / w->spread * share * e,
                     error = deviation / w->spread * sqrt(share * own);
        const double by = power - (double)(card->has_power ? card->power : w->instance->model->unscored);
        if (fabs(by) > INTERVAL * error)
            r->points = llround(by / 250) * 250;
    }
}

static int most_first(const void *a, const void *b)
{
    const Result *x = a, *y = b;
    const int64_t p = x->points < 0 ? -x->points : x->points, q = y->points < 0 ? -y->points : y->points;
    return p != q ? (p > q ? -1 : 1) : (x->card > y->card) - (x->card < y->card);
}

static void weigh_results(const DeckCounts *counts, Weighing *w)
{
    w->result = arena_alloc(w->arena, w->instance->cards->count, sizeof *w->result);
    for (size_t c = 0; c < w->instance->cards->count; c++) {
        Result r = {.card = c};
        deck_counts_results(counts, c, &r.wins, &r.losses);
        if (r.wins + r.losses < GAMES_LEAST)
            continue;
        interval(&r);
        w->result[w->results++] = r;
    }
    if (w->results > 1)
        judge_results(w);
    sort_stable(w->result, w->results, sizeof *w->result, most_first);
}

bool weigh_decks(const Instance *in, const char *path, FileStore *files, const WeighOptions *options, Weighing *w,
                 Diags *diags)
{
    *w = (Weighing){.arena = arena_new(), .instance = in};
    DeckCounts *counts = deck_counts_read(in, path, files, options, diags);
    if (counts == NULL)
        return false;
    deck_counts_sum(counts, w->arena, w);
    const double prior = options->prior > 0 ? options->prior : PRIOR_DECKS * (double)w->copies / (double)w->decks;
    w->theme = arena_alloc(w->arena, in->model->themes, sizeof *w->theme);
    for (size_t t = 0; t < in->model->themes; t++)
        weigh_theme(counts, t, prior, w);
    if (w->has_results)
        weigh_results(counts, w);
    deck_counts_free(counts);
    return true;
}

void weighing_release(Weighing *w)
{
    arena_free(w->arena);
    *w = (Weighing){0};
}
