/* structure.h - inside the programme room: columns and rows for an instance's forms (model/instance/structure.h). How
 * each is written is told in structure.c and structure_places.c. */
#ifndef POOLWRIGHT_PROGRAMME_ROWS_STRUCTURE_H
#define POOLWRIGHT_PROGRAMME_ROWS_STRUCTURE_H

#include "programme/rows/builder.h"

/* Fit of one copy in the objective: the card's fit, and what staying gives where all copies that may be in are in the
 * present pool. */
int64_t structure_objective(const Instance *instance, size_t card);
/* A 0/1 column for each theme that may be chosen; before the rows of rules. */
void structure_chosen(Builder *b);
/* The columns and rows of all forms. */
void structure_rows(Builder *b);
/* structure_places.c: LIMIT_PLACES. */
void structure_place_rows(Builder *b, const Limit *limit);
/* Adds to b->coefficient: so much for each copy of an enabler, a payoff of the theme that its decks can play. */
void structure_enablers(Builder *b, size_t theme, int64_t enabler, int64_t payoff);

/* A row over b->coefficient that only holds where the column `chosen` is 1 (-1: always), by the reach of its sum;
 * `missed` (-1: none) is a column that loosens it by `unit`. With a column to depend on, each side is a row of its own.
 */
void structure_row(Builder *b, ProgrammeRow about, int chosen, int64_t low, int64_t high, int missed, int64_t unit);

#endif
