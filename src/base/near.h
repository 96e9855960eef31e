/* near.h - the nearest known word where many words are compared with many: each is prepared once. One word against some
 * is text_nearest (text.h), whose measure of nearness this is. */
#ifndef POOLWRIGHT_BASE_NEAR_H
#define POOLWRIGHT_BASE_NEAR_H

#include <stdbool.h>
#include <stddef.h>

typedef struct NearWord NearWord;

/* Of a folded form. Freed with mem_free. */
NearWord *near_word(const char *folded);
/* Is one perhaps a slip for the other? */
bool near_each_other(const NearWord *a, const NearWord *b);
/* At most so many letters apart, which are added, left out, replaced, or change places with their neighbours? */
bool near_within(const NearWord *a, const NearWord *b, size_t letters);
/* Index of the nearest of the known words, -1 when none is near. Ties: the first. */
long near_find(const NearWord *wanted, NearWord *const *known, size_t count);

#endif
