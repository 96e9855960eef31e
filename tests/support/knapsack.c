/* knapsack.c - see knapsack.h. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "support/family.h"
#include "support/knapsack.h"

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

SearchProblem *knapsack_read(FILE *f, int64_t *known)
{
    int64_t n = 0, m = 0;
    if (!read_number(f, &n) || !read_number(f, &m) || !read_number(f, known) || n <= 0 || m <= 0)
        return NULL;
    SearchProblem *p = mem_new(1, sizeof *p);
    const size_t columns = (size_t)(n / 10), rows = (size_t)(m / 10);
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
    bool good = true;
    for (size_t j = 0; j < columns; j++) {
        good = good && read_number(f, &p->objective[j]);
        p->high[j] = 1;
        p->start[j + 1] = (j + 1) * rows;
    }
    for (size_t i = 0; i < rows; i++) {
        p->row_low[i] = SEARCH_MINUS_INFINITY;
        for (size_t j = 0; j < columns; j++) {
            good = good && read_number(f, &p->value[j * rows + i]);
            p->row[j * rows + i] = (int)i;
        }
    }
    for (size_t i = 0; i < rows; i++)
        good = good && read_number(f, &p->row_high[i]);
    if (!good) {
        family_free(p);
        return NULL;
    }
    return p;
}
