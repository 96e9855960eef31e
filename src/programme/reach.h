/* reach.h - what each rule can come to at all, before any search: the candidates that count, and the least and most
 * they can add up to in a pool of the model's size. A rule outside its reach cannot be met whatever is chosen. */
#ifndef POOLWRIGHT_PROGRAMME_REACH_H
#define POOLWRIGHT_PROGRAMME_REACH_H

#include "model/instance.h"

typedef struct {
    size_t candidates;   /* that the rule counts and that may be in the pool */
    bool known;          /* least and most are exact limits (most of spending: not exceeded, where very many copies are
                            partly owned); false for percentages and averages */
    int64_t least, most; /* smallest units of the measure */
    bool possible;       /* false: no pool of this size meets the rule, soft ones apart */
} RuleReach;

typedef struct {
    int64_t asked, most; /* places, groups and needs of kept cards: what they ask for, and what all candidates together
                            could give */
    bool possible;       /* false: no pool keeps it; true for the other forms */
} FormReach;

/* reach[instance->forms]. */
void form_reach(const Instance *instance, FormReach *reach);

/* reach[instance->members]. Rules of themes that may be chosen are always possible. */
void rule_reach(const Instance *instance, RuleReach *reach);
/* Copies that may be in the pool at all, and copies that must be. */
void instance_copies(const Instance *instance, int64_t *most, int64_t *least);

#endif
