/* audit.c - files and a list -> counted, compared with the best, mended -> report and mended list. */
#include <string.h>

#include "base/file.h"
#include "report/report.h"
#include "report/revise_report.h"
#include "verbs/job.h"

static int exit_code(const Audit *audit)
{
    return audit_is_clean(audit) ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

/* The mended list, or the list itself where nothing is broken, as a sheet. */
static bool write_list(Job *job, const Ground *ground, const Audit *audit, bool *written)
{
    *written = false;
    Answer as_it_is = {.copies = audit->list->copies, .has_pool = true, .check = audit->check};
    const Answer *answer = audit->mend == MEND_NOT_NEEDED ? &as_it_is : &audit->mended;
    if (job->options.output == NULL || !answer->has_pool)
        return true;
    Text text = {0};
    list_csv(ground->instance, answer, false, &text);
    *written = file_write(job->options.output, text_cstr(&text), text.length, &job->diags);
    text_release(&text);
    return *written;
}

static int show(Job *job, const Ground *ground, const Audit *audit)
{
    bool written;
    Text out = {0};
    int code = EXIT_COULD_NOT_RUN;
    if (!write_list(job, ground, audit, &written))
        return code;
    if (written && strcmp(job->options.output, "-") == 0)
        return exit_code(audit);
    if (!job->options.json)
        audit_text(ground->instance, audit, written ? job->options.output : NULL, job->options.rules, &job->style, &out);
    else if (!audit_json(ground->instance, audit, &job->diags, &out)) {
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
        return code;
    }
    code = job_print(job, &out, exit_code(audit));
    text_release(&out);
    return code;
}

int verb_audit(Job *job)
{
    Ground ground = {.cap_row = -1};
    PoolFile list = {0};
    Audit audit = {0};
    SearchOptions options;
    int code = EXIT_BAD_INPUT;
    if (job->options.json && job->options.output != NULL && strcmp(job->options.output, "-") == 0) {
        diag_error(&job->diags, (SourcePos){0}, "--json and -o - would both go to standard output; give -o a file");
        goto done;
    }
    job_model_folders(job);
    if (!ground_read(&ground, job->options.subject, &job->options.overrides, "", &job->diags) || !job_read_pool(job, &ground, &list))
        goto done;
    code = EXIT_COULD_NOT_RUN;
    job_search_options(job, &options);
    bool good = audit_run(&ground, &list, &options, &audit, &job->diags);
    job_progress_end();
    if (good)
        code = show(job, &ground, &audit);
done:
    job_show_problems(job);
    audit_release(&audit);
    pool_file_release(&list);
    ground_release(&ground);
    return code;
}
