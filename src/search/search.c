/* search.c - a loaded programme: its changes and its runs. What is kept from one run to the next is in warm.c; it
 * belongs to the programme as the engine sees it, so it is kept as long as the same sums are put in for the same
 * columns. */
#include <string.h>

#include "base/memory.h"
#include "search/engine.h"
#include "search/risk/protection.h"
#include "search/core/substitute.h"

struct Search {
    SearchProblem *problem;
    int64_t *kept; /* the last run's solution */
    bool has_kept;
    Warm *warm;           /* NULL before the first run */
    SearchProblem *other; /* the problem with sums put in that warm is about; NULL: it is about the problem itself */
    int *by_row;          /* [columns] how it came about */
};

void search_options_default(SearchOptions *options)
{
    *options = (SearchOptions){.engine = SEARCH_ENGINE_FAST,
                               .threads = 1,
                               .known_bound = SEARCH_PLUS_INFINITY,
                               .target = SEARCH_MINUS_INFINITY};
}

Search *search_new(const SearchProblem *problem)
{
    Search *search = mem_new(1, sizeof *search);
    search->problem = problem_copy(problem);
    search->kept = mem_new((size_t)problem->columns + 1, sizeof *search->kept);
    return search;
}

Search *search_copy(const Search *search)
{
    const size_t n = (size_t)search->problem->columns;
    Search *copy = mem_new(1, sizeof *copy);
    copy->problem = problem_copy(search->problem);
    copy->kept = mem_copy(search->kept, n, sizeof *copy->kept);
    copy->has_kept = search->has_kept;
    if (search->other != NULL)
        copy->other = problem_copy(search->other);
    if (search->by_row != NULL)
        copy->by_row = mem_copy(search->by_row, n, sizeof *copy->by_row);
    if (search->warm != NULL)
        copy->warm = warm_copy(search->warm, search->other != NULL ? search->other : search->problem);
    return copy;
}

void search_free(Search *search)
{
    if (!search)
        return;
    problem_free(search->problem);
    mem_free(search->kept);
    mem_free(search->by_row);
    warm_free(search->warm);
    problem_free(search->other);
    mem_free(search);
}

void search_set_row(Search *search, int row, int64_t low, int64_t high)
{
    search->problem->row_low[row] = low;
    search->problem->row_high[row] = high;
}

void search_set_column(Search *search, int column, int64_t low, int64_t high)
{
    search->problem->low[column] = low;
    search->problem->high[column] = high;
}

void search_set_objective(Search *search, int column, int64_t coefficient)
{
    search->problem->objective[column] = coefficient;
}

static bool same_matrix(const SearchProblem *a, const SearchProblem *b)
{
    const size_t n = (size_t)a->columns, entries = a->start[n];
    return b->start[n] == entries && memcmp(a->start, b->start, (n + 1) * sizeof *a->start) == 0 &&
           memcmp(a->row, b->row, entries * sizeof *a->row) == 0 &&
           memcmp(a->value, b->value, entries * sizeof *a->value) == 0;
}

/* Makes warm ready for the problem, or for `other` if there is one; takes both over. */
static void load(Search *search, SearchProblem *other, int *by_row)
{
    const size_t n = (size_t)search->problem->columns;
    const bool same = search->warm != NULL && (other != NULL) == (search->other != NULL) &&
                      (other == NULL ||
                       (memcmp(by_row, search->by_row, n * sizeof *by_row) == 0 && same_matrix(other, search->other)));
    if (!same) {
        warm_free(search->warm);
        search->warm = NULL;
    }
    problem_free(search->other);
    mem_free(search->by_row);
    search->other = other;
    search->by_row = by_row;
    const SearchProblem *problem = other != NULL ? other : search->problem;
    if (search->warm == NULL)
        search->warm = warm_new(problem);
    else
        warm_load(search->warm, problem);
}

/* The fast engine's problem: with sums put in, where that can be. */
static void load_fast(Search *search)
{
    int *by_row = mem_new((size_t)search->problem->columns + 1, sizeof *by_row);
    SearchProblem *other = substitute(search->problem, by_row);
    if (other != NULL && search_problem_trouble(other) != NULL) {
        problem_free(other);
        other = NULL;
    }
    load(search, other, by_row);
}

/* The reference engine's, where rows are protected; else the problem itself. NULL, or what is too large. */
static const char *load_reference(Search *search)
{
    SearchProblem *other = search->problem->protections != NULL ? protections_compact(search->problem) : NULL;
    const char *trouble = other != NULL ? search_problem_trouble(other) : NULL;
    if (trouble == NULL)
        load(search, other, mem_new((size_t)search->problem->columns + 1, sizeof(int)));
    else
        problem_free(other);
    return trouble;
}

static void keep(Run *run)
{
    if (run->has_solution)
        warm_keep_solution(run->warm, run->problem, run->x);
    if (run->empty && !run->has_solution)
        warm_keep_bound(run->warm, run->problem, SEARCH_MINUS_INFINITY, &run->tree);
    else if (run->empty || run->bound != SEARCH_PLUS_INFINITY)
        warm_keep_bound(run->warm, run->problem, run->empty ? run->value : run->bound, &run->tree);
}

/* Runs the problem that is loaded in warm, of which `kept`, if there, is a solution. */
static void run_problem(Warm *warm, const SearchProblem *problem, const SearchOptions *options, const int64_t *kept,
                        SearchResult *result)
{
    Run run;
    run_init(&run, problem, warm, options);
    if (kept)
        run_offer(&run, kept);
    if (!run.empty && options->engine == SEARCH_ENGINE_FAST)
        fast_run(&run);
    else if (!run_over(&run))
        reference_run(&run);
    keep(&run);
    run_finish(&run, result);
    run_release(&run);
}

/* A point of the problem as one of `other`; NULL where there is none, or it is not feasible. */
static int64_t *point_of_other(const Search *search, SearchEngine engine, const int64_t *x)
{
    int64_t value = 0;
    if (x == NULL || !search_feasible(search->problem, x, &value))
        return NULL;
    int64_t *point = mem_new((size_t)search->other->columns + 1, sizeof *point);
    if (engine == SEARCH_ENGINE_REFERENCE) {
        protections_compact_point(search->problem, x, point);
    } else {
        memcpy(point, x, (size_t)search->problem->columns * sizeof *point);
        substitute_into(search->problem, search->by_row, point);
    }
    return point;
}

/* The reference engine works on the compact form of protected rows, the fast one on the problem with sums put in for
 * columns. */
static void run_other(Search *search, const SearchOptions *options, const int64_t *kept, SearchResult *result)
{
    SearchOptions own = *options;
    int64_t *start = point_of_other(search, options->engine, options->start),
            *from = point_of_other(search, options->engine, kept);
    own.start = start;
    run_problem(search->warm, search->other, &own, from, result);
    if (result->has_solution && options->engine == SEARCH_ENGINE_FAST)
        substitute_back(search->problem, search->by_row, result->x);
    mem_free(start);
    mem_free(from);
}

/* ---- equals ---- */

#define MOST_SIDES 40 /* times that a point with less of the row comes up */

/* Points with more of the row than others as good need not be looked at: but for a protected row, of which the plain
 * activity is no side, and for a best that is none yet, better ones may have more. */
static bool has_side(const SearchProblem *p, const SearchEquals *asked)
{
    bool side = asked->proven;
    for (int r = 0; p->protections != NULL && r < p->protections->count; r++)
        side = side && p->protections->row[r].row != asked->row;
    return side;
}

/* In the problem as it is in warm: rounds with lower sides of the row. True: the points are all there are. */
static bool find_equals(Warm *warm, SearchProblem *p, const SearchOptions *options, EqualPoints *points, int64_t *value,
                        int64_t *pivots)
{
    SearchOptions own = *options;
    bool all = false;
    for (int round = 0; round < MOST_SIDES && !all && *pivots < options->effort && !search_cancelled(options);
         round++) {
        Run run;
        own.effort = options->effort - *pivots;
        if (points->side)
            p->row_high[points->row] = points->least;
        points->fewer = points->too_many = false;
        warm_load(warm, p);
        run_init_equals(&run, p, warm, &own, points);
        fast_run(&run);
        *pivots += run.statistics.pivots + 1;
        *value = run.value;
        all = run.empty && !points->fewer && !points->too_many;
        const bool again = points->fewer;
        run_release(&run);
        if (!again)
            break;
    }
    return all;
}

/* A column that is told has to be one still. */
static bool all_are_told(const Search *search, const bool *told)
{
    bool good = true;
    for (int j = 0; search->other != NULL && j < search->problem->columns; j++)
        good = good && (!told[j] || search->by_row[j] < 0);
    return good;
}

void search_equals(Search *search, const SearchOptions *options, const int64_t *best, SearchEquals *equals)
{
    const size_t n = (size_t)search->problem->columns;
    if (options->engine != SEARCH_ENGINE_FAST || search->warm == NULL || !all_are_told(search, equals->told))
        return;
    SearchProblem *p = search->other != NULL ? search->other : search->problem;
    const int64_t side = p->row_high[equals->row];
    int64_t *own_best = mem_copy(best, n, sizeof *own_best);
    SearchOptions own = *options;
    EqualPoints points;
    own.start = NULL;
    own.gap_ppm = own.eager = 0;
    own.known_bound = SEARCH_PLUS_INFINITY;
    own.target = SEARCH_MINUS_INFINITY;
    own.effort = equals->effort;
    if (search->other != NULL)
        substitute_into(search->problem, search->by_row, own_best);
    equal_points_init(&points, p, equals, own_best);
    points.side = has_side(p, equals);
    equals->all = find_equals(search->warm, p, &own, &points, &equals->value, &equals->pivots);
    p->row_high[equals->row] = side;
    equals->point = mem_new(points.count + 1, sizeof *equals->point);
    for (; equals->count < points.count; equals->count++) {
        int64_t *x = mem_copy(points.point[equals->count], n, sizeof *x);
        if (search->other != NULL)
            substitute_back(search->problem, search->by_row, x);
        equals->point[equals->count] = x;
    }
    equal_points_release(&points);
    mem_free(own_best);
}

void search_equals_release(SearchEquals *equals)
{
    for (size_t k = 0; k < equals->count; k++)
        mem_free(equals->point[k]);
    mem_free(equals->point);
    equals->point = NULL;
    equals->count = 0;
}

/* ---- least ---- */

static bool all_are_there(const Search *search, const SearchLeast *least)
{
    bool good = true;
    for (int k = 0; search->other != NULL && k < least->count; k++)
        good = good && search->by_row[least->column[k]] < 0;
    return good;
}

static void take_least(const Search *search, const SearchProblem *p, LeastPoints *points, SearchLeast *least)
{
    for (int k = 0; k < least->count; k++) {
        least->point[k] = points->point[k];
        points->point[k] = NULL;
        least->need[k] = least->point[k] != NULL ? least_points_need(points, p, k, least->point[k])
                         : least->all            ? least->units[k] + 1
                                                 : 0;
        if (least->point[k] != NULL && search->other != NULL)
            substitute_back(search->problem, search->by_row, least->point[k]);
    }
}

void search_least(Search *search, const SearchOptions *options, SearchLeast *least)
{
    const size_t n = (size_t)search->problem->columns;
    least->point = mem_new((size_t)least->count + 1, sizeof *least->point);
    least->need = mem_new((size_t)least->count + 1, sizeof *least->need);
    if (options->engine != SEARCH_ENGINE_FAST || search->problem->protections != NULL ||
        search_problem_trouble(search->problem) != NULL)
        return;
    load_fast(search);
    if (!all_are_there(search, least))
        return;
    const SearchProblem *p = search->other != NULL ? search->other : search->problem;
    int64_t *start = options->start != NULL ? mem_copy(options->start, n, sizeof *start) : NULL;
    if (start != NULL && search->other != NULL)
        substitute_into(search->problem, search->by_row, start);
    SearchOptions own = *options;
    own.start = start;
    own.gap_ppm = own.eager = 0;
    own.known_bound = SEARCH_PLUS_INFINITY;
    own.target = least->target;
    own.first = false;
    own.effort = least->effort;
    LeastPoints points;
    Run run;
    least_points_init(&points, p, least);
    run_init_least(&run, p, search->warm, &own, &points);
    if (!run_over(&run))
        fast_run(&run);
    least->pivots = run.statistics.pivots;
    least->all = run.failure == NULL && (run.empty || run.bound < least->target || least_points_done(&points));
    take_least(search, p, &points, least);
    run_release(&run);
    least_points_release(&points);
    mem_free(start);
    warm_free(search->warm); /* it is about smaller entries now */
    search->warm = NULL;
}

void search_least_release(SearchLeast *least)
{
    for (int k = 0; least->point != NULL && k < least->count; k++)
        mem_free(least->point[k]);
    mem_free(least->point);
    mem_free(least->need);
    least->point = NULL;
    least->need = NULL;
}

static void fail(SearchResult *result, const char *why)
{
    *result = (SearchResult){
        .status = SEARCH_FAILED, .value = SEARCH_MINUS_INFINITY, .bound = SEARCH_PLUS_INFINITY, .why_failed = why};
}

void search_run(Search *search, const SearchOptions *options, SearchResult *result)
{
    const SearchProblem *problem = search->problem;
    const char *trouble = search_problem_trouble(problem);
    memset(result, 0, sizeof *result);
    if (trouble) {
        fail(result, trouble);
        return;
    }
    const int64_t *kept = search->has_kept ? search->kept : NULL;
    if (options->engine == SEARCH_ENGINE_FAST)
        load_fast(search);
    else if ((trouble = load_reference(search)) != NULL) {
        fail(result, trouble);
        return;
    }
    if (search->other == NULL)
        run_problem(search->warm, problem, options, kept, result);
    else
        run_other(search, options, kept, result);
    if (result->has_solution) {
        memcpy(search->kept, result->x, (size_t)problem->columns * sizeof *search->kept);
        search->has_kept = true;
    }
}

void search_result_release(SearchResult *result)
{
    mem_free(result->x);
    mem_free(result->row_dual);
    mem_free(result->reduced_cost);
    memset(result, 0, sizeof *result);
}
