/* checker.c - the tree of a certificate gone over: see checker.h. */
#include <string.h>

#include "base/memory.h"
#include "search/certificate/checker_inner.h"

/* ---- nodes ---- */

void checker_close_node(CertificateChecker *c)
{
    const size_t n = (size_t)c->p->columns;
    for (;;) {
        if (c->waiting_count == 0) {
            c->over = true;
            return;
        }
        Waiting *next = &c->waiting[--c->waiting_count];
        memcpy(c->low, next->low, n * sizeof *c->low);
        memcpy(c->high, next->high, n * sizeof *c->high);
        mem_free(next->low);
        mem_free(next->high);
        while (c->held_count > next->held)
            c->cut[c->held[--c->held_count]].holds = false;
        c->low[next->column] = next->at + 1;
        checker_touch(c, next->column);
        c->depth = next->depth + 1;
        if (checker_follow_rows(c))
            return;
    }
}

CertificateChecker *certificate_checker_new(const SearchProblem *problem, int64_t wanted)
{
    const size_t n = (size_t)problem->columns;
    CertificateChecker *c = mem_new(1, sizeof *c);
    c->p = problem;
    c->wanted = wanted;
    c->low = mem_copy(problem->low, n, sizeof *c->low);
    c->high = mem_copy(problem->high, n, sizeof *c->high);
    c->sum = mem_new(n + 1, sizeof *c->sum);
    c->from_upper = mem_new(n + 1, sizeof *c->from_upper);
    c->touched = mem_new((size_t)problem->rows + 1, sizeof *c->touched);
    memset(c->touched, true, (size_t)problem->rows * sizeof *c->touched);
    checker_sort_by_row(c);
    bool empty = false;
    for (size_t j = 0; j < n; j++)
        empty = empty || c->low[j] > c->high[j];
    if (empty || !checker_follow_rows(c))
        checker_close_node(c);
    return c;
}

void certificate_checker_free(CertificateChecker *c)
{
    if (c == NULL)
        return;
    for (size_t k = 0; k < c->cuts; k++) {
        mem_free(c->cut[k].column);
        mem_free(c->cut[k].value);
    }
    for (size_t k = 0; k < c->waiting_count; k++) {
        mem_free(c->waiting[k].low);
        mem_free(c->waiting[k].high);
    }
    mem_free(c->cut);
    mem_free(c->touched);
    mem_free(c->held);
    mem_free(c->waiting);
    mem_free(c->row_start);
    mem_free(c->row_column);
    mem_free(c->row_value);
    mem_free(c->low);
    mem_free(c->high);
    mem_free(c->sum);
    mem_free(c->from_upper);
    mem_free(c);
}

bool certificate_checker_over(const CertificateChecker *c)
{
    return c->over;
}

int certificate_checker_depth(const CertificateChecker *c)
{
    return c->depth;
}

size_t certificate_checker_waiting(const CertificateChecker *c)
{
    return c->waiting_count;
}

const int64_t *certificate_checker_low(const CertificateChecker *c)
{
    return c->low;
}

const int64_t *certificate_checker_high(const CertificateChecker *c)
{
    return c->high;
}

CertificateRow certificate_checker_last_cut(const CertificateChecker *c)
{
    const Cut *cut = &c->cut[c->cuts - 1];
    return (CertificateRow){cut->column, cut->value, cut->count, cut->high};
}

/* ---- bound, none ---- */

/* The objective of what is fixed, and the step of the rest. */
static void grain(const CertificateChecker *c, int128 *base, int128 *step)
{
    *base = *step = 0;
    for (int j = 0; j < c->p->columns; j++) {
        *base += (int128)c->p->objective[j] * c->low[j];
        if (c->low[j] != c->high[j])
            *step = gcd(*step, c->p->objective[j]);
    }
}

/* B of checker.h, with c->sum as reduced costs. */
static const char *evaluate(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                            int128 *bound)
{
    const int columns = c->p->columns;
    const int128 scale = step->kind == CERTIFICATE_BOUND ? (int128)1 << CERTIFICATE_GRID : 0;
    for (int j = 0; j < columns; j++)
        c->sum[j] = c->p->objective[j] * scale;
    *bound = 0;
    for (size_t t = 0; t < step->terms; t++) {
        const CertificateTerm *term = &certificate->term[step->first_term + t];
        const int64_t y = term->multiplier;
        Row row;
        if (!checker_row_at(c, term->row, &row))
            return "it names a row that is not there";
        if (!fits(y))
            return TOO_LARGE;
        const InBox in = checker_in_box(c, &row);
        if (y > 0 ? !in.has_high : !in.has_low)
            return "it prices a side that a row does not have";
        int128 more;
        if (!multiply(in.fixed + in.step * (y > 0 ? in.high : in.low), y, &more) || !add(bound, more))
            return TOO_LARGE;
        for (size_t k = 0; k < row.count; k++)
            if (!add(&c->sum[row.column[k]], -(int128)y * row.value[k]))
                return TOO_LARGE;
    }
    for (int j = 0; j < columns; j++) {
        int128 more;
        if (!multiply(c->sum[j], c->sum[j] > 0 ? c->high[j] : c->low[j], &more) || !add(bound, more))
            return TOO_LARGE;
    }
    return NULL;
}

/* By reduced costs; room: of what is lost, times 2^40. */
static void tighten(CertificateChecker *c, int128 room, bool *changed)
{
    for (int j = 0; j < c->p->columns; j++) {
        const int128 size = c->sum[j] < 0 ? -c->sum[j] : c->sum[j];
        if (c->low[j] == c->high[j] || size == 0 || room / size >= (int128)c->high[j] - c->low[j])
            continue;
        if (c->sum[j] > 0)
            c->low[j] = (int64_t)(c->high[j] - room / size);
        else
            c->high[j] = (int64_t)(c->low[j] + room / size);
        checker_touch(c, j);
        *changed = true;
    }
}

static const char *take_bound(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                              bool *changed)
{
    int128 bound, base, unit;
    const char *trouble = evaluate(c, certificate, step, &bound);
    if (trouble != NULL)
        return trouble;
    if (step->kind == CERTIFICATE_NONE) {
        *changed = bound < 0;
        if (*changed)
            checker_close_node(c);
        return NULL;
    }
    if (c->wanted == CERTIFICATE_ANY)
        return "no value is asked about, so a bound says nothing";
    grain(c, &base, &unit);
    const int128 whole = bound >> CERTIFICATE_GRID; /* rounds towards minus infinity */
    const int128 reached = unit == 0 ? base : base + floor_div(whole - base, unit) * unit;
    if (reached < c->wanted || whole < c->wanted) {
        *changed = true;
        checker_close_node(c);
        return NULL;
    }
    if (unit == 0)
        return NULL;
    const int128 least = base + ceil_div(c->wanted - base, unit) * unit;
    if (!fits(least))
        return TOO_LARGE;
    tighten(c, bound - least * ((int128)1 << CERTIFICATE_GRID), changed);
    if (*changed && !checker_follow_rows(c))
        checker_close_node(c);
    return NULL;
}

/* ---- branch ---- */

static const char *take_branch(CertificateChecker *c, const CertificateStep *step)
{
    const size_t n = (size_t)c->p->columns;
    const int j = step->column;
    if (j < 0 || j >= c->p->columns)
        return "it names a column that is not there";
    if (step->at < c->low[j] || step->at >= c->high[j])
        return "it parts a column outside its bounds";
    mem_reserve((void **)&c->waiting, &c->waiting_capacity, c->waiting_count + 1, sizeof *c->waiting);
    c->waiting[c->waiting_count++] = (Waiting){.low = mem_copy(c->low, n, sizeof *c->low),
                                               .high = mem_copy(c->high, n, sizeof *c->high),
                                               .column = j,
                                               .depth = c->depth,
                                               .at = step->at,
                                               .held = c->held_count};
    c->high[j] = step->at;
    checker_touch(c, j);
    c->depth++;
    if (!checker_follow_rows(c))
        checker_close_node(c);
    return NULL;
}

/* ---- steps ---- */

const char *certificate_checker_take(CertificateChecker *c, const Certificate *certificate, const CertificateStep *step,
                                     CertificateEffect *effect)
{
    CertificateEffect own = {.changed = true, .scale = 1, .from_upper = c->from_upper};
    const char *trouble = NULL;
    if (c->over)
        return "all is proven before it";
    if (step->depth != c->depth)
        return "it is not of the node that is next";
    switch (step->kind) {
    case CERTIFICATE_BOUND:
    case CERTIFICATE_NONE:
        own.changed = false;
        trouble = take_bound(c, certificate, step, &own.changed);
        break;
    case CERTIFICATE_CUT: trouble = checker_take_cut(c, certificate, step, &own.scale); break;
    case CERTIFICATE_BRANCH: trouble = take_branch(c, step); break;
    case CERTIFICATE_ORDER: trouble = checker_take_order(c, certificate, step); break;
    }
    if (effect != NULL)
        *effect = own;
    return trouble;
}

const char *certificate_check(const SearchProblem *problem, const Certificate *certificate, size_t *at)
{
    CertificateChecker *c = certificate_checker_new(problem, certificate->wanted);
    const char *trouble = NULL;
    for (*at = 0; *at < certificate->steps; ++*at) {
        trouble = certificate_checker_take(c, certificate, &certificate->step[*at], NULL);
        if (trouble != NULL)
            break;
    }
    if (trouble == NULL && !certificate_checker_over(c))
        trouble = "it ends before all is proven";
    certificate_checker_free(c);
    return trouble;
}
