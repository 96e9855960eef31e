/* bench_whatif.c - a frontier of 20 caps on the demo against one cold best to the same gap, on one core, in seconds of
 * the processor: the two commands as a user runs them, and the bare searches (files read, programme searched, nothing
 * explained). */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "whatif/cases/cases.h"

#define CAPS 20
#define EAGER 30000 /* as without --gap */

static const char *const folders[] = {"models"};

static double seconds(void)
{
    return (double)clock() / CLOCKS_PER_SEC;
}

static void stop(const Diags *diags)
{
    char *text = diags_text(diags);
    fputs(text, stderr);
    exit(1);
}

/* ---- the commands ---- */

static double run_command(const char *program, const char *const *arguments)
{
    const pid_t child = fork();
    if (child == 0) {
        const int nowhere = open("/dev/null", O_WRONLY);
        if (nowhere < 0 || dup2(nowhere, STDOUT_FILENO) < 0 || dup2(nowhere, STDERR_FILENO) < 0)
            _exit(127);
        execv(program, (char *const *)(size_t)arguments);
        _exit(127);
    }
    struct rusage used;
    int status;
    if (child < 0 || wait4(child, &status, 0, &used) != child || !WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        fprintf(stderr, "could not run %s %s\n", program, arguments[1]);
        exit(1);
    }
    return (double)(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
           (double)(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / 1e6;
}

static void commands(const char *program)
{
    static const char *const gap[] = {NULL, "0.05%", "0.02%", "0"};
    printf("The commands as a user runs them (`best` explains its pool too):\n");
    for (size_t k = 0; k < sizeof gap / sizeof *gap; k++) {
        const char *const best[] = {
            program, "best", "scenarios/demo", "--threads", "1", gap[k] != NULL ? "--gap" : NULL, gap[k], NULL};
        const char *const caps[] = {program,
                                    "what-if",
                                    "scenarios/demo",
                                    "--caps",
                                    "205..395/10",
                                    "--threads",
                                    "1",
                                    gap[k] != NULL ? "--gap" : NULL,
                                    gap[k],
                                    NULL};
        const double one = run_command(program, best), all = run_command(program, caps);
        printf("  %-13s best %.2f s, frontier %.2f s, ratio %.2f\n", gap[k] != NULL ? gap[k] : "as it comes", one, all,
               all / one);
    }
}

/* ---- the searches ---- */

static double cold_best(const SearchOptions *options, Diags *diags)
{
    const Overrides overrides = {.model_folders = folders, .model_folder_count = 1};
    const double start = seconds();
    Loaded loaded;
    Answer answer;
    Solved solved;
    if (!loaded_read(&loaded, "scenarios/demo", &overrides, NULL, "", diags) ||
        !loaded_solve(&loaded, options, &answer, &solved, diags))
        stop(diags);
    const double took = seconds() - start;
    answer_release(&answer);
    loaded_release(&loaded);
    return took;
}

static double frontier(const SearchOptions *options, Diags *diags)
{
    const Overrides overrides = {.model_folders = folders, .model_folder_count = 1};
    CapAt cap[CAPS];
    for (int k = 0; k < CAPS; k++)
        cap[k] = (CapAt){.cap = 20500 + 1000 * k};
    const WhatIfPlan plan = {
        .subject = "scenarios/demo", .overrides = &overrides, .cap = cap, .caps = CAPS, .cap_to = cap[CAPS - 1].cap};
    const double start = seconds();
    WhatIf *all = what_if_read(&plan, diags);
    if (all == NULL || !what_if_run(all, &plan, options, NULL, diags))
        stop(diags);
    const double took = seconds() - start;
    for (size_t k = 2; k < all->count; k++)
        if (all->item[k].answer.check.fit < all->item[k - 1].answer.check.fit) {
            fprintf(stderr, "the frontier falls at %s\n", all->item[k].name);
            exit(1);
        }
    what_if_free(all);
    return took;
}

static void searches(void)
{
    static const struct {
        const char *name;
        int64_t gap, eager;
    } run[] = {{"as it comes", 500, EAGER}, {"0.05%", 500, 0}, {"0.02%", 200, 0}, {"0.01%", 100, 0}, {"0", 0, 0}};
    Diags diags;
    diags_init(&diags);
    printf("The bare searches, at most 200,000 steps for each pool:\n");
    for (size_t k = 0; k < sizeof run / sizeof *run; k++) {
        SearchOptions options;
        search_options_default(&options);
        options.gap_ppm = run[k].gap;
        options.eager = run[k].eager;
        options.effort = 200000;
        const double best = cold_best(&options, &diags), all = frontier(&options, &diags);
        printf("  %-13s best %.3f s, frontier %.2f s, ratio %.1f\n", run[k].name, best, all, all / best);
    }
    diags_release(&diags);
}

int main(int argc, char **argv)
{
    printf("A frontier of %d caps (205.00 to 395.00) on the demo against one cold best to the same gap.\n", CAPS);
    commands(argc > 1 ? argv[1] : "build/poolwright");
    fflush(stdout);
    searches();
    return 0;
}
