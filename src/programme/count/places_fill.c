/* places_fill.c - which card fills which place: a matching of most weight by longest augmenting paths.
 *
 * Places are filled one at a time; each time the path from an unfilled theme over cards that change their place to a
 * free copy that adds most weight is taken (Bellman-Ford on the residual graph). So after each step the filling has
 * most weight of all of its size. Ties go to the earlier theme and card. Source: R. K. Ahuja, T. L. Magnanti, J. B.
 * Orlin, "Network Flows", 1993, chapter 9.7. */
#include "programme/count/structure_check.h"

#include <string.h>

#define UNREACHED INT64_MIN

typedef struct {
    size_t *card; /* [cards] those of this colour, by their place in Held.card */
    int *free;    /* [cards] copies without a place */
    size_t cards, themes;
    bool *serves;                /* [cards * themes] */
    int64_t *weight;             /* [cards * themes] */
    int *filled;                 /* [cards * themes] */
    int64_t *left;               /* [themes] places to fill */
    int64_t *to_theme, *to_card; /* best weight of a path; UNREACHED */
    long *theme_from;            /* the card that gives up its place of the theme, -1: the path begins here */
    long *card_from;             /* the theme whose place the card takes */
} Filling;

static void begin(Filling *f, const Instance *in, const Limit *limit, const Held *held, const bool *active)
{
    const size_t all = in->cards->count;
    const bool by_place = in->model->structure->places.by_place;
    *f = (Filling){.themes = limit->of_themes};
    f->card = mem_new(held->cards, sizeof *f->card);
    f->free = mem_new(held->cards, sizeof *f->free);
    for (size_t i = 0; i < held->cards; i++) {
        const size_t c = held->card[i];
        if (in->place_limit[c] < 0 || &in->limit[in->place_limit[c]] != limit)
            continue;
        f->card[f->cards] = i;
        f->free[f->cards++] = held->copies[c];
    }
    const size_t pairs = f->cards * f->themes;
    f->serves = mem_new(pairs, sizeof *f->serves);
    f->weight = mem_new(pairs, sizeof *f->weight);
    f->filled = mem_new(pairs, sizeof *f->filled);
    f->left = mem_new(f->themes, sizeof *f->left);
    f->to_theme = mem_new(f->themes, sizeof *f->to_theme);
    f->theme_from = mem_new(f->themes, sizeof *f->theme_from);
    f->to_card = mem_new(f->cards, sizeof *f->to_card);
    f->card_from = mem_new(f->cards, sizeof *f->card_from);
    for (size_t k = 0; k < f->themes; k++) {
        const size_t t = (size_t)limit->of_theme[k];
        f->left[k] = active[t] ? limit->count[k] : 0;
        for (size_t i = 0; i < f->cards; i++) {
            const size_t c = held->card[f->card[i]];
            const CardTag *tag = instance_theme_tag(in, t, c);
            f->serves[i * f->themes + k] = tag != NULL;
            if (tag != NULL)
                f->weight[i * f->themes + k] =
                    by_place ? in->part[t * all + c] : tag->weight * in->model->theme[t].weight;
        }
    }
}

static void release(Filling *f)
{
    mem_free(f->card);
    mem_free(f->free);
    mem_free(f->serves);
    mem_free(f->weight);
    mem_free(f->filled);
    mem_free(f->left);
    mem_free(f->to_theme);
    mem_free(f->theme_from);
    mem_free(f->to_card);
    mem_free(f->card_from);
}

/* One round over all edges; true while something improved. */
static bool relax(Filling *f)
{
    bool better = false;
    for (size_t i = 0; i < f->cards; i++)
        for (size_t k = 0; k < f->themes; k++) {
            const size_t at = i * f->themes + k;
            if (!f->serves[at])
                continue;
            if (f->to_theme[k] != UNREACHED && f->to_theme[k] + f->weight[at] > f->to_card[i]) {
                f->to_card[i] = f->to_theme[k] + f->weight[at];
                f->card_from[i] = (long)k;
                better = true;
            }
            if (f->filled[at] > 0 && f->to_card[i] != UNREACHED && f->to_card[i] - f->weight[at] > f->to_theme[k]) {
                f->to_theme[k] = f->to_card[i] - f->weight[at];
                f->theme_from[k] = (long)i;
                better = true;
            }
        }
    return better;
}

static bool augment(Filling *f)
{
    for (size_t k = 0; k < f->themes; k++) {
        f->to_theme[k] = f->left[k] > 0 ? 0 : UNREACHED;
        f->theme_from[k] = -1;
    }
    for (size_t i = 0; i < f->cards; i++)
        f->to_card[i] = UNREACHED;
    while (relax(f))
        ;
    long last = -1;
    for (size_t i = 0; i < f->cards; i++)
        if (f->free[i] > 0 && f->to_card[i] != UNREACHED && (last < 0 || f->to_card[i] > f->to_card[last]))
            last = (long)i;
    if (last < 0)
        return false;
    f->free[last]--;
    for (;;) {
        long k = f->card_from[last];
        f->filled[(size_t)last * f->themes + (size_t)k]++;
        if (f->theme_from[k] < 0) {
            f->left[k]--;
            return true;
        }
        last = f->theme_from[k];
        f->filled[(size_t)last * f->themes + (size_t)k]--;
    }
}

int64_t places_fill(const Instance *instance, const Limit *limit, const Held *held, const bool *active, int *filled)
{
    Filling f;
    int64_t places = 0;
    begin(&f, instance, limit, held, active);
    while (augment(&f))
        places++;
    for (size_t i = 0; filled != NULL && i < f.cards; i++)
        memcpy(&filled[f.card[i] * f.themes], &f.filled[i * f.themes], f.themes * sizeof *filled);
    release(&f);
    return places;
}
