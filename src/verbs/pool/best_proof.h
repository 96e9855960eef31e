/* best_proof.h - the proof that no pool has more fit, or that there is none, as a file (--proof). */
#ifndef POOLWRIGHT_VERBS_POOL_BEST_PROOF_H
#define POOLWRIGHT_VERBS_POOL_BEST_PROOF_H

#include "verbs/frame/job.h"

/* Is one asked for, and does the answer say something about all pools? */
bool best_proof_is_due(const Job *job, const Answer *answer);
/* Of what such an answer says about all pools; appended to `out`. False with an error: none was found. */
bool best_proof_find(Job *job, const Programme *programme, const Answer *answer, Text *out);

#endif
