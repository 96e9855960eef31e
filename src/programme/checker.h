/* checker.h - counts a pool against every rule, in integers, from cards and model and never from the programme's rows.
 * Runs on every answer before it is shown; also the source of all uses and slacks in reports. */
#ifndef POOLWRIGHT_PROGRAMME_CHECKER_H
#define POOLWRIGHT_PROGRAMME_CHECKER_H

#include "model/instance.h"

typedef enum { USE_SIZE, USE_CAP, USE_MEMBER } UseKind;

typedef struct {
    UseKind kind;
    const RuleMember *member; /* NULL for size and cap */
    Bounds bounds;            /* size: counts; cap: cents */
    Measure measure;          /* MEASURE_COUNT for size, MEASURE_SPEND for the cap */
    int64_t total;            /* the measure over the copies counted, smallest unit */
    int64_t base;             /* percent: the measure over the `of` copies; average: how many copies took part; else 0 */
    bool low_kept, high_kept;
    int64_t low_slack, high_slack; /* by how much the total may fall, rise (smallest unit; negative: broken); INT64_MAX without that side */
    bool low_tight, high_tight;    /* kept, and no smaller step is left */
    int64_t missed;           /* soft rules: units missed, both sides */
    int64_t penalty;          /* fit lost for them, thousandths */
} RuleUse;

typedef struct {
    RuleUse *use;      /* size, cap (if there is one), then every member in the instance's order */
    size_t uses;
    bool kept;         /* every rule holds (soft ones always do), copies are within their limits */
    int64_t size;      /* copies */
    int64_t cost;      /* cents to buy */
    int64_t card_fit;  /* sum over copies */
    int64_t penalty;   /* of soft rules */
    int64_t fit;       /* card_fit - penalty */
} PoolCheck;

/* copies[cards]. Released with pool_check_release. */
void pool_check(const Instance *instance, const int *copies, PoolCheck *check);
void pool_check_release(PoolCheck *check);
/* The file's line that set the bound: a member's own, the rule's, the size's or the cap's. */
SourcePos rule_use_at(const RuleUse *use);
/* "spending cap", "size", "removal (tar)" in the arena. */
const char *rule_use_name(const RuleUse *use, Arena *arena);

#endif
