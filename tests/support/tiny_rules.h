/* tiny_rules.h - the random rules of tiny_make.c. */
#ifndef POOLWRIGHT_SUPPORT_TINY_RULES_H
#define POOLWRIGHT_SUPPORT_TINY_RULES_H

#include "tiny.h"

/* One to three random tests of different fields. fixing: without class. */
void tiny_make_where(const Tiny *tiny, Dice *dice, Where *where, bool fixing);
/* Two to five random rules around what the pool uses, and exemptions. */
void tiny_make_rules(Tiny *tiny, Dice *dice, const int *copies);

#endif
