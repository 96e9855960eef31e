/* supply.h - the candidates counted for a first model: how many of each sort, what those without a price or power count
 * as. */
#ifndef POOLWRIGHT_INTAKE_SUPPLY_H
#define POOLWRIGHT_INTAKE_SUPPLY_H

#include "intake/intake.h"

typedef struct {
    int candidates;
    int mono[COLOURS_MAX], early[COLOURS_MAX], removal[COLOURS_MAX]; /* early: mono that cost 2 or less */
    int pair[COLOURS_MAX * COLOURS_MAX / 2];                         /* gold cards of just these two colours */
    int gold, hybrid, colourless, fixing;
    bool has_enablers, has_payoffs, has_costs;
    size_t priced, scored;
    int64_t middle_price; /* cents: the median of those that have one; -1: none has */
    int64_t middle_power; /* thousandths, likewise */
    bool has_power;
    int64_t average_cost; /* thousandths; -1: unknown */
} Supply;

/* copies: of each card, NULL: every candidate once. */
void supply_count(const Intake *intake, const int *copies, Supply *supply);

/* Does it help to pay, by the words that the intake found? */
bool supply_is_fixing(const Intake *intake, const Card *card);

#endif
