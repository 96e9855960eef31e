/* exchange.c - exchange search with weighted violations.
 *
 * Minimises -c x + sum over rows of weight times violation, the weights beginning above the rows' duals. A step is the
 * best compound move found: one column by one, then chains of up to four (so 1-1, 2-1 and 2-2 swaps are among them),
 * each link the best answer to the ones before it. Where no move improves, the weights of violated rows rise; at a
 * feasible point the point is kept and the weights of tight rows fall, so that the search swings across the border of
 * what is allowed. A column that has moved rests for some steps. Sources: F. Glover, "Ejection chains, reference
 * structures and alternating path methods", Discrete Applied Mathematics 65, 1996; F. Glover and G. A. Kochenberger,
 * "Critical event tabu search for multidimensional knapsack problems", 1996; P. Morris, "The breakout method for
 * escaping from local minima", AAAI 1993; B. Luteberget and G. Sartor, "Feasibility Jump", Mathematical Programming
 * Computation 15, 2023. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/sort.h"
#include "search/core/exchange.h"

#define FIRSTS 12
#define CHAIN 4
#define REST 7

typedef struct {
    int column, step;
} Move;

typedef struct {
    const Exchange *e;
    const SearchProblem *p;
    int *mover; /* [count] columns that may move */
    int count;
    double *value;                                         /* entries as doubles */
    double *activity, *weight, *least_weight, *low, *high; /* [rows] */
    int64_t *x;
    int64_t *resting; /* [columns] until this step */
    int64_t now;
} State;

static double miss(const State *s, int row, double activity)
{
    if (activity > s->high[row])
        return activity - s->high[row];
    return activity < s->low[row] ? s->low[row] - activity : 0.0;
}

static double change_by(const State *s, int j, int step)
{
    const SearchProblem *p = s->p;
    double sum = -(double)p->objective[j] * step;
    for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
        const int i = p->row[k];
        const double a = s->activity[i];
        sum += s->weight[i] * (miss(s, i, a + s->value[k] * step) - miss(s, i, a));
    }
    return sum;
}

static void move(State *s, int j, int step)
{
    s->x[j] += step;
    for (size_t k = s->p->start[j]; k < s->p->start[j + 1]; k++)
        s->activity[s->p->row[k]] += s->value[k] * step;
}

static bool may_move(const State *s, int j, int step)
{
    const int64_t to = s->x[j] + step;
    return to >= s->e->low[j] && to <= s->e->high[j];
}

/* The best single move of a column that is neither resting nor in the chain; its change in *change. */
static Move best_answer(const State *s, const Move *chain, int length, double *change)
{
    Move best = {-1, 0};
    *change = INFINITY;
    for (int k = 0; k < s->count; k++) {
        const int j = s->mover[k];
        if (s->resting[j] > s->now)
            continue;
        bool used = false;
        for (int c = 0; c < length; c++)
            used = used || chain[c].column == j;
        for (int step = -1; step <= 1 && !used; step += 2) {
            if (!may_move(s, j, step))
                continue;
            const double by = change_by(s, j, step);
            if (by < *change) {
                *change = by;
                best = (Move){j, step};
            }
        }
    }
    return best;
}

static int gather_firsts(const State *s, Move *first, double *by)
{
    int count = 0;
    for (int k = 0; k < s->count; k++) {
        const int j = s->mover[k];
        for (int step = -1; step <= 1; step += 2) {
            if (s->resting[j] > s->now || !may_move(s, j, step))
                continue;
            const double change = change_by(s, j, step);
            if (count == FIRSTS && change >= by[count - 1])
                continue;
            int at = count < FIRSTS ? count++ : FIRSTS - 1;
            for (; at > 0 && by[at - 1] > change; at--) {
                by[at] = by[at - 1];
                first[at] = first[at - 1];
            }
            by[at] = change;
            first[at] = (Move){j, step};
        }
    }
    return count;
}

/* Builds the best chain; returns its length and change. The state is left as it was. */
static int best_chain(State *s, Move *chain, double *change)
{
    Move first[FIRSTS];
    double by[FIRSTS];
    const int firsts = gather_firsts(s, first, by);
    int best_length = 0;
    *change = -1e-9;
    for (int f = 0; f < firsts; f++) {
        Move trial[CHAIN];
        double total = by[f];
        int length = 1;
        trial[0] = first[f];
        move(s, first[f].column, first[f].step);
        while (true) {
            if (total < *change) {
                *change = total;
                best_length = length;
                memcpy(chain, trial, sizeof trial);
            }
            if (length == CHAIN || (length >= 2 && best_length > 0))
                break;
            double answer = 0;
            const Move next = best_answer(s, trial, length, &answer);
            if (next.column < 0)
                break;
            move(s, next.column, next.step);
            trial[length++] = next;
            total += answer;
        }
        while (length-- > 0)
            move(s, trial[length].column, -trial[length].step);
    }
    return best_length;
}

static bool feasible_now(const State *s)
{
    for (int i = 0; i < s->p->rows; i++)
        if (miss(s, i, s->activity[i]) > 0)
            return false;
    return true;
}

static void reweigh(State *s, bool feasible)
{
    for (int i = 0; i < s->p->rows; i++) {
        if (miss(s, i, s->activity[i]) > 0)
            s->weight[i] *= 1.3;
        else if (feasible && s->weight[i] > s->least_weight[i])
            s->weight[i] *= 0.7;
    }
}

static int by_key(const void *a, const void *b)
{
    const double *const *x = a, *const *y = b;
    if (**x != **y)
        return **x < **y ? -1 : 1;
    return *x < *y ? -1 : *x > *y;
}

static void choose_movers(State *s)
{
    const int n = s->p->columns;
    double *key = mem_new((size_t)n + 1, sizeof *key);
    const double **rank = mem_new((size_t)n + 1, sizeof *rank);
    int open = 0;
    for (int j = 0; j < n; j++) {
        key[j] = fabs(s->e->reduced_cost[j]);
        if (s->e->low[j] < s->e->high[j])
            rank[open++] = &key[j];
    }
    sort_stable(rank, (size_t)open, sizeof *rank, by_key);
    s->count = open < s->e->size ? open : s->e->size;
    for (int k = 0; k < s->count; k++)
        s->mover[k] = (int)(rank[k] - key);
    mem_free(key);
    mem_free(rank);
}

static void state_init(State *s, const Exchange *e)
{
    const SearchProblem *p = &e->matrix->p;
    const size_t n = (size_t)p->columns + 1, m = (size_t)p->rows + 1, entries = p->start[p->columns];
    double largest = 1;
    *s = (State){.e = e, .p = p};
    s->mover = mem_new(n, sizeof *s->mover);
    s->value = mem_new(entries + 1, sizeof *s->value);
    s->activity = mem_new(m, sizeof *s->activity);
    s->weight = mem_new(m, sizeof *s->weight);
    s->least_weight = mem_new(m, sizeof *s->least_weight);
    s->low = mem_new(m, sizeof *s->low);
    s->high = mem_new(m, sizeof *s->high);
    s->x = mem_new(n, sizeof *s->x);
    s->resting = mem_new(n, sizeof *s->resting);
    for (size_t k = 0; k < entries; k++)
        s->value[k] = (double)p->value[k];
    for (int j = 0; j < p->columns; j++) {
        const double v = floor(e->start[j] + 0.5);
        s->x[j] = v <= (double)e->low[j] ? e->low[j] : v >= (double)e->high[j] ? e->high[j] : (int64_t)v;
        largest = fmax(largest, fabs((double)p->objective[j]));
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            s->activity[p->row[k]] += s->value[k] * (double)s->x[j];
    }
    for (int i = 0; i < p->rows; i++) {
        const double size = e->matrix->row_largest[i] > 0 ? (double)e->matrix->row_largest[i] : 1.0;
        s->low[i] = p->row_low[i] == SEARCH_MINUS_INFINITY ? -INFINITY : (double)p->row_low[i];
        s->high[i] = p->row_high[i] == SEARCH_PLUS_INFINITY ? INFINITY : (double)p->row_high[i];
        s->least_weight[i] = 1.1 * fabs(e->row_dual[i]) + 0.002 * largest / size;
        s->weight[i] = 2.0 * fabs(e->row_dual[i]) + 0.05 * largest / size;
    }
    choose_movers(s);
}

static void state_release(State *s)
{
    mem_free(s->mover);
    mem_free(s->value);
    mem_free(s->activity);
    mem_free(s->weight);
    mem_free(s->least_weight);
    mem_free(s->low);
    mem_free(s->high);
    mem_free(s->x);
    mem_free(s->resting);
}

bool exchange_search(const Exchange *e, int64_t *x, int64_t *value, int64_t *used)
{
    State s;
    state_init(&s, e);
    bool found = false;
    int64_t last_better = 0;
    for (; s.now < e->steps && !(e->cancel && *e->cancel != 0); s.now++) {
        const bool feasible = feasible_now(&s);
        int64_t own = 0;
        if (feasible && search_feasible(s.p, s.x, &own) && (!found || own > *value)) {
            found = true;
            *value = own;
            memcpy(x, s.x, (size_t)s.p->columns * sizeof *x);
            last_better = s.now;
        }
        if (found && s.now - last_better > e->patience)
            break;
        Move chain[CHAIN];
        double change = 0;
        const int length = best_chain(&s, chain, &change);
        for (int k = 0; k < length; k++) {
            move(&s, chain[k].column, chain[k].step);
            s.resting[chain[k].column] = s.now + REST;
        }
        if (length == 0)
            reweigh(&s, feasible);
    }
    *used = s.now;
    state_release(&s);
    return found;
}
