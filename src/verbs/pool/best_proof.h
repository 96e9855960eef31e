/* best_proof.h - the proof that no pool has more fit, as a file (--proof). */
#ifndef POOLWRIGHT_VERBS_POOL_BEST_PROOF_H
#define POOLWRIGHT_VERBS_POOL_BEST_PROOF_H

#include "verbs/frame/job.h"

/* Before the search: whether there can be one. False with an error. */
bool best_proof_can_be(Job *job, const Programme *programme);
/* Of what the answer, which has a pool and a bound, says about all pools; appended to `out`. False with an error: none
 * was found. */
bool best_proof_find(Job *job, const Programme *programme, const Answer *answer, Text *out);

#endif
