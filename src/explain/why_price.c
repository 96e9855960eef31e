/* why_price.c - the prices next to the present one at which a card is in some best pool.
 *
 * A price is a loosening that only pools with the card get: a column in every row that money is summed in, which takes
 * from what is paid for it, or adds to it. It is asked like any other side (oracle_reach.c): the least change of the
 * price with which a pool with the card has the best fit. More helps only where a limit asks for a least sum of money.
 * Under price risk the high moves with the price: by how much it may rise stays as it is, and so does what rises.
 */
#include <string.h>

#include "explain/why_inner.h"

#define HIGHEST (INT64_C(1) << 38) /* cents that a price may rise by and be searched */

/* What the rows that sum up money paid or valued ask of the card's price. */
typedef struct {
    int *row; /* freed by who asked */
    size_t rows;
    bool odd;       /* shares or averages of money count it */
    bool soft_high; /* a soft upper limit does: what it may be missed by reckons with the present prices */
    bool has_low;   /* a least sum of money does */
    int64_t least;  /* the greatest of these, cents */
} Money;

/* Is the card in the limit's sum, whatever it costs now? What costs nothing, or just the average asked for, has no
 * entry in the row. */
static bool sums_card(const Instance *instance, const Limit *limit, size_t card)
{
    if (limit->measure != MEASURE_SPEND && limit->measure != MEASURE_PRICE)
        return false;
    return limit->member == NULL || member_counts(instance, limit->member, card) ||
           (limit->bounds.kind == BOUND_PERCENT && member_counts_of(instance, limit->member, card));
}

static void take_row(const Limit *limit, int row, Money *money)
{
    size_t k = 0;
    while (k < money->rows && money->row[k] != row)
        k++;
    if (k == money->rows)
        money->row[money->rows++] = row;
    money->odd = money->odd || limit->bounds.kind != BOUND_ABSOLUTE;
    money->soft_high = money->soft_high || (limit->soft && limit->bounds.has_high);
    if (!limit->bounds.has_low)
        return;
    money->has_low = true;
    money->least = money->least > limit->bounds.low ? money->least : limit->bounds.low;
}

static void find_money(const Explain *e, size_t card, Money *money)
{
    *money = (Money){.row = mem_new((size_t)e->sides->sides + 1, sizeof *money->row)};
    for (int s = 0; s < e->sides->sides; s++) {
        const Side *side = &e->sides->side[s];
        if (side->row >= 0 && sums_card(e->instance, side->limit, card))
            take_row(side->limit, side->row, money);
    }
}

static void *copy(const void *from, size_t count, size_t more, size_t size)
{
    void *to = mem_new(count + more + 1, size);
    memcpy(to, from, count * size);
    return to;
}

/* The SideProblem with the card in and a further side behind all others: by how many cents, up to most, its price is
 * other than it is; value: 1 dearer, -1 cheaper. */
static void price_sides(const Explain *e, size_t card, const Money *money, int64_t value, int64_t most,
                        SideProblem *out)
{
    const SearchProblem *from = &e->sides->problem;
    const size_t n = (size_t)from->columns, m = (size_t)from->rows, entries = from->start[n];
    const int column = e->card[card].first;
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
    p->row = copy(from->row, entries, money->rows, sizeof *p->row);
    p->value = copy(from->value, entries, money->rows, sizeof *p->value);
    p->kind[n] = SEARCH_CONTINUOUS;
    p->low[column] = p->high[column] = 1;
    p->start[n + 1] = entries + money->rows;
    for (size_t k = 0; k < money->rows; k++) {
        p->row[entries + k] = money->row[k];
        p->value[entries + k] = value;
    }
    p->protections = protections_copy(from->protections);
    out->objective = copy(e->sides->objective, n, 1, sizeof *out->objective);
    out->side = copy(e->sides->side, (size_t)out->sides, 1, sizeof *out->side);
    out->side[out->sides++] = (Side){.row = -1, .step = 1, .most = most};
}

static void release_sides(SideProblem *sides)
{
    search_problem_release(&sides->problem);
    mem_free(sides->objective);
    mem_free(sides->side);
}

/* Cents by which the price has to change at least, up to most. False: no such change does, proven. */
static bool find_change(Explain *e, size_t card, const Money *money, int64_t value, int64_t most, Range *change)
{
    SideProblem sides;
    Probe least;
    *change = (Range){0};
    price_sides(e, card, money, value, most, &sides);
    Oracle *oracle = oracle_beside(e->oracle, &sides);
    oracle_relax(oracle);
    probe_least(oracle, sides.sides - 1, e->best.low, 0, most, most / 64 + 1, &least);
    const bool possible = least.status != PROBE_NONE;
    if (possible) {
        *change = (Range){.has_low = true, .low = least.low};
        change->has_high = least.x != NULL && range_exact(&e->best);
        change->high = change->has_high ? least.high : 0;
    }
    probe_release(&least);
    oracle_return(e->oracle, oracle);
    release_sides(&sides);
    return possible;
}

void why_find_price(Explain *e, size_t card, Why *why)
{
    const int64_t price = e->instance->price[card];
    Range change;
    Money money;
    if (e->free_instance->most[card] != 1 || e->instance->cards->card[card].owned > 0)
        return;
    find_money(e, card, &money);
    const int64_t rise = money.has_low && money.least > price ? money.least - price : 0;
    if (money.rows > 0 && !money.odd && price + rise > 0 && rise < HIGHEST && (rise == 0 || !money.soft_high)) {
        why->price_asked = true;
        why->price_below = !money.has_low;
        why->price_never = !find_change(e, card, &money, -1, price, &change);
        if (!why->price_never)
            why->price = (Range){change.has_high, true, price - change.high, price - change.low};
        why->dearer_never = rise == 0 || !find_change(e, card, &money, 1, rise, &change);
        if (!why->dearer_never)
            why->dearer = (Range){true, change.has_high, price + change.low, price + change.high};
    }
    mem_free(money.row);
}
