/* strengthen.h - a tighter matrix for the same integer points: rows of rounding cuts at its end. */
#ifndef POOLWRIGHT_SEARCH_STRENGTHEN_H
#define POOLWRIGHT_SEARCH_STRENGTHEN_H

#include "search/matrix.h"

typedef struct {
    int64_t pivots, cuts;
} StrengthenCount;

/* Solves the relaxation of *matrix over its box, adds the cuts that tighten it, a few rounds, and keeps those that stay tight. The rows of before keep their
 * numbers. The matrix is replaced; every integer point of its box that satisfied the old rows satisfies the new ones (proven in integers by mir.c). */
void strengthen(Matrix *matrix, const SearchOptions *options, StrengthenCount *count);

#endif
