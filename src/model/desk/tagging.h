/* tagging.h - what each pattern caught, against the tags from sheets. p is a pattern of the model, c a card. */
#ifndef POOLWRIGHT_MODEL_DESK_TAGGING_H
#define POOLWRIGHT_MODEL_DESK_TAGGING_H

#include "model/instance/instance.h"

typedef struct {
    size_t caught;  /* cards */
    size_t fresh;   /* of these, without a tag of their own */
    size_t own;     /* with one */
    size_t clashes; /* of these, one that says otherwise */
    size_t missed;  /* own tags of this name on cards that no pattern of this name caught */
} PatternCount;

bool pattern_caught(const Instance *instance, size_t p, size_t c);
/* The card has the pattern's tag from a sheet, and no pattern of this tag caught it. */
bool pattern_missed(const Instance *instance, size_t p, size_t c);
PatternCount pattern_count(const Instance *instance, size_t p);
/* No pattern before it gives the same tag. */
bool pattern_first_of_tag(const Model *model, size_t p);

#endif
