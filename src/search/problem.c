/* problem.c - copying and judging a problem, and testing a point against it in integers. */
#include <string.h>

#include "base/memory.h"
#include "search/risk/protection.h"

static bool within(int64_t v, int64_t limit)
{
    return v >= -limit && v <= limit;
}

int64_t problem_reach(const SearchProblem *problem, int column)
{
    const int64_t low = magnitude64(problem->low[column]), high = magnitude64(problem->high[column]);
    return low > high ? low : high;
}

static const char *column_trouble(const SearchProblem *problem)
{
    int128 objective = 0, sum = 0;
    for (int j = 0; j < problem->columns; j++) {
        if (!within(problem->low[j], MATRIX_LARGEST) || !within(problem->high[j], MATRIX_LARGEST))
            return "a column's bound is too large";
        if (!within(problem->objective[j], MATRIX_LARGEST))
            return "an objective coefficient is too large";
        objective += (int128)magnitude64(problem->objective[j]) * problem_reach(problem, j);
        sum += problem_reach(problem, j);
    }
    if (objective > MATRIX_LARGEST_SUM || sum > MATRIX_LARGEST_SUM)
        return "the objective's sum is too large";
    return NULL;
}

static const char *row_trouble(const SearchProblem *problem)
{
    const char *trouble = NULL;
    int128 *sum = mem_new((size_t)problem->rows + 1, sizeof *sum);
    for (int j = 0; j < problem->columns && !trouble; j++)
        for (size_t k = problem->start[j]; k < problem->start[j + 1] && !trouble; k++) {
            if (!within(problem->value[k], MATRIX_LARGEST))
                trouble = "a coefficient is too large";
            else if ((sum[problem->row[k]] += (int128)magnitude64(problem->value[k]) * problem_reach(problem, j)) >
                     MATRIX_LARGEST_SUM)
                trouble = "a row's sum is too large";
        }
    for (int i = 0; i < problem->rows && !trouble; i++) {
        const int64_t low = problem->row_low[i], high = problem->row_high[i];
        if ((low != SEARCH_MINUS_INFINITY && !within(low, MATRIX_LARGEST_SUM)) ||
            (high != SEARCH_PLUS_INFINITY && !within(high, MATRIX_LARGEST_SUM)))
            trouble = "a row's bound is too large";
    }
    mem_free(sum);
    return trouble;
}

/* Rows of sets included, whatever they will be. */
static const char *protection_trouble(const SearchProblem *problem)
{
    const Protections *all = problem->protections;
    for (int r = 0; all != NULL && r < all->count; r++) {
        const Protection *p = &all->row[r];
        const int64_t most = p->threshold < 0 ? 0 : magnitude64(problem->high[p->threshold]);
        int128 sum = (int128)most * (p->gamma + (int128)p->weight * p->entries);
        if (!within(p->weight, MATRIX_LARGEST) || !within(p->gamma, MATRIX_LARGEST))
            return "the number of coefficients that may rise is too large";
        for (int k = 0; k < p->entries; k++) {
            const RisingEntry *e = &p->entry[k];
            const int128 size = ((int128)magnitude64(e->price) + e->rise) * p->weight;
            if (size > MATRIX_LARGEST)
                return "a coefficient may rise too far";
            sum += size * (e->column < 0 ? 1 : problem_reach(problem, e->column));
        }
        for (int j = 0; !all->prepared && j < problem->columns; j++)
            for (size_t k = problem->start[j]; k < problem->start[j + 1]; k++)
                if (problem->row[k] == p->row) {
                    const int128 size = (int128)magnitude64(problem->value[k]) * p->weight;
                    if (size > MATRIX_LARGEST)
                        return "a coefficient of a row that is protected is too large";
                    sum += size * problem_reach(problem, j);
                }
        const int64_t side = problem->row_high[p->row];
        if (!all->prepared && side != SEARCH_PLUS_INFINITY)
            sum += (int128)magnitude64(side) * p->weight;
        if (sum > MATRIX_LARGEST_SUM)
            return "the sum of a row that is protected is too large";
    }
    return NULL;
}

const char *search_problem_trouble(const SearchProblem *problem)
{
    if (problem->columns < 0 || problem->rows < 0)
        return "a negative number of columns or rows";
    if (problem->rows > MATRIX_MOST_ROWS)
        return "more than 4096 rows";
    const char *trouble = column_trouble(problem);
    trouble = trouble ? trouble : row_trouble(problem);
    return trouble ? trouble : protection_trouble(problem);
}

SearchProblem *problem_copy(const SearchProblem *problem)
{
    SearchProblem *copy = mem_new(1, sizeof *copy);
    const size_t n = (size_t)problem->columns, m = (size_t)problem->rows;
    const size_t none = 0, *start = problem->start != NULL ? problem->start : &none, entries = start[n];
    copy->columns = problem->columns;
    copy->rows = problem->rows;
    copy->kind = mem_copy(problem->kind, n, sizeof *copy->kind);
    copy->objective = mem_copy(problem->objective, n, sizeof *copy->objective);
    copy->low = mem_copy(problem->low, n, sizeof *copy->low);
    copy->high = mem_copy(problem->high, n, sizeof *copy->high);
    copy->row_low = mem_copy(problem->row_low, m, sizeof *copy->row_low);
    copy->row_high = mem_copy(problem->row_high, m, sizeof *copy->row_high);
    copy->start = mem_copy(start, n + 1, sizeof *copy->start);
    copy->row = mem_copy(problem->row, entries, sizeof *copy->row);
    copy->value = mem_copy(problem->value, entries, sizeof *copy->value);
    copy->protections = protections_copy(problem->protections);
    return copy;
}

void search_problem_init(SearchProblem *problem, int columns, int rows, size_t entries)
{
    const size_t n = (size_t)columns + 1, m = (size_t)rows + 1;
    *problem = (SearchProblem){.columns = columns, .rows = rows};
    problem->kind = mem_new(n, sizeof *problem->kind);
    problem->objective = mem_new(n, sizeof *problem->objective);
    problem->low = mem_new(n, sizeof *problem->low);
    problem->high = mem_new(n, sizeof *problem->high);
    problem->row_low = mem_new(m, sizeof *problem->row_low);
    problem->row_high = mem_new(m, sizeof *problem->row_high);
    problem->start = mem_new(n, sizeof *problem->start);
    problem->row = mem_new(entries + 1, sizeof *problem->row);
    problem->value = mem_new(entries + 1, sizeof *problem->value);
}

void search_problem_release(SearchProblem *problem)
{
    mem_free(problem->kind);
    mem_free(problem->objective);
    mem_free(problem->low);
    mem_free(problem->high);
    mem_free(problem->row_low);
    mem_free(problem->row_high);
    mem_free(problem->start);
    mem_free(problem->row);
    mem_free(problem->value);
    protections_free(problem->protections);
    *problem = (SearchProblem){0};
}

void problem_free(SearchProblem *problem)
{
    if (!problem)
        return;
    search_problem_release(problem);
    mem_free(problem);
}

int64_t problem_grain(const SearchProblem *problem)
{
    int64_t grain = 0;
    for (int j = 0; j < problem->columns; j++)
        if (problem->low[j] != 0 || problem->high[j] != 0)
            grain = gcd64(grain, problem->objective[j]);
    return grain;
}

int64_t problem_activity(const SearchProblem *p, int row, const int64_t *x)
{
    int64_t sum = 0;
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; x[j] != 0 && k < p->start[j + 1]; k++)
            sum += p->row[k] == row ? p->value[k] * x[j] : 0;
    return sum;
}

bool search_feasible(const SearchProblem *problem, const int64_t *x, int64_t *value)
{
    const Protections *protections = problem->protections;
    int128 total = 0;
    int128 *activity = mem_new((size_t)problem->rows + 1, sizeof *activity);
    bool feasible = true, *threshold = NULL;
    if (protections != NULL) { /* thresholds are what suits the rest */
        threshold = mem_new((size_t)problem->columns + 1, sizeof *threshold);
        for (int r = 0; r < protections->count; r++)
            if (protections->row[r].threshold >= 0)
                threshold[protections->row[r].threshold] = true;
    }
    for (int j = 0; j < problem->columns && feasible; j++) {
        feasible = (x[j] >= problem->low[j] && x[j] <= problem->high[j]) || (threshold != NULL && threshold[j]);
        total += (int128)problem->objective[j] * x[j];
        if (x[j] != 0)
            for (size_t k = problem->start[j]; k < problem->start[j + 1]; k++)
                activity[problem->row[k]] += (int128)problem->value[k] * x[j];
    }
    for (int i = 0; i < problem->rows && feasible; i++)
        feasible = (problem->row_low[i] == SEARCH_MINUS_INFINITY || activity[i] >= problem->row_low[i]) &&
                   (problem->row_high[i] == SEARCH_PLUS_INFINITY || activity[i] <= problem->row_high[i]);
    feasible = feasible && protections_hold(problem, x, activity);
    mem_free(activity);
    mem_free(threshold);
    if (feasible)
        *value = (int64_t)total;
    return feasible;
}
