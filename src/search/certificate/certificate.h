/* certificate.h - a proof that a programme has no solution of some value or more, as steps that anybody can go over.
 *
 * A tree in preorder. It begins with the box of the columns' bounds. Each node is worked on by steps until its box
 * holds nothing of use, or a step parts it: then all steps of the lower side follow, then those of the upper one.
 *
 *     bound   so many times each row: the bound of weak duality on the box. Below what is wanted it closes the node;
 *             else columns are tightened to what a solution of that value can have.
 *     none    the same without the objective: a negative value says that the box holds nothing (Farkas' lemma).
 *     cut     a row more, for this node and what comes of it: a sum of rows, rounded (mixed-integer rounding).
 *     branch  column <= at, then column >= at + 1.
 *     order   a row more, as a cut: what holds whichever prices rise, in an order of the columns (risk/protection.h).
 *
 * After every step, and when a side is begun, what follows from single rows is done to the end. checker.h says exactly
 * what each step means; it needs nothing of the search. Sources: weak duality and Farkas' lemma; the layout follows
 * K. K. H. Cheung, A. Gleixner and D. E. Steffy, "Verifying integer programming results", IPCO 2017, in that every
 * step is checked by itself and in order; cuts, G. L. Nemhauser and L. A. Wolsey, "A recursive procedure to generate
 * all cuts for 0-1 mixed integer programs", Mathematical Programming 46, 1990. */
#ifndef POOLWRIGHT_SEARCH_CERTIFICATE_CERTIFICATE_H
#define POOLWRIGHT_SEARCH_CERTIFICATE_CERTIFICATE_H

#include "search/search.h"

#define CERTIFICATE_GRID 40 /* multipliers of bounds are so many times 2^-40 */

typedef enum {
    CERTIFICATE_BOUND,
    CERTIFICATE_NONE,
    CERTIFICATE_CUT,
    CERTIFICATE_BRANCH,
    CERTIFICATE_ORDER
} CertificateKind;

typedef struct {
    int row;            /* of the programme; rows + k: the k-th cut or order of the certificate, from 0. Of an order:
                           a column that may rise */
    int64_t multiplier; /* > 0 prices the upper side, < 0 the lower one; not 0. Of an order: how much of gamma the
                           column takes in any case, 0: it comes in its turn */
} CertificateTerm;

typedef struct {
    CertificateKind kind;
    int depth;       /* branches above it */
    int column;      /* of a branch; of an order the threshold */
    int64_t at;      /* of a branch */
    int64_t divisor; /* of a cut */
    size_t first_term, terms;
    size_t first_upper, uppers; /* columns of a cut that are measured from their upper bounds */
    int line;                   /* of the file that it was read from, from 1; else 0 */
} CertificateStep;

typedef struct {
    int64_t wanted; /* no solution has this value or more; CERTIFICATE_ANY: there is no solution */
    CertificateStep *step;
    size_t steps, step_capacity;
    CertificateTerm *term;
    size_t terms, term_capacity;
    int *upper;
    size_t uppers, upper_capacity;
} Certificate;

#define CERTIFICATE_ANY INT64_MIN

void certificate_release(Certificate *certificate);
/* A step more, without terms and uppers; the other two add to the last step. */
CertificateStep *certificate_step(Certificate *certificate, CertificateKind kind, int depth);
void certificate_term(Certificate *certificate, int row, int64_t multiplier);
void certificate_upper(Certificate *certificate, int column);
/* Of the last step's columns only those that are marked [columns] stay. */
void certificate_keep_uppers(Certificate *certificate, const bool *marked);
/* Takes the last step back. */
void certificate_drop(Certificate *certificate);

#endif
