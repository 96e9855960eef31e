/* scales.c - what power and tags add to a card's fit, spread against spread. */
#include "model/desk/scales.h"

#include "base/sort.h"

#define LEAST_CARDS 20

static int by_amount(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* The amount below which a tenth of them lies, and above which a tenth lies; sorts them. */
static void tenths(int64_t *amount, size_t count, int64_t *low, int64_t *high)
{
    sort_stable(amount, count, sizeof *amount, by_amount);
    *low = amount[(count - 1) / 10];
    *high = amount[count - 1 - (count - 1) / 10];
}

static bool counts(const Instance *in, size_t c)
{
    return in->cards->card[c].has_power && !in->skipped[c];
}

/* Ties: the first by name. */
static void find_examples(const Instance *in, int64_t low, int64_t high, Scales *scales)
{
    bool has_dull = false, has_tagged = false;
    for (size_t c = 0; c < in->cards->count; c++) {
        if (!counts(in, c))
            continue;
        int64_t power, tags;
        instance_worth(in, c, &power, &tags);
        if (power >= high && (!has_dull || in->fit[c] < in->fit[scales->dull])) {
            scales->dull = c;
            has_dull = true;
        }
        if (power <= low && (!has_tagged || in->fit[c] > in->fit[scales->tagged])) {
            scales->tagged = c;
            has_tagged = true;
        }
    }
}

Scales scales_find(const Instance *in)
{
    Scales scales = {0};
    int64_t *power = mem_new(in->cards->count, sizeof *power), *tags = mem_new(in->cards->count, sizeof *tags);
    size_t count = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        if (counts(in, c)) {
            instance_worth(in, c, &power[count], &tags[count]);
            count++;
        }
    if (count >= LEAST_CARDS) {
        int64_t low, high, tags_low, tags_high;
        tenths(power, count, &low, &high);
        tenths(tags, count, &tags_low, &tags_high);
        scales.power = high - low;
        scales.tags = tags_high - tags_low;
        if (scales.power > 0 && scales.tags > SCALES_TIMES * scales.power) {
            find_examples(in, low, high, &scales);
            scales.lopsided = in->fit[scales.dull] < in->fit[scales.tagged];
        }
    }
    mem_free(power);
    mem_free(tags);
    return scales;
}
