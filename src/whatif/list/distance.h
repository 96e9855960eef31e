/* distance.h - a programme that also counts how far its pools are from a given one: copies kept, copies changed, money
 * for what enters. */
#ifndef POOLWRIGHT_WHATIF_LIST_DISTANCE_H
#define POOLWRIGHT_WHATIF_LIST_DISTANCE_H

#include "whatif/reoptimise.h"

typedef struct {
    const Loaded *loaded;
    const int *from;        /* [cards] the given pool, any copies */
    int copies;             /* of it, in all */
    SearchProblem *problem; /* the programme's columns and rows first; its objective is fit */
    int kept_row;           /* copies of the given pool that stay; without bounds until set */
    int change_row;         /* 2 x kept - size of the pool: the given size less this is what leaves plus what enters */
    int enter_row;          /* cents for copies beyond those given and owned */
    int *kept_column;       /* [cards] a column of ours, or -1: the card's own column says it */
    int *enter_column;
} Distance;

/* from must outlive it. */
void distance_init(Distance *distance, const Loaded *loaded, const int *from);
void distance_release(Distance *distance);
/* x[problem->columns] of a pool. Freed with mem_free. */
int64_t *distance_solution(const Distance *distance, const int *copies);
/* As many copies that stay as can be; as few changed copies; as little money for what enters, negated. */
typedef enum { DISTANCE_KEPT, DISTANCE_CHANGED, DISTANCE_SPENT } DistanceObjective;
/* A question on the problem with another objective. Freed with reoptimiser_free. */
Reoptimiser *distance_question(const Distance *distance, DistanceObjective objective);
/* A row more on the problem: at least so much fit. Freed with extension_problem_free. */
SearchProblem *distance_with_fit(const SearchProblem *problem, int64_t fit);
/* As few changed copies as can be, of pools with at least so much fit. NULL: its numbers are too large to be counted
 * together. */
Reoptimiser *distance_nearest(const Distance *distance, int64_t fit);
/* As little money for what enters as can be, of pools with at least so much fit and at most so many changes (copies out
 * and copies in). NULL: as above. */
Reoptimiser *distance_cheapest(const Distance *distance, int64_t fit, int changes);
/* Each takes the other's pool, with how it counts. */
void exchange_pools(Answer *a, Answer *b);
int distance_kept(const Distance *distance, const int *copies);

#endif
