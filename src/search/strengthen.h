/* strengthen.h - a tighter matrix for the same integer points: rows of rounding cuts at its end. */
#ifndef POOLWRIGHT_SEARCH_STRENGTHEN_H
#define POOLWRIGHT_SEARCH_STRENGTHEN_H

#include "search/cut_store.h"

typedef struct {
    int64_t pivots, cuts;
} StrengthenCount;

/* Solves the relaxation of *matrix (the loaded problem's) over its box, adds the cuts that tighten it, a few rounds, and keeps those that stay tight. The rows of
 * before keep their numbers. The matrix is replaced; every integer point of its box that satisfied the old rows satisfies the new ones (proven in
 * integers by mir.c). store holds what earlier runs found and takes what this one finds; wide_low and wide_high [columns] is a box around all boxes that the
 * store has been or will be used with. */
void strengthen(Matrix *matrix, const SearchProblem *problem, const int64_t *wide_low, const int64_t *wide_high, CutStore *store,
                const SearchOptions *options, StrengthenCount *count);

#endif
