/* revise_inner.h - what the files of a revision share: what is worked with, and the questions that all of them ask. */
#ifndef POOLWRIGHT_WHATIF_LIST_REVISE_INNER_H
#define POOLWRIGHT_WHATIF_LIST_REVISE_INNER_H

#include "whatif/list/distance.h"
#include "whatif/list/revise.h"

typedef struct {
    const Loaded *loaded;
    const RevisePlan *plan;
    const SearchOptions *options;
    Distance distance;
    Revision *all;
    size_t point_capacity;
    Diags *diags;
} Reviser;

/* The money for what enters, and how many copies may leave. */
void revise_limit_spend(const Reviser *r, Reoptimiser *search);
void revise_limit_swaps(const Reviser *r, Reoptimiser *search, int swaps);
/* A question of its own: the money, and so many swaps at most. Freed with reoptimiser_free. */
Reoptimiser *revise_within(const Reviser *r, int swaps);
/* from: a pool to start from, or NULL. False with an error in r->diags; else *answer is the caller's to release. */
bool revise_solve(const Reviser *r, Reoptimiser *search, const int *from, SearchOptions options, Answer *answer);
/* Cents for what `copies` has beyond the pool `from` and what is owned. */
int64_t revise_spent(const Instance *in, const int *from, const int *copies);

/* Each fills its part of r->all; false with an error in r->diags. */
bool revise_curve(Reviser *r);     /* revise_curve.c: points along growing numbers of swaps */
bool revise_one_point(Reviser *r); /* the same for the swaps asked for */
bool revise_nearest(Reviser *r);   /* of the pools as good as a point's the one with the fewest changes,
                                      then the one that asks for the least money */
/* Pivots that are left for this, for several pools together. */
typedef struct {
    int64_t nearest, cheapest;
} ToldEffort;
ToldEffort revise_told_effort(void);
/* The same of one point, whose answer is there: counts it, too. changed: a pool [cards] whose changes against the
 * present one stay (revise_fix_changed); NULL: none. */
bool revise_tell(Reviser *r, RevisePoint *point, const int *changed, ToldEffort *effort);
/* What a pool has changed against the present pool stays: copies that left are out and those that came in are in. Of
 * these cards further copies may leave or come in. */
void revise_fix_changed(const Reviser *r, Reoptimiser *search, const int *copies);
/* The pool of the least swaps, as it is told for that number: *copies is the caller's to free, NULL where none was
 * found; *fit is its fit. */
bool revise_mended(Reviser *r, int **copies, int64_t *fit);
bool revise_rank_swaps(Reviser *r, int most); /* revise_rank.c */
bool revise_judge_newcomers(Reviser *r);      /* revise_newcomers.c */

#endif
