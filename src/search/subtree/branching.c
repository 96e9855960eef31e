/* branching.c - reliability branching.
 *
 * A column's score is the product of what branching on it is expected to take off the bound on either side; in hard
 * trees what is near to how small the trees are that such falls make when they come again and again. Columns that have
 * been branched on too seldom are tried: a few pivots on either side, best prospects first, until several in a row
 * bring no better one. A trial that ends below what is wanted, proven by exact evaluation, cuts that side off. Sources:
 * T. Achterberg, T. Koch and A. Martin, "Branching rules revisited", Operations Research Letters 33, 2005; P. Le Bodic
 * and G. Nemhauser, "An abstract model for branching and its application to mixed integer programming", Mathematical
 * Programming 166, 2017. */
#include <math.h>
#include <string.h>

#include "search/subtree/branching.h"

#define INTEGRAL 1e-6
#define TRIAL_PIVOTS 100 /* nearly all trials end: only those teach, and only they can be compared */
#define LEAST_GAIN 1e-6
#define LOOK_SHARE 0.7 /* of what is known and the first step together */
#define MOST_CANDIDATES 64

static const struct {
    int reliable; /* a column with so many observations on either side is known */
    int few;      /* with so few fractional columns all are tried: trees become much smaller than by learned costs */
    int most;     /* columns tried at a node */
    int patience; /* trials in a row that bring no better column */
    int looked;   /* the tree is hard: so many, the best by what is known, are compared by first steps, too */
} extent[] = {[TRY_USUAL] = {4, 8, 12, 4, 0},
              [TRY_MORE] = {4, 8, 16, 8, 8},
              [TRY_UNKNOWN] = {4, 0, 12, 4, 0},
              [TRY_LITTLE] = {1, 0, 12, 4, 0}};

typedef struct {
    int column;
    double at, score;
} Candidate;

void pseudo_cost_learn(PseudoCost *cost, bool up, double gain, double distance)
{
    if (distance < 1e-4)
        return;
    cost->sum[up] += (gain > 0 ? gain : 0.0) / distance;
    cost->count[up]++;
}

void pseudo_costs_add(PseudoCost *costs, const PseudoCost *more, int columns)
{
    for (int j = 0; more != NULL && j < columns; j++)
        for (int up = 0; up < 2; up++) {
            costs[j].sum[up] += more[j].sum[up];
            costs[j].count[up] += more[j].count[up];
        }
}

/* Falls on either side. In a hard tree more than `room`, what is above all that is wanted, is no use, and the larger of
 * two falls counts more than in their product: where one part is closed at once the other is all that is left. room 0:
 * the tree is not hard, or not known to be. */
static double score(double down, double up, double room)
{
    down = fmax(room > 0 ? fmin(down, room) : down, LEAST_GAIN);
    up = fmax(room > 0 ? fmin(up, room) : up, LEAST_GAIN);
    return down * up * (room > 0 ? sqrt(fmax(down, up)) : 1.0);
}

static double expected(const PseudoCost *cost, bool up, double distance, double typical)
{
    return (cost->count[up] > 0 ? cost->sum[up] / cost->count[up] : typical) * distance;
}

static double typical_cost(const PseudoCost *cost, int columns)
{
    double sum = 0;
    int count = 0;
    for (int j = 0; j < columns; j++)
        for (int up = 0; up < 2; up++)
            if (cost[j].count[up] > 0) {
                sum += cost[j].sum[up] / cost[j].count[up];
                count++;
            }
    return count > 0 ? sum / count : 1.0;
}

/* Fractional columns, integer kinds only if there are any; the best of them first. */
static int gather(const Trial *t, Candidate *list, double typical, double room)
{
    const SearchProblem *p = &t->exact->matrix->p;
    const double *x = simplex_x(t->simplex);
    int count = 0;
    for (int pass = 0; pass < 2 && count == 0; pass++)
        for (int j = 0; j < p->columns; j++) {
            const double off = fabs(x[j] - floor(x[j] + 0.5));
            if (off <= INTEGRAL || t->low[j] == t->high[j] || (p->kind[j] == SEARCH_CONTINUOUS) != (pass == 1))
                continue;
            const double down = x[j] - floor(x[j]);
            const Candidate c = {j, x[j],
                                 score(expected(&t->learned[j], false, down, typical),
                                       expected(&t->learned[j], true, 1.0 - down, typical), room)};
            int at = count < MOST_CANDIDATES ? count++ : MOST_CANDIDATES;
            for (; at > 0 && list[at - 1].score < c.score; at--)
                if (at < MOST_CANDIDATES)
                    list[at] = list[at - 1];
            if (at < MOST_CANDIDATES)
                list[at] = c;
        }
    return count;
}

/* What branching on a column has brought at other nodes says little of this one, and its first step only how it begins:
 * both together are nearer to what it brings than either. */
static void look_ahead(const Trial *t, Candidate *list, int count, double typical, double room)
{
    for (int k = 0; k < count; k++) {
        Candidate *c = &list[k];
        const PseudoCost *cost = &t->learned[c->column];
        const double down = c->at - floor(c->at);
        double fall[2];
        simplex_first_falls(t->simplex, c->column, fall);
        c->score = score(LOOK_SHARE * (expected(cost, false, down, typical) + fall[0]),
                         LOOK_SHARE * (expected(cost, true, 1.0 - down, typical) + fall[1]), room);
    }
}

/* One side of a trial. Returns the fall of the bound; *closed: proven that this side holds nothing wanted. */
static double try_side(Trial *t, const Candidate *c, bool up, double value, bool *closed)
{
    const int j = c->column;
    const int64_t low = t->low[j], high = t->high[j], down = (int64_t)floor(c->at);
    if (up)
        t->low[j] = down + 1;
    else
        t->high[j] = down;
    simplex_box_column(t->simplex, j, t->low[j], t->high[j]);
    const RelaxationStatus status = simplex_solve(t->simplex, TRIAL_PIVOTS, (double)t->wanted - 0.5, t->cancel);
    const bool farkas = status == RELAXATION_INFEASIBLE;
    double gain = 0.0;
    *closed = false;
    if (status != RELAXATION_TROUBLE) {
        gain = farkas ? value - (double)t->wanted : value - simplex_value(t->simplex);
        if (farkas || simplex_was_cut_off(t->simplex))
            *closed = exact_evaluate(t->exact, t->low, t->high, simplex_y(t->simplex), !farkas) &&
                      (farkas ? exact_infeasible(t->exact) : exact_bound(t->exact) < t->wanted);
        if (*closed && t->y[up] != NULL) {
            memcpy(t->y[up], simplex_y(t->simplex), (size_t)t->exact->matrix->p.rows * sizeof *t->y[up]);
            t->farkas[up] = farkas;
        }
        if (status == RELAXATION_OPTIMAL || farkas)
            pseudo_cost_learn(&t->learned[j], up, gain, up ? 1.0 - (c->at - (double)down) : c->at - (double)down);
    }
    t->low[j] = low;
    t->high[j] = high;
    simplex_restore(t->simplex, t->state);
    return gain > 0 ? gain : 0.0;
}

Choice choose_branching(Trial *t, double value)
{
    Candidate list[MOST_CANDIDATES];
    const int looked = extent[t->trials].looked;
    const double typical = typical_cost(t->learned, t->exact->matrix->p.columns),
                 room = looked > 0 ? value - (double)t->wanted : 0.0;
    const int count = gather(t, list, typical, room);
    const int compared = looked > 0 && looked < count ? looked : count;
    if (looked > 0)
        look_ahead(t, list, compared, typical, room);
    Choice best = {.column = -1};
    double best_score = -1.0;
    int trials = 0, waiting = 0;
    const int reliable = extent[t->trials].reliable;
    for (int k = 0; k < compared; k++) {
        const Candidate *c = &list[k];
        const PseudoCost *cost = &t->learned[c->column];
        double own = c->score;
        if ((count <= extent[t->trials].few || cost->count[0] < reliable || cost->count[1] < reliable) &&
            trials < extent[t->trials].most && waiting < extent[t->trials].patience) {
            bool closed[2];
            trials++;
            const double down = try_side(t, c, false, value, &closed[0]), up = try_side(t, c, true, value, &closed[1]);
            if (closed[0] || closed[1]) {
                if (closed[0])
                    t->low[c->column] = (int64_t)floor(c->at) + 1;
                if (closed[1])
                    t->high[c->column] = (int64_t)floor(c->at);
                return (Choice){c->column, c->at, true, {closed[0], closed[1]}};
            }
            own = score(down, up, room);
            waiting = own > best_score ? 0 : waiting + 1;
        }
        if (own > best_score) {
            best_score = own;
            best = (Choice){.column = c->column, .at = c->at};
        }
    }
    return best;
}
