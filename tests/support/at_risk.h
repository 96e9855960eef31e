/* at_risk.h - small random scenarios under price risk, and every pool and every choice of risen prices tried, in whole
 * numbers. */
#ifndef POOLWRIGHT_SUPPORT_AT_RISK_H
#define POOLWRIGHT_SUPPORT_AT_RISK_H

#include "support/run.h"

enum { CARDS_MOST = 9 };

typedef struct {
    int cards, size, copies[CARDS_MOST], owned[CARDS_MOST], price[CARDS_MOST], high[CARDS_MOST], power[CARDS_MOST];
    bool theme[CARDS_MOST];
    int cap, theme_cap; /* cents; theme_cap 0: no rule */
    int handling;
    int gamma;   /* thousandths */
    int in, out; /* a card that must be in, one that must not; -1: none */
} Small;

void small_make(Small *s, Dice *dice);
/* Thousandths of a cent that the pool costs at most. */
long long small_at_worst(const Small *s, const int *pool, bool theme_only);
bool small_keeps(const Small *s, const int *pool, bool theme_only, int limit);
/* Most power in tenths, -1: no pool. */
int small_brute(const Small *s);
/* Writes it into the folder as scenario.yaml with what belongs to it. */
void small_write(const Small *s, const char *folder);

#endif
