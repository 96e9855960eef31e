/* certify_inner.h - what certify.c (trees) and certify_orders.c (rows that hold whichever prices rise) share. */
#ifndef POOLWRIGHT_SEARCH_CERTIFY_INNER_H
#define POOLWRIGHT_SEARCH_CERTIFY_INNER_H

#include "search/certificate/checker.h"

typedef struct {
    const SearchProblem *stated; /* what the certificate is about */
    SearchProblem *p;            /* what is searched: allows all that `stated` allows, on its first columns */
    int *row;                    /* [rows of p] what they are called in the certificate */
    SearchProblem *at_risk;      /* prepared, with its protections; NULL: there are none */
    const SearchOptions *options;
    const int64_t *x;
    Certificate *out;
    CertificateChecker *checker;
    int cuts; /* in the certificate, orders too */
    int64_t pivots;
    bool again; /* p has got another row */
} Certifier;

/* The step written last goes to the checker, and stays if it was of use. */
bool certifier_take(Certifier *to, CertificateEffect *effect);

/* ---- certify_orders.c ---- */

/* p and its rows; of a problem with protections those that its relaxation needs are written as orders. */
void certifier_begin(Certifier *to, const SearchProblem *problem);
void certifier_end(Certifier *to);
/* p in the box of the node at work. Freed with problem_free. */
SearchProblem *certifier_box(const Certifier *to);
/* At the first node: writes orders that a solution of p breaks, by which p has more rows. False: it breaks none. */
bool certifier_rule_out(Certifier *to, const int64_t *x);

#endif
