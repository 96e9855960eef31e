/* bench_drafts.c - 10,000 simulated drafts of the demo's pool by eight seats: processor and wall time with one thread
 * and with two, and picks a second. To be at most 10 s on two cores. */
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

#include "support/run.h"

static double processor(void)
{
    struct rusage usage;
    getrusage(RUSAGE_CHILDREN, &usage);
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
}

static double wall(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

int main(void)
{
    static const char *const threads[] = {"1", "2"};
    for (int k = 0; k < 2; k++) {
        Run run;
        const double used = processor(), begun = wall();
        run_poolwright(".",
                       (const char *const[]){"seats", "scenarios/demo", "--drafts", "10000", "--json", "--threads",
                                             threads[k], NULL},
                       NULL, &run);
        const double cpu = processor() - used, seconds = wall() - begun;
        printf("10,000 drafts of eight seats, %s thread%s: %.2f s of processor, %.2f s in all, %.1f million picks a "
               "second\n",
               threads[k], k == 0 ? "" : "s", cpu, seconds, 10000 * 360 / cpu / 1e6);
        if (run.code != 0) {
            fputs(run.err, stderr);
            return EXIT_FAILURE;
        }
        run_forget(&run);
    }
    return EXIT_SUCCESS;
}
