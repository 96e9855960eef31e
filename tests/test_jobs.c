/* test_jobs.c - what a job has found and what it leaves open together hold the best point of its box, however soon it
 * is stopped, with cuts of its own, and where its node begins with cuts of the job that left it open. Small invented
 * programmes, judged by trying all points. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "search/tree/batch.h"
#include "search/tree/open.h"
#include "support/family.h"
#include "support/programme_make.h"
#include "support/run.h"

#define SEEDS 30000

/* The best value in a box; false without any. */
static bool best_in(const SearchProblem *p, int64_t *low, int64_t *high, int64_t *best)
{
    SearchProblem part = *p;
    part.low = low;
    part.high = high;
    for (int j = 0; j < p->columns; j++)
        if (low[j] > high[j])
            return false;
    return programme_try_all(&part, best);
}

/* The best value that is wanted and still to be had: what the job found, or what its open nodes hold. */
static bool best_left(const SearchProblem *p, const Job *job, int64_t wanted, int64_t *best)
{
    const size_t n = (size_t)p->columns;
    int64_t *low = mem_new(n, sizeof *low), *high = mem_new(n, sizeof *high), value = 0;
    bool any = job->x != NULL;
    if (any)
        assert_true(search_feasible(p, job->x, best));
    for (size_t k = 0; k < job->open_count; k++) {
        memcpy(low, p->low, n * sizeof *low);
        memcpy(high, p->high, n * sizeof *high);
        if (!open_node_box(job->open[k], p->columns, low, high) || !best_in(p, low, high, &value) || value < wanted)
            continue;
        assert_true(job->open[k]->bound >= value);
        *best = !any || value > *best ? value : *best;
        any = true;
    }
    mem_free(low);
    mem_free(high);
    return any;
}

/* A node as a branching would have made it, or the root. */
static OpenNode *draw_node(const SearchProblem *p, uint64_t *state)
{
    const int column = (int)(programme_random(state) % (uint64_t)p->columns);
    const bool branched = programme_random(state) % 2 == 0 && p->high[column] > p->low[column];
    OpenNode *node = open_node_new(SEARCH_PLUS_INFINITY, branched ? 1 : 0);
    if (branched)
        node->change[0] = programme_random(state) % 2 == 0 ? (Change){column, true, p->high[column] - 1}
                                                           : (Change){column, false, p->low[column] + 1};
    return node;
}

typedef struct {
    int left_open, found, empty, cut, kept;
} Seen;

/* Rows of cuts for the matrix; their recipes are in s. */
static void cut(Matrix *matrix, CutBook *book, Strengthening *s)
{
    SearchOptions options;
    search_options_default(&options);
    *s = (Strengthening){.first = matrix->p.rows,
                         .book = book,
                         .entry = mem_new(1, sizeof *s->entry),
                         .label = mem_new(1, sizeof *s->label)};
    strengthen(matrix, &options, s);
}

#define MOST_JOBS 30

/* A least value that is no more than the best. */
static int64_t draw_wanted(bool any, int64_t best, uint64_t *state)
{
    return any && programme_random(state) % 2 == 0 ? best - 50 * (int64_t)(programme_random(state) % 4)
                                                   : SEARCH_MINUS_INFINITY + 1;
}

/* Runs a job that begins with the node, and looks whether anything is lost. wanted: NULL to draw one; what a job leaves
 * open holds all that it wanted, and no job after it may want less. */
static void run_node(const SearchProblem *p, const Matrix *matrix, const LocalCuts *cuts, OpenNode *node,
                     const int64_t *wanted, uint64_t *state, uint64_t seed, Job *job)
{
    const size_t n = (size_t)p->columns;
    int64_t best = 0, left = 0;
    *job =
        (Job){.from = matrix, .node = node, .low = mem_new(n, sizeof *job->low), .high = mem_new(n, sizeof *job->high)};
    memcpy(job->low, p->low, n * sizeof *job->low);
    memcpy(job->high, p->high, n * sizeof *job->high);
    assert_true(open_node_box(node, p->columns, job->low, job->high));
    bool any = best_in(p, job->low, job->high, &best);
    const int64_t least = wanted != NULL ? *wanted : draw_wanted(any, best, state);
    any = any && best >= least;
    job->task.wanted = least;
    job->task.threshold = programme_random(state) % 2 == 0 ? SEARCH_MINUS_INFINITY : SEARCH_PLUS_INFINITY;
    job->task.bound = node->bound;
    job->task.limit = 1 + (int64_t)(programme_random(state) % 12);
    job->task.cuts = cuts;
    job->task.keeps_cuts = true;
    batch_run(job, 1, 1, NULL);
    const bool has = best_left(p, job, least, &left);
    if (has != any || (any && left < best))
        fail_msg("seed %llu, %s job: the best is %lld, what is left %lld", (unsigned long long)seed,
                 wanted == NULL ? "the first" : "a later", any ? (long long)best : -1, has ? (long long)left : -1);
}

/* Jobs for what is left open, one after the other. Takes the job. */
static void work_off(const SearchProblem *p, const Matrix *matrix, const LocalCuts *cuts, Job *job, uint64_t *state,
                     uint64_t seed, Seen *seen)
{
    OpenSet open;
    open_set_init(&open, 1000);
    int64_t wanted = SEARCH_MINUS_INFINITY;
    for (int jobs = 0;; jobs++) {
        wanted = job->task.wanted > wanted ? job->task.wanted : wanted; /* more where it has found something */
        while (job->open_count > 0)
            open_set_push(&open, job->open[--job->open_count]);
        job_release(job);
        if (open_set_empty(&open) || jobs == MOST_JOBS)
            break;
        OpenNode *node = open_set_pop(&open);
        seen->kept += node->cuts.count > 0;
        run_node(p, matrix, cuts, node, &wanted, state, seed, job);
    }
    open_set_release(&open);
}

static void one_job(uint64_t seed, Seen *seen)
{
    SearchProblem *p = programme_make(PROGRAMME_SMALL, seed);
    uint64_t state = seed;
    Matrix matrix;
    matrix_init(&matrix, p);
    CutBook book = {0};
    Strengthening s = {0};
    if (seed % 2 == 0)
        cut(&matrix, &book, &s);
    const LocalCuts cuts = {&book, s.first, matrix.p.rows - s.first, s.entry, seed % 4 == 0};
    Job job;
    run_node(p, &matrix, s.cuts > 0 ? &cuts : NULL, draw_node(p, &state), NULL, &state, seed, &job);
    seen->left_open += job.open_count > 0;
    seen->found += job.x != NULL;
    seen->empty += job.x == NULL && job.open_count == 0;
    seen->cut += s.cuts > 0;
    work_off(p, &matrix, s.cuts > 0 ? &cuts : NULL, &job, &state, seed, seen);
    strengthening_release(&s);
    cut_book_release(&book);
    matrix_release(&matrix);
    family_free(p);
}

static void nothing_is_lost(void **state)
{
    (void)state;
    Seen seen = {0};
    const int many = sanitised_share(SEEDS);
    for (uint64_t seed = 1; seed <= (uint64_t)many; seed++)
        one_job(seed, &seen);
    assert_true(seen.left_open > many / 20 && seen.found > many / 10 && seen.empty > many / 100 &&
                seen.cut > many / 20 && seen.kept > many / 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_lost),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
