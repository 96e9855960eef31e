/* side.h - everything that can be blamed: the sides of limits (model/limit.h).
 *
 * A SideProblem is a programme in which keeps and bans are rows like all others, and each side has a column of its own
 * by which it can be loosened:
 *
 *     row + step s >= low     or     row - step s <= high,     0 <= s <= (what the oracle allows; 0 at first)
 *
 * Both sides of a limit may stand in one row, but not where loosening the one could push the other: prices that rise
 * count on the upper side only (programme/count/risk.h), and a large step overshoots. There the upper side has a row of
 * its own.
 *
 * The unit of s: a card for counts and sizes, a cent for money, a thousandth for other columns; for shares as much by
 * which the share may be missed (100000 of the row, which is in hundred-thousandths), for averages as much in the sum
 * over the cards. Two more rows are free at first: the objective (to ask for a least fit) and the weighted sum of all
 * loosening (to ask for a smallest repair). */
#ifndef POOLWRIGHT_EXPLAIN_ORACLE_SIDE_H
#define POOLWRIGHT_EXPLAIN_ORACLE_SIDE_H

#include "programme/programme.h"

typedef struct {
    const Limit *limit; /* of Instance.limit; NULL: the price that why_price.c moves, which nothing else sees */
    int row; /* of the SideProblem; -1: a limit of many rows, all of them at once, which can be dropped but not loosened
                by a number */
    bool low;       /* the lower side of the limit, and of the row */
    int64_t step;   /* what one unit of s adds to the row */
    int64_t most;   /* units after which the side asks for nothing more */
    int64_t weight; /* of a unit, for repairs: 16000 for a card, 1.00 or 1 of a column at priority 5; double for each
                       priority before that */
    bool hard;      /* may be in a conflict; soft rules are not */
    int rank;       /* order of blame: lower first */
} Side;

typedef struct {
    SearchProblem problem; /* programme's columns, then a loosening column for each side; programme's rows, keeps, bans,
                              upper sides of their own, objective, weights */
    int columns;           /* of the programme: the first ones */
    int objective_row, weight_row;
    int64_t *objective;  /* [problem.columns] fit, as in problem.objective at first */
    const Limit **limit; /* [problem.rows] the limit whose row it is, or NULL */
    Side *side;          /* in order of blame */
    int sides;
} SideProblem;

/* From a programme whose instance has neither keeps nor bans in its least and most (side_free_instance), and the
 * instance as it is. */
SideProblem *side_problem_new(const Programme *programme, const Instance *instance);
/* A further row  sum value[column] x <= high  that goes with the side: loosened by its column in value[], dropped
 * together with it. */
void side_problem_add_row(SideProblem *sides, const int64_t *value, int64_t high, int side);
void side_problem_free(SideProblem *sides); /* NULL is allowed */
/* The loosening column of a side. */
int loosening_column(const SideProblem *sides, int side);

/* A copy of the instance without keeps and bans: least 0, most as the sheets say. Only the struct and its least and
 * most are new. Freed with side_free_instance_free. */
Instance *side_free_instance(const Instance *instance);
void side_free_instance_free(Instance *free_instance);

#endif
