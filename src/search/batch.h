/* batch.h - a batch of independent jobs on one or more threads. Which thread runs a job makes no difference to its result. */
#ifndef POOLWRIGHT_SEARCH_BATCH_H
#define POOLWRIGHT_SEARCH_BATCH_H

#include "search/subtree.h"

/* A job searches below a node of the core, or (box_from set) a box of some matrix, for which a smaller core is made. */
typedef struct {
    Task task;
    OpenNode *node;          /* owned; NULL for boxes */
    const Matrix *box_from;
    int64_t *low, *high;     /* [box_from columns] owned, for boxes */
    int64_t *x;              /* [box_from columns] owned: what a box job found, NULL without */
    int64_t offset;          /* value of the task's problem + offset = value in box_from's terms */
    bool exhausted;          /* a box holds nothing better than what was found: proven */
} Job;

/* Runs all. worker[t] is used by thread t only; threads >= 1. */
void batch_run(Job *jobs, int count, Worker *const *worker, int threads, const volatile sig_atomic_t *cancel);
void job_release(Job *job);

#endif
