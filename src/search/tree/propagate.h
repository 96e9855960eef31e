/* propagate.h - tightening a box by single rows, in integers. */
#ifndef POOLWRIGHT_SEARCH_TREE_PROPAGATE_H
#define POOLWRIGHT_SEARCH_TREE_PROPAGATE_H

#include "search/linear/matrix.h"

typedef struct {
    const Matrix *matrix;
    int *queue;   /* [rows] rows to look at */
    bool *queued; /* [rows] */
    int head, count;
} Propagator;

void propagator_init(Propagator *propagator, const Matrix *matrix);
void propagator_release(Propagator *propagator);
void propagator_touch_column(Propagator *propagator, int column); /* its bounds have changed */
void propagator_touch_all(Propagator *propagator);
void propagator_clear(Propagator *propagator); /* forgets what was touched */
/* Tightens low and high by the rows that were touched, and by those touched in turn. False when some row can't hold in
 * the box: it is empty (low and high are then of no use). The queue is empty afterwards. */
bool propagate(Propagator *propagator, int64_t *low, int64_t *high);

#endif
