/* text.h - UTF-8 text: building, folding, display width, encodings, the nearest known word. */
#ifndef POOLWRIGHT_BASE_TEXT_H
#define POOLWRIGHT_BASE_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/memory.h"

/* A growing string; always NUL-terminated. Zero-initialise, release with text_release. */
typedef struct {
    char *data; /* never NULL after the first append; use text_cstr */
    size_t length, capacity;
} Text;

void text_release(Text *text);
const char *text_cstr(const Text *text); /* "" when empty */
void text_clear(Text *text);             /* empty again, its room kept */
void text_add(Text *text, const char *piece);
void text_add_n(Text *text, const char *piece, size_t length);
void text_add_char(Text *text, char c);
void text_add_base64(Text *text, const void *bytes, size_t length);
void text_printf(Text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
void text_vprintf(Text *text, const char *format, va_list list) __attribute__((format(printf, 2, 0)));

/* Does a line begin with the mark that programs leave which could not merge two versions of a file? */
bool text_is_merge_mark(const char *line);

/* The form by which names are matched: outer blanks trimmed, inner runs of blanks one space, case and accents folded
 * (full Unicode case folding; marks removed after decomposition; letters that do not decompose, such as o-slash or
 * l-stroke, by a table). Input is valid UTF-8. Freed with mem_free. */
char *text_fold(const char *text);
const char *text_fold_in(Arena *arena, const char *text); /* the same, in the arena */
/* Does the text fold to this form? */
bool text_folds_to(const char *text, const char *folded);
bool text_ends_with(const char *text, const char *ending);
/* The first of count words that matches the word as names match, or -1. */
long text_find(const char *word, const char *const *words, size_t count);
/* The words with ", " between. In the arena. */
const char *text_list(Arena *arena, const char *const *words, size_t count);
/* A word of a command line as one would type it: in quotes where it holds blanks and the like. In the arena. */
const char *text_shell_word(Arena *arena, const char *word);
/* Columns that the text takes on a terminal (East Asian wide = 2, combining = 0). */
size_t text_width(const char *text);
/* Byte length of the longest prefix that takes at most width columns. */
size_t text_prefix(const char *text, size_t width);
/* Offset of the first byte that is not valid UTF-8 (also: NUL), or length if all is valid. */
size_t text_utf8_error(const char *bytes, size_t length);
/* Windows-1252 to UTF-8. NULL when a byte has no meaning there (its offset in *bad). Freed with mem_free. */
char *text_from_windows_1252(const char *bytes, size_t length, size_t *bad);
/* Appends UTF-16 as UTF-8. False at half a character, which may be the end; what stands before it is appended then. */
bool text_from_utf16(const char *bytes, size_t length, bool big_endian, Text *text);
size_t text_character(const char *text); /* bytes of its first character; text is not empty */
/* Characters (not bytes) in the first `bytes` bytes. */
size_t text_characters(const char *text, size_t bytes);
/* s without leading and trailing blanks: returns the start, *length the rest's length. */
const char *text_trim(const char *s, size_t *length);
/* The next part of *rest, up to one of the marks or the end, without outer blanks: returns its start, *length (0 where
 * nothing stands between two marks); *rest goes behind the mark. NULL at the end. */
const char *text_part(const char **rest, const char *marks, size_t *length);
/* The text for a message: blanks and control characters as one space each, cut to 40 columns and "..." if longer.
 * Returns buffer. */
#define TEXT_EXCERPT 256
const char *text_excerpt(char buffer[TEXT_EXCERPT], const char *text);

/* Of count words the nearest to `word` by edit distance on folded forms (transpositions count one); where none is near
 * (at most a third of the longer length, or 1), one of whose words begins with `word`; NULL when there is none either.
 * Ties: the first. */
const char *text_nearest(const char *word, const char *const *words, size_t count);
/* How messages offer it: "; did you mean 'x'?", or "" for NULL. In the arena. */
const char *did_you_mean(const char *nearest, Arena *arena);
/* What to put behind an unknown name: "; did you mean 'x'?" of the nearest, else ", expected a, b, c" of all, "" where
 * there are none. In the arena or static. */
const char *meant_or_known(const char *name, const char *const *known, size_t count, Arena *arena);

#endif
