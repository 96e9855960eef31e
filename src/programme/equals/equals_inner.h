/* equals_inner.h - what the parts of equals share: one pass over the steps. */
#ifndef POOLWRIGHT_PROGRAMME_EQUALS_EQUALS_INNER_H
#define POOLWRIGHT_PROGRAMME_EQUALS_EQUALS_INNER_H

#include "programme/equals/equals.h"
#include "programme/equals/equals_rows.h"

#define EQUALS_MANY 450 /* columns that are open: a tree comes to no end, so it is not tried for long */
#define EQUALS_MOST 16  /* pools that are compared with each other */

typedef struct {
    const Programme *programme;
    const Instance *in;
    const SearchOptions *options;
    EqualsRows rows;
    Search *search; /* NULL as long as none was needed */
    int64_t *x;     /* [problem.columns] the first pool so far */
    int64_t *own;   /* [problem.columns] what the step makes as great as it can be, besides fit */
    int64_t fit;
    int64_t pivots;
    bool hard;     /* the proof of the fit took many */
    bool more_fit; /* x has more than `fit` */
    bool settled;  /* x is the first of all, proven */
    bool open;     /* what a step makes of it is not proven */
} Equals;

/* What was found becomes x, with the values that give most. */
void equals_take(Equals *e, const int64_t *found);

/* Columns that the box does not fix. */
int equals_open_columns(const SearchProblem *problem);
/* The box becomes what pools of this fit can have, by a relaxation of the rows as they are now. */
void equals_narrow_fit(Equals *e);
/* Trees with more and more cuts, each from the best pool so far, for all pools that have most of the step's own
 * objective. True: x has it, proven. */
bool equals_by_tree(Equals *e, int64_t effort);

/* By changes, then by names: a comes before b. */
bool equals_comes_first(const Instance *in, const int *a, const int *b);
/* True: copies[cards] is the first of all pools of the best fit, proven. False: copies are as they were, or a pool of
 * more fit. */
bool equals_by_search(const Programme *programme, const SearchOptions *options, const EqualsSource *source, int *copies,
                      int64_t *pivots);

#endif
