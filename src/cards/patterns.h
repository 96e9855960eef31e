/* patterns.h - regular expressions over texts and names of cards: Perl-compatible, without regard to case, Unicode, by
 * PCRE2 with limits on how long one look may take. */
#ifndef POOLWRIGHT_CARDS_PATTERNS_H
#define POOLWRIGHT_CARDS_PATTERNS_H

#include <stddef.h>

typedef struct TextPattern TextPattern;

typedef enum { TEXT_NOT_FOUND, TEXT_FOUND, TEXT_CUT_OFF } TextFound;

#define TEXT_PATTERN_TROUBLE 256

/* NULL when the expression is none: then what is wrong with it is in trouble, and *at is how many characters of it were
 * read. Freed with text_pattern_free. */
TextPattern *text_pattern_new(const char *expression, char trouble[TEXT_PATTERN_TROUBLE], size_t *at);
void text_pattern_free(TextPattern *pattern); /* NULL is allowed */
/* Is the expression found anywhere in the text (valid UTF-8)? TEXT_CUT_OFF: a limit was reached before that was known.
 */
TextFound text_pattern_find(TextPattern *pattern, const char *text);

#endif
