/* deal.c - see deal.h. */
#include "seats/deal.h"

#include "base/sort.h"

int *pool_cards(const Instance *in, const int *copies, int others, size_t *count)
{
    *count = (size_t)others;
    for (size_t c = 0; c < in->cards->count; c++)
        *count += (size_t)copies[c];
    int *card = mem_new(*count, sizeof *card);
    size_t at = 0;
    for (size_t c = 0; c < in->cards->count; c++)
        for (int k = 0; k < copies[c]; k++)
            card[at++] = (int)c;
    for (int k = 0; k < others; k++)
        card[at++] = -1 - k;
    return card;
}

static int compare_cards(const void *a, const void *b)
{
    const int p = *(const int *)a, q = *(const int *)b;
    return (p > q) - (p < q);
}

void deal_packs(int *card, size_t count, int packs, int pack_size, uint64_t seed)
{
    Random random = random_stream(seed, 0);
    random_shuffle(&random, card, count, (size_t)packs * (size_t)pack_size);
    for (int p = 0; p < packs; p++)
        sort_stable(card + (size_t)p * (size_t)pack_size, (size_t)pack_size, sizeof *card, compare_cards);
}
