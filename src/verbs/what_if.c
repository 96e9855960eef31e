/* what_if.c - files -> every case solved and compared -> comparison, sheets, picture. */
#include <string.h>

#include "base/file.h"
#include "report/report.h"
#include "report/whatif_report.h"
#include "verbs/job.h"
#include "verbs/series.h"

static int exit_code(const WhatIf *all)
{
    bool stopped = false, any = false;
    for (size_t k = 0; k < all->count; k++) {
        stopped = stopped || all->item[k].answer.status == ANSWER_STOPPED;
        any = any || all->item[k].answer.has_pool;
    }
    return stopped ? EXIT_STOPPED : any ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

static bool read_plan(Job *job, WhatIfPlan *plan)
{
    const Options *o = &job->options;
    *plan = (WhatIfPlan){.subject = o->subject,
                         .overrides = &o->overrides,
                         .cases = o->cases || (o->sizes == NULL && o->caps == NULL && o->overrides.case_name == NULL)};
    if (strcmp(o->subject, "-") == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "what-if reads the cards more than once, so they cannot come from standard input; expected a file");
    if (o->cases && o->overrides.case_name != NULL)
        diag_error(&job->diags, (SourcePos){0}, "--cases and --case do not go together");
    if (o->sizes != NULL && o->overrides.has_size)
        diag_error(&job->diags, (SourcePos){0}, "--sizes and --size do not go together");
    if (o->caps != NULL && (o->overrides.has_cap || o->overrides.no_cap))
        diag_error(&job->diags, (SourcePos){0}, "--caps and --cap do not go together");
    if (o->plot != NULL && o->caps == NULL)
        diag_error(&job->diags, (SourcePos){0}, "--plot needs --caps, for instance --caps 200..800/50");
    if (o->plot != NULL && o->csv != NULL && strcmp(o->plot, o->csv) == 0)
        diag_error(&job->diags, (SourcePos){0}, "--csv and --plot name one file, expected two");
    if (o->output != NULL && strcmp(o->output, "-") == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "-o: found '-', expected a folder; one sheet alone goes to standard output with --csv -");
    if (o->json && ((o->csv != NULL && strcmp(o->csv, "-") == 0) || (o->plot != NULL && strcmp(o->plot, "-") == 0)))
        diag_error(&job->diags, (SourcePos){0}, "--json and '-' would both go to standard output; give a file");
    if (o->sizes != NULL)
        series_sizes(o->sizes, o->arena, &plan->size, &plan->sizes, &job->diags);
    if (o->caps != NULL)
        series_caps(o->caps, o->arena, &plan->cap, &plan->caps, &plan->steps, &plan->cap_from, &plan->cap_to,
                    &job->diags);
    return job->diags.errors == 0;
}

/* ---- files ---- */

static const char *path_in(Job *job, const char *name)
{
    return arena_printf(job->options.arena, "%s/%s.csv", job->options.output, name);
}

/* Before the search: what is written whatever is found goes over nothing that is read, and can be written. What is
 * wrong with the files is not said here. */
static bool outputs_good(Job *job, int *code)
{
    const Options *o = &job->options;
    Diags quiet;
    diags_init(&quiet);
    Scenario *scenario = scenario_read(o->subject, &o->overrides, &quiet);
    diags_release(&quiet);
    bool good = scenario == NULL || (job_may_write(job, scenario, "--csv", o->csv, code) &&
                                     job_may_write(job, scenario, "--plot", o->plot, code));
    if (scenario != NULL && good && o->output != NULL)
        good = job_spares_inputs(job, scenario, "-o", path_in(job, "cards")) &&
               job_spares_inputs(job, scenario, "-o", path_in(job, "comparison"));
    scenario_free(scenario);
    return good;
}

static bool write_in(Job *job, const char *name, Text *text)
{
    const char *path = path_in(job, name);
    bool good = file_write(path, text_cstr(text), text->length, &job->diags);
    text_release(text);
    return good;
}

/* Two cases whose names differ in signs only get numbers. */
static const char *free_name(Job *job, const WhatIf *all, size_t item, const char **taken)
{
    const char *name = file_part(all->item[item].name, job->options.arena), *tried = name;
    for (int number = 2;; number++) {
        bool free = strcmp(tried, "comparison") != 0 && strcmp(tried, "cards") != 0;
        for (size_t k = 0; k < item; k++)
            free = free && (taken[k] == NULL || strcmp(taken[k], tried) != 0);
        if (free)
            return taken[item] = tried;
        tried = arena_printf(job->options.arena, "%s-%d", name, number);
    }
}

/* Each pool's name in the folder. False with an error where one would go over a file that is read. */
static bool name_pools(Job *job, const WhatIf *all, const char **taken)
{
    bool good = true;
    for (size_t k = 0; k < all->count && good && job->options.output != NULL; k++)
        if (all->item[k].answer.has_pool)
            good = job_spares_inputs(job, all->ground[0].scenario, "-o", path_in(job, free_name(job, all, k, taken)));
    return good;
}

static bool write_folder(Job *job, const WhatIf *all, const char *const *taken)
{
    if (job->options.output == NULL)
        return true;
    if (!job_make_folder(job))
        return false;
    Text text = {0};
    bool good = true;
    for (size_t k = 0; k < all->count && good; k++) {
        const WhatIfCase *item = &all->item[k];
        if (!item->answer.has_pool)
            continue;
        list_csv(all->ground[item->ground].instance, &item->answer, job->options.all, &text);
        good = write_in(job, taken[k], &text);
    }
    if (!good)
        return false;
    what_if_cards_csv(all, &text);
    if (!write_in(job, "cards", &text))
        return false;
    what_if_comparison_csv(all, &text);
    return write_in(job, "comparison", &text);
}

static bool write_csv(Job *job, const WhatIf *all)
{
    if (job->options.csv == NULL)
        return true;
    Text text = {0};
    what_if_comparison_csv(all, &text);
    bool good = file_write(job->options.csv, text_cstr(&text), text.length, &job->diags);
    text_release(&text);
    return good;
}

/* Drawn before anything is written: where there is nothing to draw, nothing is. */
static bool draw_plot(Job *job, const WhatIf *all, Text *plot)
{
    if (job->options.plot == NULL || what_if_svg(all, plot))
        return true;
    diag_error(&job->diags, (SourcePos){0}, "--plot: fewer than two caps have a pool, so there is nothing to draw");
    return false;
}

static bool write_files(Job *job, const WhatIf *all, const char *const *taken)
{
    Text plot = {0};
    bool good = draw_plot(job, all, &plot) && write_folder(job, all, taken) && write_csv(job, all);
    if (good && job->options.plot != NULL)
        good = file_write(job->options.plot, text_cstr(&plot), plot.length, &job->diags);
    text_release(&plot);
    return good;
}

/* ---- */

static int show(Job *job, const WhatIf *all)
{
    const char **taken = arena_alloc(job->options.arena, all->count, sizeof *taken);
    if (!name_pools(job, all, taken))
        return EXIT_BAD_INPUT;
    if (!write_files(job, all, taken))
        return EXIT_COULD_NOT_RUN;
    if (job_is_stdout(job->options.csv) || job_is_stdout(job->options.plot))
        return exit_code(all);
    Text out = {0};
    const WhatIfView view = {.subject = job->options.subject,
                             .verbose = job->options.verbose,
                             .folder = job->options.output,
                             .csv = job->options.csv,
                             .plot = job->options.plot};
    int code = EXIT_COULD_NOT_RUN;
    if (job->options.json && !what_if_json(all, &job->diags, &out))
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
    else {
        if (!job->options.json)
            what_if_text(all, &view, &job->style, &out);
        code = job_print(job, &out, exit_code(all));
    }
    text_release(&out);
    return code;
}

int verb_what_if(Job *job)
{
    WhatIfPlan plan;
    SearchOptions options;
    WhatIf *all = NULL;
    int code = EXIT_BAD_INPUT;
    if (!read_plan(job, &plan))
        goto done;
    job_model_folders(job);
    if (!outputs_good(job, &code))
        goto done;
    job_search_options(job, &options);
    bool unread = false;
    all = what_if_run(&plan, &options, &unread, &job->diags);
    job_progress_end();
    code = unread ? EXIT_BAD_INPUT : EXIT_COULD_NOT_RUN;
    if (all == NULL)
        goto done;
    code = show(job, all);
done:
    job_show_problems(job);
    what_if_free(all);
    return code;
}
