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
#include "search/core/exchange.h"

#define FIRSTS 12
#define CHAIN 4
#define REST 7
#define VISITS 1000 /* entries and scores that are looked at in the time of a pivot */
#define PATIENCE 4  /* the search ends when so large a part of its work has brought nothing better */

typedef struct {
    int column, step;
} Move;

typedef struct {
    const Matrix *m;
    const SearchProblem *p;
    double *value;                              /* entries by row, as doubles */
    double *weight, *least_weight, *low, *high; /* [rows] */
    double *score;                              /* what changes with moves: by how much the weighted sum changes ... */
    double *up, *down; /* [columns] in it: ... with the column one up and one down; INFINITY at its bound ... */
    double *activity;  /* [rows] in it: ... and the rows' sums */
    double *kept;      /* the same, of the point that chains begin from */
    size_t scores;     /* doubles in score */
    int64_t *x;
    int64_t *resting; /* [columns] until this step */
    int64_t now, visits;
} State;

static double miss(double low, double high, double activity)
{
    const double over = activity - high, under = low - activity, most = over > under ? over : under;
    return most > 0 ? most : 0;
}

static double row_miss(const State *s, int i)
{
    return miss(s->low[i], s->high[i], s->activity[i]);
}

/* Is a row's violation on one straight line from `from` to `to`, and an entry beyond? Then no score changes. */
static bool straight(const State *s, int i, double from, double to)
{
    const double entry = (double)s->m->row_largest[i];
    const double least = (from < to ? from : to) - entry, most = (from < to ? to : from) + entry;
    return (least >= s->low[i] && most <= s->high[i]) || least >= s->high[i] || most <= s->low[i];
}

/* A row's sum goes from `from` to where it is now. */
static void rescore(State *s, int i, double from)
{
    const double to = s->activity[i], low = s->low[i], high = s->high[i], weight = s->weight[i];
    if (straight(s, i, from, to))
        return;
    const double level = miss(low, high, from) - miss(low, high, to);
    for (size_t k = s->m->row_start[i]; k < s->m->row_start[i + 1]; k++) {
        const int j = s->m->column[k];
        const double v = s->value[k];
        s->up[j] += weight * (miss(low, high, to + v) - miss(low, high, from + v) + level);
        s->down[j] += weight * (miss(low, high, to - v) - miss(low, high, from - v) + level);
    }
    s->visits += (int64_t)(s->m->row_start[i + 1] - s->m->row_start[i]);
}

/* A row's weight grows by `more`. */
static void reweigh_row(State *s, int i, double more)
{
    const double activity = s->activity[i], low = s->low[i], high = s->high[i], now = row_miss(s, i);
    for (size_t k = s->m->row_start[i]; k < s->m->row_start[i + 1]; k++) {
        const int j = s->m->column[k];
        s->up[j] += more * (miss(low, high, activity + s->value[k]) - now);
        s->down[j] += more * (miss(low, high, activity - s->value[k]) - now);
    }
    s->weight[i] += more;
    s->visits += (int64_t)(s->m->row_start[i + 1] - s->m->row_start[i]);
}

static void move(State *s, Move by)
{
    for (size_t k = s->p->start[by.column]; k < s->p->start[by.column + 1]; k++) {
        const int i = s->p->row[k];
        const double from = s->activity[i];
        s->activity[i] += (double)(s->p->value[k] * by.step);
        rescore(s, i, from);
    }
}

/* The score of a column from its own entries. */
static double score_of(const State *s, int j, int step)
{
    const SearchProblem *p = s->p;
    const int64_t to = s->x[j] + step;
    if (to < p->low[j] || to > p->high[j])
        return INFINITY;
    double sum = -(double)(p->objective[j] * step);
    for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
        const int i = p->row[k];
        const double moved = s->activity[i] + (double)(p->value[k] * step);
        sum += s->weight[i] * (miss(s->low[i], s->high[i], moved) - row_miss(s, i));
    }
    return sum;
}

static void score_column(State *s, int j)
{
    s->up[j] = score_of(s, j, 1);
    s->down[j] = score_of(s, j, -1);
}

/* The best single move of a column that does not rest; its change in *change. */
static Move best_answer(State *s, double *change)
{
    Move best = {-1, 0};
    *change = INFINITY;
    for (int j = 0; j < s->p->columns; j++) {
        if (s->resting[j] > s->now || (s->down[j] >= *change && s->up[j] >= *change))
            continue;
        best = s->up[j] < s->down[j] ? (Move){j, 1} : (Move){j, -1};
        *change = s->up[j] < s->down[j] ? s->up[j] : s->down[j];
    }
    s->visits += s->p->columns;
    return best;
}

static int add_first(Move by, double change, Move *first, double *changes, int count)
{
    if (change == INFINITY || (count == FIRSTS && change >= changes[count - 1]))
        return count;
    int at = count < FIRSTS ? count++ : FIRSTS - 1;
    for (; at > 0 && changes[at - 1] > change; at--) {
        changes[at] = changes[at - 1];
        first[at] = first[at - 1];
    }
    changes[at] = change;
    first[at] = by;
    return count;
}

static int gather_firsts(State *s, Move *first, double *changes)
{
    int count = 0;
    for (int j = 0; j < s->p->columns; j++) {
        if (s->resting[j] > s->now)
            continue;
        count = add_first((Move){j, -1}, s->down[j], first, changes, count);
        count = add_first((Move){j, 1}, s->up[j], first, changes, count);
    }
    s->visits += s->p->columns;
    return count;
}

/* Builds the best chain; returns its length. The state is left as it was. */
static int best_chain(State *s, Move *chain)
{
    Move first[FIRSTS];
    double changes[FIRSTS], best = -1e-9;
    const int firsts = gather_firsts(s, first, changes);
    int best_length = 0;
    memcpy(s->kept, s->score, s->scores * sizeof *s->kept);
    for (int f = 0; f < firsts; f++) {
        Move trial[CHAIN], next = first[f];
        double total = 0, change = changes[f];
        int length = 0;
        while (next.column >= 0) {
            trial[length++] = next;
            total += change;
            if (total < best) {
                best = total;
                best_length = length;
                memcpy(chain, trial, sizeof trial);
            }
            if (length == CHAIN || (length >= 2 && best_length > 0))
                break;
            s->resting[next.column] = s->now + 1;
            move(s, next);
            next = best_answer(s, &change);
        }
        for (int k = 0; k < length; k++)
            s->resting[trial[k].column] = s->now;
        memcpy(s->score, s->kept, s->scores * sizeof *s->kept);
    }
    return best_length;
}

static bool feasible_now(const State *s)
{
    for (int i = 0; i < s->p->rows; i++)
        if (row_miss(s, i) > 0)
            return false;
    return true;
}

static void reweigh(State *s, bool feasible)
{
    for (int i = 0; i < s->p->rows; i++) {
        if (row_miss(s, i) > 0)
            reweigh_row(s, i, 0.3 * s->weight[i]);
        else if (feasible && s->weight[i] > s->least_weight[i])
            reweigh_row(s, i, -0.3 * s->weight[i]);
    }
}

static void take_chain(State *s, const Move *chain, int length)
{
    for (int k = 0; k < length; k++) {
        s->x[chain[k].column] += chain[k].step;
        move(s, chain[k]);
    }
    for (int k = 0; k < length; k++) {
        score_column(s, chain[k].column);
        s->resting[chain[k].column] = s->now + REST;
    }
}

/* --- a search --- */

static void begin_at(State *s, const double *start)
{
    const SearchProblem *p = s->p;
    for (int j = 0; j < p->columns; j++) {
        s->x[j] = whole_within(start[j], p->low[j], p->high[j]);
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            s->activity[p->row[k]] += (double)(p->value[k] * s->x[j]);
    }
    for (int j = 0; j < p->columns; j++)
        score_column(s, j);
    s->visits += (int64_t)p->start[p->columns];
}

static void state_init(State *s, const ExchangeSearch *e)
{
    const SearchProblem *p = &e->matrix->p;
    const size_t n = (size_t)p->columns, m = (size_t)p->rows, entries = p->start[n];
    double largest = 1;
    *s = (State){.m = e->matrix, .p = p, .scores = 2 * n + m};
    s->value = mem_new(entries + 1, sizeof *s->value);
    s->weight = mem_new(m + 1, sizeof *s->weight);
    s->least_weight = mem_new(m + 1, sizeof *s->least_weight);
    s->low = mem_new(m + 1, sizeof *s->low);
    s->high = mem_new(m + 1, sizeof *s->high);
    s->score = mem_new(s->scores + 1, sizeof *s->score);
    s->kept = mem_new(s->scores + 1, sizeof *s->kept);
    s->up = s->score;
    s->down = s->score + n;
    s->activity = s->score + 2 * n;
    s->x = mem_new(n + 1, sizeof *s->x);
    s->resting = mem_new(n + 1, sizeof *s->resting);
    for (size_t k = 0; k < entries; k++)
        s->value[k] = (double)e->matrix->row_value[k];
    for (size_t j = 0; j < n; j++)
        largest = fmax(largest, fabs((double)p->objective[j]));
    for (size_t i = 0; i < m; i++) {
        const double size = e->matrix->row_largest[i] > 0 ? (double)e->matrix->row_largest[i] : 1.0;
        s->low[i] = p->row_low[i] == SEARCH_MINUS_INFINITY ? -INFINITY : (double)p->row_low[i];
        s->high[i] = p->row_high[i] == SEARCH_PLUS_INFINITY ? INFINITY : (double)p->row_high[i];
        s->least_weight[i] = 1.1 * fabs(e->row_dual[i]) + 0.002 * largest / size;
        s->weight[i] = 2.0 * fabs(e->row_dual[i]) + 0.05 * largest / size;
    }
    begin_at(s, e->start);
}

static void state_release(State *s)
{
    mem_free(s->value);
    mem_free(s->weight);
    mem_free(s->least_weight);
    mem_free(s->low);
    mem_free(s->high);
    mem_free(s->score);
    mem_free(s->kept);
    mem_free(s->x);
    mem_free(s->resting);
}

bool exchange_search(const ExchangeSearch *e, int64_t *x, int64_t *pivots)
{
    State s;
    state_init(&s, e);
    bool found = false;
    int64_t best = 0, last_better = 0;
    const int64_t most = e->pivots * VISITS;
    for (; s.visits < most && !(e->cancel && *e->cancel != 0); s.now++) {
        const bool feasible = feasible_now(&s);
        s.visits += s.p->rows;
        int64_t own = 0;
        if (feasible && search_feasible(s.p, s.x, &own) && (!found || own > best)) {
            found = true;
            best = own;
            memcpy(x, s.x, (size_t)s.p->columns * sizeof *x);
            last_better = s.visits;
        }
        if (found && (s.visits - last_better) * PATIENCE > most)
            break;
        Move chain[CHAIN];
        const int length = best_chain(&s, chain);
        take_chain(&s, chain, length);
        if (length == 0)
            reweigh(&s, feasible);
    }
    *pivots = s.visits / VISITS;
    state_release(&s);
    return found;
}
