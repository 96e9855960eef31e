/* structure_facts.c - small counts over a pool that text and JSON share. */

#include "base/number.h"
#include "base/sort.h"
#include "report/structure.h"

const char *structure_place(const Answer *answer, const Instance *instance, size_t card, Arena *arena)
{
    const PoolCheck *check = &answer->check;
    const char *text = NULL;
    for (size_t k = 0; k < check->places; k++) {
        if (check->place[k].card != card)
            continue;
        const char *name = check->place[k].theme < 0 ? "open" : instance->model->theme[check->place[k].theme].name;
        text = text == NULL ? name : arena_printf(arena, "%s, %s", text, name);
    }
    return text;
}

ColourMask *structure_decks(const Instance *instance, size_t *count)
{
    const unsigned all = 1U << instance->model->colours;
    ColourMask *deck = mem_new((size_t)instance->decks, sizeof *deck);
    *count = 0;
    for (unsigned mask = 0; mask < all && *count < (size_t)instance->decks; mask++)
        if (__builtin_popcount(mask) == instance->model->deck_colours)
            deck[(*count)++] = (ColourMask)mask;
    return deck;
}

int64_t structure_playable(const Instance *instance, const int *copies, ColourMask deck)
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

/* power above mean + 2 deviations: n power - sum > 0 and (n power - sum)^2 > 4 (n sum of squares - sum^2). Powers
 * beyond what fits are no scores. */
size_t *structure_outliers(const Instance *instance, const int *copies, size_t *count)
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
