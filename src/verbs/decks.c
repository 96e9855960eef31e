/* decks.c - files and a list -> the best deck of each pair and theme -> report and a sheet of decks. */
#include "report/decks_report.h"
#include "verbs/outputs.h"

static int show(Job *job, const Decks *decks, const PoolFile *list)
{
    const Options *o = &job->options;
    bool written = true, good = true;
    Text out = {0};
    if (o->output != NULL) {
        Text sheet = {0};
        decks_sheet(decks, &sheet);
        output_add_sheet(job, o->output, "decks", decks->instance, &sheet);
        written = outputs_commit(job);
    }
    const int answered = decks->proven ? EXIT_ANSWERED : job_stopped_code(job, true);
    if (is_stdout(o->output))
        return written ? answered : EXIT_COULD_NOT_RUN;
    if (o->json)
        good = decks_json(decks, list, &job->diags, &out);
    else
        decks_text(decks, list, written ? o->output : NULL, job_sections(job).full, &job->style, &out);
    const int code = job_print(job, good, &out, answered);
    return written ? code : EXIT_COULD_NOT_RUN;
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
        diag_error(&job->diags, (SourcePos){0},
                   "the model does not say how large a deck is, expected a line such as 'deck: {size: 23}' in it");
    else
        code = find(job, job->instance, &list);
done:
    job_show_problems(job);
    pool_file_release(&list);
    return code;
}
