/* scales.h - whether what tags add to fit drowns what a card's own score adds. */
#ifndef POOLWRIGHT_MODEL_DESK_SCALES_H
#define POOLWRIGHT_MODEL_DESK_SCALES_H

#include "model/instance/instance.h"

typedef struct {
    bool lopsided;       /* the tags' spread is over SCALES_TIMES the power's, and `dull` has less fit than `tagged` */
    int64_t power, tags; /* thousandths of fit: the 90th percentile less the 10th of what each adds to a card */
    size_t dull, tagged; /* of the highest tenth by power the card of least fit; of the lowest that of most fit */
} Scales;

#define SCALES_TIMES 3

/* Of the candidates that can be in a pool and have a power. Never lopsided where these are fewer than twenty, or where
 * their powers do not spread: then tags are meant to decide. */
Scales scales_find(const Instance *instance);

#endif
