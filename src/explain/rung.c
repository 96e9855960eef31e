/* rung.c - what is known about the best fit as one side is loosened more and more: it never falls. Every question
 * leaves what it found, so that the next one about that side, or another card, need not find it again. */
#include "explain/explain.h"

#include <string.h>

int64_t explain_known(const Explain *e, int side, int64_t units, bool *best, const int64_t **x)
{
    int64_t fit = e->best.low;
    *best = false;
    if (x != NULL)
        *x = e->x;
    for (size_t k = 0; k < e->rungs; k++)
        if (e->rung[k].side == side && e->rung[k].units <= units && e->rung[k].fit > fit) {
            fit = e->rung[k].fit;
            if (x != NULL)
                *x = e->rung[k].x;
        }
    for (size_t k = 0; k < e->rungs; k++)
        if (e->rung[k].side == side && e->rung[k].units >= units && e->rung[k].best && e->rung[k].fit == fit)
            *best = true;
    return fit;
}

void explain_learn(Explain *e, int side, int64_t units, const int64_t *x, bool best)
{
    const size_t n = (size_t)e->sides->problem.columns;
    int64_t fit = prober_value(e->prober, x);
    size_t k = 0;
    while (k < e->rungs && (e->rung[k].side != side || e->rung[k].units != units))
        k++;
    if (k == e->rungs) {
        mem_reserve((void **)&e->rung, &e->rung_capacity, e->rungs + 1, sizeof *e->rung);
        e->rung[e->rungs++] =
            (Rung){.side = side, .units = units, .fit = fit, .x = mem_new(n + 1, sizeof(int64_t)), .best = best};
    } else if (fit < e->rung[k].fit)
        return;
    e->rung[k].best = best || (e->rung[k].best && fit == e->rung[k].fit);
    e->rung[k].fit = fit;
    memcpy(e->rung[k].x, x, n * sizeof *x);
}

int64_t explain_climb(Explain *e, int side, int64_t units, bool *best)
{
    const int64_t *known;
    int64_t fit = explain_known(e, side, units, best, &known);
    if (*best)
        return fit;
    Probe probe;
    prober_loosen(e->prober, side, units);
    probe_most(e->prober, fit, e->grain, &probe);
    prober_loosen(e->prober, side, 0);
    if (probe.x != NULL)
        explain_learn(e, side, units, probe.x, probe.status == PROBE_SOLVED);
    else if (probe.status == PROBE_NONE)
        explain_learn(e, side, units, known, true);
    probe_release(&probe);
    return explain_known(e, side, units, best, NULL);
}

int64_t explain_stride(const Explain *e, int side)
{
    const Side *s = &e->sides->side[side];
    return s->most > 64 ? s->most / 1024 + 1 : 0;
}
