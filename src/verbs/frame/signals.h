/* signals.h - how a run ends before its time: signals, and no memory left. */
#ifndef POOLWRIGHT_VERBS_FRAME_SIGNALS_H
#define POOLWRIGHT_VERBS_FRAME_SIGNALS_H

#include "verbs/frame/job.h"

/* From here on a run that SIGINT, SIGTERM or SIGHUP asks to stop ends at once, with exit code 128 and the signal's
 * number; after job_stop_gently the first of them only sets job->signal. What is ignored stays ignored. A file that
 * grows too large is a failed write. Without memory the exit code is EXIT_COULD_NOT_RUN. No file is left half written
 * in either case. Called by main only, once; the job may not move. */
void signals_watch(Job *job);

#endif
