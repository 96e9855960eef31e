/* feedback.c - files and notes -> proposed powers -> the best pool before and after -> report, and with --apply the cards sheet. */
#include <string.h>

#include "base/file.h"
#include "report/feedback_report.h"
#include "report/revise_report.h"
#include "verbs/job.h"

static bool usage_good(Job *job)
{
    const Options *o = &job->options;
    const size_t errors = job->diags.errors;
    if (o->words == 0)
        diag_error(&job->diags, (SourcePos){0}, "feedback: found no sheet of notes, expected poolwright feedback SCENARIO NOTES.csv");
    if (o->apply && o->output == NULL)
        diag_error(&job->diags, (SourcePos){0}, "--apply: found no -o FILE, expected where the cards with the new powers are written");
    if (!o->apply && o->output != NULL)
        diag_error(&job->diags, (SourcePos){0}, "-o: found no --apply; only with it the cards with the new powers are written");
    job_one_output(job);
    if (strcmp(o->subject, "-") == 0 || (o->words > 0 && strcmp(o->word[0], "-") == 0))
        diag_error(&job->diags, (SourcePos){0}, "found '-', expected files: feedback reads the cards twice");
    return job->diags.errors == errors;
}

static int exit_code(const FeedbackReport *r)
{
    if (r->old->status == ANSWER_STOPPED || r->now->status == ANSWER_STOPPED)
        return EXIT_STOPPED;
    return r->now->has_pool ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

static int show(Job *job, FeedbackReport *r)
{
    const char *output = job->options.output;
    Text out = {0};
    int code = EXIT_COULD_NOT_RUN;
    if (output != NULL) {
        feedback_csv(r->before, r->feedback, &out);
        bool written = file_write(output, text_cstr(&out), out.length, &job->diags);
        text_release(&out);
        if (!written || strcmp(output, "-") == 0)
            return written ? exit_code(r) : code;
        r->written = output;
    }
    if (!job->options.json)
        feedback_text(r, &job->style, &out);
    else if (!feedback_json(r, &job->diags, &out)) {
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
        return code;
    }
    code = job_print(job, &out, exit_code(r));
    text_release(&out);
    return code;
}

/* Both pools, then what differs. */
static int compare(Job *job, const Ground *ground, const Instance *after, const Programme *programme, const Feedback *feedback)
{
    SearchOptions options;
    Answer old, now;
    job_search_options(job, &options);
    if (!answer_find(ground->programme, &options, &old, &job->diags))
        return EXIT_COULD_NOT_RUN;
    int code = EXIT_COULD_NOT_RUN;
    bool good = answer_find(programme, &options, &now, &job->diags);
    job_progress_end();
    if (good) {
        FeedbackReport r = {.before = ground->instance, .after = after, .feedback = feedback, .old = &old, .now = &now};
        PoolChange *change = NULL;
        if (old.has_pool && now.has_pool)
            r.change = change = pool_changes(ground->instance, old.copies, after, now.copies, &r.changes);
        code = show(job, &r);
        mem_free(change);
        answer_release(&now);
    }
    answer_release(&old);
    return code;
}

int verb_feedback(Job *job)
{
    Ground ground = {.cap_row = -1};
    Feedback feedback = {0};
    Instance *after = NULL;
    Programme *programme = NULL;
    int code = EXIT_BAD_INPUT;
    if (!usage_good(job))
        goto done;
    job_model_folders(job);
    if (!ground_read(&ground, job->options.subject, &job->options.overrides, "", &job->diags) ||
        !feedback_read(ground.instance, job->options.word[0], &feedback, &job->diags) ||
        (after = feedback_instance(&ground, &feedback, &job->diags)) == NULL || (programme = programme_new(after, &job->diags)) == NULL)
        goto done;
    code = compare(job, &ground, after, programme, &feedback);
done:
    job_show_problems(job);
    programme_free(programme);
    instance_free(after);
    feedback_release(&feedback);
    ground_release(&ground);
    return code;
}
