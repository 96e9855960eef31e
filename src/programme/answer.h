/* answer.h - from an instance to a checked answer: the one structure that explanations and reports start from. */
#ifndef POOLWRIGHT_PROGRAMME_ANSWER_H
#define POOLWRIGHT_PROGRAMME_ANSWER_H

#include "programme/count/checker.h"
#include "programme/equals/equals.h"
#include "search/search.h"

/* Where nobody says how near the best is near enough: a fraction of a second's pivots for the best itself, by when most
 * pools are proven best; after that within .05 %. */
#define USUAL_EAGER 30000
#define USUAL_GAP_PPM 500
#define EFFORT_MOST INT64_C(1000000000000) /* that somebody may ask for */

typedef enum {
    ANSWER_BEST,       /* proven: no pool is better */
    ANSWER_WITHIN_GAP, /* proven within the gap asked for */
    ANSWER_INFEASIBLE, /* proven: no pool keeps the rules */
    ANSWER_STOPPED     /* effort ran out, or a signal, before either */
} AnswerStatus;

typedef struct {
    AnswerStatus status;
    bool has_pool;
    int *copies;     /* [cards]; all 0 without a pool */
    PoolCheck check; /* of the pool; empty without one */
    bool has_bound;
    int64_t bound;   /* thousandths: no pool has more */
    int64_t gap_ppm; /* the gap asked for */
    SearchStatistics statistics;
    int64_t nearer; /* pivots of a second search, for what the first left of the gap (explain/inquiry.h); else 0 */
    int columns, rows;
    AmongEquals equals; /* what is proven of its place among pools of the same fit */
} Answer;

/* Solves the programme, finds the pool among its equals and re-checks it from cards and model. False with an error in
 * diags when it could not run; then answer is untouched. Released with answer_release. */
bool answer_find(const Programme *programme, const SearchOptions *options, Answer *answer, Diags *diags);
/* The same, but a pool with no more than `fit` is not looked for among its equals: it is known already. Of others it is
 * looked for as where a gap is asked for. */
bool answer_find_above(const Programme *programme, const SearchOptions *options, int64_t fit, Answer *answer,
                       Diags *diags);
/* The same of what was found already, on the programme or an extension of it whose first columns are the programme's.
 * The answer's bound and the comparison of fits only where `objective_is_fit`. The result stays the caller's. */
bool answer_take(const Programme *programme, const SearchOptions *options, const SearchResult *result,
                 bool objective_is_fit, Answer *answer, Diags *diags);
/* The answer's pool becomes the one among its equals; nothing without a pool. False with an error in diags when that
 * one breaks a rule; then the answer is as it was. source: as for equals_find. */
bool answer_among_equals(const Programme *programme, const SearchOptions *options, const EqualsSource *source,
                         Answer *answer, Diags *diags);
/* No pool has more fit than this: proven. Taken where it says more than what is known; the status follows. */
void answer_lower_bound(Answer *answer, int64_t bound);
void answer_release(Answer *answer);
const char *answer_status_name(AnswerStatus status); /* "best", "within gap", "infeasible", "stopped" */

/* (bound - fit) / fit in parts per million, rounded up; -1 when there is no pool, no bound, or the fit is not above 0.
 */
int64_t answer_gap_ppm(const Answer *answer);

#endif
