/* equals.h - one pool among equals: many pools may have the same fit, and every verb names the same one of them. It is
 * the cheapest to buy; of those as cheap the one with the fewest changes against the present pool (copies out and
 * copies in), where there is one; of those the first when copies are compared in the order of folded names, more first
 * at the first difference. */
#ifndef POOLWRIGHT_PROGRAMME_EQUALS_EQUALS_H
#define POOLWRIGHT_PROGRAMME_EQUALS_EQUALS_H

#include "programme/programme.h"

/* What of that order is proven. Each step is about the pools that are as good in all steps before it. */
typedef struct {
    bool cost;    /* no pool of this fit costs less */
    bool changes; /* none that costs as much changes less; true without a present pool */
    bool names;   /* none of those comes before it */
    bool fit;     /* on the way: no pool has more fit. False where that was not looked into */
    int64_t pivots;
} AmongEquals;

/* The search that has just found the programme's fit, and how it did: that leaves little to search among equals. Its
 * problem is the programme's, or one in which the programme is stated (programme/align.h). */
typedef struct {
    Search *search;
    const int64_t *best; /* [columns] what it found */
    bool proven;         /* its fit is proven best */
    int64_t pivots;      /* what that took */
    const int *column;   /* [programme's columns] its column of each; NULL: the same */
    int columns;
    int cap_row; /* its row that says what is paid; -1: none, and it is of no use */
} EqualsSource;

/* Of what the search of this very programme found; of no use where that is not proven best, unless prices are at risk:
 * there the steps are dear, and most of the proof is done. result: outlives it. */
EqualsSource equals_source(const Programme *programme, Search *search, const SearchResult *result);

/* copies[cards] is a pool that keeps every rule; it becomes the first found among its equals. Each step has an effort
 * of its own, no more than options->effort where that is set, and far more where no gap is asked for; once a step is
 * open, or where the fit took long to prove, they get a fifth of the usual. Where the fit was not proven best, a
 * pool of more fit may come up: then it is taken, and its equals are meant. source: NULL without. */
void equals_find(const Programme *programme, const SearchOptions *options, const EqualsSource *source, int *copies,
                 AmongEquals *among);

#endif
