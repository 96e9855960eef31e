/* box_search.c - see box_search.h. */
#include "search/tree/box_search.h"

#include <string.h>

#include "base/memory.h"
#include "search/tree/batch.h"

#define JOBS_A_ROUND 4
#define JOB_PIVOTS 2000 /* of a job */
#define ANY_VALUE (INT64_C(1) << 61)

/* What is still to be looked through: the last is next. */
typedef struct {
    BoxSearch *search;
    const Matrix *matrix;
    const int64_t *low, *high; /* the box asked about */
    OpenNode **stack;
    size_t count, capacity;
    PseudoCost *known;
    int64_t wanted;
    bool all; /* points as good as the best are still looked for */
} Rest;

static void push_node(Rest *rest, OpenNode *node)
{
    mem_reserve((void **)&rest->stack, &rest->capacity, rest->count + 1, sizeof *rest->stack);
    rest->stack[rest->count++] = node;
}

/* The next node as a job; false when it is empty. */
static bool plan_job(Rest *rest, Job *job, int64_t limit)
{
    const SearchProblem *p = &rest->matrix->p;
    const size_t n = (size_t)p->columns;
    *job = (Job){.from = rest->matrix, .node = rest->stack[--rest->count], .known = rest->known};
    job->low = mem_new(n + 1, sizeof *job->low);
    job->high = mem_new(n + 1, sizeof *job->high);
    memcpy(job->low, p->low, n * sizeof *job->low);
    memcpy(job->high, p->high, n * sizeof *job->high);
    bool possible = job->node->bound >= rest->wanted && open_node_box(job->node, p->columns, job->low, job->high);
    for (size_t j = 0; possible && j < n; j++) {
        job->low[j] = rest->low[j] > job->low[j] ? rest->low[j] : job->low[j];
        job->high[j] = rest->high[j] < job->high[j] ? rest->high[j] : job->high[j];
        possible = job->low[j] <= job->high[j];
    }
    job->task.wanted = rest->wanted;
    job->task.threshold = SEARCH_MINUS_INFINITY;
    job->task.bound = job->node->bound;
    job->task.limit = limit;
    job->task.first_only = rest->search->first;
    job->task.order_often = rest->search->order_often;
    job->task.trials = rest->search->known != NULL ? TRY_UNKNOWN : TRY_USUAL;
    job->told = rest->all ? rest->search->told : NULL;
    job->task.most_equals = rest->search->most;
    if (!possible)
        job_release(job);
    return possible;
}

/* ---- what was found ---- */

static void forget_equals(BoxSearch *search)
{
    for (size_t k = 0; k < search->equals; k++)
        mem_free(search->equal[k]);
    search->equals = 0;
}

static void take_equals(Rest *rest, Job *job)
{
    BoxSearch *search = rest->search;
    rest->all = rest->all && !job->task.more_equals && search->equals + job->equals <= search->most;
    for (size_t k = 0; k < job->equals && rest->all; k++) {
        search->equal[search->equals++] = job->equal[k];
        job->equal[k] = NULL;
    }
    if (!rest->all)
        forget_equals(search);
}

static void take_point(Rest *rest, Job *job)
{
    const SearchProblem *p = &rest->matrix->p;
    BoxSearch *search = rest->search;
    int64_t value = 0;
    if (job->x == NULL)
        return;
    for (int j = 0; j < p->columns; j++)
        value += p->objective[j] * job->x[j];
    if (value < rest->wanted)
        return;
    if (search->x == NULL || value > search->value) {
        mem_free(search->x);
        search->x = job->x;
        search->value = value;
        job->x = NULL;
        forget_equals(search);
    }
    if (rest->all)
        take_equals(rest, job);
    rest->wanted = rest->all ? value : value + 1;
}

static void take_job(Rest *rest, Job *job)
{
    rest->search->pivots += job->task.pivots;
    take_point(rest, job);
    for (size_t k = job->open_count; k-- > 0;) /* the deepest come first in the list */
        push_node(rest, job->open[k]);
    job->open_count = 0;
    pseudo_costs_add(rest->known, job->learned, rest->matrix->p.columns);
    job_release(job);
}

/* One job first: most boxes are small. What that leaves is shared out in rounds, always the same whatever the number of
 * threads. */
static void search_rounds(Rest *rest, int64_t limit)
{
    BoxSearch *search = rest->search;
    Job job[JOBS_A_ROUND];
    for (int round = 0; rest->count > 0 && search->pivots < limit && !(search->first && search->x != NULL) &&
                        !(search->cancel != NULL && *search->cancel != 0);
         round++) {
        const int most = round == 0 ? 1 : JOBS_A_ROUND;
        const int64_t share = (limit - search->pivots) / most + 1;
        int count = 0;
        while (count < most && rest->count > 0)
            count += plan_job(rest, &job[count], share < JOB_PIVOTS ? share : JOB_PIVOTS);
        batch_run(job, count, search->threads, search->cancel);
        for (int k = count; k-- > 0;)
            take_job(rest, &job[k]);
    }
}

void box_search_run(BoxSearch *search, const Matrix *matrix, const int64_t *low, const int64_t *high)
{
    Rest rest = {.search = search,
                 .matrix = matrix,
                 .low = low,
                 .high = high,
                 .known = search->known,
                 .wanted = search->wanted,
                 .all = search->told != NULL};
    if (rest.known == NULL)
        rest.known = mem_new((size_t)matrix->p.columns + 1, sizeof *rest.known);
    search->equal = mem_new(search->most + 1, sizeof *search->equal);
    push_node(&rest, open_node_new(ANY_VALUE, 0));
    search_rounds(&rest, search->limit > 0 ? search->limit : INT64_MAX - 1);
    search->exhausted = rest.count == 0;
    search->all_equals = search->exhausted && rest.all;
    while (rest.count > 0)
        open_node_free(rest.stack[--rest.count]);
    mem_free(rest.stack);
    if (search->known == NULL)
        mem_free(rest.known);
}

void box_search_release(BoxSearch *search)
{
    forget_equals(search);
    mem_free(search->equal);
    mem_free(search->x);
    search->equal = NULL;
    search->x = NULL;
}
