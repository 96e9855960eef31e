/* starter_found.h - the model and scenario of a folder whose sheets are there already: how they are read, and limits
 * that follow from the size and from how many candidates of each sort there are, so that some pool meets all of them.
 */
#ifndef POOLWRIGHT_REPORT_STARTER_STARTER_FOUND_H
#define POOLWRIGHT_REPORT_STARTER_STARTER_FOUND_H

#include "intake/supply.h"
#include "report/starter/starter.h"

/* A sheet as the scenario names it. */
typedef struct {
    const char *path; /* from the folder */
    const char *key;  /* "cards", "prices", "owned", "tags", "pool" */
} StarterSheet;

typedef struct {
    StarterPlan plan;
    Supply supply;
    const StarterSheet *sheet;
    size_t sheets;
    const Intake *intake; /* columns, habits, words */
    int64_t unpriced;     /* cents: what a candidate without a price counts as; -1: all have one, or none has */
    int64_t unscored;     /* thousandths; -1: no candidate has a power, or all have */
    int64_t cap;          /* cents; -1: none */
    size_t unpriced_cards, unscored_cards;
} StarterFound;

/* All before the rules. */
void starter_found_head(const StarterFound *found, Text *out);
void starter_found_model(const StarterFound *found, Text *out);
void starter_found_scenario(const StarterFound *found, Text *out);

/* starter.c: parts that both models have. */
void starter_quoted(Text *out, const char *text);
/* The field of a filter for cards with the tag: `tag: "removal"`; where the tag is only a column of marks that is no
 * theme's, that column: `"removal": ["x"]`. */
void starter_tagged(const Intake *intake, const char *tag, Text *out);
void starter_size_remark(Text *out); /* above the size */
void starter_themes(const StarterPlan *plan, Text *out);
void starter_patterns(Text *out);

#endif
