/* matrix.c - the problem as the engines see it.
 *
 * A row is divided by the greatest common divisor g of its coefficients; since every column is integer its sides may be
 * rounded to what multiples of g can reach, which only cuts off fractional points. A side that even the extreme point
 * of the box meets is dropped. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/linear/matrix.h"
#include "search/linear/same_rows.h"
#include "search/risk/protection.h"

static void build_rows(Matrix *matrix)
{
    const SearchProblem *p = &matrix->p;
    const size_t entries = p->start[p->columns];
    matrix->row_start = mem_new((size_t)p->rows + 2, sizeof *matrix->row_start);
    matrix->column = mem_new(entries + 1, sizeof *matrix->column);
    matrix->row_value = mem_new(entries + 1, sizeof *matrix->row_value);
    for (size_t k = 0; k < entries; k++)
        matrix->row_start[p->row[k] + 1]++;
    for (int i = 0; i < p->rows; i++)
        matrix->row_start[i + 1] += matrix->row_start[i];
    size_t *next = mem_new((size_t)p->rows + 1, sizeof *next);
    memcpy(next, matrix->row_start, (size_t)p->rows * sizeof *next);
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            const size_t at = next[p->row[k]]++;
            matrix->column[at] = j;
            matrix->row_value[at] = p->value[k];
        }
    mem_free(next);
}

static int64_t divided_down(int64_t side, int64_t g)
{
    return side == SEARCH_PLUS_INFINITY ? side : (int64_t)floor_div(side, g);
}

static int64_t divided_up(int64_t side, int64_t g)
{
    return side == SEARCH_MINUS_INFINITY ? side : (int64_t)ceil_div(side, g);
}

static void drop_idle_sides(Matrix *matrix, int i)
{
    SearchProblem *p = &matrix->p;
    int64_t least = 0, most = 0; /* below 2^61: see search_problem_trouble */
    for (size_t k = matrix->row_start[i]; k < matrix->row_start[i + 1]; k++) {
        const int64_t a = matrix->row_value[k];
        const int j = matrix->column[k];
        least += a > 0 ? a * p->low[j] : a * p->high[j];
        most += a > 0 ? a * p->high[j] : a * p->low[j];
    }
    if (p->row_high[i] != SEARCH_PLUS_INFINITY && most <= p->row_high[i])
        p->row_high[i] = SEARCH_PLUS_INFINITY;
    if (p->row_low[i] != SEARCH_MINUS_INFINITY && least >= p->row_low[i])
        p->row_low[i] = SEARCH_MINUS_INFINITY;
}

static void tidy_row(Matrix *matrix, int i)
{
    SearchProblem *p = &matrix->p;
    int64_t g = 0, largest = 0;
    for (size_t k = matrix->row_start[i]; k < matrix->row_start[i + 1]; k++) {
        const int64_t a = matrix->row_value[k] < 0 ? -matrix->row_value[k] : matrix->row_value[k];
        g = g == 1 ? 1 : gcd64(g, a);
        largest = a > largest ? a : largest;
    }
    g = g > 0 ? g : 1;
    matrix->divisor[i] = g;
    matrix->row_largest[i] = largest / g;
    p->row_high[i] = divided_down(p->row_high[i], g);
    p->row_low[i] = divided_up(p->row_low[i], g);
    if (g > 1)
        for (size_t k = matrix->row_start[i]; k < matrix->row_start[i + 1]; k++)
            matrix->row_value[k] /= g;
    drop_idle_sides(matrix, i);
}

static void tidy(Matrix *matrix)
{
    SearchProblem *p = &matrix->p;
    matrix->divisor = mem_new((size_t)p->rows + 1, sizeof *matrix->divisor);
    matrix->row_largest = mem_new((size_t)p->rows + 1, sizeof *matrix->row_largest);
    for (int i = 0; i < p->rows; i++)
        tidy_row(matrix, i);
    for (size_t k = 0; k < p->start[p->columns]; k++)
        p->value[k] /= matrix->divisor[p->row[k]];
}

void matrix_init(Matrix *matrix, const SearchProblem *problem)
{
    SearchProblem *copy = problem_copy(problem);
    matrix->p = *copy;
    mem_free(copy);
    SearchProblem *p = &matrix->p;
    size_t kept = 0, from = 0;
    for (int j = 0; j < p->columns; j++) {
        const size_t end = p->start[j + 1];
        p->start[j] = kept;
        for (; from < end; from++)
            if (p->value[from] != 0) {
                p->row[kept] = p->row[from];
                p->value[kept++] = p->value[from];
            }
    }
    p->start[p->columns] = kept;
    protections_prepare(p);
    build_rows(matrix);
    tidy(matrix);
}

void matrix_reload(Matrix *matrix, const SearchProblem *problem)
{
    SearchProblem *p = &matrix->p;
    const size_t n = (size_t)p->columns;
    protections_reload(matrix, problem);
    memcpy(p->objective, problem->objective, n * sizeof *p->objective);
    memcpy(p->low, problem->low, n * sizeof *p->low);
    memcpy(p->high, problem->high, n * sizeof *p->high);
    for (int i = 0; i < problem->rows; i++) {
        p->row_high[i] = divided_down(problem->row_high[i], matrix->divisor[i]);
        p->row_low[i] = divided_up(problem->row_low[i], matrix->divisor[i]);
    }
    for (int i = 0; i < p->rows; i++)
        drop_idle_sides(matrix, i);
}

void matrix_lessen(Matrix *matrix, int row, int column, int64_t value)
{
    SearchProblem *p = &matrix->p;
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++)
        if (p->row[k] == row)
            p->value[k] = value;
    for (size_t k = matrix->row_start[row]; k < matrix->row_start[row + 1]; k++)
        if (matrix->column[k] == column)
            matrix->row_value[k] = value;
}

void matrix_release(Matrix *matrix)
{
    search_problem_release(&matrix->p);
    mem_free(matrix->row_start);
    mem_free(matrix->column);
    mem_free(matrix->row_value);
    mem_free(matrix->divisor);
    mem_free(matrix->row_largest);
    memset(matrix, 0, sizeof *matrix);
}

int64_t whole_within(double x, int64_t low, int64_t high)
{
    const double v = floor(x + 0.5);
    return v <= (double)low ? low : v >= (double)high ? high : (int64_t)v;
}

static void fill_part(SearchProblem *part, const SearchProblem *from, const int64_t *low, const int64_t *high, int *map,
                      int64_t *offset)
{
    size_t entries = 0;
    for (int j = 0; j < from->columns; j++) {
        if (low[j] == high[j]) {
            *offset += from->objective[j] * low[j];
            for (size_t k = from->start[j]; low[j] != 0 && k < from->start[j + 1]; k++) {
                const int i = from->row[k];
                const int64_t moved = from->value[k] * low[j];
                if (part->row_low[i] != SEARCH_MINUS_INFINITY)
                    part->row_low[i] -= moved;
                if (part->row_high[i] != SEARCH_PLUS_INFINITY)
                    part->row_high[i] -= moved;
            }
            continue;
        }
        const int c = part->columns++;
        map[c] = j;
        part->kind[c] = from->kind[j];
        part->objective[c] = from->objective[j];
        part->low[c] = low[j];
        part->high[c] = high[j];
        part->start[c] = entries;
        for (size_t k = from->start[j]; k < from->start[j + 1]; k++) {
            part->row[entries] = from->row[k];
            part->value[entries++] = from->value[k];
        }
    }
    part->start[part->columns] = entries;
}

static Protections *protections_of_part(const SearchProblem *part, const SearchProblem *from, const int64_t *low,
                                        const int64_t *high, const int *map)
{
    int *place = mem_new((size_t)from->columns + 1, sizeof *place);
    for (int j = 0; j < from->columns; j++)
        place[j] = -1;
    for (int c = 0; c < part->columns; c++)
        place[map[c]] = c;
    Protections *protections = protections_restrict(from->protections, place, low, high);
    mem_free(place);
    return protections;
}

bool matrix_restrict(Matrix *part, const Matrix *from, const int64_t *low, const int64_t *high, int *map,
                     int64_t *offset)
{
    const SearchProblem *f = &from->p;
    size_t open = 0, entries = 0;
    for (int j = 0; j < f->columns; j++)
        if (low[j] != high[j]) {
            open++;
            entries += f->start[j + 1] - f->start[j];
        }
    memset(part, 0, sizeof *part);
    SearchProblem *p = &part->p;
    search_problem_init(p, (int)open, f->rows, entries);
    p->columns = 0; /* one by one below */
    memcpy(p->row_low, f->row_low, (size_t)f->rows * sizeof *p->row_low);
    memcpy(p->row_high, f->row_high, (size_t)f->rows * sizeof *p->row_high);
    *offset = 0;
    fill_part(p, f, low, high, map, offset);
    if (f->protections != NULL)
        p->protections = protections_of_part(p, f, low, high, map);
    build_rows(part);
    tidy(part);
    if (p->protections == NULL) /* theirs are kept by more than their rows */
        same_rows_drop_sides(part);
    for (int i = 0; i < p->rows; i++)
        if (part->row_start[i] == part->row_start[i + 1] && (p->row_low[i] > 0 || p->row_high[i] < 0))
            return false;
    return true;
}

Grain matrix_grain(const Matrix *matrix, const int64_t *low, const int64_t *high)
{
    Grain grain = {0, 0};
    for (int j = 0; j < matrix->p.columns; j++) {
        grain.base += matrix->p.objective[j] * low[j];
        if (low[j] != high[j])
            grain.step = gcd64(grain.step, matrix->p.objective[j]);
    }
    return grain;
}

int64_t grain_floor(Grain grain, int64_t bound)
{
    if (grain.step == 0)
        return grain.base < bound ? grain.base : bound;
    if (bound == SEARCH_PLUS_INFINITY)
        return bound;
    return (int64_t)(grain.base + floor_div((int128)bound - grain.base, grain.step) * grain.step);
}
