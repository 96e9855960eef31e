/* starter_from.h - the model of a pool that is there: its counts as starting bands. */
#ifndef POOLWRIGHT_REPORT_STARTER_STARTER_FROM_H
#define POOLWRIGHT_REPORT_STARTER_STARTER_FROM_H

#include "report/starter/starter_found.h"

/* copies: of each candidate in the pool; file: what comments call it. found->supply counts the pool. */
void starter_from_model(const StarterFound *found, const int *copies, const char *file, Text *out);

#endif
