/* box_search.h - looks through a box, depth first, for points with a value that is wanted: the best of them, or all
 * that are as good as the best. Threads make no difference to what is found. */
#ifndef POOLWRIGHT_SEARCH_TREE_BOX_SEARCH_H
#define POOLWRIGHT_SEARCH_TREE_BOX_SEARCH_H

#include <stdatomic.h>

#include "search/linear/matrix.h"
#include "search/subtree/branching.h"

typedef struct {
    /* in */
    int64_t wanted;   /* least value of a point */
    int64_t limit;    /* pivots; 0: none */
    bool first;       /* the first point that is good enough will do */
    bool order_often; /* protected rows are followed closely: fewer nodes, each dearer */
    int threads;
    const atomic_int *cancel; /* may be NULL */
    const bool *told;  /* [columns] all points that are as good as the best are looked for, one of those that differ in
                          no column marked here; NULL: one point */
    size_t most;       /* of them; where there are more, they are given up */
    PseudoCost *known; /* [columns] what branching brought in earlier searches; this one adds to it. NULL: in none */
    /* out; freed by box_search_release */
    int64_t *x; /* [columns] the best that was found; NULL: none */
    int64_t value;
    bool exhausted;  /* there is none better, or none at all: proven */
    int64_t **equal; /* [equals] points as good as x, which is one of them */
    size_t equals;
    bool all_equals; /* no others are as good: proven */
    int64_t pivots;
} BoxSearch;

void box_search_run(BoxSearch *search, const Matrix *matrix, const int64_t *low, const int64_t *high);
void box_search_release(BoxSearch *search);

#endif
