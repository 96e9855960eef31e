/* least_change.h - whole numbers moved as little as possible until some stand above others. */
#ifndef POOLWRIGHT_WHATIF_POWERS_LEAST_CHANGE_H
#define POOLWRIGHT_WHATIF_POWERS_LEAST_CHANGE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define LEAST_CHANGE_MOST 40 /* numbers */

typedef struct {
    size_t high, low; /* indexes */
    int64_t by;       /* x[high] >= x[low] + by */
} Above;

/* Among all whole numbers x with x[high] >= x[low] + by for each above, those with the least sum of squared differences
 * from x[count] as given; they replace it. Of several with that sum always the same, whatever the order of above.
 * False, and x is untouched: there are none, since the conditions go round in a circle. count is at most
 * LEAST_CHANGE_MOST, and at most 12 of the numbers hang together; |x|, |by| <= 2^41. */
bool least_change(int64_t *x, size_t count, const Above *above, size_t aboves);

#endif
