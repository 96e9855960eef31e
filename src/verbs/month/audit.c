/* audit.c - files and a list -> counted, compared with the best, mended -> report and mended list. */
#include "report/list/revise_report.h"
#include "verbs/month/audit_proof.h"
#include "verbs/outputs/outputs.h"

static int exit_code(const Audit *audit)
{
    return audit_is_clean(audit) ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

static int show(Job *job, const Loaded *loaded, const Audit *audit)
{
    bool good = true;
    Text out = {0};
    const Answer as_it_is = {.copies = audit->list->copies, .has_pool = true, .check = audit->check};
    const char *written =
        output_pool(job, loaded->instance, audit->mend == MEND_NOT_NEEDED ? &as_it_is : &audit->mended);
    if (is_stdout(written))
        return exit_code(audit);
    if (job->options.json)
        good = audit_json(loaded->instance, audit, &job->diags, &out);
    else
        audit_text(loaded->instance, audit, written, job->options.rules, job_sections(job).full, &job->style, &out);
    return job_print(job, good, &out, job->diags.errors > 0 ? EXIT_COULD_NOT_RUN : exit_code(audit));
}

/* Nothing is searched or written: both pools are counted. */
static int compare(Job *job, const Instance *instance, const PoolFile *list)
{
    PoolFile other = {0};
    Text out = {0};
    bool good = true;
    if (job->options.output != NULL) {
        diag_error(&job->diags, (SourcePos){0}, "-o does not go with --against: nothing is mended");
        return EXIT_BAD_INPUT;
    }
    if (!pool_file_read(instance, job->options.against, &other, &job->diags))
        return EXIT_BAD_INPUT;
    if (job->options.json)
        good = against_json(instance, list, &other, &job->diags, &out);
    else
        against_text(instance, list, &other, job_sections(job).full, &job->style, &out);
    const int code = job_print(job, good, &out, EXIT_ANSWERED);
    pool_file_release(&other);
    return code;
}

int verb_audit(Job *job)
{
    Loaded loaded = {.cap_row = -1};
    PoolFile list = {0};
    Audit audit = {0};
    SearchOptions options;
    int code = EXIT_BAD_INPUT;
    if (!outputs_go_together(job))
        goto done;
    const bool alone = job->options.proof != NULL && job->options.words == 0; /* no pool is named beside the proof */
    if (!loaded_read(&loaded, job->options.subject, &job->options.overrides, job->files, "", &job->diags) ||
        (!alone && !job_read_pool(job, loaded.instance, &list)) || !outputs_good(job, loaded.scenario, &code))
        goto done;
    if (job->options.proof != NULL) {
        code = audit_proof(job, &loaded, alone ? NULL : &list);
        goto done;
    }
    if (job->options.against != NULL) {
        code = compare(job, loaded.instance, &list);
        goto done;
    }
    code = EXIT_COULD_NOT_RUN;
    job_stop_gently(job);
    job_search_options(job, &options);
    bool good = audit_run(&loaded, &list, &options, &audit, &job->diags);
    job_progress_end(job);
    if (good)
        code = show(job, &loaded, &audit);
done:
    job_show_problems(job);
    audit_release(&audit);
    pool_file_release(&list);
    loaded_release(&loaded);
    return code;
}
