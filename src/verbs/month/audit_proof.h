/* audit_proof.h - a pool beside a proof that `best --proof` wrote. */
#ifndef POOLWRIGHT_VERBS_MONTH_AUDIT_PROOF_H
#define POOLWRIGHT_VERBS_MONTH_AUDIT_PROOF_H

#include "verbs/frame/job.h"

/* Counts the pool and goes over the proof; nothing is searched or written. The exit code: yes only where the pool keeps
 * all limits and the proof holds. */
int audit_proof(Job *job, const Loaded *loaded, const PoolFile *list);

#endif
