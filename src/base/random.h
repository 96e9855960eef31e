/* random.h - random numbers that are the same everywhere: SplitMix64 (G. Steele, D. Lea, C. Flood, "Fast splittable
 * pseudorandom number generators", OOPSLA 2014), a counter whose values are mixed, so that each stream is found by its
 * number alone and threads need not wait for each other. */
#ifndef POOLWRIGHT_BASE_RANDOM_H
#define POOLWRIGHT_BASE_RANDOM_H

#include <stddef.h>
#include <stdint.h>

typedef struct {
    uint64_t state;
} Random;

/* The stream of this number under this seed. */
Random random_stream(uint64_t seed, uint64_t stream);

static inline uint64_t random_mixed(uint64_t z)
{
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

#define RANDOM_STEP UINT64_C(0x9e3779b97f4a7c15)

static inline uint64_t random_next(Random *random)
{
    return random_mixed(random->state += RANDOM_STEP);
}
/* 0 to below - 1, each as likely; below > 0. */
uint32_t random_below(Random *random, uint32_t below);
/* Puts a random choice of `first` items, in random order, at the front; first <= count. */
void random_shuffle(Random *random, int *item, size_t count, size_t first);

#endif
