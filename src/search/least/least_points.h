/* least_points.h - what is known, while a run goes on, of the least units that each of several columns needs, and the
 * solutions that show it (search.h, SearchLeast). */
#ifndef POOLWRIGHT_SEARCH_LEAST_LEAST_POINTS_H
#define POOLWRIGHT_SEARCH_LEAST_LEAST_POINTS_H

#include "search/search.h"

typedef struct {
    int count, row;
    const int *column;
    const int64_t *loaded; /* [count] units that the loaded entries stand for */
    const int64_t *least;  /* [count] fewer are known not to be enough */
    int64_t *units;        /* [count] more are of no use any more; 0: the column is done */
    bool any;              /* a column is done with its first solution */
    int64_t target;
    int64_t **point; /* [count] that with the fewest units, or NULL */
    bool *held;   /* [columns] with entries in rows that are loosened: what is best for the value may need more units */
    bool changed; /* units have, since this was set to false */
} LeastPoints;

void least_points_init(LeastPoints *points, const SearchProblem *problem, const SearchLeast *asked);
void least_points_release(LeastPoints *points);
/* x is feasible with the loaded entries and reaches the target. True: it needs fewer units than are known. */
bool least_points_take(LeastPoints *points, const SearchProblem *problem, const int64_t *x);
bool least_points_done(const LeastPoints *points);
/* Units that the column, which x has at 1, needs at least for the rows to hold. */
int64_t least_points_need(const LeastPoints *points, const SearchProblem *problem, int which, const int64_t *x);
/* The entry, of that size in the loaded problem, for the units there are now, in a row divided by divisor; rounded away
 * from 0, so that no solution is lost. */
int64_t least_points_entry(const LeastPoints *points, int which, int64_t loaded, int64_t divisor);

#endif
