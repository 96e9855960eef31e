/* weigh.c - files and a sheet of decks -> what they say about cards -> report, and a sheet of tags or notes. */
#include "report/seats/weigh_report.h"
#include "verbs/outputs/outputs.h"

static bool usage_good(Job *job)
{
    const size_t errors = job->diags.errors;
    if (job->options.words == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "weigh: found no sheet of decks, expected poolwright weigh SCENARIO DECKS.csv");
    outputs_go_together(job);
    return job->diags.errors == errors;
}

static int show(Job *job, const Weighing *w)
{
    const Options *o = &job->options;
    bool good = true;
    Text out = {0}, sheet = {0};
    weigh_sheet(w, o->by_results, &sheet);
    const char *written = output_sheet(job, o->by_results ? "notes" : "tags", w->instance, &sheet);
    const int code = job->diags.errors > 0 ? EXIT_COULD_NOT_RUN : EXIT_ANSWERED;
    if (is_stdout(o->output))
        return code;
    if (o->json)
        good = weigh_json(w, o->by_results, &job->diags, &out);
    else
        weigh_text(w, o->by_results, job_sections(job).full, written, job_names_file(job, written), &job->style, &out);
    return job_print(job, good, &out, code);
}

int verb_weigh(Job *job)
{
    Weighing weighing = {0};
    int code = EXIT_BAD_INPUT;
    if (!usage_good(job) || !job_read(job) || !outputs_good(job, job->scenario, &code))
        goto done;
    const WeighOptions options = {.seeds = job->options.at_least};
    if (weigh_decks(job->instance, job->options.word[0], job->files, &options, &weighing, &job->diags))
        code = show(job, &weighing);
done:
    job_show_problems(job);
    weighing_release(&weighing);
    return code;
}
