/* oracle_each.c - one tree for many sides.
 *
 * What single questions prove of each side, they prove again and again: that all other sides leave no more. Here every
 * side has a 0/1 column, of which one is 1, that loosens it by all the units asked about. Whatever units a solution
 * turns out to need, the same tree goes on with fewer (search.h, SearchLeast). Targets that differ are differences of
 * the objective. (A disjunction as one programme: E. Balas, "Disjunctive programming", Annals of Discrete Mathematics
 * 5, 1979.) */
#include <string.h>

#include "base/memory.h"
#include "explain/oracle/oracle_inner.h"

/* A problem while it is made: the present state with nothing loosened, a column for each side behind all others. One
 * that loosens an upper side would push a lower side of the same row, so such a row's upper side becomes a row of its
 * own. The last row chooses a side. */
typedef struct {
    const SideProblem *sides;
    SearchProblem p;
    int *upper;  /* [rows of the SideProblem] the row of its upper side, or 0 */
    int *column; /* [sides asked about] */
} Draft;

static void part_rows(const Oracle *oracle, const SideLeast *asked, int count, Draft *d)
{
    const SearchProblem *from = &d->sides->problem;
    bool *touched = mem_new((size_t)from->rows + 1, sizeof *touched);
    for (int k = 0; k < count; k++) {
        const int loosening = loosening_column(d->sides, asked[k].side);
        for (size_t e = from->start[loosening]; e < from->start[loosening + 1]; e++)
            touched[from->row[e]] = from->row[e] != d->sides->weight_row;
    }
    for (int i = 0; i < from->rows; i++) {
        d->p.row_low[i] = oracle->row_low[i];
        d->p.row_high[i] = oracle->row_high[i];
        if (!touched[i] || d->p.row_low[i] == SEARCH_MINUS_INFINITY || d->p.row_high[i] == SEARCH_PLUS_INFINITY)
            continue;
        d->upper[i] = d->p.rows++;
        d->p.row_low[d->upper[i]] = SEARCH_MINUS_INFINITY;
        d->p.row_high[d->upper[i]] = d->p.row_high[i];
        d->p.row_high[i] = SEARCH_PLUS_INFINITY;
    }
    d->p.row_low[d->p.rows] = d->p.row_high[d->p.rows] = 1;
    d->p.rows++;
    mem_free(touched);
}

/* Rows have to ascend: those of upper sides are behind all others. */
static size_t add_entries(const Draft *d, int column, size_t at)
{
    const SearchProblem *from = &d->sides->problem;
    for (int upper = 0; upper < 2; upper++)
        for (size_t e = from->start[column]; e < from->start[column + 1]; e++) {
            const int row = upper == 0 ? from->row[e] : d->upper[from->row[e]];
            if (upper == 1 && row == 0)
                continue;
            d->p.row[at] = row;
            d->p.value[at++] = from->value[e];
        }
    return at;
}

/* A side's column: only where there is the side that it loosens, since it would tighten the other one. */
static size_t add_side(const Draft *d, const SideLeast *asked, size_t at)
{
    const SearchProblem *from = &d->sides->problem;
    const int column = loosening_column(d->sides, asked->side);
    for (int upper = 0; upper < 2; upper++)
        for (size_t e = from->start[column]; e < from->start[column + 1]; e++) {
            const int own = d->upper[from->row[e]], row = from->value[e] < 0 && own > 0 ? own : from->row[e];
            const bool there = from->value[e] < 0 ? d->p.row_high[row] != SEARCH_PLUS_INFINITY
                                                  : d->p.row_low[row] != SEARCH_MINUS_INFINITY;
            if (!there || (own > 0 && row == own) != (upper == 1))
                continue;
            d->p.row[at] = row;
            d->p.value[at++] = from->value[e] * asked->units;
        }
    return at;
}

static void state_problem(const Oracle *oracle, const SideLeast *asked, int count, int64_t target, Draft *d)
{
    const SearchProblem *from = &oracle->sides->problem;
    const size_t n = (size_t)from->columns, entries = from->start[n];
    *d = (Draft){.sides = oracle->sides,
                 .upper = mem_new((size_t)from->rows + 1, sizeof *d->upper),
                 .column = mem_new((size_t)count + 1, sizeof *d->column)};
    search_problem_init(&d->p, from->columns + count, 2 * from->rows + 1, 4 * entries + (size_t)count);
    SearchProblem *p = &d->p;
    p->rows = from->rows;
    part_rows(oracle, asked, count, d);
    memcpy(p->kind, from->kind, n * sizeof *p->kind);
    memcpy(p->objective, oracle->fit, (size_t)oracle->sides->columns * sizeof *p->objective);
    memcpy(p->low, oracle->low, n * sizeof *p->low);
    memcpy(p->high, oracle->high, n * sizeof *p->high);
    for (int j = 0; j < from->columns; j++)
        p->start[j + 1] = add_entries(d, j, p->start[j]);
    for (int k = 0; k < count; k++) {
        const size_t z = n + (size_t)k;
        size_t at = add_side(d, &asked[k], p->start[z]);
        p->row[at] = p->rows - 1;
        p->value[at++] = 1;
        p->start[z + 1] = at;
        p->kind[z] = SEARCH_BINARY;
        p->high[z] = 1;
        p->objective[z] = target - asked[k].target;
        d->column[k] = (int)z;
    }
}

static void take_points(const Oracle *oracle, const SearchLeast *least, SideLeast *asked)
{
    const size_t n = (size_t)oracle->sides->problem.columns;
    for (int k = 0; k < least->count; k++) {
        asked[k].need = least->need[k];
        asked[k].x = least->point[k] != NULL ? mem_copy(least->point[k], n, sizeof(int64_t)) : NULL;
        if (asked[k].x != NULL)
            asked[k].x[loosening_column(oracle->sides, asked[k].side)] = least->need[k];
    }
}

bool probe_each(Oracle *oracle, SideLeast *asked, int count, bool any, const int64_t *start)
{
    const size_t n = (size_t)oracle->sides->problem.columns;
    if (count == 0 || oracle_spent(oracle))
        return count == 0;
    int64_t target = asked[0].target;
    int64_t *units = mem_new((size_t)count + 1, sizeof *units), *lowest = mem_new((size_t)count + 1, sizeof *lowest);
    int64_t *from = mem_new(n + (size_t)count + 1, sizeof *from);
    for (int k = 0; k < count; k++) {
        target = asked[k].target < target ? asked[k].target : target;
        units[k] = asked[k].units;
        lowest[k] = asked[k].least;
    }
    Draft d;
    state_problem(oracle, asked, count, target, &d);
    SearchOptions options = oracle_search_options(oracle);
    if (start != NULL) {
        memcpy(from, start, n * sizeof *from);
        from[n] = 1;
        options.start = from;
    }
    SearchLeast least = {.count = count,
                         .column = d.column,
                         .units = units,
                         .least = lowest,
                         .row = d.p.rows - 1,
                         .any = any,
                         .target = target,
                         .effort = options.effort};
    if (search_problem_trouble(&d.p) == NULL) {
        Search *search = search_new(&d.p);
        search_least(search, &options, &least);
        take_points(oracle, &least, asked);
        oracle->used += least.pivots + 1;
        search_free(search);
    }
    const bool all = least.all;
    search_least_release(&least);
    search_problem_release(&d.p);
    mem_free(d.upper);
    mem_free(d.column);
    mem_free(units);
    mem_free(lowest);
    mem_free(from);
    return all;
}
