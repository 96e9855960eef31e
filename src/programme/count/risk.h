/* risk.h - price risk: hard upper limits on spending that hold whichever Gamma prices rise to their highs (D. Bertsimas
 * and M. Sim, "The price of robustness", Operations Research 52(1), 2004). Gamma may have a fraction: one further price
 * then rises by that part of its way.
 *
 * A pool's protected spending is its typical spending and the greatest rise of the prices of at most Gamma of its
 * bought cards; a risen price raises all bought copies. Counted in whole numbers from cards and copies. Protected are
 * the cap and rules with `measure: spend` that have an absolute, hard upper limit and no `exactly`; equalities, lower
 * limits, percentages, averages and soft rules use typical prices. */
#ifndef POOLWRIGHT_PROGRAMME_COUNT_RISK_H
#define POOLWRIGHT_PROGRAMME_COUNT_RISK_H

#include "model/instance/instance.h"

/* Is the upper limit of the member (NULL: of the cap) protected? */
bool risk_protects(const Instance *instance, const RuleMember *member);
/* Does the limit count what is spent on the card? */
bool risk_counts(const Instance *instance, const RuleMember *member, size_t card);
/* By how much one bought copy may rise, cents. */
int64_t risk_rise(const Instance *instance, size_t card);

typedef struct {
    int64_t typical;   /* cents */
    int64_t protected; /* typical and the greatest rise of Gamma prices, rounded up to cents */
    int64_t highest;   /* all prices at their highs */
    size_t risky;      /* bought cards whose price may rise */
    int64_t held; /* thousandths: the greatest Gamma for which the limit holds, at most all risky ones; 0 if it does not
                     hold at typical prices */
} RiskCount;

/* What the limit counts of a pool. member NULL: all cards, and the cap (none: nothing is held). */
void risk_count(const Instance *instance, const RuleMember *member, const int *copies, RiskCount *count);

/* A set of rises that is worst: share[cards] in thousandths (1000: the whole rise, the rest 0 but for one fraction).
 * bought[cards] may be fractional, as of a relaxation; what is not above 0 never rises. Returns its rise, in
 * thousandths of a cent, rounded down. Ties by card. */
double risk_worst(const Instance *instance, const RuleMember *member, const double *bought, int *share);

/* The paper's bound B(n, Gamma) on the chance that a limit breaks when n prices move independently and as likely up as
 * down, none above its high, and Gamma (thousandths) of them are protected: (1 - m) C(n, floor v) / 2^n + sum over k >
 * floor v of C(n, k) / 2^n with v = (Gamma + n) / 2, m = v - floor v. 0 for Gamma > n. */
long double risk_bound(size_t n, int64_t gamma);
/* The least Gamma, in thousandths, with risk_bound at most `chance`; n x 1000 if there is none below. */
int64_t risk_gamma(size_t n, long double chance);

#endif
