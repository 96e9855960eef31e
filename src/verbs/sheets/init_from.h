/* init_from.h - init --from POOL.csv. */
#ifndef POOLWRIGHT_VERBS_SHEETS_INIT_FROM_H
#define POOLWRIGHT_VERBS_SHEETS_INIT_FROM_H

#include "verbs/frame/job.h"

int init_from(Job *job);

#endif
