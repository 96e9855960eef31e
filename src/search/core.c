/* core.c - making the core and going back. */
#include <string.h>

#include "base/memory.h"
#include "search/core.h"

Core *core_new(const Matrix *whole, const int64_t *low, const int64_t *high)
{
    const size_t n = (size_t)whole->p.columns;
    Core *core = mem_new(1, sizeof *core);
    core->whole_columns = whole->p.columns;
    core->map = mem_new(n + 1, sizeof *core->map);
    core->place = mem_new(n + 1, sizeof *core->place);
    core->fixed = mem_new(n + 1, sizeof *core->fixed);
    memcpy(core->fixed, low, n * sizeof *low);
    if (!matrix_restrict(&core->matrix, whole, low, high, core->map, &core->offset)) {
        core_free(core);
        return NULL;
    }
    for (size_t j = 0; j < n; j++)
        core->place[j] = -1;
    for (int j = 0; j < core->matrix.p.columns; j++)
        core->place[core->map[j]] = j;
    core->grain = matrix_grain(&core->matrix, core->matrix.p.low, core->matrix.p.high);
    return core;
}

Core *core_shrink(const Core *from, const int64_t *low, const int64_t *high)
{
    const size_t n = (size_t)from->matrix.p.columns;
    int64_t *own_low = mem_new(n + 1, sizeof *own_low), *own_high = mem_new(n + 1, sizeof *own_high);
    for (size_t j = 0; j < n; j++) {
        own_low[j] = low[from->map[j]];
        own_high[j] = high[from->map[j]];
    }
    Core *core = core_new(&from->matrix, own_low, own_high);
    if (core != NULL) {
        const size_t whole = (size_t)from->whole_columns;
        int *place = mem_new(whole + 1, sizeof *place);
        int64_t *fixed = mem_new(whole + 1, sizeof *fixed);
        memcpy(fixed, from->fixed, whole * sizeof *fixed);
        for (size_t j = 0; j < whole; j++)
            place[j] = from->place[j] >= 0 ? core->place[from->place[j]] : -1;
        for (size_t j = 0; j < n; j++)
            fixed[from->map[j]] = own_low[j];
        for (int j = 0; j < core->matrix.p.columns; j++)
            core->map[j] = from->map[core->map[j]];
        mem_free(core->place);
        mem_free(core->fixed);
        core->place = place;
        core->fixed = fixed;
        core->whole_columns = from->whole_columns;
        core->offset += from->offset;
        for (int i = 0; i < core->matrix.p.rows; i++)
            core->matrix.divisor[i] *= from->matrix.divisor[i];
    }
    mem_free(own_low);
    mem_free(own_high);
    return core;
}

void core_free(Core *core)
{
    if (!core)
        return;
    matrix_release(&core->matrix);
    mem_free(core->map);
    mem_free(core->place);
    mem_free(core->fixed);
    mem_free(core);
}

void core_expand(const Core *core, const int64_t *x, int64_t *whole)
{
    memcpy(whole, core->fixed, (size_t)core->whole_columns * sizeof *whole);
    for (int j = 0; j < core->matrix.p.columns; j++)
        whole[core->map[j]] = x[j];
}
