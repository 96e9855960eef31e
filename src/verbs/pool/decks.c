/* decks.c - files and a list -> the best deck of each pair and theme -> report and a sheet of decks. */
#include "report/seats/decks_report.h"
#include "verbs/outputs/outputs.h"

static int show(Job *job, const Decks *decks, const PoolFile *list)
{
    bool good = true;
    Text out = {0}, sheet = {0};
    decks_sheet(decks, &sheet);
    const char *written = output_sheet(job, "decks", decks->instance, &sheet);
    const int code = job->diags.errors > 0 ? EXIT_COULD_NOT_RUN
                     : decks->proven       ? EXIT_ANSWERED
                                           : job_stopped_code(job, true);
    if (is_stdout(job->options.output))
        return code;
    if (job->options.json)
        good = decks_json(decks, list, &job->diags, &out);
    else
        decks_text(decks, list, written, job_sections(job).full, &job->style, &out);
    return job_print(job, good, &out, code);
}

static int find(Job *job, const Instance *instance, const PoolFile *list)
{
    SearchOptions options;
    Decks decks;
    const char *why = NULL;
    int code = EXIT_COULD_NOT_RUN;
    job_stop_gently(job);
    job_search_options(job, &options);
    const bool good = decks_find(instance, list->copies, &options, &decks, &why);
    job_progress_end(job);
    if (good)
        code = show(job, &decks, list);
    else
        diag_error(&job->diags, (SourcePos){0}, "the search could not run: %s", why);
    decks_release(&decks);
    return code;
}

int verb_decks(Job *job)
{
    PoolFile list = {0};
    int code = EXIT_BAD_INPUT;
    if (!outputs_go_together(job) || !job_read(job) || !outputs_good(job, job->scenario, &code) ||
        !job_read_pool(job, job->instance, &list))
        goto done;
    if (job->instance->model->deck.size == 0)
        diag_error(&job->diags, (SourcePos){.file = job->instance->model->path},
                   "the model does not say how large a deck is, expected a line such as 'deck: {size: 23}' in it");
    else
        code = find(job, job->instance, &list);
done:
    job_show_problems(job);
    pool_file_release(&list);
    return code;
}
