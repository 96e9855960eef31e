/* propagate.c - what one row says about its columns.
 *
 * The least a row can come to with column j at v must stay within its upper side, and the most within its lower side;
 * that bounds v. Source: J. W. Chinneck's and others' activity bounds, e.g. A. L. Brearley, G. Mitra and H. P.
 * Williams, "Analysis of mathematical programming problems prior to applying the simplex algorithm", Mathematical
 * Programming 8, 1975. All sums stay below 2^62 (search.h). */
#include "base/memory.h"
#include "search/tree/propagate.h"

#define MOST_VISITS 40 /* of rows, per row: long chains of tiny steps are cut short, which is only weaker */

void propagator_init(Propagator *propagator, const Matrix *matrix)
{
    propagator->matrix = matrix;
    propagator->queue = mem_new((size_t)matrix->p.rows + 1, sizeof *propagator->queue);
    propagator->queued = mem_new((size_t)matrix->p.rows + 1, sizeof *propagator->queued);
    propagator->head = propagator->count = 0;
}

void propagator_release(Propagator *propagator)
{
    mem_free(propagator->queue);
    mem_free(propagator->queued);
}

static void touch_row(Propagator *propagator, int i)
{
    const int rows = propagator->matrix->p.rows;
    if (propagator->queued[i])
        return;
    propagator->queued[i] = true;
    propagator->queue[(propagator->head + propagator->count++) % rows] = i;
}

void propagator_touch_column(Propagator *propagator, int column)
{
    const SearchProblem *p = &propagator->matrix->p;
    for (size_t k = p->start[column]; k < p->start[column + 1]; k++)
        touch_row(propagator, p->row[k]);
}

void propagator_touch_all(Propagator *propagator)
{
    for (int i = 0; i < propagator->matrix->p.rows; i++)
        touch_row(propagator, i);
}

void propagator_clear(Propagator *propagator)
{
    for (; propagator->count > 0; propagator->count--) {
        propagator->queued[propagator->queue[propagator->head]] = false;
        propagator->head = (propagator->head + 1) % propagator->matrix->p.rows;
    }
    propagator->head = 0;
}

/* Room is how far the row's extreme activity is from its side; a is the coefficient seen from that side (its sign
 * turned for lower sides). */
static bool tighten(int64_t a, int64_t room, int64_t *low, int64_t *high)
{
    const int64_t size = a < 0 ? -a : a, steps = room / size;
    if (*high - *low <= steps)
        return false;
    if (a > 0)
        *high = *low + steps;
    else
        *low = *high - steps;
    return true;
}

static bool visit(Propagator *propagator, int i, int64_t *low, int64_t *high)
{
    const Matrix *m = propagator->matrix;
    const size_t from = m->row_start[i], to = m->row_start[i + 1];
    int64_t least = 0, most = 0, widest = 0;
    for (size_t k = from; k < to; k++) {
        const int64_t a = m->row_value[k], lo = a * low[m->column[k]], hi = a * high[m->column[k]];
        least += a > 0 ? lo : hi;
        most += a > 0 ? hi : lo;
        const int64_t width = a > 0 ? hi - lo : lo - hi;
        widest = width > widest ? width : widest;
    }
    const int64_t upper = m->p.row_high[i], lower = m->p.row_low[i];
    if ((upper != SEARCH_PLUS_INFINITY && least > upper) || (lower != SEARCH_MINUS_INFINITY && most < lower))
        return false;
    const bool by_upper = upper != SEARCH_PLUS_INFINITY && widest > upper - least;
    const bool by_lower = lower != SEARCH_MINUS_INFINITY && widest > most - lower;
    if (!by_upper && !by_lower)
        return true;
    for (size_t k = from; k < to; k++) {
        const int j = m->column[k];
        if (low[j] == high[j])
            continue;
        /* The extremes counted column j at its old bounds; each tightening is taken from those. */
        int64_t lo = low[j], hi = high[j], lo2 = low[j], hi2 = high[j];
        bool changed = by_upper && tighten(m->row_value[k], upper - least, &lo, &hi);
        changed = (by_lower && tighten(-m->row_value[k], most - lower, &lo2, &hi2)) || changed;
        if (!changed)
            continue;
        low[j] = lo > lo2 ? lo : lo2;
        high[j] = hi < hi2 ? hi : hi2;
        if (low[j] > high[j])
            return false;
        propagator_touch_column(propagator, j);
    }
    return true;
}

bool propagate(Propagator *propagator, int64_t *low, int64_t *high)
{
    const int rows = propagator->matrix->p.rows;
    bool possible = true;
    for (int64_t visits = 0; propagator->count > 0; visits++) {
        const int i = propagator->queue[propagator->head];
        propagator->head = (propagator->head + 1) % rows;
        propagator->count--;
        propagator->queued[i] = false;
        if (possible && visits < (int64_t)MOST_VISITS * rows + 100)
            possible = visit(propagator, i, low, high);
    }
    propagator->head = 0;
    return possible;
}
