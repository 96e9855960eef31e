/* explain_job.h - what why, swap and best share when they explain. */
#ifndef POOLWRIGHT_VERBS_EXPLAIN_JOB_H
#define POOLWRIGHT_VERBS_EXPLAIN_JOB_H

#include <jansson.h>

#include "report/explained.h"
#include "verbs/job.h"

/* Effort in pivots: what one question may take, and all together. Less where --effort says so. */
void explain_job_options(Job *job, int64_t probe, int64_t effort, ExplainOptions *options);
/* The cards named on the command line, without doubles; false with errors for unknown ones. card[job->options.words] */
bool explain_job_cards(Job *job, size_t *card, size_t *count);
/* Everything that the first screen of `best` tells. The
 * answer's bound falls to its fit where that is proven on the way. */
void explain_best(Job *job, Answer *answer, Explained *explained);
void explained_release(Explained *explained);
/* When nothing fits: conflict, repair and counts. list: all of them. */
void explain_nothing_fits(const Instance *instance, bool list, Explained *explained);

/* The frame of why and swap: files -> cards named -> best pool -> one loaded search -> what the verb tells -> text or
 * JSON. */
typedef struct {
    int64_t probe, effort; /* pivots of one question; of all */
    /* There is a pool. True: all that was asked is settled. */
    bool (*tell)(Job *job, const Answer *answer, Explained *all, const size_t *card, size_t count, json_t *root,
                 Text *out);
    void (*nothing)(Job *job, Explained *all, json_t *root, Text *out); /* proven that there is none */
} ExplainVerb;

int explain_verb(Job *job, const ExplainVerb *verb);

#endif
