/* explain_words.h - limits, loosenings and ranges in words for readers who know no optimisation. All texts are in the
 * arena. */
#ifndef POOLWRIGHT_REPORT_WORDS_EXPLAIN_WORDS_H
#define POOLWRIGHT_REPORT_WORDS_EXPLAIN_WORDS_H

#include "base/text.h"
#include "explain/binding.h"
#include "explain/explain.h"
#include "explain/swaps/swap.h"
#include "report/layout/table.h"

/* "at least 8", "exactly 58", "at most 112.50"; "" for keeps and bans. */
const char *words_side_limit(const Side *side, Arena *arena);
/* With the limit's title and place: "removal (tar), at least 8 (four-360.yaml:88)". */
const char *words_side(const Side *side, Arena *arena);
/* Is side[k] the other side of an exact number that an earlier one is of? For a reader both are one limit. */
bool words_side_again(const Explain *e, const int *side, int k);
/* How many limits these are for a reader. */
int words_sides(const Explain *e, const int *side, int sides);
/* By how much the number has to be loosened as it is written, for so many units: the cap by more, where a headroom is
 * taken off. */
int64_t words_units_written(const Side *side, int64_t units);
/* With so many units nothing is left of the side: a keep, a ban, a need. */
bool side_is_given_up(const Side *side, int64_t units);
/* "3.40 more", "1 card fewer", "up to 2 cards short", "without it"; of a limit that is scaled to another size also what
 * is to be written for it: "1 card fewer (write at least 7)". */
const char *words_loosening(const Side *side, int64_t units, Arena *arena);
/* The same as the start of a sentence: "With 3.40 more there", "If it asked for 1 card fewer", "Without that". at_most:
 * the amount may be less. */
const char *words_if_loosened(const Side *side, int64_t units, bool at_most, Arena *arena);
/* One that costs nothing: is there nothing to loosen, as of at least 0 cards? */
bool words_asks_for_nothing(const Binding *b, const Binding *twin);
/* From where on there is a better pool: "with 1 fewer card", "without it", "nothing up to 2 more cards", "not known up
 * to 0.40 more". twin: the other side of an exact number, told along where neither helps; NULL: none. */
const char *words_binding(const Explain *e, const Binding *b, const Binding *twin, Arena *arena);
/* "0.7", "at least 0.3", "at most 0.7", "0.3 to 0.7", "an unknown amount of". */
const char *words_range(const Range *range, Arena *arena);
/* Ends a sentence with who leaves and comes in: behind a colon where that is short, else as two lists below it. all:
 * every name. */
void words_add_exchange(const Instance *in, const Exchange *exchange, long without, bool all, const Style *style,
                        Arena *arena, Text *out);
/* "A", "A and B", "A, B and 3 more" */
const char *words_cards(const Instance *in, const Moved *moved, size_t count, long without, size_t most, Arena *arena);
/* What a change costs or brings: "costs 0.8 fit and saves 0.50". brings: it does so in fit. cost: cents more to pay. */
const char *words_price(Arena *arena, const char *fit, bool brings, int64_t cost);
/* The same of one exchange. */
const char *words_single(const Single *single, Arena *arena);

#endif
