/* explain_job.h - what why, swap and best share when they explain: src/explain/inquiry.h with the job's options. */
#ifndef POOLWRIGHT_VERBS_FRAME_EXPLAIN_JOB_H
#define POOLWRIGHT_VERBS_FRAME_EXPLAIN_JOB_H

#include <jansson.h>

#include "explain/inquiry.h"
#include "verbs/frame/job.h"

/* The inquiry's search options are kept in *search; the job may not move while it is used. */
Inquiry job_inquiry(Job *job, const Instance *instance, SearchOptions *search);
/* The best pool that all explanations begin from; false with an error. */
bool explain_base(Job *job, const Programme *programme, Answer *answer);
/* Everything that the first screen of `best` tells. */
void explain_best(Job *job, Answer *answer, Explained *explained);
/* It is proven that there is no pool of the instance: its causes. False when nothing could be found out. */
bool explain_causes(Job *job, const Instance *instance, Explained *explained);

/* The frame of why and swap: files -> cards named -> best pool -> one loaded search -> what the verb finds -> text or
 * JSON of that. */
typedef struct {
    bool (*find)(const Inquiry *inquiry, const Answer *answer, const size_t *card, size_t count, Explained *out,
                 bool *settled, Diags *diags);
    void (*text)(Job *job, const Answer *answer, const Explained *all, Text *out);
    json_t *(*json)(const Instance *instance, const Answer *answer, const Explained *all, bool settled,
                    const Diags *notices);
} ExplainVerb;

int explain_verb(Job *job, const ExplainVerb *verb);

#endif
