/* guard.h - price risk in explanations: limits on money that must hold whichever prices rise (programme/risk.h), as
 * rows that are added when a solution breaks them.
 *
 * Each row is the limit with one set of prices risen, loosened and dropped together with the limit itself, so it is
 * implied by the protected limit: what is proven with some of them holds. A solution counts only once no protected
 * limit is broken by it, counted exactly. */
#ifndef POOLWRIGHT_EXPLAIN_GUARD_H
#define POOLWRIGHT_EXPLAIN_GUARD_H

#include "explain/side.h"

typedef struct Guard Guard;

/* NULL when nothing is at risk. The sides get rows; all three must outlive the guard. */
Guard *guard_new(const Programme *programme, const Instance *instance, SideProblem *sides);
void guard_free(Guard *guard); /* NULL is allowed */
/* False: a protected rule counts only if its theme is chosen, which rows of this kind can't say. */
bool guard_can(const Programme *programme, const Instance *instance);

/* Adds the rows that the solution breaks, given what its loosening columns are and which rows of limits are open
 * (row_high infinite). True if there was one. */
bool guard_breaks(Guard *guard, const int64_t *x, const int64_t *row_high);
/* The same for a point of a relaxation. */
bool guard_breaks_point(Guard *guard, const double *x, const int64_t *row_high);
/* Units of the loosening column that the solution's protected limit of that side needs; 0 if it is no such side. */
int64_t guard_units(const Guard *guard, int column, const int64_t *x);

#endif
