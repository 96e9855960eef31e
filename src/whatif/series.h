/* series.h - lists and ranges of numbers as a user writes them: "360,450", "200..800/50", "250,300,none". */
#ifndef POOLWRIGHT_WHATIF_SERIES_H
#define POOLWRIGHT_WHATIF_SERIES_H

#include "whatif/cases/cases.h"

#define SERIES_MOST 1000

/* what: what messages begin with, "--sizes". Ascending, without doubles, in the arena. False with an error in diags. */
bool series_sizes(const char *what, const char *text, Arena *arena, const int **size, size_t *count, Diags *diags);
/* A range without a step stands alone and asks for exact steps: then *steps is true, and *from and *to are its ends;
 * else *to is the largest cap (0 where there is none). */
bool series_caps(const char *what, const char *text, Arena *arena, const CapAt **cap, size_t *count, bool *steps,
                 int64_t *from, int64_t *to, Diags *diags);
/* Are the amounts of such a text in the model's currency, or in that of its prices? False with an error in diags. */
bool series_currency(const char *what, const char *text, const Model *model, Arena *arena, Diags *diags);

#endif
