/* bench_whatif.c - a frontier of 20 caps on the demo against one cold best to the same gap, both from the files on, on one core. Seconds of the processor. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "whatif/cases.h"

static const char *const folders[] = {"models"};

static double seconds(void) { return (double)clock() / CLOCKS_PER_SEC; }

static void stop(const Diags *diags)
{
    char *text = diags_text(diags);
    fputs(text, stderr);
    exit(1);
}

static double cold_best(const SearchOptions *options, Diags *diags)
{
    const Overrides overrides = {.model_folders = folders, .model_folder_count = 1};
    const double start = seconds();
    Ground ground;
    Answer answer;
    Solved solved;
    if (!ground_read(&ground, "scenarios/demo", &overrides, "", diags) || !ground_solve(&ground, NULL, options, true, &answer, &solved, diags))
        stop(diags);
    const double took = seconds() - start;
    answer_release(&answer);
    ground_release(&ground);
    return took;
}

static double frontier(const SearchOptions *options, Diags *diags)
{
    const Overrides overrides = {.model_folders = folders, .model_folder_count = 1};
    CapAt cap[20];
    for (int k = 0; k < 20; k++)
        cap[k] = (CapAt){.cap = 20500 + 1000 * k};
    const WhatIfPlan plan = {.subject = "scenarios/demo", .overrides = &overrides, .cap = cap, .caps = 20, .cap_to = cap[19].cap};
    const double start = seconds();
    WhatIf *all = what_if_run(&plan, options, diags);
    if (all == NULL)
        stop(diags);
    const double took = seconds() - start;
    what_if_free(all);
    return took;
}

int main(void)
{
    static const int64_t gap[] = {500, 200, 100, 50, 0};
    Diags diags;
    diags_init(&diags);
    printf("A frontier of 20 caps (205.00 to 395.00) on the demo against one cold best to the same gap:\n");
    for (size_t k = 0; k < sizeof gap / sizeof *gap; k++) {
        SearchOptions options;
        search_options_default(&options);
        options.gap_ppm = gap[k];
        options.effort = 200000; /* for each pool */
        const double best = cold_best(&options, &diags), all = frontier(&options, &diags);
        printf("  gap %.3f%%: best %.3f s, frontier %.2f s, ratio %.1f\n", (double)gap[k] / 10000, best, all, all / best);
    }
    diags_release(&diags);
    return 0;
}
