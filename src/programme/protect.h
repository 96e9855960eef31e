/* protect.h - searching under price risk. The rows that protect a limit are as many as there are sets of Gamma prices,
 * so they are added as they are needed: each is implied by the protected limit, hence a bound or an infeasibility
 * proven with some of them holds for the protected programme. */
#ifndef POOLWRIGHT_PROGRAMME_PROTECT_H
#define POOLWRIGHT_PROGRAMME_PROTECT_H

#include "programme/programme.h"

/* True when some limit is protected and some price of a candidate that it counts may rise: then search_run alone is not
 * enough. */
bool programme_at_risk(const Programme *programme);

/* As search_run on the programme, but with a solution that keeps the protected limits, and a status that is about
 * these. row_dual belongs to the programme's rows and those added behind them; *added (may be NULL) tells how many
 * there were. Released with search_result_release. */
void protected_run(const Programme *programme, const SearchOptions *options, SearchResult *result, int *added);

#endif
