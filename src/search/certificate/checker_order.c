/* checker_order.c - what holds whichever prices rise, in an order of the columns: see checker.h. */
#include <string.h>

#include "base/memory.h"
#include "search/certificate/checker_inner.h"

#define NO_THRESHOLD "its column is no threshold of a row that is protected"

/* How a protected row is stated: sum a x + gamma z + weight (sum of p) <= high, and for each column that may rise
 * rise x - z - p <= 0. */
typedef struct {
    Row row;
    int z;
    int64_t gamma, weight;
    int64_t *rise; /* [columns] 0: it does not rise */
    bool *over;    /* [columns] it is a p */
} Stated;

/* The row of one that may rise; all that it must be. */
static bool take_rise(const CertificateChecker *c, int number, Stated *to)
{
    Row row;
    int x = -1, p = -1;
    int64_t rise = 0, weight = 0;
    if (!checker_row_at(c, number, &row) || row.count != 3 || row.high != 0)
        return false;
    for (size_t k = 0; k < row.count; k++) {
        if (row.value[k] > 0) {
            x = row.column[k];
            rise = row.value[k];
        } else if (row.value[k] != -1)
            return false;
        else if (row.column[k] != to->z)
            p = row.column[k];
    }
    if (x < 0 || p < 0 || to->rise[x] != 0 || to->over[p] || c->p->low[p] < 0 ||
        c->p->start[p + 1] != c->p->start[p] + 2)
        return false;
    for (size_t k = 0; k < to->row.count; k++)
        if (to->row.column[k] == p)
            weight = to->row.value[k];
    if (weight <= 0 || (to->weight != 0 && weight != to->weight))
        return false;
    to->weight = weight;
    to->rise[x] = rise;
    to->over[p] = true;
    return true;
}

/* Of a column all entries are looked at: it has one above 0, in the protected row, and else the rows of what may rise.
 */
static bool take_threshold(const CertificateChecker *c, int z, Stated *to)
{
    int row = -1;
    if (z < 0 || z >= c->p->columns || c->p->low[z] < 0)
        return false;
    to->z = z;
    for (size_t e = c->p->start[z]; e < c->p->start[z + 1]; e++)
        if (c->p->value[e] > 0) {
            if (row >= 0)
                return false;
            row = c->p->row[e];
            to->gamma = c->p->value[e];
        }
    if (row < 0 || !checker_row_at(c, row, &to->row) || to->row.high == SEARCH_PLUS_INFINITY)
        return false;
    for (size_t e = c->p->start[z]; e < c->p->start[z + 1]; e++)
        if (c->p->value[e] < 0 && !take_rise(c, c->p->row[e], to))
            return false;
    return true;
}

/* ---- the worst case ---- */

typedef struct {
    int128 *amount; /* the greatest, falling: as many as can rise */
    size_t count, most;
    int64_t gamma, weight;
    int128 worst;
} Worst;

/* worst: gamma parts, at most weight of each amount. */
static bool add_amount(Worst *w, int128 amount)
{
    size_t at = w->count < w->most ? w->count++ : w->most;
    for (; at > 0 && w->amount[at - 1] < amount; at--)
        if (at < w->most)
            w->amount[at] = w->amount[at - 1];
    if (at < w->most)
        w->amount[at] = amount;
    w->worst = 0;
    int64_t left = w->gamma;
    for (size_t k = 0; k < w->count; k++) {
        const int64_t part = left < w->weight ? left : w->weight;
        int128 more;
        if (!multiply(w->amount[k], part, &more) || !add(&w->worst, more))
            return false;
        left -= part;
    }
    return true;
}

/* Those that rise in any case: their part of gamma is theirs. */
static const char *take_sure(CertificateChecker *c, const CertificateTerm *term, size_t terms, Stated *stated)
{
    for (size_t t = 0; t < terms; t++) {
        const int j = term[t].row;
        int128 more;
        if (j < 0 || j >= c->p->columns || stated->rise[j] == 0)
            return "it names a column that does not rise there";
        if (term[t].multiplier < 0 || term[t].multiplier > stated->weight || term[t].multiplier > stated->gamma)
            return "more is to rise than may";
        if (term[t].multiplier == 0)
            continue;
        if (!multiply(stated->rise[j], term[t].multiplier, &more) || !add(&c->sum[j], more))
            return TOO_LARGE;
        stated->gamma -= term[t].multiplier;
        stated->rise[j] = 0; /* not twice */
    }
    return NULL;
}

/* The others in their order: each gets what it adds to the worst case of those before it. */
static const char *take_turns(CertificateChecker *c, const CertificateTerm *term, size_t terms, const Stated *stated,
                              Worst *worst, int128 *side)
{
    for (size_t t = 0; t < terms; t++) {
        const int j = term[t].row;
        const int128 before = worst->worst;
        if (term[t].multiplier != 0)
            continue;
        if (stated->rise[j] == 0)
            return "it names a column twice";
        if (c->low[j] < 0)
            return "a column that rises may be below 0";
        const bool fixed = c->low[j] == c->high[j];
        if (!add_amount(worst, (int128)stated->rise[j] * (fixed ? c->low[j] : 1)))
            return TOO_LARGE;
        const int128 share = worst->worst - before;
        if (!add(fixed ? side : &c->sum[j], fixed ? -share : share / c->high[j]))
            return TOO_LARGE;
        stated->rise[j] = 0;
    }
    return NULL;
}

/* c->sum and *side: the protected row without z and p, and with what the order says of them. */
static const char *take_order(CertificateChecker *c, const CertificateTerm *term, size_t terms, Stated *stated,
                              int128 *side)
{
    const Row *row = &stated->row;
    memset(c->sum, 0, (size_t)c->p->columns * sizeof *c->sum);
    for (size_t k = 0; k < row->count; k++)
        if (row->column[k] != stated->z && !stated->over[row->column[k]])
            c->sum[row->column[k]] = row->value[k];
    *side = row->high;
    const char *trouble = take_sure(c, term, terms, stated);
    if (trouble != NULL)
        return trouble;
    Worst worst = {.gamma = stated->gamma, .weight = stated->weight};
    while (worst.most < terms && (int128)worst.most * worst.weight < worst.gamma)
        worst.most++;
    worst.amount = mem_new(worst.most + 1, sizeof *worst.amount);
    trouble = take_turns(c, term, terms, stated, &worst, side);
    mem_free(worst.amount);
    return trouble;
}

/* What is fixed goes to the other side. */
static bool leave_fixed(CertificateChecker *c, int128 *side)
{
    for (int j = 0; j < c->p->columns; j++) {
        int128 more;
        if (c->low[j] != c->high[j])
            continue;
        if (!multiply(c->sum[j], c->low[j], &more) || !add(side, -more))
            return false;
        c->sum[j] = 0;
    }
    return true;
}

const char *checker_take_order(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step)
{
    const size_t n = (size_t)c->p->columns;
    Stated stated = {.rise = mem_new(n + 1, sizeof *stated.rise), .over = mem_new(n + 1, sizeof *stated.over)};
    int128 side, divided;
    const char *trouble = take_threshold(c, step->column, &stated) ? NULL : NO_THRESHOLD;
    if (trouble == NULL)
        trouble = take_order(c, certificate->term + step->first_term, step->terms, &stated, &side);
    if (trouble == NULL && !leave_fixed(c, &side))
        trouble = TOO_LARGE;
    if (trouble == NULL)
        trouble = checker_add_cut(c, side, &divided);
    mem_free(stated.rise);
    mem_free(stated.over);
    if (trouble == NULL && !checker_follow_rows(c))
        checker_close_node(c);
    return trouble;
}
