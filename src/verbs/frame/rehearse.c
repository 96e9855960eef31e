/* rehearse.c - signals at named stages, for tests: a signal sent from outside comes when the clock says so, which on a
 * busy machine is another moment each time.
 *
 * POOLWRIGHT_TEST_SIGNAL=2@pool,2@files sends signal 2 to the run itself when it first reaches the stage "pool", and
 * again when it reaches "files" after that. */
#include <signal.h>
#include <stdlib.h>
#include <string.h>

#include "verbs/frame/job.h"

void job_stage(Job *job, const char *stage)
{
    const char *next = job->rehearsal;
    if (next == NULL)
        return;
    char *at;
    const long number = strtol(next, &at, 10);
    const size_t length = strcspn(at, ",");
    if (*at != '@' || length != strlen(stage) + 1 || strncmp(at + 1, stage, length - 1) != 0)
        return;
    job->rehearsal = at[length] == ',' ? at + length + 1 : NULL;
    raise((int)number);
}
