/* batch.c - jobs are taken from a common counter, the last first: boxes are behind the tree's jobs, and take longest.
 * The caller's thread works too. */
#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

#include <glpk.h>

#include "base/memory.h"
#include "search/tree/batch.h"

typedef struct {
    Job *jobs;
    int count;
    atomic_int next;
    const atomic_int *cancel;
} Batch;

static int64_t moved(int64_t value, int64_t by)
{
    return value <= SEARCH_MINUS_INFINITY + 1 || value == SEARCH_PLUS_INFINITY ? value : value + by;
}

/* An open node of the job's own core, in terms of the core it was made from. */
static OpenNode *node_out(const Job *job, const Core *own, OpenNode *node)
{
    const int above = job->node->depth;
    OpenNode *out = open_node_new(moved(node->bound, own->offset), above + node->depth);
    if (above > 0)
        memcpy(out->change, job->node->change, (size_t)above * sizeof(Change));
    for (int k = 0; k < node->depth; k++) {
        out->change[above + k] = node->change[k];
        out->change[above + k].column = own->map[node->change[k].column];
    }
    out->proof = node->proof;
    out->basis = basis_copy(node->basis);
    basis_rename_columns(out->basis, own->map);
    out->cuts = node->cuts;
    node->cuts = (KeptCuts){0};
    const SearchProblem *from = &job->from->p;
    out->fixed = column_states_new(from->columns);
    for (int j = 0; j < from->columns; j++) {
        const int at = own->place[j];
        const int state = at >= 0 && node->fixed ? column_state(node->fixed, at) : COLUMN_OPEN;
        const int64_t low = state == COLUMN_OPEN     ? job->low[j]
                            : state == COLUMN_AT_LOW ? own->matrix.p.low[at]
                                                     : own->matrix.p.high[at]; /* reduction may have tightened these */
        if (state != COLUMN_OPEN || low == job->high[j])
            column_state_fix(out->fixed, from, j, low);
    }
    return out;
}

static void hand_back(Job *job, const Core *own, const PseudoCost *known)
{
    Task *task = &job->task;
    job->exhausted = task->open_count == 0;
    if (task->x) {
        job->x = mem_new((size_t)job->from->p.columns + 1, sizeof *job->x);
        core_expand(own, task->x, job->x);
    }
    if (task->equals > 0)
        job->equal = mem_new(task->equals, sizeof *job->equal);
    for (; job->equals < task->equals; job->equals++) {
        job->equal[job->equals] = mem_new((size_t)job->from->p.columns + 1, sizeof **job->equal);
        core_expand(own, task->equal[job->equals], job->equal[job->equals]);
    }
    if (job->node) {
        job->open = mem_new(task->open_count + 1, sizeof(OpenNode *));
        for (size_t k = 0; k < task->open_count; k++)
            job->open[job->open_count++] = node_out(job, own, task->open[k]);
    }
    if (!job->known)
        return;
    job->learned = mem_new((size_t)job->from->p.columns + 1, sizeof *job->learned);
    for (int j = 0; j < own->matrix.p.columns; j++)
        for (int up = 0; up < 2; up++) {
            job->learned[own->map[j]].sum[up] = task->learned[j].sum[up] - known[j].sum[up];
            job->learned[own->map[j]].count[up] = task->learned[j].count[up] - known[j].count[up];
        }
}

/* The box around the relaxation takes the place of the job's box. */
static void take_box(Job *job, const Core *own)
{
    Task *task = &job->task;
    for (int j = 0; j < job->from->p.columns; j++)
        if (own->place[j] >= 0) {
            job->low[j] = task->box_low[own->place[j]];
            job->high[j] = task->box_high[own->place[j]];
        }
    task->narrow_to = 0;
    task_release(task);
}

static void search_box(Job *job, const atomic_int *cancel)
{
    Core *own = core_reduced(job->from, job->low, job->high, job->told != NULL ? job->told : job->held);
    if (!own) {
        job->exhausted = true;
        return;
    }
    Basis *basis = basis_copy(job->node ? job->node->basis : job->basis);
    basis_rename_columns(basis, own->place);
    Worker *worker = worker_new(own, job->node != NULL ? &job->node->cuts : NULL, basis, cancel);
    PseudoCost *known = mem_new((size_t)own->matrix.p.columns + 1, sizeof *known);
    for (int j = 0; job->known && j < own->matrix.p.columns; j++)
        known[j] = job->known[own->map[j]];
    bool *told = job->told != NULL ? mem_new((size_t)own->matrix.p.columns + 1, sizeof *told) : NULL;
    for (int j = 0; told != NULL && j < own->matrix.p.columns; j++)
        told[j] = job->told[own->map[j]];
    Task *task = &job->task;
    task->wanted = moved(task->wanted, -own->offset);
    task->threshold = moved(task->threshold, -own->offset);
    task->bound = moved(task->bound, -own->offset);
    task->basis = basis;
    task->known = known;
    task->told = told;
    task_run(task, worker);
    task->wanted = moved(task->wanted, own->offset);
    task->threshold = moved(task->threshold, own->offset);
    task->bound = moved(task->bound, own->offset);
    if (task->box_low != NULL)
        take_box(job, own);
    else
        hand_back(job, own, known);
    mem_free(basis);
    mem_free(known);
    mem_free(told);
    worker_free(worker);
    core_free(own);
}

static void run_job(Job *job, const atomic_int *cancel)
{
    const bool narrow = job->task.narrow_to > 0;
    search_box(job, cancel);
    if (narrow && job->task.narrow_to == 0)
        search_box(job, cancel);
}

static void work(Batch *batch)
{
    for (;;) {
        const int taken = atomic_fetch_add(&batch->next, 1);
        if (taken >= batch->count)
            return;
        run_job(&batch->jobs[batch->count - 1 - taken], batch->cancel);
    }
}

static void *help(void *argument)
{
    work(argument);
    glp_free_env(); /* of this thread, in case a job fell back on GLPK */
    return NULL;
}

void batch_run(Job *jobs, int count, int threads, const atomic_int *cancel)
{
    Batch batch = {.jobs = jobs, .count = count, .cancel = cancel};
    atomic_init(&batch.next, 0);
    const int helpers = threads < count ? threads - 1 : count - 1;
    pthread_t *thread = mem_new((size_t)(helpers > 0 ? helpers : 0) + 1, sizeof *thread);
    int started = 0;
    while (started < helpers && pthread_create(&thread[started], NULL, help, &batch) == 0)
        started++;
    work(&batch);
    for (int k = 0; k < started; k++)
        pthread_join(thread[k], NULL);
    mem_free(thread);
}

void job_release(Job *job)
{
    task_release(&job->task);
    open_node_free(job->node);
    for (size_t k = 0; k < job->open_count; k++)
        open_node_free(job->open[k]);
    for (size_t k = 0; k < job->equals; k++)
        mem_free(job->equal[k]);
    mem_free(job->equal);
    mem_free(job->open);
    mem_free(job->learned);
    mem_free(job->low);
    mem_free(job->high);
    mem_free(job->x);
    memset(job, 0, sizeof *job);
}
