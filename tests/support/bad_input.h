/* bad_input.h - the table of mistakes for test_bad_input.c. */
#ifndef POOLWRIGHT_SUPPORT_BAD_INPUT_H
#define POOLWRIGHT_SUPPORT_BAD_INPUT_H

#include <stddef.h>

#include "tiny.h"

/* One mistake in an otherwise sound folder. Either `bytes` (a whole file, or lines put behind the sound ones where it
 * begins with ADD), or `make`. */
typedef struct {
    const char *what; /* the mistake, in words */
    const char *file; /* that is replaced or added to; NULL: none */
    const char *bytes;
    size_t length; /* 0: a C string */
    void (*make)(Page *page);
    const char
        *arguments; /* separated by blanks ('_' stands for a blank inside one); NULL: best scenario.yaml -o out.csv */
    const char *expected[3]; /* pieces of the message */
    int code;                /* 0: the usual 2 */
} Mistake;

#define ADD "\1"

extern const Mistake mistakes_in_sheets[];
extern const size_t mistakes_in_sheets_count;
extern const Mistake mistakes_in_models[];
extern const size_t mistakes_in_models_count;
extern const Mistake mistakes_elsewhere[];
extern const size_t mistakes_elsewhere_count;

/* The sound folder. */
extern const char sound_cards[], sound_model[], sound_scenario[];

#endif
