/* strengthen.c - rounds of cuts at the root.
 *
 * One or two rounds do nearly all: on pools of 360 to 540 cards the first closes nine tenths of the gap between the relaxation and the best pool, mostly by
 * rounding shares and averages together with exact counts. Rounds end when the last gained little of what all gained. Cuts that are loose in the end are dropped,
 * and of nearly parallel ones the deeper stays, so that nodes stay cheap. Later runs begin with the cuts that still hold. */
#include "search/strengthen.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "search/mir.h"
#include "search/simplex.h"

#define ROUNDS 5             /* of a first run; later ones begin with the cuts of before */
#define LATER_ROUNDS 1
#define MOST_STORED 150
#define MOST_CUTS_A_ROUND 60
#define LEAST_SHARE 0.02     /* of the whole gain, below which rounds end */
#define PARALLEL 0.95

static int by_efficacy(const void *a, const void *b)
{
    const Cut *x = a, *y = b;
    if (x->efficacy != y->efficacy)
        return x->efficacy < y->efficacy ? 1 : -1;
    if (x->count != y->count)
        return x->count > y->count ? 1 : -1;
    const int columns = memcmp(x->column, y->column, x->count * sizeof *x->column);
    return columns != 0 ? columns : memcmp(x->value, y->value, x->count * sizeof *x->value);
}

static double cosine(const Cut *a, const Cut *b)
{
    double product = 0, aa = 0, bb = 0;
    size_t i = 0, j = 0;
    for (size_t k = 0; k < a->count; k++)
        aa += (double)a->value[k] * (double)a->value[k];
    for (size_t k = 0; k < b->count; k++)
        bb += (double)b->value[k] * (double)b->value[k];
    while (i < a->count && j < b->count) {
        if (a->column[i] < b->column[j])
            i++;
        else if (a->column[i] > b->column[j])
            j++;
        else {
            product += (double)a->value[i] * (double)b->value[j];
            i++;
            j++;
        }
    }
    return product / sqrt(aa * bb);
}

/* Deepest first, no two nearly parallel. */
static void choose_cuts(CutPool *pool)
{
    size_t kept = 0;
    if (pool->count == 0)
        return;
    qsort(pool->cut, pool->count, sizeof *pool->cut, by_efficacy);
    for (size_t k = 0; k < pool->count; k++) {
        bool good = kept < MOST_CUTS_A_ROUND;
        for (size_t i = 0; good && i < kept; i++)
            good = cosine(&pool->cut[i], &pool->cut[k]) < PARALLEL;
        if (good) {
            const Cut cut = pool->cut[k];
            pool->cut[k] = (Cut){0};
            pool->cut[kept++] = cut;
        } else
            cut_release(&pool->cut[k]);
    }
    pool->count = kept;
}

typedef struct {
    Matrix *matrix;
    const SearchProblem *problem;
    CutStore *store;
    int first;               /* rows of the loaded problem; those behind are cuts */
    size_t *at;              /* [matrix rows - first] their numbers in the store */
    size_t at_capacity;
    double *x, *y, value;
    StrengthenCount *count;
} Strengthen;

/* The loaded rows of the matrix, and for each number in at[0 .. cuts) that cut as a row. */
static SearchProblem *with_cuts(const Strengthen *s, size_t cuts)
{
    const SearchProblem *p = &s->matrix->p;
    size_t entries = p->start[p->columns];
    for (size_t c = 0; c < cuts; c++)
        entries += s->store->item[s->at[c]].cut.count;
    SearchProblem *q = problem_copy(p);
    mem_free(q->row);
    mem_free(q->value);
    q->rows = s->first + (int)cuts;
    q->row = mem_new(entries + 1, sizeof *q->row);
    q->value = mem_new(entries + 1, sizeof *q->value);
    q->row_low = mem_resize(q->row_low, (size_t)q->rows + 1, sizeof *q->row_low);
    q->row_high = mem_resize(q->row_high, (size_t)q->rows + 1, sizeof *q->row_high);
    for (size_t c = 0; c < cuts; c++) {
        q->row_low[(size_t)s->first + c] = SEARCH_MINUS_INFINITY;
        q->row_high[(size_t)s->first + c] = s->store->item[s->at[c]].cut.high;
    }
    size_t *next = mem_new(cuts + 1, sizeof *next), to = 0;
    for (int j = 0; j < p->columns; j++) {
        q->start[j] = to;
        for (size_t k = p->start[j]; k < p->start[j + 1] && p->row[k] < s->first; k++) {
            q->row[to] = p->row[k];
            q->value[to++] = p->value[k];
        }
        for (size_t c = 0; c < cuts; c++) {
            const Cut *cut = &s->store->item[s->at[c]].cut;
            if (next[c] == cut->count || cut->column[next[c]] != j)
                continue;
            q->row[to] = s->first + (int)c;
            q->value[to++] = cut->value[next[c]++];
        }
    }
    q->start[p->columns] = to;
    mem_free(next);
    return q;
}

/* Makes the matrix one with the cuts at[0 .. cuts), unless that is too large to be exact; true if it did. */
static bool set_cuts(Strengthen *s, size_t cuts)
{
    SearchProblem *problem = with_cuts(s, cuts);
    const bool good = search_problem_trouble(problem) == NULL;
    if (good) {
        Matrix fresh;
        matrix_init(&fresh, problem);
        for (int i = 0; i < s->first; i++)
            fresh.divisor[i] *= s->matrix->divisor[i];
        matrix_release(s->matrix);
        *s->matrix = fresh;
    }
    problem_free(problem);
    return good;
}

static size_t cuts_now(const Strengthen *s)
{
    return (size_t)(s->matrix->p.rows - s->first);
}

static void push_number(Strengthen *s, size_t place, size_t number)
{
    mem_reserve((void **)&s->at, &s->at_capacity, place + 1, sizeof *s->at);
    s->at[place] = number;
}

static bool solve_root(Strengthen *s, const SearchOptions *options)
{
    const Matrix *matrix = s->matrix;
    Simplex *simplex = simplex_new(matrix);
    simplex_box(simplex, matrix->p.low, matrix->p.high);
    const RelaxationStatus status = simplex_solve(simplex, options->effort, -INFINITY, options->cancel);
    s->count->pivots += simplex_pivots(simplex);
    s->y = mem_resize(s->y, (size_t)matrix->p.rows + 1, sizeof *s->y);
    memcpy(s->x, simplex_x(simplex), (size_t)matrix->p.columns * sizeof *s->x);
    memcpy(s->y, simplex_y(simplex), (size_t)matrix->p.rows * sizeof *s->y);
    s->value = simplex_value(simplex);
    simplex_free(simplex);
    return status == RELAXATION_OPTIMAL;
}

/* Finds cuts at x and adds them; false when there are none. */
static bool add_cuts(Strengthen *s, const int64_t *wide_low, const int64_t *wide_high)
{
    CutPool pool = {0};
    mir_separate(s->matrix, wide_low, wide_high, s->x, &pool);
    choose_cuts(&pool);
    const size_t before = cuts_now(s), stored = s->store->count, added = pool.count;
    for (size_t k = 0; k < added; k++)
        cut_store_add(s->store, &pool.cut[k], s->problem, s->first, s->at);
    for (size_t k = 0; k < added; k++)
        push_number(s, before + k, stored + k);
    cut_pool_release(&pool);
    return added > 0 && set_cuts(s, before + added);
}

static void drop_loose(Strengthen *s)
{
    const size_t cuts = cuts_now(s);
    size_t kept = 0;
    for (size_t k = 0; k < s->store->count; k++)
        s->store->item[k].tight = false;
    for (size_t c = 0; c < cuts; c++) {
        if (s->y[(size_t)s->first + c] == 0)
            continue;
        s->store->item[s->at[c]].tight = true;
        s->at[kept++] = s->at[c];
    }
    if (kept < cuts)
        set_cuts(s, kept);
}

static bool is_empty_box(const SearchProblem *p)
{
    for (int j = 0; j < p->columns; j++)
        if (p->low[j] > p->high[j])
            return true;
    return p->columns == 0;
}

static bool is_stopped(const Strengthen *s, const SearchOptions *options)
{
    return (options->effort > 0 && s->count->pivots > options->effort / 4) || (options->cancel && *options->cancel);
}

void strengthen(Matrix *matrix, const SearchProblem *problem, const int64_t *wide_low, const int64_t *wide_high, CutStore *store,
                const SearchOptions *options, StrengthenCount *count)
{
    *count = (StrengthenCount){0};
    if (is_empty_box(&matrix->p))
        return;
    Strengthen s = {.matrix = matrix, .problem = problem, .store = store, .first = matrix->p.rows, .count = count};
    const int rounds = store->count == 0 ? ROUNDS : LATER_ROUNDS;
    cut_store_revise(store, problem);
    for (size_t k = 0; k < store->count; k++)
        push_number(&s, k, k);
    s.x = mem_new((size_t)matrix->p.columns + 1, sizeof *s.x);
    double begin = 0, before = 0;
    bool solved = store->count == 0 || set_cuts(&s, store->count);
    for (int round = 0; solved && (solved = solve_root(&s, options)) && round < rounds && !is_stopped(&s, options); round++) {
        if (round == 0)
            begin = s.value;
        else if (before - s.value <= LEAST_SHARE * (begin - s.value) || before - s.value < 0.5)
            break;
        before = s.value;
        if (!add_cuts(&s, wide_low, wide_high))
            break;
    }
    if (solved)
        drop_loose(&s);
    cut_store_trim(store, MOST_STORED);
    count->cuts = matrix->p.rows - s.first;
    mem_free(s.x);
    mem_free(s.y);
    mem_free(s.at);
}
