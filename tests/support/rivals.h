/* rivals.h - the same programme given to other solvers, and their progress read from their logs. For benchmarks. */
#ifndef POOLWRIGHT_TESTS_RIVALS_H
#define POOLWRIGHT_TESTS_RIVALS_H

#include "search/search.h"

enum { CURVE_GAPS = 6 };
extern const double curve_gap[CURVE_GAPS]; /* 1 %, .1 %, .05 %, .03 %, .01 %, 0 = proof */

typedef struct {
    double at[CURVE_GAPS]; /* CPU seconds to each proven gap; negative: not reached */
    double first;          /* to the first solution; negative: none */
    double total;          /* until it ended or was stopped */
    double value, bound;
} Curve;

void curve_init(Curve *curve);
void curve_note(Curve *curve, double seconds, double value, double bound); /* maximisation */

/* Our engine, one thread unless told otherwise. CPU seconds; with more threads wall seconds. */
void rival_ours(const SearchProblem *problem, SearchEngine engine, int threads, double seconds, Curve *curve);
/* `cbc` on the path; false when it is not there. */
bool rival_cbc(const SearchProblem *problem, double seconds, Curve *curve);
/* HiGHS compiled to WebAssembly: folder is one in which the npm package `highs` was installed. */
bool rival_highs(const SearchProblem *problem, const char *folder, double seconds, Curve *curve);

#endif
