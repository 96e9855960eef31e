/* settle.h - part of a pool is settled and stays; what completing it costs at least. */
#ifndef POOLWRIGHT_WHATIF_SETTLE_H
#define POOLWRIGHT_WHATIF_SETTLE_H

#include "programme/answer.h"

typedef struct {
    int copies;    /* that are settled */
    int64_t money; /* cents to buy them */
    /* Money for the rest, cents: no pool that holds what is settled and keeps every limit costs less than `money` +
     * `low`; one of `high` was found. Equal: proven the least. */
    bool has_low;
    int64_t low, high;
    int64_t open;    /* copies that it takes beside what is settled */
    Answer cheapest; /* that pool; none where the search was stopped at once: then the pool that was given is meant */
} Settle;

/* settled[cards] copies stay, others may come beside them; pool[cards] holds them and keeps every limit. The least
 * money, by an integer programme with the same limits whose objective is what must be bought; soft limits may be
 * missed. False with an error in diags when it could not run. Released with settle_release. */
bool settle_find(const Programme *programme, const int *settled, const int *pool, const SearchOptions *options,
                 Settle *settle, Diags *diags);
void settle_release(Settle *settle);

#endif
