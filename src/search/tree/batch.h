/* batch.h - a batch of independent jobs on one or more threads. Which thread runs a job makes no difference to its
 * result. */
#ifndef POOLWRIGHT_SEARCH_TREE_BATCH_H
#define POOLWRIGHT_SEARCH_TREE_BATCH_H

#include <stdatomic.h>

#include "search/subtree/subtree.h"

/* A job searches a box of the core, for which a smaller core of its own is made: of an open node, or a neighbourhood.
 */
typedef struct {
    Task task; /* wanted, threshold, bound in the core's values; the job turns them into its own and back; proof in
                  from's columns and rows */
    const Matrix *from;      /* the core's */
    OpenNode *node;          /* owned; NULL for neighbourhoods */
    const Basis *basis;      /* for neighbourhoods: to start from, in from's columns, or NULL */
    const PseudoCost *known; /* [from columns], or NULL */
    int64_t *low, *high;     /* [from columns] owned: the box */
    const bool *told;        /* [from columns] as in box_search.h; NULL: one point */
    const bool *held;        /* [from columns] not to be fixed for being best for the value alone; or NULL */
    int64_t *x;              /* [from columns] owned: what was found, NULL without */
    int64_t **equal;         /* [equals] owned: where `told` asks for it, those as good, with x */
    size_t equals;
    OpenNode **open; /* owned: what is left of the node, in the core's columns and values; not for neighbourhoods */
    size_t open_count;
    PseudoCost *learned; /* [from columns] owned: what was learned beyond known; NULL when known is */
    bool exhausted;      /* the box holds nothing better than what was found: proven */
} Job;

void batch_run(Job *jobs, int count, int threads, const atomic_int *cancel);
void job_release(Job *job);

#endif
