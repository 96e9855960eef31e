/* checker_rows.c - rows in a box, and what follows from single ones. */
#include <string.h>

#include "base/memory.h"
#include "search/certificate/checker_inner.h"

#define SWEEPS 1000 /* over rows */

/* ---- rows ---- */

void checker_sort_by_row(CertificateChecker *c)
{
    const SearchProblem *p = c->p;
    const size_t entries = p->start[p->columns], m = (size_t)p->rows;
    c->row_start = mem_new(m + 2, sizeof *c->row_start);
    c->row_column = mem_new(entries + 1, sizeof *c->row_column);
    c->row_value = mem_new(entries + 1, sizeof *c->row_value);
    for (size_t e = 0; e < entries; e++)
        c->row_start[p->row[e] + 1] += p->value[e] != 0;
    for (size_t i = 0; i < m; i++)
        c->row_start[i + 1] += c->row_start[i];
    size_t *next = mem_copy(c->row_start, m + 1, sizeof *next);
    for (int j = 0; j < p->columns; j++)
        for (size_t e = p->start[j]; e < p->start[j + 1]; e++) {
            if (p->value[e] == 0)
                continue;
            const size_t at = next[p->row[e]]++;
            c->row_column[at] = j;
            c->row_value[at] = p->value[e];
        }
    mem_free(next);
}

static Row row_of_cut(const Cut *cut)
{
    return (Row){cut->column, cut->value, cut->count, SEARCH_MINUS_INFINITY, cut->high};
}

bool checker_row_at(const CertificateChecker *c, int number, Row *row)
{
    const SearchProblem *p = c->p;
    if (number < 0 || (number >= p->rows && (size_t)(number - p->rows) >= c->cuts))
        return false;
    if (number < p->rows) {
        const size_t first = c->row_start[number];
        *row = (Row){c->row_column + first, c->row_value + first, c->row_start[number + 1] - first, p->row_low[number],
                     p->row_high[number]};
        return true;
    }
    const Cut *cut = &c->cut[number - p->rows];
    *row = row_of_cut(cut);
    return cut->holds;
}

InBox checker_in_box(const CertificateChecker *c, const Row *row)
{
    InBox in = {.has_low = row->low != SEARCH_MINUS_INFINITY, .has_high = row->high != SEARCH_PLUS_INFINITY};
    for (size_t k = 0; k < row->count; k++) {
        const int j = row->column[k];
        if (c->low[j] == c->high[j])
            in.fixed += (int128)row->value[k] * c->low[j]; /* see search_problem_trouble; cuts are of open columns */
        else if (in.step != 1)
            in.step = gcd(in.step, row->value[k]);
    }
    in.step = in.step == 0 ? 1 : in.step;
    if (in.has_low)
        in.low = ceil_div(row->low - in.fixed, in.step);
    if (in.has_high)
        in.high = floor_div(row->high - in.fixed, in.step);
    return in;
}

/* ---- what follows from single rows ---- */

/* The column's bounds by a side, with this room between it and the row's extreme; a is seen from that side. */
static bool bound_by(int64_t a, int128 room, int64_t *low, int64_t *high)
{
    const int128 steps = room / (a < 0 ? -(int128)a : a);
    if ((int128)*high - *low <= steps)
        return false;
    if (a > 0)
        *high = (int64_t)(*low + steps);
    else
        *low = (int64_t)(*high - steps);
    return true;
}

void checker_touch(CertificateChecker *c, int column)
{
    for (size_t e = c->p->start[column]; e < c->p->start[column + 1]; e++)
        c->touched[c->p->row[e]] = true;
}

/* False when the row can't hold. */
static bool follow_row(CertificateChecker *c, const Row *row, bool *changed)
{
    const InBox in = checker_in_box(c, row);
    int128 least = 0, most = 0;
    for (size_t k = 0; k < row->count; k++) {
        const int128 a = row->value[k], low = a * c->low[row->column[k]], high = a * c->high[row->column[k]];
        if (!add(&least, a > 0 ? low : high) || !add(&most, a > 0 ? high : low))
            return true; /* nothing is said then */
    }
    const int128 above = in.fixed + in.step * in.high - least, below = most - in.fixed - in.step * in.low;
    if ((in.has_high && above < 0) || (in.has_low && below < 0) || (in.has_low && in.has_high && in.low > in.high))
        return false;
    for (size_t k = 0; k < row->count; k++) {
        const int j = row->column[k];
        const int64_t a = row->value[k];
        int64_t low = c->low[j], high = c->high[j], low2 = low, high2 = high;
        if (low == high)
            continue;
        bool moved = in.has_high && bound_by(a, above, &low, &high);
        moved = (in.has_low && bound_by(-a, below, &low2, &high2)) || moved;
        if (!moved)
            continue;
        c->low[j] = low > low2 ? low : low2;
        c->high[j] = high < high2 ? high : high2;
        checker_touch(c, j);
        *changed = true;
        if (c->low[j] > c->high[j])
            return false;
    }
    return true;
}

/* One round over all rows that may say something new; false when the box holds nothing. */
static bool sweep(CertificateChecker *c, bool *changed)
{
    Row row;
    for (int i = 0; i < c->p->rows; i++) {
        if (!c->touched[i])
            continue;
        c->touched[i] = false;
        checker_row_at(c, i, &row);
        if (!follow_row(c, &row, changed))
            return false;
    }
    for (size_t k = 0; k < c->held_count; k++) {
        row = row_of_cut(&c->cut[c->held[k]]);
        if (!follow_row(c, &row, changed))
            return false;
    }
    return true;
}

bool checker_follow_rows(CertificateChecker *c)
{
    bool changed = true, possible = true;
    for (int round = 0; changed && possible && round < SWEEPS; round++) {
        changed = false;
        possible = sweep(c, &changed);
    }
    memset(c->touched, 0, (size_t)c->p->rows * sizeof *c->touched);
    return possible;
}
