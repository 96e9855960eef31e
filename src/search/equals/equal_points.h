/* equal_points.h - points of the best value, as a run that looks for all of them finds them: those with the least
 * activity of one row, each different from the others in a column that is told. */
#ifndef POOLWRIGHT_SEARCH_EQUALS_EQUAL_POINTS_H
#define POOLWRIGHT_SEARCH_EQUALS_EQUAL_POINTS_H

#include "search/search.h"

typedef struct {
    int row;
    const bool *told; /* [columns] */
    size_t most;      /* points; where there are more, they are given up */
    int64_t least;    /* the row's activity in those that are kept */
    int64_t **point;  /* [count] */
    size_t count;
    bool side;  /* the row's side is where they have it */
    bool fewer; /* one with less of the row than its side came up: the run is over, and begins again with that side */
    bool too_many;
} EqualPoints;

void equal_points_init(EqualPoints *points, const SearchProblem *problem, const SearchEquals *asked,
                       const int64_t *best);
void equal_points_release(EqualPoints *points);
/* x is feasible, with the value. */
void equal_points_take(EqualPoints *points, const SearchProblem *problem, const int64_t *x);
/* x is feasible, and better than all there were: they go. */
void equal_points_restart(EqualPoints *points, const SearchProblem *problem, const int64_t *x);

#endif
