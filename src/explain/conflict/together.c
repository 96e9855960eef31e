/* together.c - all of the cards forced in, one run; a minimal conflict where there is no such pool. */
#include "explain/conflict/together.h"

#include "explain/swaps/nearest.h"

static bool can_be_asked(const Explain *e, const size_t *card, size_t count)
{
    size_t out = 0;
    for (size_t k = 0; k < count; k++) {
        const size_t c = card[k];
        if (e->card[c].first < 0 || e->instance->skipped[c] || (e->instance->status[c] & STATUS_BAN) != 0 ||
            e->instance->most[c] < 1)
            return false;
        out += e->copies[c] == 0;
    }
    return out > 1;
}

void together_find(Explain *e, const size_t *card, size_t count, Together *together)
{
    *together = (Together){.asked = e->has_pool && can_be_asked(e, card, count)};
    if (!together->asked)
        return;
    for (size_t k = 0; k < count; k++)
        explain_force(e, card[k], 1, INT32_MAX);
    Probe probe;
    explain_most(e, &probe);
    together->forced = probe.x != NULL;
    together->impossible = probe.status == PROBE_NONE;
    if (together->forced)
        nearest_exchange(e, probe.low, probe.x, &together->exchange);
    if (together->impossible)
        conflict_find(e->oracle, &together->conflict);
    else
        together->loss = explain_loss(e, &probe);
    probe_release(&probe);
    for (size_t k = 0; k < count; k++)
        explain_unforce(e, card[k]);
}

void together_learn(Together *together, const Why *why)
{
    if (!together->asked || together->impossible || why->in || why->kept || why->banned || why->impossible ||
        !why->loss.has_low)
        return;
    if (!together->loss.has_low || together->loss.low < why->loss.low) {
        together->loss.has_low = true;
        together->loss.low = why->loss.low;
    }
}

bool together_settled(const Together *together)
{
    if (!together->asked)
        return true;
    if (together->impossible)
        return conflict_settled(&together->conflict);
    return range_exact(&together->loss) || (together->loss.has_high && together->loss.high == 0);
}

void together_release(Together *together)
{
    exchange_release(&together->exchange);
    conflict_release(&together->conflict);
    *together = (Together){0};
}
