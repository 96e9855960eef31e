/* search.h - maximise an integer objective over an integer matrix, with proven bounds.
 *
 *     maximise  c x   subject to   row_low <= A x <= row_high,   low <= x <= high,
 *
 * all data 64-bit integers; columns are 0/1, integer, or continuous. This room knows nothing of cards: it sees a
 * matrix.
 *
 * Exactness. Every bound is evaluated in 128-bit integers from multipliers rounded to a grid of 2^-30 (weak duality
 * holds for any multipliers, so floating point only steers); infeasibility likewise (Farkas). A returned solution
 * satisfies every row in integers. A node that floating point could not settle keeps its parent's bound and is counted
 * in the statistics. A limit is never reported as a proof.
 *
 * Continuous columns: their data are integers too, and the programme must be such that, with the integer columns fixed
 * at integers, some best value of them is integer (slacks and minima of integer sums are). The returned x is integer in
 * every column.
 *
 * Protected rows (D. Bertsimas and M. Sim, "The price of robustness", Operations Research 52(1), 2004): the row's upper
 * side holds even if the coefficients of any Gamma columns rise, by so much each; all of what a column takes rises at
 * once. Such a row comes with a threshold, a column without entries of its own (see protection.h for what it means); in
 * solutions it has the value that suits the other columns best.
 *
 * Determinism: the result depends on the problem, the warm state and the options only, not on time, load or the number
 * of threads (work goes in batches with barriers counted in pivots). The only exception is a cancelled run: valid, but
 * not reproducible. */
#ifndef POOLWRIGHT_SEARCH_SEARCH_H
#define POOLWRIGHT_SEARCH_SEARCH_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define SEARCH_MINUS_INFINITY INT64_MIN /* a row without lower side; columns are always finite */
#define SEARCH_PLUS_INFINITY INT64_MAX

typedef enum { SEARCH_BINARY, SEARCH_INTEGER, SEARCH_CONTINUOUS } SearchKind;

typedef struct Protections Protections;
Protections *protections_new(void);
void protections_free(Protections *protections);               /* NULL is allowed */
Protections *protections_copy(const Protections *protections); /* NULL gives NULL */
/* Protects a row that has no lower side: column[k] (bounds within 0 and up) may rise by rise[k] > 0 for each unit;
 * Gamma = gamma / weight >= 0. threshold: a continuous column from 0 to at least every rise x bound, objective 0, with
 * no entries. */
void protections_add(Protections *protections, int row, int threshold, int64_t gamma, int64_t weight, int columns,
                     const int *column, const int64_t *rise);

/* Columns and rows count from 0. The matrix is by column: the entries of column j are start[j] .. start[j + 1] - 1,
 * rows ascending, no zeros, no doubles. */
typedef struct {
    int columns, rows;
    SearchKind *kind;            /* [columns] */
    int64_t *objective;          /* [columns] */
    int64_t *low, *high;         /* [columns], finite */
    int64_t *row_low, *row_high; /* [rows] */
    size_t *start;               /* [columns + 1] */
    int *row;                    /* [start[columns]] */
    int64_t *value;              /* [start[columns]] */
    Protections *protections;    /* owned; NULL: no row is protected */
} SearchProblem;

/* NULL when the data are within what the exact arithmetic holds: |value|, |objective|, finite |bounds| <= 2^40, rows <=
 * 2^12, sum over columns of max(|low|, |high|) small enough that every sum stays below 2^126. Else what is too large,
 * as a static string. */
const char *search_problem_trouble(const SearchProblem *problem);

/* A problem of this size with room for so many entries: all zero, columns of kind 0, no protections. */
void search_problem_init(SearchProblem *problem, int columns, int rows, size_t entries);
/* Frees the arrays of a problem whose struct the caller keeps; all made with mem_new and the like. */
void search_problem_release(SearchProblem *problem);

typedef enum { SEARCH_ENGINE_FAST, SEARCH_ENGINE_REFERENCE } SearchEngine;

typedef enum {
    SEARCH_BEST,       /* value is the greatest there is: proven */
    SEARCH_WITHIN_GAP, /* a solution, and (bound - value) within the gap asked for: proven */
    SEARCH_INFEASIBLE, /* no solution exists: proven */
    SEARCH_STOPPED,    /* effort ran out or cancelled before that; has_solution says whether there is one */
    SEARCH_FAILED      /* could not run (memory of a library, data outside the range) */
} SearchStatus;

typedef struct {
    int64_t pivots, nodes;
    int64_t unsettled;  /* nodes that floating point could not settle and that kept their parent's bound */
    int64_t root_bound; /* exact bound of the root relaxation (with cuts, if any) */
    int64_t grain;      /* every attainable objective value is a multiple of it (0: unknown or no columns) */
    int64_t cuts;
} SearchStatistics;

typedef struct {
    int64_t value; /* SEARCH_MINUS_INFINITY before the first solution */
    int64_t bound;
    int64_t pivots, nodes;
} SearchProgress;

typedef struct {
    SearchEngine engine;
    int64_t gap_ppm; /* stop when (bound - value) * 1000000 <= gap_ppm * |value|; 0: until proven best */
    int64_t effort;  /* most pivots; 0: no limit */
    int64_t eager;   /* first try to prove the best itself with this many pivots; the gap counts only after that (0: at
                        once) */
    int threads;     /* 1 or more; never changes the result */
    const atomic_int *cancel;                                   /* checked often; non-zero: stop soon. May be NULL */
    void (*progress)(void *context, const SearchProgress *now); /* may be NULL; called from the calling thread only */
    void *context;
    const int64_t *start; /* a solution to begin from, [columns], or NULL; ignored if it is not feasible */
    int64_t known_bound;  /* a bound proven elsewhere for this very programme, or SEARCH_PLUS_INFINITY */
    int open_nodes;       /* most that are kept in the order of their bounds; 0: the usual number, 30,000 */
    int64_t target;       /* stop as soon as bound < target is proven (status SEARCH_STOPPED unless more is proven);
                             SEARCH_MINUS_INFINITY: off */
    bool first; /* stop as soon as a solution of at least the target is known, too; without a target any will do:
                   the objective says which are likely to be come upon */
} SearchOptions;

typedef struct {
    SearchStatus status;
    bool has_solution;
    int64_t *x;    /* [columns], owned by the result; valid when has_solution */
    int64_t value; /* of x */
    int64_t bound; /* proven: no solution is better; SEARCH_PLUS_INFINITY when nothing is proven */
    SearchStatistics statistics;
    double *row_dual;       /* [rows] of the root relaxation: estimates only, zeros if there is none */
    double *reduced_cost;   /* [columns] */
    const char *why_failed; /* static text with SEARCH_FAILED, else NULL */
} SearchResult;

/* Has somebody asked to stop? */
bool search_cancelled(const SearchOptions *options);
void search_options_default(SearchOptions *options); /* fast engine, gap 0, no effort limit, one thread, nothing else */

/* A loaded programme that is solved again and again: changes keep what still holds (basis, solutions), so that a
 * re-solve starts warm. */
typedef struct Search Search;
Search *search_new(const SearchProblem *problem); /* copies the problem; the data must be without trouble */
void search_free(Search *search);                 /* NULL is allowed */
/* A copy with all that runs so far have left: what is changed and learned in it does not come back, so that any number
 * of questions can begin from the same. */
Search *search_copy(const Search *search);
void search_set_row(Search *search, int row, int64_t low, int64_t high);
void search_set_column(Search *search, int column, int64_t low, int64_t high);
void search_set_objective(Search *search, int column, int64_t coefficient);

/* Solves what is loaded now. result is overwritten; released with search_result_release. */
void search_run(Search *search, const SearchOptions *options, SearchResult *result);
void search_result_release(SearchResult *result);

/* All solutions as good as the best, of those with the least activity of one row. */
typedef struct {
    /* in */
    int row;          /* its plain activity, whether it is protected or not */
    const bool *told; /* [columns] of solutions that differ in no column marked here, one is enough; all columns of the
                         row are marked */
    size_t most;      /* of them; where there are more, they are given up */
    int64_t effort;   /* most pivots */
    bool proven;      /* `best` is SEARCH_BEST */
    /* out; freed by search_equals_release */
    int64_t **point; /* [count][columns] */
    size_t count;
    int64_t value; /* of the points: that of `best`, or more where that was not proven best */
    bool all;      /* none is better, no others are as good, and none has less of the row: proven */
    int64_t pivots;
} SearchEquals;

/* best: a solution of what is loaded that search_run has just found. Where that was proven best, how it was is gone
 * over again, with the row's side where `best` has it unless the row is protected, which leaves little to search. Else
 * what is still to be proven is proven so that no solution as good is left out, which is little more. Without `all`
 * there may be no points. What is loaded stays as it is. */
void search_equals(Search *search, const SearchOptions *options, const int64_t *best, SearchEquals *equals);
void search_equals_release(SearchEquals *equals);

/* Several columns, of which a solution uses one: the least that each of them needs, all proven together by one tree. */
typedef struct {
    /* in */
    int count;
    const int *column; /* [count] 0/1 columns whose entries are so much for each unit, times the units asked about: up
                          to so many are looked for */
    const int64_t *units; /* [count] these: 1 or more */
    const int64_t *least; /* [count] 1 or more: fewer than these are known not to be enough */
    int row;              /* which says that exactly one of the columns is 1 */
    bool any;             /* of each column any solution will do; else that with the fewest units */
    int64_t target;       /* that solutions have to reach */
    int64_t effort;       /* most pivots; 0: no limit */
    /* out; freed by search_least_release */
    int64_t **point; /* [count] a solution, or NULL where none was found; its column is at 1 */
    int64_t *need;   /* [count] the units that it needs; without one, more than were asked about, if that is proven */
    bool all;        /* no other column has a solution, and unless any would do none needs fewer units: proven */
    int64_t pivots;
} SearchLeast;

/* The options' start may be a solution that does not reach the target. Nothing is kept for later runs. For problems
 * without protected rows and the fast engine; else nothing is found. */
void search_least(Search *search, const SearchOptions *options, SearchLeast *least);
void search_least_release(SearchLeast *least);

/* Sets the thresholds of protected rows in x to what suits its other columns best. */
void search_settle(const SearchProblem *problem, int64_t *x);
/* True when x satisfies every row and bound in integers; *value is then its objective. */
bool search_feasible(const SearchProblem *problem, const int64_t *x, int64_t *value);

/* max c x <= returned value for any multipliers: exact evaluation of the bound for row multipliers y[rows] (sign
 * conventions: y > 0 prices row_high, y < 0 prices row_low; multipliers on missing sides are dropped). objective_scale
 * 0 evaluates the Farkas form (c = 0): a negative result then proves infeasibility. SEARCH_PLUS_INFINITY when it does
 * not fit in 64 bits. */
int64_t search_exact_bound(const SearchProblem *problem, const double *y, int objective_scale);

#endif
