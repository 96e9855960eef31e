/* words.h - the words of a text: runs of letters, marks and digits (Unicode). */
#ifndef POOLWRIGHT_BASE_WORDS_H
#define POOLWRIGHT_BASE_WORDS_H

#include <stddef.h>

/* The next word at or behind *at (valid UTF-8), which moves behind it; NULL when there is none. */
const char *words_next(const char **at, size_t *length);
/* Bytes of the first so many characters of a word, or all of it. */
size_t words_prefix(const char *word, size_t length, size_t characters);

#endif
