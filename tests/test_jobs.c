/* test_jobs.c - what a job leaves open and what it has found together hold the best point of its box. Small invented programmes, judged by trying all points. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "search/batch.h"

#define COLUMNS 8
#define ROWS 5
#define SEEDS 5000

static uint64_t dice_state;

static int64_t roll(int64_t low, int64_t high)
{
    dice_state = dice_state * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (int64_t)((dice_state >> 33) % (uint64_t)(high - low + 1));
}

/* A programme with all its arrays in place. Half of the columns have some copies, and rows that bind them to other columns; one is at most another. */
typedef struct {
    SearchProblem p;
    SearchKind kind[COLUMNS];
    int64_t objective[COLUMNS], low[COLUMNS], high[COLUMNS], row_low[ROWS], row_high[ROWS], value[COLUMNS * ROWS];
    size_t start[COLUMNS + 1];
    int row[COLUMNS * ROWS];
} Small;

static int64_t coefficient(int column, int row)
{
    if (row == ROWS - 1)
        return column == 0 ? 1 : column == 1 ? -1 : 0;
    if (row == ROWS - 2)
        return column == 0 ? 1 : column == 2 ? -1 : 0;
    return roll(0, 2) == 0 ? 0 : row == 0 ? roll(1, 9) : roll(-4, 6);
}

static void make(Small *s)
{
    int64_t sum[ROWS] = {0};
    size_t at = 0;
    for (int j = 0; j < COLUMNS; j++) {
        s->kind[j] = j == 0 ? SEARCH_CONTINUOUS : SEARCH_INTEGER;
        s->low[j] = 0;
        s->high[j] = j % 2 == 1 && j > 2 ? roll(2, 5) : 1;
        s->objective[j] = j == 0 ? roll(1, 20) : roll(-10, 40);
        s->start[j] = at;
        for (int i = 0; i < ROWS; i++) {
            const int64_t a = coefficient(j, i);
            if (a == 0 || (j == 0 && i < ROWS - 2))
                continue;
            sum[i] += a * s->high[j];
            s->row[at] = i;
            s->value[at++] = a;
        }
    }
    s->start[COLUMNS] = at;
    for (int i = 0; i < ROWS; i++) {
        const bool bonus = i >= ROWS - 2;
        s->row_high[i] = bonus ? 0 : sum[i] / 2 + roll(-2, 2);
        s->row_low[i] = bonus || roll(0, 1) ? SEARCH_MINUS_INFINITY : s->row_high[i] - roll(0, 3);
    }
    s->p = (SearchProblem){COLUMNS, ROWS, s->kind, s->objective, s->low, s->high, s->row_low, s->row_high, s->start, s->row, s->value};
}

static bool next_point(int64_t *x, const int64_t *low, const int64_t *high)
{
    int j = 0;
    for (; j < COLUMNS && x[j] >= high[j]; j++)
        x[j] = low[j];
    if (j < COLUMNS)
        x[j]++;
    return j < COLUMNS;
}

/* The best value in a box; false without any. */
static bool best_in(const Small *s, const int64_t *low, const int64_t *high, int64_t *best)
{
    int64_t x[COLUMNS], value = 0;
    bool any = false;
    for (int j = 0; j < COLUMNS; j++)
        if (low[j] > high[j])
            return false;
    memcpy(x, low, sizeof x);
    do {
        if (search_feasible(&s->p, x, &value) && (!any || value > *best)) {
            *best = value;
            any = true;
        }
    } while (next_point(x, low, high));
    return any;
}

/* The best value that is still to be had: what the job found, or what its open nodes hold. No node may claim to hold less than it does. */
static bool best_left(const Small *s, const Job *job, int64_t *best)
{
    int64_t value = 0;
    bool any = job->x != NULL;
    if (any)
        assert_true(search_feasible(&s->p, job->x, best));
    for (size_t k = 0; k < job->open_count; k++) {
        int64_t low[COLUMNS], high[COLUMNS];
        memcpy(low, s->low, sizeof low);
        memcpy(high, s->high, sizeof high);
        if (!open_node_box(job->open[k], COLUMNS, low, high) || !best_in(s, low, high, &value))
            continue;
        if (!any || value > *best)
            *best = value;
        any = true;
    }
    return any;
}

static void nothing_is_lost(void **state)
{
    (void)state;
    int left_open = 0, found = 0, empty = 0;
    Small *s = mem_new(1, sizeof *s);
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        dice_state = seed;
        make(s);
        Matrix matrix;
        matrix_init(&matrix, &s->p);
        int64_t best = 0, left = 0;
        const int narrowed = (int)roll(0, COLUMNS - 1); /* as a branching would have done */
        const bool narrow = roll(0, 1) && s->high[narrowed] > 1;
        Job job = {.from = &matrix, .node = open_node_new(SEARCH_PLUS_INFINITY, narrow ? 1 : 0)};
        if (narrow)
            job.node->change[0] = (Change){narrowed, true, s->high[narrowed] - 1};
        job.low = mem_new(COLUMNS, sizeof *job.low);
        job.high = mem_new(COLUMNS, sizeof *job.high);
        memcpy(job.low, s->low, sizeof s->low);
        memcpy(job.high, s->high, sizeof s->high);
        assert_true(open_node_box(job.node, COLUMNS, job.low, job.high));
        const bool any = best_in(s, job.low, job.high, &best);
        job.task.wanted = any && roll(0, 1) ? best - roll(0, 5) : SEARCH_MINUS_INFINITY + 1;
        job.task.threshold = SEARCH_MINUS_INFINITY;
        job.task.bound = SEARCH_PLUS_INFINITY;
        job.task.limit = roll(1, 12);
        batch_run(&job, 1, 1, NULL);
        const bool has = best_left(s, &job, &left);
        if (has != any || (any && left < best))
            fail_msg("seed %llu: the best is %lld, what is left %lld", (unsigned long long)seed, any ? (long long)best : -1, has ? (long long)left : -1);
        left_open += job.open_count > 0;
        found += job.x != NULL;
        empty += !any;
        job_release(&job);
        matrix_release(&matrix);
    }
    mem_free(s);
    assert_true(left_open > SEEDS / 10 && found > SEEDS / 10 && empty > SEEDS / 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_lost),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
