/* memo.c - what is known about the best fit as one side is loosened more and more: it never falls. Every question
 * leaves what it found, so that the next one about that side, or another card, need not find it again. */
#include "explain/explain.h"

#include <string.h>

int64_t explain_known(const Explain *e, int side, int64_t units, bool *best, const int64_t **x)
{
    int64_t fit = e->best.low;
    *best = false;
    if (x != NULL)
        *x = e->x;
    for (size_t k = 0; k < e->memos; k++)
        if (e->memo[k].side == side && e->memo[k].units <= units && e->memo[k].fit > fit) {
            fit = e->memo[k].fit;
            if (x != NULL)
                *x = e->memo[k].x;
        }
    for (size_t k = 0; k < e->memos; k++)
        if (e->memo[k].side == side && e->memo[k].units >= units && e->memo[k].best && e->memo[k].fit == fit)
            *best = true;
    return fit;
}

void explain_learn(Explain *e, int side, int64_t units, const int64_t *x, bool best)
{
    const size_t n = (size_t)e->sides->problem.columns;
    int64_t fit = oracle_value(e->oracle, x);
    size_t k = 0;
    while (k < e->memos && (e->memo[k].side != side || e->memo[k].units != units))
        k++;
    if (k == e->memos) {
        mem_reserve((void **)&e->memo, &e->memo_capacity, e->memos + 1, sizeof *e->memo);
        e->memo[e->memos++] =
            (Memo){.side = side, .units = units, .fit = fit, .x = mem_new(n + 1, sizeof(int64_t)), .best = best};
    } else if (fit < e->memo[k].fit)
        return;
    e->memo[k].best = best || (e->memo[k].best && fit == e->memo[k].fit);
    e->memo[k].fit = fit;
    memcpy(e->memo[k].x, x, n * sizeof *x);
}

static int64_t look_for_more(Explain *e, int side, int64_t units, bool any, bool *best)
{
    const int64_t *known;
    int64_t fit = explain_known(e, side, units, best, &known);
    if (*best)
        return fit;
    Probe probe;
    oracle_loosen(e->oracle, side, units);
    if (any)
        probe_reach(e->oracle, fit + e->grain, true, &probe);
    else
        probe_most(e->oracle, fit, e->grain, &probe);
    oracle_loosen(e->oracle, side, 0);
    if (probe.x != NULL)
        explain_learn(e, side, units, probe.x, probe.status == PROBE_SOLVED);
    else if (probe.status == PROBE_NONE)
        explain_learn(e, side, units, known, true);
    probe_release(&probe);
    return explain_known(e, side, units, best, NULL);
}

int64_t explain_climb(Explain *e, int side, int64_t units, bool *best)
{
    return look_for_more(e, side, units, false, best);
}

int64_t explain_exceed(Explain *e, int side, int64_t units, bool *best)
{
    return look_for_more(e, side, units, true, best);
}

int64_t explain_stride(const Explain *e, int side)
{
    const Side *s = &e->sides->side[side];
    return s->most > 64 ? s->most / 1024 + 1 : 0;
}
