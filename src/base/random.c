/* random.c - see random.h. */
#include "base/random.h"

Random random_stream(uint64_t seed, uint64_t stream)
{
    return (Random){random_mixed(random_mixed(seed + RANDOM_STEP) + stream * RANDOM_STEP)};
}

/* D. Lemire, "Fast random integer generation in an interval", ACM TOMACS 29(1), 2019: the high half of a product; what
 * would make the first values likelier is drawn again. */
uint32_t random_below(Random *r, uint32_t below)
{
    uint64_t product = (random_next(r) >> 32) * below;
    if ((uint32_t)product < below) {
        const uint32_t least = (uint32_t)(-below) % below;
        while ((uint32_t)product < least)
            product = (random_next(r) >> 32) * below;
    }
    return (uint32_t)(product >> 32);
}

void random_shuffle(Random *r, int *item, size_t count, size_t first)
{
    for (size_t k = 0; k < first; k++) {
        const size_t other = k + random_below(r, (uint32_t)(count - k));
        const int moved = item[k];
        item[k] = item[other];
        item[other] = moved;
    }
}
