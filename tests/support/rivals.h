/* rivals.h - the same programme given to us and to other solvers, and the progress of each. For benchmarks. */
#ifndef POOLWRIGHT_SUPPORT_RIVALS_H
#define POOLWRIGHT_SUPPORT_RIVALS_H

#include "search/search.h"

enum { CURVE_GAPS = 7, CURVE_05 = 3, CURVE_03 = 4, CURVE_01 = 5, CURVE_PROOF = 6 };
extern const double curve_gap[CURVE_GAPS]; /* 1 %, .5 %, .1 %, .05 %, .03 %, .01 %, 0 = proof */

typedef struct {
    double at[CURVE_GAPS]; /* seconds to each proven gap; negative: not reached */
    double total;          /* until it ended or was stopped */
    double limit;          /* seconds it was given */
    double value, bound;
    double megabytes; /* most memory of its process */
    int64_t grain;    /* bounds are rounded down to a multiple of it, for everyone alike */
    bool infeasible;  /* proven; ours only */
} Curve;

/* Takes the better of both at each gap. */
void curve_merge(Curve *curve, const Curve *other);

/* Our engines, in a process of their own, the programme loaded before the clock starts. One thread: CPU seconds; more:
 * wall seconds. */
void rival_ours(const SearchProblem *problem, SearchEngine engine, int threads, double seconds, double until_gap,
                Curve *curve);
/* `cbc` on the path, by its own clock (CPU seconds, without reading the file); false when it is not there. */
bool rival_cbc(const SearchProblem *problem, double seconds, Curve *curve);
/* HiGHS by a command that is given an LP file and seconds and prints HiGHS's own log, as tests/support/highs-native
 * does. By its own clock, without loading and reading. */
bool rival_highs(const SearchProblem *problem, const char *command, double seconds, Curve *curve);

#endif
