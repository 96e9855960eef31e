/* guard.c - see guard.h. The worst set of rises of a pool, or of a relaxation's point, is that of programme/risk.h.
 * Rows are in thousandths of a cent. */
#include "explain/guard.h"

#include <string.h>

#include "base/number.h"
#include "programme/programme.h"
#include "programme/risk.h"

#define ONE INT64_C(1000)
#define ROWS_MOST 3900 /* of the whole problem */

typedef struct {
    const RuleMember *member; /* NULL: the cap */
    int side;
    int64_t high; /* cents */
} Limit;

struct Guard {
    const Programme *programme;
    const Instance *instance;
    SideProblem *sides;
    Limit *limit;
    size_t limits;
    double *bought; /* [cards] */
    int *share;     /* [cards] */
    int *copies;    /* [cards] */
};

bool guard_can(const Programme *programme, const Instance *in)
{
    for (size_t m = 0; m < in->members; m++)
        if (risk_protects(in, &in->member[m]) && in->member[m].theme >= 0 && in->choosable[in->member[m].theme])
            return false;
    return programme != NULL;
}

static bool is_bought(const Guard *g, int column)
{
    const ProgrammeColumn *about = &g->programme->column[column];
    return about->role == COLUMN_BOUGHT ||
           (about->role == COLUMN_COPIES && g->instance->cards->card[about->card].owned <= 0);
}

/* Units after which the limit asks for nothing more, whatever rises. */
static int64_t most_units(const Guard *g, const Limit *limit)
{
    int128 highest = 0;
    for (int j = 0; j < g->sides->columns; j++) {
        const size_t c = is_bought(g, j) ? (size_t)g->programme->column[j].card : 0;
        if (is_bought(g, j) && risk_counts(g->instance, limit->member, c))
            highest +=
                (int128)g->sides->problem.high[j] * (instance_buy_price(g->instance, c) + risk_rise(g->instance, c));
    }
    const Side *side = &g->sides->side[limit->side];
    const int64_t units = highest > limit->high ? (int64_t)ceil_div(highest - limit->high, side->step) : 0;
    return units > side->most ? units : side->most;
}

Guard *guard_new(const Programme *programme, const Instance *instance, SideProblem *sides)
{
    if (!programme_at_risk(programme))
        return NULL;
    const size_t cards = instance->cards->count;
    Guard *g = mem_new(1, sizeof *g);
    *g = (Guard){.programme = programme, .instance = instance, .sides = sides};
    g->limit = mem_new((size_t)sides->sides + 1, sizeof *g->limit);
    g->bought = mem_new(cards + 1, sizeof *g->bought);
    g->share = mem_new(cards + 1, sizeof *g->share);
    g->copies = mem_new(cards + 1, sizeof *g->copies);
    for (int s = 0; s < sides->sides; s++) {
        const Side *side = &sides->side[s];
        const RuleMember *member = side->of == SIDE_RULE ? &instance->member[side->member] : NULL;
        if (!side->low && (side->of == SIDE_CAP || member != NULL) && risk_protects(instance, member))
            g->limit[g->limits++] = (Limit){member, s, member != NULL ? member->bounds.high : instance->model->cap};
    }
    for (size_t k = 0; k < g->limits; k++)
        sides->side[g->limit[k].side].most = most_units(g, &g->limit[k]);
    return g;
}

void guard_free(Guard *g)
{
    if (g == NULL)
        return;
    mem_free(g->limit);
    mem_free(g->bought);
    mem_free(g->share);
    mem_free(g->copies);
    mem_free(g);
}

/* The limit with the prices in g->share risen. False: no room for it. */
static bool add_row(Guard *g, const Limit *limit)
{
    SideProblem *sides = g->sides;
    if (sides->problem.rows >= ROWS_MOST)
        return false;
    int64_t *value = mem_new((size_t)sides->problem.columns + 1, sizeof *value);
    for (int j = 0; j < sides->columns; j++) {
        if (!is_bought(g, j))
            continue;
        const size_t c = (size_t)g->programme->column[j].card;
        if (risk_counts(g->instance, limit->member, c))
            value[j] = ONE * instance_buy_price(g->instance, c) + g->share[c] * risk_rise(g->instance, c);
    }
    value[loosening_column(sides, limit->side)] = -ONE * sides->side[limit->side].step;
    side_problem_add_row(sides, value, ONE * limit->high, limit->side);
    mem_free(value);
    return true;
}

static void take_bought(Guard *g)
{
    for (size_t c = 0; c < g->instance->cards->count; c++) {
        const int bought = g->copies[c] - g->instance->cards->card[c].owned;
        g->bought[c] = bought > 0 ? bought : 0;
    }
}

static int64_t over(const Guard *g, const Limit *limit)
{
    RiskCount count;
    risk_count(g->instance, limit->member, g->copies, &count);
    return count.protected - limit->high;
}

bool guard_breaks(Guard *g, const int64_t *x, const int64_t *row_high)
{
    bool broken = false;
    programme_copies(g->programme, x, g->copies);
    take_bought(g);
    for (size_t k = 0; k < g->limits; k++) {
        const Limit *limit = &g->limit[k];
        const Side *side = &g->sides->side[limit->side];
        if (row_high[side->row] == SEARCH_PLUS_INFINITY ||
            over(g, limit) <= x[loosening_column(g->sides, limit->side)] * side->step)
            continue;
        broken = true;
        risk_worst(g->instance, limit->member, g->bought, g->share);
        add_row(g, limit);
    }
    return broken;
}

bool guard_breaks_point(Guard *g, const double *x, const int64_t *row_high)
{
    bool broken = false;
    const size_t cards = g->instance->cards->count;
    memset(g->bought, 0, cards * sizeof *g->bought);
    for (int j = 0; j < g->sides->columns; j++)
        if (is_bought(g, j))
            g->bought[g->programme->column[j].card] += x[j];
    for (size_t k = 0; k < g->limits; k++) {
        const Limit *limit = &g->limit[k];
        const Side *side = &g->sides->side[limit->side];
        if (row_high[side->row] == SEARCH_PLUS_INFINITY)
            continue;
        double risen = risk_worst(g->instance, limit->member, g->bought, g->share);
        for (size_t c = 0; c < cards; c++)
            if (g->bought[c] > 0 && risk_counts(g->instance, limit->member, c))
                risen += g->bought[c] * (double)(ONE * instance_buy_price(g->instance, c));
        const double high =
            (double)(ONE * limit->high) + (double)(ONE * side->step) * x[loosening_column(g->sides, limit->side)];
        if (risen > high + 1e-4 * (high > 1 ? high : 1))
            broken = add_row(g, limit) || broken;
    }
    return broken;
}

int64_t guard_units(const Guard *g, int column, const int64_t *x)
{
    for (size_t k = 0; k < g->limits; k++)
        if (loosening_column(g->sides, g->limit[k].side) == column) {
            programme_copies(g->programme, x, g->copies);
            const int64_t missing = over(g, &g->limit[k]);
            return missing <= 0 ? 0 : (int64_t)ceil_div(missing, g->sides->side[g->limit[k].side].step);
        }
    return 0;
}
