/* align.c - see align.h. Columns and rows are matched by what they stand for, in order; then every coefficient that
 * both have must be the same, counted before rows were divided. */
#include "programme/align.h"

#include <string.h>

#include "base/memory.h"
#include "base/number.h"

#define LARGEST (INT64_C(1) << 60)

typedef struct {
    const Programme *base, *now;
    Alignment *out;
    int *row;    /* [base's rows] now's row, or -1 */
    bool *known; /* [now's rows] the base has it too */
} Matching;

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static bool same_limit(const Limit *a, const Limit *b)
{
    if (a == NULL || b == NULL)
        return a == b;
    return a->kind == b->kind && same_text(a->name, b->name) && same_text(a->of, b->of);
}

static bool same_forms(const Instance *a, const Instance *b)
{
    bool same = a->forms == b->forms && a->model->themes == b->model->themes;
    for (size_t f = 0; same && f < a->forms; f++)
        same = a->form[f].kind == b->form[f].kind && same_text(a->form[f].name, b->form[f].name) &&
               a->form[f].theme == b->form[f].theme;
    for (size_t t = 0; same && t < a->model->themes; t++)
        same = same_text(a->model->theme[t].name, b->model->theme[t].name);
    return same;
}

/* ---- columns ---- */

static bool same_column(const ProgrammeColumn *a, const ProgrammeColumn *b)
{
    return a->role == b->role && a->card == b->card && a->form == b->form && a->theme == b->theme &&
           same_limit(a->limit, b->limit);
}

static bool kind_holds(SearchKind kind, SearchKind now, int64_t low, int64_t high)
{
    if (kind == SEARCH_CONTINUOUS || now == SEARCH_CONTINUOUS)
        return kind == now;
    return kind == SEARCH_INTEGER || (low >= 0 && high <= 1);
}

/* The bounds of now's column j go to the base's. */
static bool take_column(const Matching *m, int base, int j)
{
    const SearchProblem *b = &m->base->problem, *p = &m->now->problem;
    Alignment *out = m->out;
    out->column[j] = base;
    out->low[base] = p->low[j];
    out->high[base] = p->high[j];
    out->worth[base] = p->objective[j];
    out->within = out->within && p->low[j] >= b->low[base] && p->high[j] <= b->high[base] &&
                  p->objective[j] == b->objective[base];
    return kind_holds(b->kind[base], p->kind[j], p->low[j], p->high[j]);
}

static bool match_columns(const Matching *m)
{
    const Programme *base = m->base, *now = m->now;
    int b = 0;
    for (int j = 0; j < now->problem.columns; j++, b++) {
        while (b < base->problem.columns && !same_column(&base->column[b], &now->column[j])) {
            m->out->within = m->out->within && base->problem.low[b] <= 0 && base->problem.high[b] >= 0;
            b++;
        }
        if (b == base->problem.columns || !take_column(m, b, j))
            return false;
    }
    return true;
}

/* ---- rows ---- */

static bool same_row(const ProgrammeRow *a, const ProgrammeRow *b)
{
    return a->role == b->role && a->card == b->card && a->form == b->form && same_limit(a->limit, b->limit);
}

/* A side of now's row in the units of the base's. */
static int64_t side_in(int64_t side, int64_t divisor, int64_t into, bool low)
{
    if (side == SEARCH_MINUS_INFINITY || side == SEARCH_PLUS_INFINITY)
        return side;
    const int128 whole = (int128)side * divisor, value = low ? ceil_div(whole, into) : floor_div(whole, into);
    if (value < -LARGEST)
        return low ? SEARCH_MINUS_INFINITY : -LARGEST;
    if (value > LARGEST)
        return low ? LARGEST : SEARCH_PLUS_INFINITY;
    return (int64_t)value;
}

/* The row of now that is the base's, from j on; -1: none. */
static int find_row(const Matching *m, int base, int j)
{
    while (j < m->now->problem.rows && !same_row(&m->base->row[base], &m->now->row[j]))
        j++;
    return j < m->now->problem.rows ? j : -1;
}

static void match_rows(const Matching *m)
{
    const Programme *base = m->base, *now = m->now;
    Alignment *out = m->out;
    int matched = 0, from = 0;
    for (int b = 0; b < base->problem.rows; b++) {
        const int j = m->row[b] = find_row(m, b, from);
        if (j >= 0) {
            out->row_low[b] = side_in(now->problem.row_low[j], now->row[j].divisor, base->row[b].divisor, true);
            out->row_high[b] = side_in(now->problem.row_high[j], now->row[j].divisor, base->row[b].divisor, false);
            m->known[j] = true;
            matched++;
            from = j + 1;
        }
        out->within =
            out->within && out->row_low[b] >= base->problem.row_low[b] && out->row_high[b] <= base->problem.row_high[b];
    }
    out->whole = matched == now->problem.rows;
}

/* ---- coefficients ---- */

/* In the rows that both have. */
static bool same_entries(const Matching *m, int base, int j)
{
    const SearchProblem *b = &m->base->problem, *p = &m->now->problem;
    size_t at = p->start[j], matched = 0, known = 0;
    for (size_t k = b->start[base]; k < b->start[base + 1]; k++) {
        const int row = m->row[b->row[k]];
        if (row < 0)
            continue;
        while (at < p->start[j + 1] && p->row[at] < row)
            at++;
        if (at == p->start[j + 1] || p->row[at] != row ||
            (int128)p->value[at] * m->now->row[row].divisor != (int128)b->value[k] * m->base->row[b->row[k]].divisor)
            return false;
        matched++;
    }
    for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
        known += m->known[p->row[k]];
    return matched == known;
}

static bool match_entries(const Matching *m)
{
    for (int j = 0; j < m->now->problem.columns; j++)
        if (!same_entries(m, m->out->column[j], j))
            return false;
    return true;
}

bool programme_align(const Programme *base, const Programme *now, Alignment *alignment)
{
    if (base->problem.protections != NULL || now->problem.protections != NULL ||
        !card_sets_alike(base->instance->cards, now->instance->cards) || !same_forms(base->instance, now->instance))
        return false;
    const size_t columns = (size_t)base->problem.columns + 1, rows = (size_t)base->problem.rows + 1;
    *alignment = (Alignment){.column = mem_new((size_t)now->problem.columns + 1, sizeof *alignment->column),
                             .low = mem_new(columns, sizeof *alignment->low),
                             .high = mem_new(columns, sizeof *alignment->high),
                             .worth = mem_new(columns, sizeof *alignment->worth),
                             .row_low = mem_new(rows, sizeof *alignment->row_low),
                             .row_high = mem_new(rows, sizeof *alignment->row_high),
                             .within = true};
    for (int b = 0; b < base->problem.rows; b++) {
        alignment->row_low[b] = SEARCH_MINUS_INFINITY;
        alignment->row_high[b] = SEARCH_PLUS_INFINITY;
    }
    Matching m = {.base = base,
                  .now = now,
                  .out = alignment,
                  .row = mem_new(rows, sizeof *m.row),
                  .known = mem_new((size_t)now->problem.rows + 1, sizeof *m.known)};
    bool good = match_columns(&m);
    if (good) {
        match_rows(&m);
        good = match_entries(&m);
    }
    mem_free(m.row);
    mem_free(m.known);
    if (!good)
        alignment_release(alignment);
    return good;
}

void alignment_release(Alignment *alignment)
{
    mem_free(alignment->column);
    mem_free(alignment->low);
    mem_free(alignment->high);
    mem_free(alignment->worth);
    mem_free(alignment->row_low);
    mem_free(alignment->row_high);
    *alignment = (Alignment){0};
}
