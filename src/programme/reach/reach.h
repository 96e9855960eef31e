/* reach.h - what each limit can come to at all, before any search: the candidates that count, and the least and most
 * they can add up to in a pool of the model's size. A limit outside its reach cannot be met whatever is chosen. */
#ifndef POOLWRIGHT_PROGRAMME_REACH_REACH_H
#define POOLWRIGHT_PROGRAMME_REACH_REACH_H

#include "model/instance/instance.h"

typedef struct {
    size_t candidates;        /* that the limit counts and that may be in the pool; choices: themes */
    bool has_least, has_most; /* least and most are exact ends (most of spending: not exceeded, where very many copies
                                 are partly owned); neither for percentages, averages, ratios and the cap */
    int64_t least, most;      /* smallest units of the measure; places: that can be filled */
    bool possible;            /* false: no pool of this size meets the limit, soft ones apart */
} LimitReach;

/* reach[instance->limits]. Limits of themes that may be chosen are always possible. */
void limit_reach(const Instance *instance, LimitReach *reach);
/* Copies that may be in the pool at all, and copies that must be. */
void instance_copies(const Instance *instance, int64_t *most, int64_t *least);

#endif
