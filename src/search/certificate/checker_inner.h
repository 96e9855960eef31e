/* checker_inner.h - the checker's state, shared by checker.c (nodes, bounds, steps), checker_rows.c (rows in a box,
 * what follows from them), checker_cut.c and checker_order.c. Sums are in 128 bits; what could leave them is refused.
 */
#ifndef POOLWRIGHT_SEARCH_CERTIFICATE_CHECKER_INNER_H
#define POOLWRIGHT_SEARCH_CERTIFICATE_CHECKER_INNER_H

#include "base/number.h"
#include "search/certificate/checker.h"

#define LARGEST (INT64_C(1) << 62) /* of multipliers and coefficients */
#define TOO_LARGE "its numbers grow too large"

/* A row of the programme, or a cut, which has no lower side. */
typedef struct {
    const int *column;
    const int64_t *value;
    size_t count;
    int64_t low, high;
} Row;

typedef struct {
    int *column;
    int64_t *value;
    size_t count;
    int64_t high;
    bool holds; /* at the node at work */
} Cut;

/* The upper side of a branch, to be begun. */
typedef struct {
    int64_t *low, *high; /* of the node that was parted */
    int column, depth;
    int64_t at;
    size_t held;
} Waiting;

struct CertificateChecker {
    const SearchProblem *p;
    int64_t wanted;
    size_t *row_start; /* the programme's entries by row */
    int *row_column;
    int64_t *row_value;
    Cut *cut;
    size_t cuts, cut_capacity;
    bool *touched; /* [rows] of the programme: a column of it has moved since it was looked at */
    int *held;     /* the cuts that hold at the node at work, in order */
    size_t held_count, held_capacity;
    int64_t *low, *high;
    int depth;
    Waiting *waiting;
    size_t waiting_count, waiting_capacity;
    bool over;
    int128 *sum;      /* [columns] reduced costs, or a cut's coefficients */
    bool *from_upper; /* [columns] scratch of cuts */
};

/* What a row is in the box: its sides are fixed + step times low and high, of which either may be missing. */
typedef struct {
    int128 fixed, step, low, high;
    bool has_low, has_high;
} InBox;

/* ---- numbers ---- */

static inline bool add(int128 *sum, int128 more)
{
    return !__builtin_add_overflow(*sum, more, sum);
}

/* a b, of which a may be large. */
static inline bool multiply(int128 a, int64_t b, int128 *product)
{
    const int128 most = ((int128)1 << 126) / (b == 0 ? 1 : b < 0 ? -(int128)b : b);
    *product = a * (a <= most && a >= -most ? b : 0);
    return a <= most && a >= -most;
}

static inline bool fits(int128 v)
{
    return v <= LARGEST && v >= -LARGEST;
}

static inline int128 gcd(int128 a, int128 b)
{
    a = a < 0 ? -a : a;
    b = b < 0 ? -b : b;
    while (b != 0) {
        const int128 rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* ---- checker_rows.c ---- */

void checker_sort_by_row(CertificateChecker *checker); /* the programme's entries */
/* False where there is no such row at the node at work. */
bool checker_row_at(const CertificateChecker *checker, int number, Row *row);
InBox checker_in_box(const CertificateChecker *checker, const Row *row);
void checker_touch(CertificateChecker *checker, int column); /* its bounds have moved */
/* What follows from single rows, to the end. False when the box holds nothing. */
bool checker_follow_rows(CertificateChecker *checker);

/* ---- checker.c ---- */

/* The next side that waits and can hold something; over when there is none. */
void checker_close_node(CertificateChecker *checker);

/* ---- checker_cut.c ---- */

/* NULL, or what is wrong; then there is no cut. */
const char *checker_take_cut(CertificateChecker *checker, const Certificate *certificate, const CertificateStep *step,
                             double *scale);
/* A cut more: the row that c->sum, on columns that are not fixed, and its side are, divided by *divided. */
const char *checker_add_cut(CertificateChecker *checker, int128 side, int128 *divided);

/* ---- checker_order.c ---- */

/* The same as checker_take_cut. */
const char *checker_take_order(CertificateChecker *checker, const Certificate *certificate,
                               const CertificateStep *step);

#endif
