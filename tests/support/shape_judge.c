/* shape_judge.c - what a pool is worth, by trying every choice of themes and every filling of places: see shape.h. */
#include "shape.h"

#include <stdlib.h>
#include <string.h>

__extension__ typedef __int128 Big;

static int64_t rounded(Big number, Big by)
{
    return (int64_t)(number >= 0 ? (2 * number + by) / (2 * by) : -((-2 * number + by) / (2 * by)));
}

static int decks(const Shape *s, int card)
{
    int count = 0;
    for (unsigned deck = 0; deck < 1U << s->colours; deck++) {
        if (__builtin_popcount(deck) != s->deck) {
            continue;
        }
        unsigned paid = card < 0 ? 0 : s->card[card].colours & deck;
        bool can = card < 0 || s->card[card].colours == 0 ||
                   (s->card[card].either ? paid != 0 : paid == s->card[card].colours);
        count += can;
    }
    return count;
}

/* Thousandths from millionths, less what can't be played. */
static int64_t shared_out(const Shape *s, int card, int64_t millionths)
{
    Big all = decks(s, -1), can = decks(s, card);
    return rounded((Big)millionths * (100 * all - s->playable * (all - can)), 1000 * 100 * all);
}

static unsigned theme_colours(const Shape *s, int theme)
{
    return s->theme[theme].colours != 0 ? s->theme[theme].colours : (1U << s->colours) - 1;
}

static bool playable_in(const Shape *s, int card, int theme)
{
    const ShapeCard *c = &s->card[card];
    unsigned paid = c->colours & theme_colours(s, theme);
    return c->tagged[theme] && (c->colours == 0 || (c->either ? paid != 0 : paid == c->colours));
}

/* Is the card a mono card of the colour? */
static bool fills(const Shape *s, int card, int colour)
{
    return s->card[card].colours == 1U << colour;
}

/* Places of the theme in the colour. */
static int places_of(const Shape *s, int colour, int theme)
{
    bool own = (s->theme[theme].colours >> colour & 1) != 0;
    if (!s->places || (!own && !(s->theme[theme].colours == 0 && s->also == theme))) {
        return 0;
    }
    if (s->own_colour == colour && s->own_theme == theme) {
        return s->own_count;
    }
    return s->wide_theme == theme ? s->wide_count : s->per_theme;
}

static bool has_places(const Shape *s, int colour)
{
    for (int t = 0; t < s->themes; t++) {
        if (places_of(s, colour, t) > 0) {
            return true;
        }
    }
    return s->places && (s->open >= 0 || (s->own_colour == colour && s->own_open >= 0));
}

/* ---- one copy ---- */

static bool placed(const Shape *s, int card)
{
    for (int colour = 0; colour < s->colours; colour++) {
        if (fills(s, card, colour) && has_places(s, colour)) {
            return true;
        }
    }
    return false;
}

static int64_t copy_fit(const Shape *s, int card)
{
    int64_t sum = s->card[card].power * 1000;
    for (int t = 0; t < s->themes; t++) {
        bool elsewhere = s->theme[t].steps > 0 || (s->from >> t & 1) != 0 || (s->by_place && placed(s, card));
        if (s->card[card].tagged[t] && !elsewhere) {
            sum += s->card[card].weight[t] * s->theme[t].weight;
        }
    }
    return shared_out(s, card, sum);
}

static int64_t tag_fit(const Shape *s, int card, int theme)
{
    return shared_out(s, card, s->card[card].weight[theme] * s->theme[theme].weight);
}

/* ---- places: every copy tries every place it may fill; what is left to fill is the state ---- */

enum { STATES = 81 }; /* up to 2 places of each of 4 themes */
#define NO_WAY INT64_MIN

static bool fill(const Shape *s, const int *copies, int colour, unsigned chosen, int64_t *gain)
{
    int64_t best[STATES], next[STATES];
    static const int step[] = {1, 3, 9, 27};
    int start = 0, total = 0, mono = 0;
    for (int t = 0; t < s->themes; t++) {
        total += places_of(s, colour, t);
        start += (chosen >> t & 1) != 0 ? places_of(s, colour, t) * step[t] : 0;
    }
    for (int i = 0; i < STATES; i++) {
        best[i] = i == start ? 0 : NO_WAY;
    }
    for (int c = 0; c < s->cards; c++) {
        for (int copy = 0; copy < copies[c] && fills(s, c, colour); copy++) {
            mono++;
            memcpy(next, best, sizeof next);
            for (int i = 0; i < STATES; i++) {
                for (int t = 0; t < s->themes && best[i] != NO_WAY; t++) {
                    if (i / step[t] % 3 == 0 || !s->card[c].tagged[t]) {
                        continue;
                    }
                    int64_t value = best[i] + (s->by_place ? tag_fit(s, c, t) : 0);
                    if (next[i - step[t]] == NO_WAY || next[i - step[t]] < value) {
                        next[i - step[t]] = value;
                    }
                }
            }
            memcpy(best, next, sizeof best);
        }
    }
    int open = s->own_colour == colour && s->own_open >= 0 ? s->own_open : s->open;
    *gain = best[0];
    return best[0] != NO_WAY && (open < 0 || mono == total + open);
}

/* ---- themes ---- */

static void roles(const Shape *s, const int *copies, int theme, int64_t *enablers, int64_t *payoffs)
{
    *enablers = *payoffs = 0;
    for (int c = 0; c < s->cards; c++) {
        int role = s->card[c].role[theme];
        if (!playable_in(s, c, theme)) {
            continue;
        }
        *enablers += role == SHAPE_ENABLER || role == SHAPE_BOTH ? copies[c] : 0;
        *payoffs += role == SHAPE_PAYOFF || role == SHAPE_BOTH ? copies[c] : 0;
    }
}

/* What the theme gives beyond its cards' own fit; false: it breaks a rule. */
static bool theme_gain(const Shape *s, const int *copies, int t, int64_t *gain)
{
    const ShapeTheme *theme = &s->theme[t];
    int64_t enablers, payoffs, weight = 0, tagged = 0, alone = 0, fit = 0;
    roles(s, copies, t, &enablers, &payoffs);
    for (int c = 0; c < s->cards; c++) {
        int others = 0;
        for (int u = 0; u < s->themes; u++) {
            others += s->card[c].tagged[u] && u != t;
        }
        if (s->card[c].tagged[t]) {
            weight += s->card[c].weight[t] * copies[c];
            tagged += copies[c];
            alone += others == 0 ? copies[c] : 0;
            fit += tag_fit(s, c, t) * copies[c];
        }
    }
    if ((theme->band_from >= 0 && enablers * 1000 < theme->band_from * payoffs) ||
        (theme->band_to >= 0 && enablers * 1000 > theme->band_to * payoffs)) {
        return false;
    }
    if ((s->tagged_most >= 0 && tagged > s->tagged_most) ||
        (s->own_share >= 0 && alone * 100 < s->own_share * tagged)) {
        return false;
    }
    int64_t lacks = s->payoffs_least > payoffs ? s->payoffs_least - payoffs : 0;
    if (lacks > 0 && s->payoffs_soft == 0) {
        return false;
    }
    *gain = -lacks * s->payoffs_soft;
    for (int64_t unit = 1; unit <= enablers && unit * 1000 <= theme->ratio * payoffs; unit++) {
        *gain += theme->bonus;
    }
    for (int64_t unit = 1; unit * 1000 <= weight && theme->steps > 0; unit++) {
        int k = 0;
        while (k < theme->steps && theme->to[k] > 0 && unit > theme->to[k]) {
            k++;
        }
        *gain += k < theme->steps ? rounded((Big)theme->share[k] * theme->weight, 100) : 0;
    }
    if (theme->steps == 0 && (s->from >> t & 1) != 0) {
        *gain += fit;
    }
    return true;
}

static int64_t weakest_units(const Shape *s, const int *copies, unsigned chosen)
{
    bool any = false;
    int64_t least = 0;
    for (int t = 0; t < s->themes; t++) {
        int64_t sum = 0;
        if ((chosen >> t & 1) == 0 || s->theme[t].weight == 0) {
            continue;
        }
        for (int c = 0; c < s->cards; c++) {
            sum += playable_in(s, c, t) ? s->card[c].weight[t] * s->theme[t].weight * copies[c] : 0;
        }
        least = !any || sum / 1000000 < least ? sum / 1000000 : least;
        any = true;
    }
    return least;
}

static bool numbers_hold(const Shape *s, unsigned chosen)
{
    if (s->from == 0) {
        return true;
    }
    if (!s->per_pair) {
        int count = __builtin_popcount(chosen & s->from);
        return count >= s->choose_low && count <= s->choose_high;
    }
    for (unsigned pair = 0; pair < 1U << s->colours; pair++) {
        int there = 0, count = 0;
        for (int t = 0; t < s->themes && __builtin_popcount(pair) == 2; t++) {
            bool listed = (s->from >> t & 1) != 0 && theme_colours(s, t) == pair;
            there += listed;
            count += listed && (chosen >> t & 1) != 0;
        }
        if (there > 0 && (count < s->choose_low || count > s->choose_high)) {
            return false;
        }
    }
    return true;
}

static bool judge_choice(const Shape *s, const int *copies, unsigned chosen, int64_t *fit)
{
    if (!numbers_hold(s, chosen)) {
        return false;
    }
    *fit = s->evenness * weakest_units(s, copies, chosen);
    for (int t = 0; t < s->themes; t++) {
        int64_t gain = 0;
        if ((chosen >> t & 1) != 0 && !theme_gain(s, copies, t, &gain)) {
            return false;
        }
        *fit += gain;
    }
    for (int colour = 0; colour < s->colours; colour++) {
        int64_t gain = 0;
        if (has_places(s, colour) && !fill(s, copies, colour, chosen, &gain)) {
            return false;
        }
        *fit += gain;
    }
    return true;
}

/* ---- the pool ---- */

static int whole_sets(const ShapeLink *link, const int *copies)
{
    int least = link->sets_most > 0 ? link->sets_most : INT32_MAX;
    for (int p = 0; p < link->parts; p++) {
        int count = 0;
        for (int c = 0; c < SHAPE_CARDS; c++) {
            count += (link->part[p] >> c & 1) != 0 ? copies[c] : 0;
        }
        least = count < least ? count : least;
    }
    return least;
}

static bool judge_link(const ShapeLink *link, const int *copies, int64_t *fit)
{
    int in = 0, count = 0, all = 0;
    for (int c = 0; c < SHAPE_CARDS; c++) {
        if ((link->cards >> c & 1) == 0) {
            continue;
        }
        all++;
        in += copies[c] > 0;
        count += copies[c];
    }
    switch (link->kind) {
    case LINK_SETS: *fit += whole_sets(link, copies) * link->number; return true;
    case LINK_TOGETHER: *fit += in == all ? link->number : 0; return true;
    case LINK_NEEDS: return copies[link->subject] == 0 || in >= link->number;
    case LINK_APART: return count <= link->number;
    default: return in >= link->number;
    }
}

int shape_owned(const ShapeCard *card)
{
    return card->owned > card->present ? card->owned : card->present;
}

bool shape_judge(const Shape *s, const int *copies, int64_t *fit)
{
    int64_t size = 0, cost = 0, base = 0;
    for (int c = 0; c < s->cards; c++) {
        size += copies[c];
        const int owned = shape_owned(&s->card[c]);
        cost += copies[c] > owned ? (copies[c] - owned) * s->card[c].price : 0;
        base +=
            copies[c] * copy_fit(s, c) + s->stay * (copies[c] < s->card[c].present ? copies[c] : s->card[c].present);
    }
    if (size < s->size_from || size > s->size_to || (s->cap >= 0 && cost > s->cap)) {
        return false;
    }
    for (int i = 0; i < s->links; i++) {
        if (!judge_link(&s->link[i], copies, &base)) {
            return false;
        }
    }
    bool any = false;
    for (unsigned chosen = 0; chosen < 1U << s->themes; chosen++) {
        int64_t value = 0;
        if ((chosen | s->from) != (1U << s->themes) - 1 || !judge_choice(s, copies, chosen, &value)) {
            continue;
        }
        if (!any || base + value > *fit) {
            *fit = base + value;
        }
        any = true;
    }
    return any;
}

static void try_from(const Shape *s, int card, int left, int *copies, ShapeAnswer *answer)
{
    int64_t fit = 0;
    if (card == s->cards) {
        if (!shape_judge(s, copies, &fit)) {
            return;
        }
        if (!answer->feasible || fit > answer->fit) {
            answer->fit = fit;
        }
        answer->feasible = true;
        answer->pools++;
        return;
    }
    for (int n = 0; n <= s->card[card].most && n <= left; n++) {
        copies[card] = n;
        try_from(s, card + 1, left - n, copies, answer);
    }
    copies[card] = 0;
}

void shape_solve(const Shape *s, ShapeAnswer *answer)
{
    int copies[SHAPE_CARDS] = {0};
    *answer = (ShapeAnswer){0};
    try_from(s, 0, s->size_to, copies, answer);
}
