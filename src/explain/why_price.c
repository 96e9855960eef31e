/* why_price.c - the highest price at which a card is in some best pool.
 *
 * A price is a loosening that only pools with the card get: a column "discount" in every row that money is summed in.
 * It is asked like any other side (prober_reach.c): the least discount with which a pool with the card has the best
 * fit. */
#include <string.h>

#include "explain/why_inner.h"

/* Does the row sum up money paid or valued, without shares or averages? Sets *upper_only to false where it asks for a
 * least sum. */
static bool is_money_row(const Explain *e, int row, bool *upper_only, bool *odd)
{
    if (row >= e->programme->problem.rows)
        return false;
    const ProgrammeRow *about = &e->programme->row[row];
    if (about->role == ROW_CAP)
        return true;
    if (about->role != ROW_MEMBER)
        return false;
    const RuleMember *member = &e->instance->member[about->member];
    if (member->rule->measure != MEASURE_SPEND && member->rule->measure != MEASURE_PRICE)
        return false;
    if (member->bounds.kind != BOUND_ABSOLUTE)
        *odd = true;
    if (member->bounds.has_low)
        *upper_only = false;
    return true;
}

static void *copy(const void *from, size_t count, size_t more, size_t size)
{
    void *to = mem_new(count + more + 1, size);
    memcpy(to, from, count * size);
    return to;
}

/* The SideProblem with the card in and a further side behind all others: the discount. False: no money counts the card,
 * or only shares and averages of money do. */
static bool discount_sides(const Explain *e, size_t card, SideProblem *out, bool *upper_only)
{
    const SearchProblem *from = &e->sides->problem;
    const size_t n = (size_t)from->columns, m = (size_t)from->rows, entries = from->start[n];
    const int column = e->first[card];
    bool odd = false;
    size_t extra = 0;
    int *money = mem_new(m + 1, sizeof *money);
    for (size_t k = from->start[column]; k < from->start[column + 1]; k++)
        if (is_money_row(e, from->row[k], upper_only, &odd))
            money[extra++] = from->row[k];
    if (extra == 0 || odd) {
        mem_free(money);
        return false;
    }
    *out = *e->sides;
    SearchProblem *p = &out->problem;
    p->columns++;
    p->kind = copy(from->kind, n, 1, sizeof *p->kind);
    p->objective = copy(from->objective, n, 1, sizeof *p->objective);
    p->low = copy(from->low, n, 1, sizeof *p->low);
    p->high = copy(from->high, n, 1, sizeof *p->high);
    p->row_low = copy(from->row_low, m, 0, sizeof *p->row_low);
    p->row_high = copy(from->row_high, m, 0, sizeof *p->row_high);
    p->start = copy(from->start, n + 1, 1, sizeof *p->start);
    p->row = copy(from->row, entries, extra, sizeof *p->row);
    p->value = copy(from->value, entries, extra, sizeof *p->value);
    p->kind[n] = SEARCH_CONTINUOUS;
    p->low[column] = p->high[column] = 1;
    p->start[n + 1] = entries + extra;
    for (size_t k = 0; k < extra; k++) {
        p->row[entries + k] = money[k];
        p->value[entries + k] = -1;
    }
    out->objective = copy(e->sides->objective, n, 1, sizeof *out->objective);
    out->side = copy(e->sides->side, (size_t)out->sides, 1, sizeof *out->side);
    out->side[out->sides++] = (Side){
        .of = SIDE_OTHER, .member = -1, .card = -1, .form = -1, .row = -1, .step = 1, .most = e->instance->price[card]};
    mem_free(money);
    return true;
}

static void release_sides(SideProblem *sides)
{
    search_problem_release(&sides->problem);
    mem_free(sides->objective);
    mem_free(sides->side);
}

void why_find_price(Explain *e, size_t card, Why *why)
{
    SideProblem sides;
    why->price_below = true;
    bool bought =
        e->free_instance->most[card] == 1 && e->instance->cards->card[card].owned == 0 && e->instance->price[card] > 0;
    if (!bought || e->guard != NULL || !discount_sides(e, card, &sides, &why->price_below))
        return;
    why->price_asked = true;
    const int64_t price = e->instance->price[card];
    Prober *prober = prober_beside(e->prober, &sides);
    Probe least;
    prober_relax(prober);
    probe_least(prober, sides.sides - 1, e->best.low, 0, price, price / 64 + 1, &least);
    if (least.status == PROBE_NONE)
        why->price_never = true;
    else {
        why->price = (Range){.has_high = true, .high = price - least.low};
        if (least.x != NULL && range_exact(&e->best)) {
            why->price.has_low = true;
            why->price.low = price - least.high;
        }
    }
    probe_release(&least);
    prober_return(e->prober, prober);
    release_sides(&sides);
}
