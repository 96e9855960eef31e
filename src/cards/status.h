/* status.h - keep, ban, wish and in, as cells of a sheet say them. */
#ifndef POOLWRIGHT_CARDS_STATUS_H
#define POOLWRIGHT_CARDS_STATUS_H

#include "cards/habits.h"

/* STATUS_ bits of the words in the cell, several with ';' between. False: *expected, which the caller gives empty and
 * frees, has what should stand there. */
bool status_parse(const Habits *habits, const char *cell, unsigned *status, Text *expected);

#endif
