/* proof_report.h - a proof, and perhaps a pool beside it, as text and JSON. */
#ifndef POOLWRIGHT_REPORT_LIST_PROOF_REPORT_H
#define POOLWRIGHT_REPORT_LIST_PROOF_REPORT_H

#include <stdint.h>

#include "base/diag.h"
#include "base/text.h"

typedef struct {
    const char *proof; /* its path */
    const char *pool;  /* the same; NULL: there is none, nor fit nor anything broken */
    int64_t fit;       /* thousandths, of the pool */
    size_t broken;     /* limits that it breaks, cards that may not be in it so */
    bool any;          /* the proof speaks of fit; else it says that there is no pool at all */
    int64_t most;      /* thousandths: no pool has more, proven */
    size_t steps;
} ProvenPool;

void proof_text(const ProvenPool *proven, Text *out);
bool proof_json(const ProvenPool *proven, const Diags *notices, Text *out);

#endif
