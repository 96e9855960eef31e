/* protected_rows.c - the rows of orders that follow from protected rows (see protection.h), found for a relaxation's
 * point, and protections of a part. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/sort.h"
#include "search/cuts/cut_rows.h"
#include "search/risk/protection.h"

#define LEAST_MISS 1e-6

static int64_t scaled_side(int64_t side, int64_t weight)
{
    return side == SEARCH_PLUS_INFINITY ? side : side * weight;
}

/* Entries for all columns of the row, in their order. */
static void prepare(Protection *own, const SearchProblem *p, int64_t *rise)
{
    for (int k = 0; k < own->entries; k++)
        rise[own->entry[k].column] = own->entry[k].rise;
    int count = 0;
    RisingEntry *entry = mem_new((size_t)p->columns + 1, sizeof *entry);
    for (int j = 0; j < p->columns; j++) {
        int64_t price = 0;
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++)
            if (p->row[k] == own->row)
                price = p->value[k];
        if (price != 0 || rise[j] > 0)
            entry[count++] = (RisingEntry){j, price, rise[j]};
        rise[j] = 0;
    }
    mem_free(own->entry);
    own->entry = entry;
    own->entries = count;
    own->side = scaled_side(p->row_high[own->row], own->weight);
}

void protections_prepare(SearchProblem *p)
{
    Protections *all = p->protections;
    if (all == NULL || all->prepared)
        return;
    int64_t *rise = mem_new((size_t)p->columns + 1, sizeof *rise);
    for (int r = 0; r < all->count; r++)
        prepare(&all->row[r], p, rise);
    all->prepared = true;
    mem_free(rise);
}

/* Rows of orders that were made when a column of theirs could not be as much as now hold no more. */
static void drop_outgrown(Protections *all, const SearchProblem *p, const int64_t *high)
{
    for (int r = 0; r < all->count; r++) {
        bool outgrown = false;
        for (int k = 0; k < all->row[r].entries; k++) {
            const RisingEntry *e = &all->row[r].entry[k];
            outgrown = outgrown || (e->rise > 0 && high[e->column] > 1 && high[e->column] > p->high[e->column]);
        }
        for (int k = 0; outgrown && k < all->orders; k++)
            if (all->order[k].of == r)
                all->order[k].of = -1;
    }
}

void protections_reload(Matrix *matrix, const SearchProblem *problem)
{
    Protections *all = matrix->p.protections;
    if (all == NULL)
        return;
    drop_outgrown(all, &matrix->p, problem->high);
    for (int r = 0; r < all->count; r++)
        all->row[r].side = scaled_side(problem->row_high[all->row[r].row], all->row[r].weight);
    for (int k = 0; k < all->orders; k++) {
        const OrderRow *own = &all->order[k];
        const int64_t side = own->of < 0 ? SEARCH_PLUS_INFINITY : all->row[own->of].side;
        matrix->p.row_high[own->row] = side == SEARCH_PLUS_INFINITY ? side : (int64_t)floor_div(side, own->divisor);
    }
}

void protections_fix_thresholds(const Protections *protections, int64_t *low, int64_t *high)
{
    for (int r = 0; protections != NULL && r < protections->count; r++)
        high[protections->row[r].threshold] = low[protections->row[r].threshold];
}

/* --- parts --- */

static void restrict_one(Protection *to, const Protection *from, const int *place, const int64_t *low,
                         const int64_t *high)
{
    *to = *from;
    to->entry = mem_new((size_t)from->entries + 1, sizeof *to->entry);
    to->entries = 0;
    to->threshold = -1;
    for (int k = 0; k < from->entries; k++) {
        RisingEntry e = from->entry[k];
        if (e.column >= 0 && low[e.column] == high[e.column]) {
            if (to->side != SEARCH_PLUS_INFINITY)
                to->side -= from->weight * e.price * low[e.column];
            e = (RisingEntry){-1, 0, e.rise * low[e.column]};
        } else if (e.column >= 0) {
            e.column = place[e.column];
        }
        if (e.column >= 0 || e.rise > 0)
            to->entry[to->entries++] = e;
    }
}

Protections *protections_restrict(const Protections *from, const int *place, const int64_t *low, const int64_t *high)
{
    Protections *to = mem_new(1, sizeof *to);
    *to = *from;
    to->row = mem_new((size_t)from->count + 1, sizeof *to->row);
    to->order = mem_new((size_t)from->orders + 1, sizeof *to->order);
    if (from->orders > 0)
        memcpy(to->order, from->order, (size_t)from->orders * sizeof *to->order);
    for (int r = 0; r < from->count; r++)
        restrict_one(&to->row[r], &from->row[r], place, low, high);
    return to;
}

/* --- the worst case of a set that grows --- */

typedef struct {
    int64_t *amount; /* the greatest so far, falling */
    int count, most;
    int64_t gamma, weight;
} Worst;

static Worst worst_new(int64_t gamma, int64_t weight, int entries)
{
    const int64_t rising = (gamma + weight - 1) / weight;
    const int most = rising < entries ? (int)rising : entries;
    return (Worst){mem_new((size_t)most + 1, sizeof(int64_t)), 0, most, gamma, weight};
}

/* How much of the k-th greatest rises, times weight. */
static int64_t worst_part(const Worst *w, int k)
{
    const int64_t left = w->gamma - k * w->weight;
    return k >= w->most || left <= 0 ? 0 : left < w->weight ? left : w->weight;
}

/* Returns by how much worst grows, times weight. */
static int64_t worst_add(Worst *w, int64_t amount)
{
    int at = w->count;
    while (at > 0 && w->amount[at - 1] < amount)
        at--;
    if (at >= w->most)
        return 0;
    int64_t more = worst_part(w, at) * amount;
    for (int k = at; k < w->count; k++)
        more -= (worst_part(w, k) - worst_part(w, k + 1)) * w->amount[k];
    w->count += w->count < w->most;
    for (int k = w->count - 1; k > at; k--)
        w->amount[k] = w->amount[k - 1];
    w->amount[at] = amount;
    return more;
}

/* --- points of relaxations --- */

typedef struct {
    int entry;
    double at;
    int64_t rise;
} Placed;

static double clean(double x)
{
    return x < 1e-9 ? 0.0 : x > 1.0 - 1e-9 ? 1.0 : x;
}

/* Falling x; of those at 0, which may come in any order, dear ones first: that leaves little for the many others. */
static int by_place(const void *a, const void *b)
{
    const Placed *x = a, *y = b;
    if (x->at != y->at)
        return x->at > y->at ? -1 : 1;
    if (x->rise != y->rise)
        return (x->at > 0) == (x->rise < y->rise) ? -1 : 1;
    return x->entry - y->entry;
}

static int by_amount(const void *a, const void *b)
{
    const Placed *x = a, *y = b;
    const double own = x->at * (double)x->rise, other = y->at * (double)y->rise;
    return own != other ? (own > other ? -1 : 1) : x->entry - y->entry;
}

typedef struct {
    int64_t *share; /* [entries] of the open columns, times weight */
    int *turn;      /* [turns] entries in their order: those that add something */
    int turns;
    int64_t fixed; /* of the others together */
    double miss;   /* by how much the point breaks the row, in units of side */
} Order;

/* In the order of by_place, each gets what it adds. */
static void take_shares(const Protection *p, const int64_t *column_high, Placed *placed, size_t count, Worst *worst,
                        Order *order)
{
    sort_stable(placed, count, sizeof *placed, by_place);
    for (size_t k = 0; k < count; k++) {
        const int64_t high = column_high[p->entry[placed[k].entry].column], more = worst_add(worst, placed[k].rise);
        order->share[placed[k].entry] = more / (high > 1 ? high : 1);
        if (more > 0)
            order->turn[order->turns++] = placed[k].entry;
    }
}

static void order_release(Order *order)
{
    mem_free(order->share);
    mem_free(order->turn);
}

/* Of those at 0 the ones that add something to what there is, first, dear ones before others. Returns how many: once
 * there are as many as can rise, cheaper ones add nothing. */
static size_t move_first(Placed *placed, size_t count, const Worst *worst)
{
    size_t first = 0;
    for (size_t k = 0; k < count; k++) {
        const Placed own = placed[k];
        const bool adds = worst->most > 0 && (worst->count < worst->most || own.rise > worst->amount[worst->most - 1]);
        const bool full = first == (size_t)worst->most;
        if (!adds || (full && own.rise <= placed[first - 1].rise))
            continue;
        size_t at = full ? first - 1 : first++;
        for (; at > 0 && placed[at - 1].rise < own.rise; at--)
            placed[at] = placed[at - 1];
        placed[at] = own;
    }
    return first;
}

/* The row that the point breaks most. sure[entries] of Gamma, times weight, are what entries that rise in any case
 * take; NULL: none does. */
static Order order_of(const Protection *p, const int64_t *column_high, const double *x, const int64_t *sure)
{
    Order order = {.share = mem_new((size_t)p->entries + 1, sizeof *order.share),
                   .turn = mem_new((size_t)p->entries + 1, sizeof *order.turn),
                   .miss = -(double)p->side};
    Placed *placed = mem_new((size_t)p->entries + 1, sizeof *placed),
           *absent = mem_new((size_t)p->entries + 1, sizeof *absent);
    int64_t gamma = p->gamma;
    size_t count = 0, zeros = 0;
    for (int k = 0; sure != NULL && k < p->entries; k++)
        gamma -= sure[k];
    Worst worst = worst_new(gamma, p->weight, p->entries);
    for (int k = 0; k < p->entries; k++) {
        const RisingEntry *e = &p->entry[k];
        if (sure != NULL && sure[k] > 0)
            order.share[k] = sure[k] * e->rise;
        else if (e->column < 0)
            order.share[k] = worst_add(&worst, e->rise);
        else if (e->rise > 0 && clean(x[e->column]) > 0)
            placed[count++] = (Placed){k, clean(x[e->column]), e->rise};
        else if (e->rise > 0)
            absent[zeros++] = (Placed){k, 0.0, e->rise};
        order.fixed += e->column < 0 ? order.share[k] : 0;
    }
    take_shares(p, column_high, placed, count, &worst, &order);
    take_shares(p, column_high, absent, move_first(absent, zeros, &worst), &worst, &order);
    order.miss += (double)order.fixed;
    for (int k = 0; k < p->entries; k++)
        if (p->entry[k].column >= 0)
            order.miss +=
                ((double)p->weight * (double)p->entry[k].price + (double)order.share[k]) * x[p->entry[k].column];
    mem_free(placed);
    mem_free(absent);
    mem_free(worst.amount);
    return order;
}

/* Entries of the greatest amounts at the point take all they can of Gamma: those among the greatest that may be more
 * than 1, or with `all` each of them. False when there are none. */
static bool take_greatest(const Protection *p, const int64_t *column_high, const double *x, bool all, int64_t *sure)
{
    Placed *placed = mem_new((size_t)p->entries + 1, sizeof *placed);
    size_t count = 0;
    bool any = false;
    for (int k = 0; k < p->entries; k++) {
        const RisingEntry *e = &p->entry[k];
        sure[k] = 0;
        const double at = e->column < 0 ? 1.0 : x[e->column];
        if (e->rise > 0 && at > 0)
            placed[count++] = (Placed){k, at, e->rise};
    }
    sort_stable(placed, count, sizeof *placed, by_amount);
    int64_t left = p->gamma;
    for (size_t k = 0; k < count && left > 0; k++) {
        const int column = p->entry[placed[k].entry].column;
        const int64_t part = left < p->weight ? left : p->weight;
        if (all || (part == p->weight && column >= 0 && column_high[column] > 1))
            sure[placed[k].entry] = part;
        any = any || sure[placed[k].entry] > 0;
        left -= part;
    }
    mem_free(placed);
    return any;
}

static bool has_more_than_one(const Protection *p, const int64_t *column_high)
{
    for (int k = 0; k < p->entries; k++)
        if (p->entry[k].column >= 0 && p->entry[k].rise > 0 && column_high[p->entry[k].column] > 1)
            return true;
    return false;
}

/* At a whole point one of the three is the worst case itself. sure[entries]: what rises in any case of the one taken.
 */
static Order worst_order(const Protection *p, const int64_t *column_high, const double *x, int64_t *sure)
{
    const size_t entries = (size_t)p->entries;
    Order best = order_of(p, column_high, x, NULL);
    memset(sure, 0, entries * sizeof *sure);
    if (!has_more_than_one(p, column_high))
        return best;
    int64_t *tried = mem_new(entries + 1, sizeof *tried);
    for (int all = 0; all < 2; all++) {
        if (!take_greatest(p, column_high, x, all == 1, tried))
            continue;
        Order other = order_of(p, column_high, x, tried);
        const bool better = other.miss > best.miss;
        order_release(better ? &best : &other);
        best = better ? other : best;
        if (better)
            memcpy(sure, tried, entries * sizeof *sure);
    }
    mem_free(tried);
    return best;
}

int protections_order(const Protection *p, const int64_t *column_high, const double *x, int *column, int64_t *taken,
                      double *miss)
{
    int64_t *sure = mem_new((size_t)p->entries + 1, sizeof *sure);
    Order order = worst_order(p, column_high, x, sure);
    int count = 0;
    for (int k = 0; k < p->entries; k++)
        if (sure[k] > 0) {
            column[count] = p->entry[k].column;
            taken[count++] = sure[k];
        }
    for (int k = 0; k < order.turns; k++) {
        column[count] = p->entry[order.turn[k]].column;
        taken[count++] = 0;
    }
    *miss = order.miss;
    order_release(&order);
    mem_free(sure);
    return count;
}

static Cut row_of(const Protection *p, const Order *order)
{
    Cut cut = {.column = mem_new((size_t)p->entries + 1, sizeof(int)),
               .value = mem_new((size_t)p->entries + 1, sizeof(int64_t)),
               .high = p->side - order->fixed};
    for (int k = 0; k < p->entries; k++) {
        const RisingEntry *e = &p->entry[k];
        const int64_t value = e->column < 0 ? 0 : p->weight * e->price + order->share[k];
        if (value == 0)
            continue;
        cut.column[cut.count] = e->column;
        cut.value[cut.count++] = value;
    }
    return cut;
}

int protections_add_orders(Matrix *matrix, const double *x, double least)
{
    Protections *all = matrix->p.protections;
    if (all == NULL)
        return 0;
    CutPool pool = {0};
    int *of = mem_new((size_t)all->count + 1, sizeof *of);
    pool.cut = mem_new((size_t)all->count + 1, sizeof *pool.cut);
    for (int r = 0; r < all->count; r++) {
        const Protection *p = &all->row[r];
        if (p->side == SEARCH_PLUS_INFINITY)
            continue;
        int64_t *sure = mem_new((size_t)p->entries + 1, sizeof *sure);
        Order order = worst_order(p, matrix->p.high, x, sure);
        if (order.miss > fmax(LEAST_MISS, least * fabs((double)p->side))) {
            of[pool.count] = r;
            pool.cut[pool.count++] = row_of(p, &order);
        }
        order_release(&order);
        mem_free(sure);
    }
    const int rows = matrix->p.rows, added = (int)pool.count;
    const bool done = matrix_append(matrix, &pool);
    all->order = mem_resize(all->order, (size_t)(all->orders + added) + 1, sizeof *all->order);
    for (int k = 0; done && k < added; k++)
        all->order[all->orders++] = (OrderRow){rows + k, of[k], matrix->divisor[rows + k]};
    for (int k = 0; k < added; k++)
        cut_release(&pool.cut[k]);
    mem_free(pool.cut);
    mem_free(of);
    return done ? added : 0;
}

void protections_add_duals(const Matrix *matrix, const double *y, double *dual)
{
    const Protections *all = matrix->p.protections;
    for (int k = 0; all != NULL && k < all->orders; k++) {
        const OrderRow *own = &all->order[k];
        if (own->of >= 0)
            dual[all->row[own->of].row] += y[own->row] / (double)own->divisor * (double)all->row[own->of].weight;
    }
}
