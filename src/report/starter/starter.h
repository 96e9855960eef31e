/* starter.h - the files of a new folder: sample cards, targets, model, scenario. The numbers follow from size, colours
 * and themes. */
#ifndef POOLWRIGHT_REPORT_STARTER_STARTER_H
#define POOLWRIGHT_REPORT_STARTER_STARTER_H

#include "base/text.h"
#include "model/model.h"

typedef struct {
    const char *name;
    ColourMask colours; /* never 0 */
} StarterTheme;

#define SEAT_PACKS 3
#define SEAT_PACK 15
#define SEAT_CARDS (SEAT_PACKS * SEAT_PACK) /* that a seat opens, where the pool has so many for each */
#define SEAT_CARDS_LEAST 24                 /* that a deck is made of */

typedef struct {
    int size;
    int seats; /* 0: as many as the size serves */
    const char *const *colour;
    size_t colours; /* 1 to 16 */
    const StarterTheme *theme;
    size_t themes;
    /* Sheets as programs with a decimal comma want them: ; between, 3,50 for 3.50, a byte order mark. */
    bool semicolons;
} StarterPlan;

char starter_separator(const StarterPlan *plan);

/* What the plan comes to, in cards of the pool. */
typedef struct {
    int seats, pairs;
    int pack;                             /* cards in each of a seat's packs */
    int mono;                             /* of each colour */
    int gold, hybrid, fixing;             /* of each pair; 0: too few for a number of each */
    int all_gold, all_hybrid, all_fixing; /* in all; of many pairs also where there are too few for each */
    int colourless;
    int early;             /* mono cards that cost 2 or less, of each colour */
    int removal;           /* of each colour */
    int payoffs, enablers; /* of each theme */
    int64_t cap;           /* cents */
} StarterNumbers;

/* Cards in each of the packs where so many seats share the pool. */
int starter_pack(int size, int seats);
void starter_numbers(const StarterPlan *plan, StarterNumbers *numbers);

/* The four files, appended. */
void starter_cards(const StarterPlan *plan, Text *out);
void starter_targets(const StarterPlan *plan, Text *out);
void starter_model(const StarterPlan *plan, Text *out);
void starter_scenario(const StarterPlan *plan, Text *out);

#endif
