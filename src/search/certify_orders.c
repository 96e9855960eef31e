/* certify_orders.c - protected rows in certificates.
 *
 * The tree is of a problem without protections: protected rows have no sides in it, and behind the problem's rows are
 * those of orders (risk/protection.h), each as the checker has made it of its step. First those that the relaxation
 * needs, then, as often as a search finds a solution that some risen prices forbid, one that rules it out: of a whole
 * point the worst case itself can be said by an order. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "search/certify_inner.h"
#include "search/linear/simplex.h"
#include "search/risk/protection.h"

#define ROUNDS 40       /* of the relaxation, for which all are looked at */
#define LEAST_MISS 1e-4 /* of the side: what a relaxation breaks by less is left */
#define MOST_ORDERS 1500

SearchProblem *certifier_box(const Certifier *to)
{
    SearchProblem *box = problem_copy(to->p);
    const size_t n = (size_t)box->columns;
    memcpy(box->low, certificate_checker_low(to->checker), n * sizeof *box->low);
    memcpy(box->high, certificate_checker_high(to->checker), n * sizeof *box->high);
    return box;
}

/* The checker's last cut is a row of p. */
static void add_row(Certifier *to)
{
    const CertificateRow added = certificate_checker_last_cut(to->checker);
    const SearchProblem *p = to->p;
    SearchProblem *q = mem_new(1, sizeof *q);
    search_problem_init(q, p->columns, p->rows + 1, p->start[p->columns] + added.count);
    size_t at = 0, next = 0;
    for (int j = 0; j < p->columns; j++) {
        q->kind[j] = p->kind[j];
        q->objective[j] = p->objective[j];
        q->low[j] = p->low[j];
        q->high[j] = p->high[j];
        q->start[j] = at;
        for (size_t k = p->start[j]; k < p->start[j + 1]; k++) {
            q->row[at] = p->row[k];
            q->value[at++] = p->value[k];
        }
        if (next < added.count && added.column[next] == j) {
            q->row[at] = p->rows;
            q->value[at++] = added.value[next++];
        }
    }
    q->start[p->columns] = at;
    memcpy(q->row_low, p->row_low, (size_t)p->rows * sizeof *q->row_low);
    memcpy(q->row_high, p->row_high, (size_t)p->rows * sizeof *q->row_high);
    q->row_low[p->rows] = SEARCH_MINUS_INFINITY;
    q->row_high[p->rows] = added.high;
    to->row = mem_resize(to->row, (size_t)q->rows, sizeof *to->row);
    to->row[p->rows] = to->stated->rows + to->cuts++;
    problem_free(to->p);
    to->p = q;
}

/* The last step, an order. False: it says nothing, or numbers grow too large. */
static bool take_order(Certifier *to)
{
    CertificateEffect effect;
    if (!certifier_take(to, &effect))
        return false;
    add_row(to);
    if (search_problem_trouble(to->p) == NULL)
        return true;
    to->p->row_high[to->p->rows - 1] = SEARCH_PLUS_INFINITY; /* it stays a step, but is not searched with */
    return false;
}

/* For each protection that x breaks by more than so much of its side the order that it breaks most. */
static bool write_orders(Certifier *to, const double *x, double least)
{
    const Protections *all = to->at_risk->protections;
    bool any = false;
    for (int r = 0; r < all->count && !certificate_checker_over(to->checker); r++) {
        const Protection *p = &all->row[r];
        if (p->side == SEARCH_PLUS_INFINITY)
            continue;
        int *column = mem_new((size_t)p->entries + 1, sizeof *column);
        int64_t *taken = mem_new((size_t)p->entries + 1, sizeof *taken);
        double miss;
        const int count = protections_order(p, certificate_checker_high(to->checker), x, column, taken, &miss);
        const double side = p->side < 0 ? -(double)p->side : (double)p->side;
        if (miss > 1e-6 && miss > least * side) {
            certificate_step(to->out, CERTIFICATE_ORDER, 0)->column = p->threshold;
            for (int k = 0; k < count; k++)
                certificate_term(to->out, column[k], taken[k]);
            any = take_order(to) || any;
        }
        mem_free(column);
        mem_free(taken);
    }
    return any;
}

bool certifier_rule_out(Certifier *to, const int64_t *x)
{
    if (to->at_risk == NULL || to->p->rows > to->stated->rows + MOST_ORDERS)
        return false;
    double *point = mem_new((size_t)to->p->columns + 1, sizeof *point);
    for (int j = 0; j < to->p->columns; j++)
        point[j] = (double)x[j];
    const bool good = write_orders(to, point, 0);
    mem_free(point);
    return good || certificate_checker_over(to->checker);
}

/* Protected rows without their sides, each with the row that no rise is in. */
static void write_plain(Certifier *to)
{
    const Protections *all = to->at_risk->protections;
    for (int r = 0; r < all->count && !certificate_checker_over(to->checker); r++) {
        to->p->row_high[all->row[r].row] = SEARCH_PLUS_INFINITY;
        if (all->row[r].side == SEARCH_PLUS_INFINITY)
            continue;
        certificate_step(to->out, CERTIFICATE_ORDER, 0)->column = all->row[r].threshold;
        take_order(to);
    }
}

/* The relaxation at the first node: its point x[columns], and which rows of p have multipliers. False where there is no
 * point: it is empty, say. */
static bool relax(Certifier *to, double *x, bool *tight)
{
    Matrix matrix;
    SearchProblem *box = certifier_box(to);
    matrix_init(&matrix, box);
    Simplex *simplex = simplex_new(&matrix);
    simplex_box(simplex, box->low, box->high);
    const RelaxationStatus status = simplex_solve(simplex, to->options->effort, -INFINITY, to->options->cancel);
    const double *y = simplex_y(simplex);
    memcpy(x, simplex_x(simplex), (size_t)box->columns * sizeof *x);
    for (int i = 0; i < box->rows; i++)
        tight[i] = y[i] != 0;
    to->pivots += simplex_pivots(simplex);
    simplex_free(simplex);
    matrix_release(&matrix);
    problem_free(box);
    return status == RELAXATION_OPTIMAL;
}

/* The orders that the relaxation needs, found on a certificate of their own: most of them only show the way. */
static void write_for_relaxation(Certifier *to)
{
    const int first = to->p->rows;
    const size_t most = (size_t)(first + ROUNDS * to->at_risk->protections->count) + 1;
    Certificate found = {.wanted = to->out->wanted};
    Certifier probe = *to;
    double *x = mem_new((size_t)to->p->columns + 1, sizeof *x);
    bool *tight = mem_new(most, sizeof *tight);
    probe.out = &found;
    probe.checker = certificate_checker_new(to->stated, found.wanted);
    probe.p = problem_copy(to->p);
    probe.row = mem_copy(to->row, (size_t)first, sizeof *probe.row);
    memset(tight, true, most * sizeof *tight);
    for (int round = 0; round < ROUNDS && !certificate_checker_over(probe.checker); round++)
        if (!relax(&probe, x, tight) || !write_orders(&probe, x, LEAST_MISS))
            break;
    for (size_t k = 0; k < found.steps && !certificate_checker_over(to->checker); k++) {
        const CertificateStep *step = &found.step[k];
        if (!tight[(size_t)first + k])
            continue;
        certificate_step(to->out, CERTIFICATE_ORDER, 0)->column = step->column;
        for (size_t t = 0; t < step->terms; t++)
            certificate_term(to->out, found.term[step->first_term + t].row,
                             found.term[step->first_term + t].multiplier);
        take_order(to);
    }
    to->pivots = probe.pivots;
    certificate_checker_free(probe.checker);
    certificate_release(&found);
    problem_free(probe.p);
    mem_free(probe.row);
    mem_free(x);
    mem_free(tight);
}

void certifier_begin(Certifier *to, const SearchProblem *problem)
{
    to->p = problem_copy(problem);
    to->row = mem_new((size_t)problem->rows + 1, sizeof *to->row);
    for (int i = 0; i < problem->rows; i++)
        to->row[i] = i;
    if (problem->protections == NULL)
        return;
    to->at_risk = problem_copy(problem);
    protections_prepare(to->at_risk);
    protections_free(to->p->protections);
    to->p->protections = NULL;
    write_plain(to);
    if (!certificate_checker_over(to->checker))
        write_for_relaxation(to);
}

void certifier_end(Certifier *to)
{
    problem_free(to->p);
    mem_free(to->row);
    if (to->at_risk != NULL)
        problem_free(to->at_risk);
}
