/* currency.h - the sign, code or word of a currency that an amount of money is written with. */
#ifndef POOLWRIGHT_BASE_CURRENCY_H
#define POOLWRIGHT_BASE_CURRENCY_H

#include "base/diag.h"
#include "base/memory.h"

/* What stands beside the digits, "" if nothing does. In the arena. */
const char *currency_mark(Arena *arena, const char *amount);
/* Do two marks stand for one currency, as the euro sign and EUR do? */
bool currency_same(const char *a, const char *b);
/* Is this a sign or a three-letter code of a currency, as far as is known here? */
bool currency_known(const char *mark);
/* Is the mark a sign of several currencies, as $ and kr, and this code one of them? */
bool currency_shares(const char *currency, const char *mark);
/* Reports an amount that is written in another currency than this one, and returns false. An amount without a mark is
 * in any, a sign that several share stands for this one, and where no currency is stated (NULL) marks are not looked
 * at. what: "--cap: " or "". */
bool currency_fits(const char *currency, const char *what, const char *amount, SourcePos at, Diags *diags);

#endif
