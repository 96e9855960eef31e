/* names.h - a set of words (kinds, tags) that are one when they fold alike. While sheets are read a word is known by
 * the id of its spelling; afterwards words are numbered by their folded forms, so that numbers do not depend on the
 * order of lines. */
#ifndef POOLWRIGHT_CARDS_NAMES_NAMES_H
#define POOLWRIGHT_CARDS_NAMES_NAMES_H

#include <stddef.h>

#include "base/memory.h"

typedef struct Names Names;

Names *names_new(void);
void names_free(Names *names); /* NULL is allowed */

/* The id of this spelling (blanks inside as they are), new or known. */
int names_add(Names *names, const char *text, size_t length);
/* An id that all spellings of a word share. */
int names_word(const Names *names, int spelling);

/* After all are added: tells, card by card, which spellings are used; a word is shown in the spelling used first. */
void names_use(Names *names, int spelling);
/* The used words in order of their folded forms, in the arena; afterwards names_number gives a spelling's index there.
 */
const char **names_settle(Names *names, Arena *arena, size_t *count);
int names_number(const Names *names, int spelling);

#endif
