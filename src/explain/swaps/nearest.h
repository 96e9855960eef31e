/* nearest.h - of all solutions that are as good, the one with the fewest changes from the answer's pool (copies out and
 * copies in), and of those the cheapest to buy. */
#ifndef POOLWRIGHT_EXPLAIN_SWAPS_NEAREST_H
#define POOLWRIGHT_EXPLAIN_SWAPS_NEAREST_H

#include "explain/explain.h"

/* x is a solution of the oracle's present state (forced cards, limits dropped or loosened) with this fit. The exchange
 * is from the answer's pool to the nearest solution of exactly that fit; its `fewest` says whether none changes less.
 */
void nearest_exchange(Explain *explain, int64_t fit, const int64_t *x, Exchange *exchange);
/* The same among the solutions of this problem: the SideProblem's with further rows. x becomes the nearest one. */
void nearest_exchange_among(Explain *explain, const SearchProblem *problem, int64_t fit, int64_t *x,
                            Exchange *exchange);
/* The exchange is from this pool instead, copies[cards], which may break limits: to the nearest solution with the fit
 * of the answer's pool, which there must be and which is the cheapest of its fit. */
void nearest_exchange_from(Explain *explain, const int *copies, Exchange *exchange);

#endif
