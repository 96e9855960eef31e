/* kept_cuts.c - see kept_cuts.h. Jobs of one round may share a cut, each on a thread of its own. */
#include "search/cuts/kept_cuts.h"

#include <stdatomic.h>

#include "base/memory.h"
#include "search/cuts/cut_rows.h"

typedef struct {
    int column;
    int32_t value;
} Entry;

struct KeptCut {
    atomic_int held;
    int64_t high;
    size_t count;
    Entry entry[];
};

KeptCut *kept_cut_of_row(const Core *part, int row)
{
    const Matrix *m = &part->matrix;
    const size_t first = m->row_start[row], count = m->row_start[row + 1] - first;
    if (m->row_largest[row] > INT32_MAX)
        return NULL;
    KeptCut *cut = mem_new(1, sizeof *cut + count * sizeof cut->entry[0]);
    atomic_init(&cut->held, 1);
    cut->high = m->p.row_high[row];
    cut->count = count;
    for (size_t e = 0; e < count; e++)
        cut->entry[e] = (Entry){part->map[m->column[first + e]], (int32_t)m->row_value[first + e]};
    return cut;
}

KeptCut *kept_cut_hold(KeptCut *cut)
{
    atomic_fetch_add(&cut->held, 1);
    return cut;
}

void kept_cut_let_go(KeptCut *cut)
{
    if (cut != NULL && atomic_fetch_sub(&cut->held, 1) == 1)
        mem_free(cut);
}

void kept_cuts_add(KeptCuts *cuts, KeptCut *cut)
{
    cuts->cut = mem_resize(cuts->cut, (size_t)cuts->count + 1, sizeof *cuts->cut);
    cuts->cut[cuts->count++] = cut;
}

void kept_cuts_release(KeptCuts *cuts)
{
    for (int k = 0; k < cuts->count; k++)
        kept_cut_let_go(cuts->cut[k]);
    mem_free(cuts->cut);
    *cuts = (KeptCuts){0};
}

/* Of the whole's columns the one that stands for each in the part, or -1: a column that follows another one is that. */
static int *places_of(const Core *part)
{
    int *place = mem_new((size_t)part->whole_columns + 1, sizeof *place);
    for (int j = 0; j < part->whole_columns; j++)
        place[j] = part->place[j];
    for (int k = 0; k < part->followers; k++)
        place[part->follower[k].column] = part->place[part->follower[k].leader];
    return place;
}

/* What is left of it in the part; sum: [part's columns] zeros, and so again afterwards. */
static Cut in_part(const KeptCut *kept, const Core *part, const int *place, int64_t *sum)
{
    const int columns = part->matrix.p.columns;
    Cut cut = {.high = kept->high};
    for (size_t e = 0; e < kept->count; e++) {
        const Entry *entry = &kept->entry[e];
        if (place[entry->column] >= 0)
            sum[place[entry->column]] += entry->value;
        else
            cut.high -= entry->value * part->fixed[entry->column];
    }
    cut.column = mem_new(kept->count + 1, sizeof *cut.column);
    cut.value = mem_new(kept->count + 1, sizeof *cut.value);
    for (int j = 0; j < columns; j++)
        if (sum[j] != 0) {
            cut.column[cut.count] = j;
            cut.value[cut.count++] = sum[j];
            sum[j] = 0;
        }
    return cut;
}

void kept_cuts_append(const KeptCuts *cuts, Core *part, int *row)
{
    int64_t *sum = mem_new((size_t)part->matrix.p.columns + 1, sizeof *sum);
    int *place = places_of(part);
    CutPool pool = {.cut = mem_new((size_t)cuts->count + 1, sizeof *pool.cut), .capacity = (size_t)cuts->count + 1};
    for (int k = 0; k < cuts->count; k++) {
        Cut cut = in_part(cuts->cut[k], part, place, sum);
        row[k] = cut.count > 0 ? part->matrix.p.rows + (int)pool.count : -1;
        if (cut.count > 0)
            pool.cut[pool.count++] = cut;
        else
            cut_release(&cut);
    }
    if (!matrix_append(&part->matrix, &pool))
        for (int k = 0; k < cuts->count; k++)
            row[k] = -1;
    cut_pool_release(&pool);
    mem_free(sum);
    mem_free(place);
}
