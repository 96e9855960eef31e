/* binding.h - what loosening one limit is worth. */
#ifndef POOLWRIGHT_EXPLAIN_BINDING_H
#define POOLWRIGHT_EXPLAIN_BINDING_H

#include "explain/swaps/one_swap.h"

typedef enum {
    BINDING_STEP,    /* step: the least loosening with which a best pool gets better; gain: what it gets then */
    BINDING_NOTHING, /* proven: no better pool with up to `within` units more */
    BINDING_UNKNOWN  /* neither was proven; step may still have a low end, gain a high end (at `within`) */
} BindingKind;
#define BINDING_KINDS 3

typedef struct {
    int side;
    BindingKind kind;
    Range step;        /* units of the side */
    int64_t within;    /* units that were looked at */
    Range gain;        /* thousandths, with step.high (or within) units */
    Exchange exchange; /* what it buys: from the answer's pool */
    bool has_exchange;
    OneSwap one; /* with BINDING_STEP: the single swap that does most with step.high units */
} Binding;

/* Units that `within` is by default: a tenth of the limit, at least three cards, 3.00 or 3 of a column, at most what
 * the side can use. */
int64_t binding_within(const Explain *explain, int side);
void binding_find(Explain *explain, int side, int64_t within, Binding *binding);
void binding_release(Binding *binding);

/* Side indexes, likeliest to matter first, by the relaxation's estimate of what `within` more is worth; tight ones
 * before others. Soft, hard, cap, size and what structure asks for with a number, not keeps and bans. order[sides] is
 * filled; returns how many. */
int binding_likeliest(Explain *explain, int *order);

#endif
