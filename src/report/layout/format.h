/* format.h - numbers and limits in the user's units. All texts are in the arena. */
#ifndef POOLWRIGHT_REPORT_LAYOUT_FORMAT_H
#define POOLWRIGHT_REPORT_LAYOUT_FORMAT_H

#include "programme/count/checker.h"

const char *format_money(Arena *arena, int64_t cents);                    /* 498.35 */
const char *format_number(Arena *arena, int64_t thousandths);             /* 2812.4 */
const char *format_count(Arena *arena, int64_t count);                    /* 12,000 */
const char *format_measure(Arena *arena, Measure measure, int64_t value); /* by the measure's scale */
const char *format_gap(Arena *arena, int64_t ppm);                        /* 0.031% */
const char *format_share(Arena *arena, int64_t part, int64_t whole);      /* 48.2% (rounded), - if whole is 0 */
const char *format_mean(Arena *arena, double mean); /* 2.3 for 2.25: halves up, as the page rounds; not below 0 */
/* "83.1%"; what is neither sure nor impossible is not shown as such: "<0.1%". */
const char *format_chance(Arena *arena, double chance);
/* "exactly 58", "2 to 4", "at least 50%", "average at most 3.1" */
const char *format_bounds(Arena *arena, Measure measure, const Bounds *bounds);
/* "38", "52.1%", "average 3.04" */
const char *format_use(Arena *arena, const LimitUse *use);
/* "1 card", "3 cards" */
const char *format_cards(Arena *arena, int64_t count);
/* "Reed Pilot", "2 x Reed Pilot" */
const char *format_copies(Arena *arena, int copies, const char *name);

/* "four-360.yaml:88", without its folder; "command line". */
const char *format_place(Arena *arena, SourcePos at);

/* ---- sentences of several reports ---- */

/* The last one of a run that a signal has stopped. */
#define STOPPED_EARLY "\nStopped: what stands here holds, the rest was not looked into.\n"
#define STOPPED_WITHOUT_POOL "Stopped before a first pool was found; whether there is one is not known.\n"
/* Of verbs that look no further into it. */
#define NO_POOL_SEE_BEST                                                                                               \
    "No pool meets every limit: proven. `poolwright best` says which limits stand against each other.\n"

#endif
