/* shown.h - how much of an answer is shown: the first screen, some parts of it by name (--show), or all (--full). */
#ifndef POOLWRIGHT_REPORT_SHOWN_H
#define POOLWRIGHT_REPORT_SHOWN_H

#include <stdbool.h>

typedef struct {
    bool full;
    unsigned named; /* 1 << section */
} Sections;

/* The words of --show, in this order. */
#define BEST_SECTION_WORDS "changes|wishes|themes|engines|colours|limits|tight|exceptions|dear|money|watches"
enum {
    BEST_CHANGES,
    BEST_WISHES,
    BEST_THEMES,
    BEST_ENGINES,
    BEST_COLOURS,
    BEST_LIMITS,
    BEST_TIGHT,
    BEST_EXCEPTIONS,
    BEST_DEAR,
    BEST_MONEY,
    BEST_WATCHES
};

#define WHAT_IF_SECTION_WORDS "cards|tight|engines|seats|scaled"
enum { WHAT_IF_CARDS, WHAT_IF_TIGHT, WHAT_IF_ENGINES, WHAT_IF_SEATS, WHAT_IF_SCALED };

/* Nothing was asked for by name: the first screen, in short or with all. */
static inline bool sections_first(const Sections *sections)
{
    return sections->named == 0 && !sections->full;
}

/* The section is to be shown with all that there is. */
static inline bool sections_whole(const Sections *sections, int section)
{
    return sections->full || (sections->named & (1u << section)) != 0;
}

#endif
