/* solution.c - a pool as values of the programme's columns. */
#include <string.h>

#include "base/memory.h"
#include "base/number.h"
#include "programme/programme.h"

static bool set_card_columns(const Programme *programme, const int *copies, int64_t *x)
{
    const Instance *in = programme->instance;
    int *left = mem_new(in->cards->count, sizeof *left);
    memcpy(left, copies, in->cards->count * sizeof *left);
    const SearchProblem *p = &programme->problem;
    for (int j = 0; j < p->columns; j++) {
        const ProgrammeColumn *column = &programme->column[j];
        x[j] = 0;
        if (column->role == COLUMN_MISSED)
            continue;
        if (column->role == COLUMN_FULL) {
            x[j] = copies[column->card] >= in->cards->card[column->card].owned;
            continue;
        }
        int64_t take = left[column->card] < p->high[j] ? left[column->card] : p->high[j];
        left[column->card] -= (int)take;
        x[j] = take;
    }
    bool all = true;
    for (size_t c = 0; c < in->cards->count; c++)
        all = all && left[c] == 0;
    mem_free(left);
    return all;
}

/* Least units missed: what the row lacks, in whole units. */
static void set_missed_columns(const Programme *programme, int64_t *x)
{
    const SearchProblem *p = &programme->problem;
    int128 *use = mem_new((size_t)p->rows, sizeof *use);
    for (int j = 0; j < p->columns; j++)
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            use[p->row[k]] += (int128)p->value[k] * x[j];
    for (int j = 0; j < p->columns; j++) {
        if (programme->column[j].role != COLUMN_MISSED)
            continue;
        size_t k = p->start[j];
        int128 lacks = p->value[k] > 0 ? p->row_low[p->row[k]] - use[p->row[k]] : use[p->row[k]] - p->row_high[p->row[k]];
        int64_t unit = p->value[k] > 0 ? p->value[k] : -p->value[k];
        int128 units = lacks > 0 ? ceil_div(lacks, unit) : 0;
        x[j] = units > p->high[j] ? p->high[j] : (int64_t)units;
    }
    mem_free(use);
}

bool programme_solution(const Programme *programme, const int *copies, int64_t *x)
{
    bool all = set_card_columns(programme, copies, x);
    set_missed_columns(programme, x);
    return all;
}
