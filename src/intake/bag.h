/* bag.h - words counted: how often each was met, in which spelling mostly, and where first. */
#ifndef POOLWRIGHT_INTAKE_BAG_H
#define POOLWRIGHT_INTAKE_BAG_H

#include "base/diag.h"
#include "base/memory.h"

typedef struct {
    const char *folded, *spelled; /* spelled: as most often written; of equals the first */
    size_t count;
    SourcePos at; /* of the first */
} BagWord;

typedef struct {
    Arena *arena;
    BagWord *word;
    size_t words, capacity;
} Bag;

void bag_add(Bag *bag, const char *text, size_t length, SourcePos at);
/* After all are added: each word once, the most frequent first (of equals the first by its letters). */
void bag_settle(Bag *bag);
void bag_release(Bag *bag);
/* Of a settled bag; NULL if it is not there. */
const BagWord *bag_find(const Bag *bag, const char *folded);

#endif
