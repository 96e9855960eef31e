/* sort.h - the one way to sort: stable, so that what compares equal stays in the order it was in, with every C library
 * and on every machine. n log n comparisons; takes room for half of the items. */
#ifndef POOLWRIGHT_BASE_SORT_H
#define POOLWRIGHT_BASE_SORT_H

#include <stddef.h>

/* As qsort; items may be NULL when count is 0. */
void sort_stable(void *items, size_t count, size_t size, int (*compare)(const void *a, const void *b));
/* As qsort_r: compare is given the context, too. */
void sort_stable_with(void *items, size_t count, size_t size,
                      int (*compare)(const void *a, const void *b, void *context), void *context);

#endif
