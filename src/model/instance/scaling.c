/* scaling.c - bounds for another size of pool: the quota rule. A share of n seats (here cards) is its exact quota
 * rounded down or up; so a lower bound is rounded down, an upper bound up, and `exactly` becomes the band between. M.
 * L. Balinski and H. P. Young, "Fair Representation", 1982. Exact: products in 128 bits. */
#include "model/instance/instance.h"

#include "base/number.h"

Bounds bounds_scaled(const Bounds *written, int size_now)
{
    Bounds scaled = *written;
    if (written->kind != BOUND_ABSOLUTE || written->size_at <= 0 || written->size_at == size_now)
        return scaled;
    if (written->has_low) {
        scaled.low = (int64_t)floor_div((int128)written->low * size_now, written->size_at);
        if (written->low >= 1 && scaled.low < 1)
            scaled.low = 1;
    }
    if (written->has_high)
        scaled.high = (int64_t)ceil_div((int128)written->high * size_now, written->size_at);
    scaled.exactly = written->exactly && scaled.low == scaled.high;
    return scaled;
}

Bounds bounds_unscaled(const Bounds *written, int size_now, bool low, int64_t units)
{
    const Bounds scaled = bounds_scaled(written, size_now);
    Bounds out = *written;
    const int128 size_at = written->size_at;
    out.exactly = false;
    if (low) { /* the most that is rounded down to no more; from 1 on nothing is rounded to 0 */
        const int64_t wanted = scaled.low - units;
        out.low = wanted == 0 ? 0 : (int64_t)ceil_div((int128)(wanted + 1) * size_at, size_now) - 1;
    } else /* the least that is rounded up to no less */
        out.high = (int64_t)floor_div((int128)(scaled.high + units - 1) * size_at, size_now) + 1;
    return out;
}
