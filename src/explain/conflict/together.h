/* together.h - several cards wanted at once: what the best pool that holds all of them loses. */
#ifndef POOLWRIGHT_EXPLAIN_CONFLICT_TOGETHER_H
#define POOLWRIGHT_EXPLAIN_CONFLICT_TOGETHER_H

#include "explain/why.h"

typedef struct {
    bool asked;        /* two or more of the cards are out, all can be in, none is banned; else nothing else is set */
    bool forced;       /* a pool with all of them was found */
    bool impossible;   /* there is none: proven. Then conflict says why */
    Range loss;        /* fit lost; no ends with impossible */
    Exchange exchange; /* from the answer's pool to the best one with all of them */
    Conflict conflict;
} Together;

/* card[count]: different cards; those that are in have to stay. The explanation must have a pool. To be asked before
 * the single cards, which use up what effort there is. */
void together_find(Explain *explain, const size_t *card, size_t count, Together *together);
/* What one of the cards is proven to cost alone, all together cost at least. */
void together_learn(Together *together, const Why *why);
/* Exact, or impossible with a minimal conflict; also where it was not asked. */
bool together_settled(const Together *together);
void together_release(Together *together);

#endif
