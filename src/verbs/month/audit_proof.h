/* audit_proof.h - a proof that `best --proof` wrote, and a pool beside it. */
#ifndef POOLWRIGHT_VERBS_MONTH_AUDIT_PROOF_H
#define POOLWRIGHT_VERBS_MONTH_AUDIT_PROOF_H

#include "verbs/frame/job.h"

/* Counts the pool (NULL: none is asked about) and goes over the proof; nothing is searched or written. The exit code:
 * yes only where the pool keeps all limits and the proof holds. */
int audit_proof(Job *job, const Loaded *loaded, const PoolFile *list);

#endif
