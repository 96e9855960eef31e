/* what_if.c - files -> every case solved and compared -> comparison, sheets, picture. */
#include <string.h>

#include "report/json/json.h"
#include "report/report.h"
#include "report/whatif_report.h"
#include "verbs/outputs/outputs.h"
#include "whatif/series.h"

static int exit_code(const Job *job, const WhatIf *all)
{
    bool stopped = all->stopped, any = false;
    for (size_t k = 0; k < all->count; k++) {
        stopped = stopped || all->item[k].answer.status == ANSWER_STOPPED;
        any = any || all->item[k].answer.has_pool;
    }
    return stopped ? job_stopped_code(job, any) : any ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

static bool read_plan(Job *job, WhatIfPlan *plan)
{
    const Options *o = &job->options;
    *plan = (WhatIfPlan){.subject = o->subject,
                         .files = job->files,
                         .overrides = &o->overrides,
                         .cases = o->cases || (o->sizes == NULL && o->caps == NULL && o->overrides.case_name == NULL)};
    if (o->cases && o->overrides.case_name != NULL)
        diag_error(&job->diags, (SourcePos){0}, "--cases and --case do not go together");
    if (o->sizes != NULL && o->overrides.has_size)
        diag_error(&job->diags, (SourcePos){0}, "--sizes and --size do not go together");
    if (o->caps != NULL && (o->overrides.has_cap || o->overrides.no_cap))
        diag_error(&job->diags, (SourcePos){0}, "--caps and --cap do not go together");
    if (o->plot != NULL && o->caps == NULL)
        diag_error(&job->diags, (SourcePos){0}, "--plot needs --caps, for instance --caps 200..800/50");
    outputs_go_together(job);
    if (o->sizes != NULL)
        series_sizes("--sizes", o->sizes, o->arena, &plan->size, &plan->sizes, &job->diags);
    if (o->caps != NULL)
        series_caps("--caps", o->caps, o->arena, &plan->cap, &plan->caps, &plan->steps, &plan->cap_from, &plan->cap_to,
                    &job->diags);
    return job->diags.errors == 0;
}

static bool caps_fit(Job *job, const Model *model)
{
    const Options *o = &job->options;
    return o->caps == NULL || series_currency("--caps", o->caps, model, o->arena, &job->diags);
}

/* ---- files ---- */

static const char *sheet_in_folder(Job *job, const char *name)
{
    return output_in_folder(job, arena_printf(job->options.arena, "%s.csv", name));
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

static void add_folder(Job *job, const WhatIf *all)
{
    const char **taken = arena_alloc(job->options.arena, all->count, sizeof *taken);
    Text text = {0};
    if (!output_folder(job))
        return;
    for (size_t k = 0; k < all->count; k++) {
        const WhatIfCase *item = &all->item[k];
        if (!item->answer.has_pool)
            continue;
        list_csv(all->loaded[item->loaded].instance, &item->answer, job->options.all, &text);
        output_add(job, sheet_in_folder(job, free_name(job, all, k, taken)), &text);
    }
    what_if_cards_csv(all, &text);
    output_add(job, sheet_in_folder(job, "cards"), &text);
    what_if_comparison_csv(all, &text);
    output_add(job, sheet_in_folder(job, "comparison"), &text);
}

/* All files or none: where there is nothing to draw, nothing is written. */
static bool write_files(Job *job, const WhatIf *all)
{
    const Options *o = &job->options;
    Text plot = {0}, csv = {0};
    if (o->plot != NULL && !what_if_svg(all, &plot)) {
        diag_error(&job->diags, (SourcePos){0}, "--plot: fewer than two caps have a pool, so there is nothing to draw");
        return false;
    }
    if (o->output != NULL)
        add_folder(job, all);
    if (o->csv != NULL) {
        what_if_comparison_csv(all, &csv);
        output_add_sheet(job, o->csv, "comparison", all->loaded[0].instance, &csv);
    }
    output_add(job, o->plot, &plot);
    return outputs_commit(job);
}

/* ---- */

/* Also where a file could not be written. */
static int show(Job *job, const WhatIf *all)
{
    const Options *o = &job->options;
    const bool written = write_files(job, all);
    if (written && (is_stdout(o->csv) || is_stdout(o->plot)))
        return exit_code(job, all);
    Text out = {0};
    const WhatIfView view = {.subject = o->subject,
                             .sections = job_sections(job),
                             .sizes = o->sizes != NULL,
                             .folder = written ? o->output : NULL,
                             .csv = written ? o->csv : NULL,
                             .plot = written ? o->plot : NULL};
    bool good = true;
    if (o->json)
        good = json_finish(what_if_json(all, &job->diags), &out);
    else
        what_if_text(all, &view, &job->style, &out);
    const int code = job_print(job, good, &out, exit_code(job, all));
    return written ? code : EXIT_COULD_NOT_RUN;
}

int verb_what_if(Job *job)
{
    WhatIfPlan plan;
    SearchOptions options;
    WhatIf *all = NULL;
    int code = EXIT_BAD_INPUT;
    if (!read_plan(job, &plan))
        goto done;
    all = what_if_read(&plan, &job->diags);
    if (all == NULL || !caps_fit(job, all->loaded[0].scenario->model) ||
        !outputs_good(job, all->loaded[0].scenario, &code))
        goto done;
    job_stop_gently(job);
    job_search_options(job, &options);
    bool unread = false;
    const bool good = what_if_run(all, &plan, &options, &unread, &job->diags);
    job_progress_end(job);
    code = unread ? EXIT_BAD_INPUT : EXIT_COULD_NOT_RUN;
    if (good)
        code = show(job, all);
done:
    job_show_problems(job);
    what_if_free(all);
    return code;
}
