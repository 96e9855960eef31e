/* deal.h - a pool as single cards, and packs of it dealt at random. */
#ifndef POOLWRIGHT_SEATS_DEAL_H
#define POOLWRIGHT_SEATS_DEAL_H

#include "base/random.h"
#include "model/instance/instance.h"

/* Every card of the pool: indices of candidates, ascending, each as often as it has copies, then `others` cards that
 * are no candidates: -1, -2, ... *count: how many. Freed with mem_free. */
int *pool_cards(const Instance *instance, const int *copies, int others, size_t *count);
/* The first packs x pack_size of the cards become packs, one after the other, each in ascending order. The same seed
 * gives the same packs. There are enough cards. */
void deal_packs(int *card, size_t count, int packs, int pack_size, uint64_t seed);

#endif
