/* magnitude.h - are the numbers of a programme within what exact arithmetic holds? Asked before any search, so that the
 * answer can name the rule and the card. */
#ifndef POOLWRIGHT_PROGRAMME_MAGNITUDE_H
#define POOLWRIGHT_PROGRAMME_MAGNITUDE_H

#include "programme/programme.h"

/* False with an error in diags. overflow: a coefficient did not even fit into 64 bits while rows were built. Under
 * price risk also what protects the limits (search/risk/protection.h) is looked at: it counts money in thousandths of a
 * cent. */
bool programme_magnitudes_good(const Programme *programme, bool overflow, Diags *diags);

#endif
