/* scouting.c - how deep each theme is before anything is chosen: declared themes, and tags that could be themes since
 * some card has a role for them.
 *
 * A package is so many enablers and so many payoffs, no card counted twice (`both` fills either). Which copies can be
 * in a package together is a transversal matroid, so taking them cheapest first, whenever the choice can still be
 * completed, gives the least cost (J. Edmonds, "Matroids and the greedy algorithm", Mathematical Programming 1, 1971).
 */
#include "model/desk/scouting.h"

#include <string.h>

#include "base/number.h"
#include "base/sort.h"

static bool some(const char *digits, int *cards)
{
    int64_t found;
    if (number_parse(digits, 0, false, &found) != NUMBER_OK || found < 0 || found > PACKAGE_MOST)
        return false;
    *cards = (int)found;
    return true;
}

bool package_read(const char *text, Package *package)
{
    char first[32];
    const char *plus = strchr(text, '+');
    const size_t length = plus != NULL ? (size_t)(plus - text) : sizeof first;
    Package found;
    if (length >= sizeof first)
        return false;
    memcpy(first, text, length);
    first[length] = '\0';
    if (!some(first, &found.enablers) || !some(plus + 1, &found.payoffs) || found.enablers + found.payoffs < 1)
        return false;
    *package = found;
    return true;
}

static bool has_role(const Instance *in, int tag)
{
    for (size_t c = 0; c < in->cards->count; c++) {
        const CardTag *own = card_has_tag(&in->cards->card[c], tag);
        if (own != NULL && own->role != ROLE_NONE)
            return true;
    }
    return false;
}

static void list_ideas(const Instance *in, Scouting *out)
{
    const Model *model = in->model;
    const ColourMask all = (ColourMask)((1U << model->colours) - 1U);
    bool *declared = mem_new(in->cards->tags, sizeof *declared);
    out->theme = mem_new(model->themes + in->cards->tags, sizeof *out->theme);
    for (size_t t = 0; t < model->themes; t++) {
        const Theme *theme = &model->theme[t];
        const int tag = card_tag(in->cards, theme->name);
        if (tag >= 0)
            declared[tag] = true;
        out->theme[out->themes++] =
            (ThemeDepth){.name = theme->name, .tag = tag, .colours = theme->colours, .declared = true};
    }
    for (size_t k = 0; k < in->cards->tags; k++)
        if (!declared[k] && has_role(in, (int)k))
            out->theme[out->themes++] = (ThemeDepth){.name = in->cards->tag[k], .tag = (int)k, .colours = all};
    mem_free(declared);
}

/* The card's tag for the idea, if the card can be in a pool and be played in the colours; else NULL. */
static const CardTag *counts(const Instance *in, const ThemeDepth *idea, ColourMask colours, size_t c)
{
    if (idea->tag < 0 || in->most[c] <= 0 || !colours_playable(&in->cards->card[c].colours, colours))
        return NULL;
    return card_has_tag(&in->cards->card[c], idea->tag);
}

static bool has_other_idea(const Instance *in, const Scouting *all, const ThemeDepth *idea, size_t c)
{
    for (size_t i = 0; i < all->themes; i++)
        if (&all->theme[i] != idea && all->theme[i].tag >= 0 &&
            card_has_tag(&in->cards->card[c], all->theme[i].tag) != NULL)
            return true;
    return false;
}

static void measure(const Instance *in, const Scouting *all, ThemeDepth *idea)
{
    for (size_t c = 0; c < in->cards->count; c++) {
        const CardTag *tag = counts(in, idea, idea->colours, c);
        if (tag == NULL)
            continue;
        idea->cards++;
        idea->enablers += role_is_enabler(tag->role);
        idea->payoffs += role_is_payoff(tag->role);
        idea->own += !has_other_idea(in, all, idea, c);
        ColourMask shown = colours_union(&in->cards->card[c].colours);
        for (size_t k = 0; k < in->model->colours; k++)
            idea->colour[k] += shown >> k & 1;
    }
}

typedef struct {
    int64_t cost;
    size_t card;
    Role role;
} Offer; /* one copy */

static int compare_offers(const void *a, const void *b)
{
    const Offer *x = a, *y = b;
    if (x->cost != y->cost)
        return x->cost < y->cost ? -1 : 1;
    return (x->card > y->card) - (x->card < y->card);
}

static PackageCost price_package(const Instance *in, const ThemeDepth *idea, ColourMask colours, const Package *package)
{
    PackageCost result = {0};
    Offer *offer = NULL;
    size_t offers = 0, capacity = 0;
    int places = package->enablers + package->payoffs;
    for (size_t c = 0; c < in->cards->count; c++) {
        const CardTag *tag = counts(in, idea, colours, c);
        if (tag == NULL || tag->role == ROLE_NONE)
            continue;
        const bool priced = price_known(in, c);
        int most = in->most[c] < places ? in->most[c] : places, owned = in->cards->card[c].owned;
        for (int k = 0; k < most && (priced || k < owned); k++) {
            mem_reserve((void **)&offer, &capacity, offers + 1, sizeof *offer);
            offer[offers++] = (Offer){instance_spend(in, c, k + 1) - instance_spend(in, c, k), c, tag->role};
        }
    }
    sort_stable(offer, offers, sizeof *offer, compare_offers);
    int enablers = 0, payoffs = 0, either = 0;
    for (size_t k = 0; k < offers && enablers + payoffs + either < places; k++) {
        int *taken = offer[k].role == ROLE_BOTH ? &either : offer[k].role == ROLE_ENABLER ? &enablers : &payoffs;
        if ((taken == &enablers && enablers == package->enablers) || (taken == &payoffs && payoffs == package->payoffs))
            continue;
        (*taken)++;
        result.cost += offer[k].cost;
    }
    mem_free(offer);
    result.possible = enablers + payoffs + either == places;
    int missing = places - enablers - payoffs - either;
    result.lacks_enablers = package->enablers - enablers < missing ? package->enablers - enablers : missing;
    result.lacks_payoffs = missing - result.lacks_enablers;
    return result;
}

/* A theme belongs to a pair that it lies within, or that lies within it. */
static bool belongs(const ThemeDepth *idea, ColourMask pair)
{
    ColourMask common = idea->colours & pair;
    return common == pair || common == idea->colours;
}

void scouting_find(const Instance *instance, const Package *package, Scouting *out)
{
    *out = (Scouting){.package = *package, .pairs = model_pairs(instance->model)};
    list_ideas(instance, out);
    for (size_t i = 0; i < out->themes; i++) {
        measure(instance, out, &out->theme[i]);
        out->theme[i].cost = price_package(instance, &out->theme[i], out->theme[i].colours, package);
    }
    out->pair = mem_new(out->pairs, sizeof *out->pair);
    for (size_t p = 0; p < out->pairs; p++) {
        PairDepth *pair = &out->pair[p];
        pair->colours = model_pair(instance->model, p);
        pair->deep = mem_new(out->themes, sizeof *pair->deep);
        for (size_t i = 0; i < out->themes; i++) {
            if (!belongs(&out->theme[i], pair->colours))
                continue;
            const PackageCost cost = price_package(instance, &out->theme[i], pair->colours, package);
            if (cost.possible)
                pair->deep[pair->count++] = (DeepTheme){i, cost.cost};
        }
    }
}

void scouting_release(Scouting *scouting)
{
    for (size_t p = 0; p < scouting->pairs; p++)
        mem_free(scouting->pair[p].deep);
    mem_free(scouting->pair);
    mem_free(scouting->theme);
    *scouting = (Scouting){0};
}
