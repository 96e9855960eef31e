/* checker.h - goes over a certificate step by step, in whole numbers.
 *
 * Of the search it has nothing but the programme (search.h): no floating point, no relaxation, no choice. What each
 * step means, for the node's box low..high of the columns:
 *
 * A row in the box. Of a row sum a x with sides L and U let s be what its fixed columns come to and g the greatest
 * common divisor of the others' coefficients: since all columns are whole numbers its sides are s + g ceil((L - s) / g)
 * and s + g floor((U - s) / g). They are meant wherever a side is spoken of.
 *
 * bound. With Y the multipliers, 2^40 y, each row's upper side where Y > 0 and its lower side where Y < 0:
 * B = sum Y side + sum over columns of max(d low, d high), d = 2^40 c - sum Y a. No solution in the box has more than
 * B / 2^40, rounded down to what the columns that are not fixed can reach (multiples of the gcd of their values beyond
 * what the fixed ones are worth). Is that less than what is wanted, the node is closed. Else a column k units away from
 * the bound that max chose loses k |d|, so it may be so far away only as keeps B no less than 2^40 times what is
 * wanted.
 *
 * none. The same with c = 0: B < 0 closes the node.
 *
 * cut. The sum of so many times each row, divided by g and by sides as above (upper side for a multiplier > 0), all
 * multipliers (times g) and the divisor over their common divisor: sum m row <= b. Columns that are not fixed are
 * measured from their lower bounds, those that are listed from their upper ones; a row whose sides are equal has no
 * slack. With d the divisor and r = b mod d, G(a) = floor(a / d) (d - r) + max(0, a mod d - r), the cut is
 * sum G(a) x' + sum G(|m|) slack <= floor(b / d) (d - r), then put back in the columns, divided by the gcd of its
 * coefficients and its side rounded down. It has entries in columns that are not fixed only.
 *
 * order. Of a threshold z, a column of which one entry is above 0: gamma, in the row that it protects, sum a x + gamma
 * z
 * + weight (sum of p) <= U; all its others are -1, in rows rise x - z - p <= 0 with columns x and p of their own, where
 * p has no entry but these; z and p are not below 0. So for any u, 0 <= u <= weight, sum u <= gamma, a x + sum u rise x
 * <= U. Columns that take a part of gamma in any case add that times their rise to the row. Of the others, in their
 * order, worst is the greatest sum of u amount with what is left of gamma, over those so far; the amount of a column is
 * its rise, or all it comes to where it is fixed. Worst is submodular, so what each adds to it is less than it adds
 * where fewer are there: these shares hold together whichever of the columns are above 0. So a column's share over its
 * upper bound, rounded down, is added to its entry, and the share of a fixed one taken from U. z and p fall away. The
 * row is a cut from then on, divided and rounded as those.
 *
 * Rows by themselves. With the least a row can come to, each column's bounds are what its upper side leaves; with the
 * most, what its lower side does. That is gone on with until nothing changes (or a thousand times over all rows). */
#ifndef POOLWRIGHT_SEARCH_CERTIFICATE_CHECKER_H
#define POOLWRIGHT_SEARCH_CERTIFICATE_CHECKER_H

#include "search/certificate/certificate.h"

typedef struct CertificateChecker CertificateChecker;

/* At the first node, unless that is closed already. The problem has no protected rows and outlives the checker; freed
 * with certificate_checker_free. */
CertificateChecker *certificate_checker_new(const SearchProblem *problem, int64_t wanted);
void certificate_checker_free(CertificateChecker *checker); /* NULL is allowed */

/* All nodes are closed: what the certificate claims is proven. */
bool certificate_checker_over(const CertificateChecker *checker);
/* Of the node at work: branches above it, sides that wait, its box [columns]. */
int certificate_checker_depth(const CertificateChecker *checker);
size_t certificate_checker_waiting(const CertificateChecker *checker);
const int64_t *certificate_checker_low(const CertificateChecker *checker);
const int64_t *certificate_checker_high(const CertificateChecker *checker);

/* value x <= high. */
typedef struct {
    const int *column;
    const int64_t *value;
    size_t count;
    int64_t high;
} CertificateRow;
/* What the last cut or order became. There must have been one. */
CertificateRow certificate_checker_last_cut(const CertificateChecker *checker);

typedef struct {
    bool changed;           /* the node was closed or parted, its box is smaller, or there is a row more */
    double scale;           /* of a cut: the rounded sum, as fractions, is so many times its row (for steering) */
    const bool *from_upper; /* [columns] of a cut: those of its sum that are measured from their upper bounds; until the
                               next step */
} CertificateEffect;

/* Takes a step of the certificate; effect may be NULL. NULL, or what is wrong with it, as a static text; then nothing
 * has changed. */
const char *certificate_checker_take(CertificateChecker *checker, const Certificate *certificate,
                                     const CertificateStep *step, CertificateEffect *effect);

/* All steps. NULL: the claim is proven; else what is wrong, and *at the step (from 0; certificate->steps: more would be
 * needed). */
const char *certificate_check(const SearchProblem *problem, const Certificate *certificate, size_t *at);

#endif
