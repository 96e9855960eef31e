/* same_rows.c - rows that may be the same are found by a sum over their entries, then compared. */
#include <string.h>

#include "base/memory.h"
#include "base/random.h"
#include "base/sort.h"
#include "search/linear/same_rows.h"

typedef struct {
    uint64_t mark; /* the same for rows that are the same, or opposite */
    int row, sign; /* of its first coefficient */
} MarkedRow;

static MarkedRow marked_row(const Matrix *m, int i)
{
    MarkedRow marked = {0, i, m->row_value[m->row_start[i]] < 0 ? -1 : 1};
    for (size_t e = m->row_start[i]; e < m->row_start[i + 1]; e++)
        marked.mark += random_mixed((uint64_t)m->column[e] + 1) * (uint64_t)(marked.sign * m->row_value[e]);
    return marked;
}

static int by_mark(const void *a, const void *b)
{
    const uint64_t x = ((const MarkedRow *)a)->mark, y = ((const MarkedRow *)b)->mark;
    return x < y ? -1 : x > y;
}

static bool is_same(const Matrix *m, const MarkedRow *a, const MarkedRow *b)
{
    const size_t from = m->row_start[a->row], other = m->row_start[b->row], count = m->row_start[a->row + 1] - from;
    if (m->row_start[b->row + 1] - other != count)
        return false;
    for (size_t e = 0; e < count; e++)
        if (m->column[from + e] != m->column[other + e] ||
            a->sign * m->row_value[from + e] != b->sign * m->row_value[other + e])
            return false;
    return true;
}

/* The most that the row's positive form may come to, and the least, as -(most of the opposite form). */
static int64_t most(const Matrix *m, const MarkedRow *r, int way)
{
    if (way * r->sign > 0)
        return m->p.row_high[r->row];
    return m->p.row_low[r->row] == SEARCH_MINUS_INFINITY ? SEARCH_PLUS_INFINITY : -m->p.row_low[r->row];
}

static void drop(Matrix *m, const MarkedRow *r, int way)
{
    if (way * r->sign > 0)
        m->p.row_high[r->row] = SEARCH_PLUS_INFINITY;
    else
        m->p.row_low[r->row] = SEARCH_MINUS_INFINITY;
}

static void share_sides(Matrix *m, const MarkedRow *first, const MarkedRow *second)
{
    for (int way = -1; way <= 1; way += 2)
        drop(m, most(m, first, way) <= most(m, second, way) ? second : first, way);
}

void same_rows_drop_sides(Matrix *m)
{
    MarkedRow *rows = mem_new((size_t)m->p.rows + 1, sizeof *rows);
    size_t count = 0;
    for (int i = 0; i < m->p.rows; i++)
        if (m->row_start[i] < m->row_start[i + 1] &&
            (m->p.row_low[i] != SEARCH_MINUS_INFINITY || m->p.row_high[i] != SEARCH_PLUS_INFINITY))
            rows[count++] = marked_row(m, i);
    sort_stable(rows, count, sizeof *rows, by_mark);
    for (size_t k = 1; k < count; k++)
        for (size_t before = k; before > 0 && rows[before - 1].mark == rows[k].mark; before--)
            if (is_same(m, &rows[before - 1], &rows[k]))
                share_sides(m, &rows[before - 1], &rows[k]);
    mem_free(rows);
}
