/* batch.c - jobs are taken from a common counter; the caller's thread works too. */
#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

#include <glpk.h>

#include "base/memory.h"
#include "search/batch.h"

typedef struct {
    Job *jobs;
    int count;
    atomic_int next;
    const volatile sig_atomic_t *cancel;
} Batch;

typedef struct {
    Batch *batch;
    Worker *worker;
} Share;

static void run_box(Job *job, const volatile sig_atomic_t *cancel)
{
    Core *core = core_new(job->box_from, job->low, job->high);
    if (!core) {
        job->exhausted = true;
        return;
    }
    const size_t n = (size_t)core->matrix.p.columns;
    Worker *worker = worker_new(core, cancel);
    PseudoCost *known = mem_new(n + 1, sizeof *known);
    job->offset = core->offset;
    if (job->task.wanted > SEARCH_MINUS_INFINITY + 1)
        job->task.wanted -= core->offset;
    job->task.low = core->matrix.p.low;
    job->task.high = core->matrix.p.high;
    job->task.known = known;
    job->task.threshold = SEARCH_MINUS_INFINITY;
    task_run(&job->task, worker);
    job->exhausted = job->task.open_count == 0;
    if (job->task.x) {
        job->x = mem_new((size_t)job->box_from->p.columns + 1, sizeof *job->x);
        core_expand(core, job->task.x, job->x);
    }
    mem_free(known);
    worker_free(worker);
    core_free(core);
}

static void work(Batch *batch, Worker *worker)
{
    for (;;) {
        const int k = atomic_fetch_add(&batch->next, 1);
        if (k >= batch->count)
            return;
        Job *job = &batch->jobs[k];
        if (job->box_from)
            run_box(job, batch->cancel);
        else
            task_run(&job->task, worker);
    }
}

static void *help(void *argument)
{
    Share *share = argument;
    work(share->batch, share->worker);
    glp_free_env(); /* of this thread, in case a job fell back on GLPK */
    return NULL;
}

void batch_run(Job *jobs, int count, Worker *const *worker, int threads, const volatile sig_atomic_t *cancel)
{
    Batch batch = {.jobs = jobs, .count = count, .cancel = cancel};
    atomic_init(&batch.next, 0);
    const int helpers = threads < count ? threads - 1 : count - 1;
    pthread_t *thread = mem_new((size_t)(helpers > 0 ? helpers : 0) + 1, sizeof *thread);
    Share *share = mem_new((size_t)(helpers > 0 ? helpers : 0) + 1, sizeof *share);
    int started = 0;
    for (; started < helpers; started++) {
        share[started] = (Share){&batch, worker ? worker[started + 1] : NULL};
        if (pthread_create(&thread[started], NULL, help, &share[started]) != 0)
            break;
    }
    work(&batch, worker ? worker[0] : NULL);
    for (int k = 0; k < started; k++)
        pthread_join(thread[k], NULL);
    mem_free(thread);
    mem_free(share);
}

void job_release(Job *job)
{
    task_release(&job->task);
    open_node_free(job->node);
    mem_free(job->low);
    mem_free(job->high);
    mem_free(job->x);
    memset(job, 0, sizeof *job);
}
