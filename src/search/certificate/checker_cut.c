/* checker_cut.c - a sum of rows rounded to a cut: see checker.h. */
#include <string.h>

#include "base/memory.h"
#include "search/certificate/checker_inner.h"

static int128 rounded(int128 a, int128 d, int128 r)
{
    const int128 rest = a - floor_div(a, d) * d;
    return floor_div(a, d) * (d - r) + (rest > r ? rest - r : 0);
}

typedef struct {
    Row row;
    InBox in;
    int128 multiplier; /* of the row over in.step */
} Part;

/* The rows of the sum, with multipliers and divisor over their common divisor. */
static const char *take_parts(const CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                              Part *part, int128 *divisor)
{
    int128 common = step->divisor;
    if (step->divisor < 1)
        return "its divisor is none";
    if (step->divisor > LARGEST)
        return TOO_LARGE;
    for (size_t t = 0; t < step->terms; t++) {
        const CertificateTerm *term = &certificate->term[step->first_term + t];
        if (!checker_row_at(c, term->row, &part[t].row))
            return "it names a row that is not there";
        part[t].in = checker_in_box(c, &part[t].row);
        if (!fits(term->multiplier) || !fits(part[t].in.step) ||
            !multiply(part[t].in.step, term->multiplier, &part[t].multiplier))
            return TOO_LARGE;
        if (term->multiplier > 0 ? !part[t].in.has_high : !part[t].in.has_low)
            return "it prices a side that a row does not have";
        common = gcd(common, part[t].multiplier);
    }
    *divisor = step->divisor / common;
    for (size_t t = 0; t < step->terms; t++) {
        part[t].multiplier /= common;
        if (!fits(part[t].multiplier))
            return TOO_LARGE;
    }
    return NULL;
}

/* c->sum: coefficients of the sum on columns that are not fixed; *side: what it is no more than, measured from the
 * columns' bounds. */
static const char *sum_parts(CertificateChecker *c, const Part *part, size_t parts, int128 *side)
{
    const int columns = c->p->columns;
    memset(c->sum, 0, (size_t)columns * sizeof *c->sum);
    *side = 0;
    for (size_t t = 0; t < parts; t++) {
        int128 more;
        const int64_t m = (int64_t)part[t].multiplier;
        if (!multiply(m > 0 ? part[t].in.high : part[t].in.low, m, &more) || !add(side, more))
            return TOO_LARGE;
        for (size_t k = 0; k < part[t].row.count; k++) {
            const int j = part[t].row.column[k];
            if (c->low[j] != c->high[j] && !add(&c->sum[j], (int128)(part[t].row.value[k] / part[t].in.step) * m))
                return TOO_LARGE;
        }
    }
    for (int j = 0; j < columns; j++) {
        int128 more;
        c->from_upper[j] = c->from_upper[j] && c->sum[j] != 0;
        if (!fits(c->sum[j]) || !multiply(c->sum[j], c->from_upper[j] ? c->high[j] : c->low[j], &more) ||
            !add(side, -more))
            return TOO_LARGE;
    }
    return fits(*side) ? NULL : TOO_LARGE;
}

/* From the sum to the cut, in c->sum; *side becomes its side. */
static const char *round_sum(CertificateChecker *c, const Part *part, size_t parts, int128 d, int128 *side)
{
    const int128 r = *side - floor_div(*side, d) * d;
    int128 more;
    *side = floor_div(*side, d) * (d - r); /* no more than a number that fits, times d: fits twice */
    for (int j = 0; j < c->p->columns; j++) {
        if (c->sum[j] == 0)
            continue;
        const int128 g = rounded(c->from_upper[j] ? -c->sum[j] : c->sum[j], d, r);
        if (!multiply(g, c->from_upper[j] ? c->high[j] : c->low[j], &more) ||
            !add(side, c->from_upper[j] ? -more : more))
            return TOO_LARGE;
        c->sum[j] = c->from_upper[j] ? -g : g;
    }
    for (size_t t = 0; t < parts; t++) {
        const Part *of = &part[t];
        const bool upper = of->multiplier > 0;
        if (of->in.has_low && of->in.has_high && of->in.low == of->in.high)
            continue;
        const int128 g = rounded(upper ? of->multiplier : -of->multiplier, d, r);
        const int128 its = upper ? of->in.high : of->in.low;
        if (!fits(g) || !fits(its) || !add(side, upper ? -g * its : g * its))
            return TOO_LARGE;
        for (size_t k = 0; k < of->row.count; k++) {
            const int j = of->row.column[k];
            more = (int64_t)g * (int128)(of->row.value[k] / of->in.step);
            if (c->low[j] != c->high[j] && !add(&c->sum[j], upper ? -more : more))
                return TOO_LARGE;
        }
    }
    return NULL;
}

const char *checker_add_cut(CertificateChecker *c, int128 side, int128 *divided)
{
    const int columns = c->p->columns;
    size_t count = 0;
    int128 g = 0;
    for (int j = 0; j < columns; j++) {
        count += c->sum[j] != 0;
        g = gcd(g, c->sum[j]);
    }
    *divided = g;
    if (count == 0)
        return "it leaves no column";
    for (int j = 0; j < columns; j++)
        if (!fits(c->sum[j] / g))
            return TOO_LARGE;
    if (!fits(floor_div(side, g)))
        return TOO_LARGE;
    Cut cut = {.column = mem_new(count, sizeof *cut.column),
               .value = mem_new(count, sizeof *cut.value),
               .high = (int64_t)floor_div(side, g),
               .holds = true};
    for (int j = 0; j < columns; j++)
        if (c->sum[j] != 0) {
            cut.column[cut.count] = j;
            cut.value[cut.count++] = (int64_t)(c->sum[j] / g);
        }
    mem_reserve((void **)&c->held, &c->held_capacity, c->held_count + 1, sizeof *c->held);
    c->held[c->held_count++] = (int)c->cuts;
    mem_reserve((void **)&c->cut, &c->cut_capacity, c->cuts + 1, sizeof *c->cut);
    c->cut[c->cuts++] = cut;
    return NULL;
}

static const char *round_parts(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                               Part *part, double *scale)
{
    int128 d, side, divided;
    const char *trouble = take_parts(c, certificate, step, part, &d);
    if (trouble == NULL)
        trouble = sum_parts(c, part, step->terms, &side);
    if (trouble != NULL)
        return trouble;
    const int128 r = side - floor_div(side, d) * d;
    trouble = round_sum(c, part, step->terms, d, &side);
    if (trouble == NULL)
        trouble = checker_add_cut(c, side, &divided);
    if (trouble == NULL)
        *scale = (double)divided / (double)(d - r);
    return trouble;
}

const char *checker_take_cut(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                             double *scale)
{
    memset(c->from_upper, 0, (size_t)c->p->columns * sizeof *c->from_upper);
    for (size_t k = 0; k < step->uppers; k++) {
        const int j = certificate->upper[step->first_upper + k];
        if (j < 0 || j >= c->p->columns)
            return "it names a column that is not there";
        c->from_upper[j] = true;
    }
    Part *part = mem_new(step->terms + 1, sizeof *part);
    const char *trouble = round_parts(c, certificate, step, part, scale);
    mem_free(part);
    if (trouble == NULL && !checker_follow_rows(c))
        checker_close_node(c);
    return trouble;
}
