/* feedback.c - files and notes -> proposed powers -> the best pool before and after -> report, and with --apply the
 * cards sheet. */
#include "report/feedback_report.h"
#include "report/layout/format.h"
#include "verbs/month/new_powers.h"
#include "verbs/outputs/outputs.h"

static bool usage_good(Job *job)
{
    if (job->options.words == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "feedback: found no sheet of notes, expected poolwright feedback SCENARIO NOTES.csv");
    return new_powers_usage_good(job) && job->options.words > 0;
}

static int show(Job *job, FeedbackReport *r)
{
    Text out = {0};
    bool good = true;
    if (is_stdout(job->options.output))
        return new_powers_print(job, r) ? new_powers_code(job, r) : EXIT_COULD_NOT_RUN;
    const bool written = job->options.output == NULL || new_powers_write(job, r);
    if (job->options.json)
        good = feedback_json(r, &job->diags, &out);
    else
        feedback_text(r, &job->style, &out);
    const int code = job_print(job, good, &out, new_powers_code(job, r));
    return written ? code : EXIT_COULD_NOT_RUN;
}

/* Both pools, then what differs. */
static int compare(Job *job, const Loaded *loaded, const Instance *after, const Programme *programme,
                   const Feedback *feedback)
{
    SearchOptions options;
    Answer old, now;
    job_stop_gently(job);
    job_search_options(job, &options);
    if (!answer_find(loaded->programme, &options, &old, &job->diags))
        return EXIT_COULD_NOT_RUN;
    int code = EXIT_COULD_NOT_RUN;
    bool good = feedback_solve(programme, &old, options, &now, &job->diags);
    job_progress_end(job);
    if (good) {
        FeedbackReport r = {
            .source = arena_printf(job->options.arena, "%s: notes on %s", feedback->path,
                                   format_cards(job->options.arena, (int64_t)feedback->cards)),
            .made_of = "notes",
            .before = loaded->instance,
            .after = after,
            .feedback = feedback,
            .old = &old,
            .now = &now,
        };
        PoolChange *change = new_powers_changes(&r);
        code = show(job, &r);
        mem_free(change);
        answer_release(&now);
    }
    answer_release(&old);
    return code;
}

int verb_feedback(Job *job)
{
    Loaded loaded = {.cap_row = -1};
    Feedback feedback = {0};
    Instance *after = NULL;
    Programme *programme = NULL;
    int code = EXIT_BAD_INPUT;
    if (!usage_good(job))
        goto done;
    if (!loaded_read(&loaded, job->options.subject, &job->options.overrides, job->files, "", &job->diags) ||
        !feedback_read(loaded.instance, job->options.word[0], &feedback, &job->diags) ||
        !outputs_good(job, loaded.scenario, &code) || !new_powers_place_good(job, loaded.instance) ||
        (after = feedback_instance(&loaded, &feedback, &job->diags)) == NULL ||
        (programme = programme_new(after, &job->diags)) == NULL)
        goto done;
    code = compare(job, &loaded, after, programme, &feedback);
done:
    job_show_problems(job);
    programme_free(programme);
    instance_free(after);
    feedback_release(&feedback);
    loaded_release(&loaded);
    return code;
}
