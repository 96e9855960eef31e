/* tried.h - random scenarios of at most nine invented cards, with every pool tried: what test_explain_brute.c and
 * test_explain_conflicts.c compare explanations with. The rules are read here a second time, from the numbers they were
 * made of; nothing of src/ is used for the expected values. */
#ifndef POOLWRIGHT_SUPPORT_TRIED_H
#define POOLWRIGHT_SUPPORT_TRIED_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "explain/explain.h"
#include "support/lab.h"
#include "support/run.h"

enum { CARDS = 9, RULES = 5, POOLS = 20000, SIDES = 24 };
/* percent: a share of the pool's cards, of its column, of what is spent; soft: of cards, of what is spent */
enum {
    COUNT_RULE,
    COLUMN_RULE,
    SPEND_RULE,
    PRICE_RULE,
    PERCENT_RULE,
    COLUMN_SHARE,
    SPEND_SHARE,
    AVERAGE_RULE,
    SOFT_RULE,
    SOFT_SPEND,
    KINDS
};

typedef struct {
    int kind, priority;
    bool rye_only, has_low, has_high, exactly; /* exactly: low and high are one */
    int64_t low, high;                         /* cards, thousandths, cents, thousandths of a percent */
    int64_t soft;
} MadeRule;

typedef struct {
    int cards, rules, from, to;
    int64_t power[CARDS], price[CARDS], high[CARDS], number[CARDS], cap; /* high: to which the price may rise */
    int64_t weight, playable; /* of power; by how much less counts what no deck can play, thousandths of a percent */
    bool rye[CARDS], keep[CARDS], ban[CARDS]; /* half of the decks play a rye card, all of them another */
    int copies[CARDS], owned[CARDS];
    bool has_cap, at_risk;
    int64_t gamma; /* prices that rise at once, thousandths */
    MadeRule rule[RULES];
} Made;

typedef struct {
    int copies[CARDS];
    int64_t fit;
    int64_t over[SIDES]; /* by how many units each side is missed */
} Tried;

typedef struct {
    Tried *pool;
    size_t pools;
} All;

typedef struct {
    Made made;
    Lab lab;
    Programme *programme;
    Answer answer;
    Explain *explain;
    All all;
    uint64_t seed;
} Scene;

#define NONE_FIT INT64_MIN /* there is no such pool */

#define SAY(scene, what, got, expected)                                                                                \
    fail_msg("scenario %llu: %s: %lld, by trying every pool %lld", (unsigned long long)(scene)->seed, what,            \
             (long long)(got), (long long)(expected))

/* The seed's scenario, its best pool, its explanation (effort in pivots, 0: no limit) and all pools. hard: seldom one
 * that keeps all rules. */
void scene_open(Scene *scene, uint64_t seed, bool hard, int64_t effort);
void scene_close(Scene *scene);
/* The explanation anew, with so many pivots to use, of the answer as it is now. */
void scene_effort(Scene *scene, int64_t effort);
bool is_unlimited(const Scene *scene);

int64_t up(int64_t a, int64_t b); /* a / b rounded up, not below 0 */
/* Of one copy with another power, thousandths. */
int64_t fit_with(const Made *made, int card, int64_t power);
int64_t spent_on(const Made *made, int card, int copies);
/* Fit of a pool, soft rules and all. */
int64_t fit_of(const Made *made, const int *copies, const Side *loose, int64_t s);
/* In the side's unit of loosening: what a tenth of the limit is, or three of its measure. */
int64_t usual_look(const Made *made, const Side *side);
/* What a unit of loosening weighs in a repair, 16000 for a card at priority 5. */
int64_t weight_of(const Made *made, const Side *side);
/* The index of a rule's side: "rule 3" is 2. */
int made_rule(const Side *side);
/* By how many units a side is missed. */
int64_t side_over(const Made *made, const Side *side, const int *copies);
/* No side is missed but `but` (-1: none), by at most `allowed`. */
bool kept_but(const Tried *tried, int sides, int but, int64_t allowed);
/* Best fit with side `but` loosened by s, among pools that hold (want 1), lack (want 0) the card, or any (want -1). */
int64_t best_of(const Made *made, const All *all, const SideProblem *sides, int but, int64_t s, int card, int want);
/* Loosenings at which something can change, ascending. */
size_t steps_of(const Made *made, const All *all, const SideProblem *sides, int side, int64_t *step);

/* The range is right, and exact where there was no limit of effort. */
void check_exact(const Scene *scene, const char *what, const Range *range, int64_t expected);
/* card: forced in, or -1. *minimal counts those proven minimal. */
void check_conflict(const Scene *scene, const Conflict *conflict, int card, int *minimal);

#endif
