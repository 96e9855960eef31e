/* explain_job.h - what why, swap and best share when they explain. */
#ifndef POOLWRIGHT_VERBS_EXPLAIN_JOB_H
#define POOLWRIGHT_VERBS_EXPLAIN_JOB_H

#include <jansson.h>

#include "explain/explained.h"
#include "verbs/job.h"

/* Effort in pivots: what one question may take, and all together. Less where --effort says so. */
void explain_job_options(Job *job, int64_t probe, int64_t effort, ExplainOptions *options);
/* The cards named on the command line, without doubles; false with errors for unknown ones. card[job->options.words] */
bool explain_job_cards(Job *job, size_t *card, size_t *count);
/* Everything that the first screen of `best` tells. The answer's bound falls to its fit where that is proven on the
 * way. */
void explain_best(Job *job, Answer *answer, Explained *explained);

/* It is proven that there is no pool of the instance: its causes. False when nothing could be found out. */
bool explain_causes(Job *job, const Instance *instance, Explained *explained);

/* The frame of why and swap: files -> cards named -> best pool -> one loaded search -> what the verb finds -> text or
 * JSON of that. */
typedef struct {
    int64_t probe, effort; /* pivots of one question; of all */
    /* There is a pool (or nothing fits: proven). True: all that was asked is settled. */
    bool (*find)(Job *job, const Answer *answer, Explained *all, const size_t *card, size_t count);
    void (*find_nothing)(Job *job, Explained *all);
    void (*text)(Job *job, const Answer *answer, const Explained *all, Text *out);
    void (*json)(Job *job, const Answer *answer, const Explained *all, json_t *root);
} ExplainVerb;

int explain_verb(Job *job, const ExplainVerb *verb);

#endif
