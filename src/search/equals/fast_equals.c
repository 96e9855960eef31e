/* fast_equals.c - where all points as good as the best are looked for: what jobs are told, and what they find. */
#include "base/memory.h"
#include "search/fast.h"

void fast_tell_core(Fast *f)
{
    if (f->run->equals == NULL)
        return;
    const int columns = f->core->matrix.p.columns;
    mem_free(f->told);
    f->told = mem_new((size_t)columns + 1, sizeof *f->told);
    for (int j = 0; j < columns; j++)
        f->told[j] = f->run->equals->told[f->core->map[j]];
}

bool fast_offer(Fast *f, const int64_t *x)
{
    int64_t *whole = mem_new((size_t)f->run->problem->columns + 1, sizeof *whole);
    core_expand(f->core, x, whole);
    const bool better = run_offer(f->run, whole);
    mem_free(whole);
    return better;
}

static bool is_best(const Fast *f, const int64_t *x)
{
    int64_t value = f->core->offset;
    for (int j = 0; j < f->core->matrix.p.columns; j++)
        value += f->core->matrix.p.objective[j] * x[j];
    return value >= f->run->value;
}

void fast_take_equals(Fast *f, const Job *job)
{
    for (size_t k = 0; k < job->equals; k++)
        fast_offer(f, job->equal[k]);
    if (job->task.more_equals && is_best(f, job->x))
        f->run->equals->too_many = true;
}
