/* knapsack.c - see knapsack.h. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "support/family.h"
#include "support/knapsack.h"
#include "support/run.h"

static bool read_number(FILE *f, int64_t *value)
{
    double v = 0;
    if (fscanf(f, "%lf", &v) != 1)
        return false;
    *value = (int64_t)llround(v * 10.0); /* some collections hold tenths */
    return true;
}

int knapsack_count(FILE *f)
{
    int64_t count = 0;
    return read_number(f, &count) && count > 0 ? (int)(count / 10) : -1;
}

static SearchProblem *empty_problem(size_t columns, size_t rows)
{
    SearchProblem *p = mem_new(1, sizeof *p);
    p->columns = (int)columns;
    p->rows = (int)rows;
    p->kind = mem_new(columns + 1, sizeof *p->kind);
    p->objective = mem_new(columns + 1, sizeof *p->objective);
    p->low = mem_new(columns + 1, sizeof *p->low);
    p->high = mem_new(columns + 1, sizeof *p->high);
    p->row_low = mem_new(rows + 1, sizeof *p->row_low);
    p->row_high = mem_new(rows + 1, sizeof *p->row_high);
    p->start = mem_new(columns + 1, sizeof *p->start);
    p->row = mem_new(columns * rows + 1, sizeof *p->row);
    p->value = mem_new(columns * rows + 1, sizeof *p->value);
    for (size_t j = 0; j < columns; j++) {
        p->high[j] = 1;
        p->start[j + 1] = (j + 1) * rows;
        for (size_t i = 0; i < rows; i++)
            p->row[j * rows + i] = (int)i;
    }
    for (size_t i = 0; i < rows; i++)
        p->row_low[i] = SEARCH_MINUS_INFINITY;
    return p;
}

SearchProblem *knapsack_read(FILE *f, int64_t *known)
{
    int64_t n = 0, m = 0;
    if (!read_number(f, &n) || !read_number(f, &m) || !read_number(f, known) || n <= 0 || m <= 0)
        return NULL;
    const size_t columns = (size_t)(n / 10), rows = (size_t)(m / 10);
    SearchProblem *p = empty_problem(columns, rows);
    bool good = true;
    for (size_t j = 0; j < columns; j++)
        good = good && read_number(f, &p->objective[j]);
    for (size_t i = 0; i < rows; i++)
        for (size_t j = 0; j < columns; j++)
            good = good && read_number(f, &p->value[j * rows + i]);
    for (size_t i = 0; i < rows; i++)
        good = good && read_number(f, &p->row_high[i]);
    if (!good) {
        family_free(p);
        return NULL;
    }
    return p;
}

SearchProblem *knapsack_drawn(int limits, int items, int quarters, uint64_t seed)
{
    SearchProblem *p = empty_problem((size_t)items, (size_t)limits);
    Dice dice;
    dice_seed(&dice, seed * 1000003 + (uint64_t)(limits * 10000 + items * 10 + quarters));
    for (int j = 0; j < items; j++) {
        int64_t sum = 0;
        for (int i = 0; i < limits; i++) {
            const int64_t weight = dice_roll(&dice, 0, 1000);
            p->value[j * limits + i] = weight * 10;
            p->row_high[i] += weight;
            sum += weight;
        }
        p->objective[j] = (sum / limits + dice_roll(&dice, 0, 500)) * 10;
    }
    for (int i = 0; i < limits; i++)
        p->row_high[i] = p->row_high[i] * quarters / 4 * 10;
    return p;
}
