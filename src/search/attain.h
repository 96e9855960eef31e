/* attain.h - what can be attained in many boxes of one problem: a relaxation that is kept from box to box, made tighter
 * where it is asked, and evaluated in integers.
 *
 * Every bound is proven (search/linear/exact.h: weak duality, reduced costs), whatever the floating point did. */
#ifndef POOLWRIGHT_SEARCH_ATTAIN_H
#define POOLWRIGHT_SEARCH_ATTAIN_H

#include <stdatomic.h>

#include "search/search.h"
#include "search/tree/box_search.h"

typedef struct Attain Attain;

/* The problem's own box must hold every box asked about later. Its arrays may go afterwards. */
Attain *attain_new(const SearchProblem *problem);
void attain_free(Attain *attain); /* NULL is allowed */

/* No integer point of the box low..high[columns] has a greater value than what is returned. SEARCH_MINUS_INFINITY:
 * there is no point at all; SEARCH_PLUS_INFINITY: nothing is known. *pivots grows by the work done. cancel may be NULL.
 */
int64_t attain_bound(Attain *attain, const int64_t *low, const int64_t *high, const atomic_int *cancel,
                     int64_t *pivots);

/* The following use the box and the multipliers of the last attain_bound, without a pivot. */

/* The box with other bounds of one column. */
int64_t attain_bound_column(Attain *attain, int column, int64_t low, int64_t high);
/* With `column` allowed up to what is returned a value of `target` is not excluded; below that it is. `most` + 1: it is
 * excluded up to there. */
int64_t attain_line(Attain *attain, int column, int64_t most, int64_t target);
/* All points of the box with a value of at least `wanted` are in low..high[columns]. False: there are none. */
bool attain_tighten(Attain *attain, int64_t wanted, int64_t *low, int64_t *high);
/* Adds cutting planes that hold in the problem's own box, for the point of the last attain_bound, so that later bounds
 * are closer. */
void attain_strengthen(Attain *attain, const atomic_int *cancel, int64_t *pivots);

/* Looks through a box of the problem's (search/tree/box_search.h). True: a point was found. */
bool attain_search(Attain *attain, const int64_t *low, const int64_t *high, BoxSearch *search, int64_t *pivots);

/* [rows] in the problem's rows, zeros before the first bound: estimates. */
const double *attain_duals(const Attain *attain);

#endif
