/* compare_inner.h - what compare.c and compare_next.c share. */
#ifndef POOLWRIGHT_WHATIF_POWERS_COMPARE_INNER_H
#define POOLWRIGHT_WHATIF_POWERS_COMPARE_INNER_H

#include "base/number.h"
#include "whatif/powers/compare.h"
#include "whatif/powers/least_change.h"

/* Millionths of fit: the power and all tags of themes, in full. */
int128 compare_worth(const Instance *instance, size_t card);
/* The card's power by the proposal, thousandths. */
int64_t compare_power(const Compare *compare, const Feedback *proposal, size_t card);
/* The powers that agree with these answers; released with feedback_release. False: they go round in a circle. */
bool compare_propose(const Compare *compare, const Comparison *asked, size_t count, Feedback *proposal);

#endif
