/* compare.c - files -> the best pool -> questions whose answers change it -> proposed powers -> report, and with
 * --apply the cards sheets. */
#include "report/compare_report.h"
#include "report/layout/format.h"
#include "verbs/month/compare_answers.h"
#include "verbs/month/new_powers.h"
#include "verbs/outputs/outputs.h"

/* Asks until ten were asked, nothing more changes the pool, or nobody wants to go on. *next: what is open then. False
 * with errors. */
static bool ask(Job *job, Compare *compare, Comparison *next, bool *open)
{
    const Options *o = &job->options;
    const bool asks = !o->json && o->answers == NULL && !is_stdout(o->output);
    const size_t errors = job->diags.errors;
    while (compare_settle(compare, &job->diags) && (*open = compare_next(compare, next, &job->diags)) && asks) {
        job_progress_end(job);
        job_waits(job, true);
        const bool answered = answer_typed(compare, next);
        job_waits(job, false);
        if (!answered)
            break;
        compare_add(compare, next); /* no circle: such a pair is not asked about */
        *open = false;
    }
    job_progress_end(job);
    return job->diags.errors == errors;
}

static int show(Job *job, const Compare *compare, const Comparison *next)
{
    Text out = {0};
    bool good = true;
    size_t answers = 0;
    for (size_t k = 0; k < compare->count; k++)
        answers += compare->asked[k].answer != PREFERS_NEITHER;
    FeedbackReport r = {
        .source = arena_printf(job->options.arena, "%zu answer%s about %s", answers, answers == 1 ? "" : "s",
                               format_cards(job->options.arena, (int64_t)compare->proposal.cards)),
        .made_of = "answers",
        .before = compare->loaded->instance,
        .after = compare->now,
        .feedback = &compare->proposal,
        .old = &compare->old,
        .now = &compare->best,
    };
    if (is_stdout(job->options.output))
        return new_powers_print(job, &r) ? new_powers_code(job, &r) : EXIT_COULD_NOT_RUN;
    const bool written = job->options.output == NULL || new_powers_write(job, &r);
    PoolChange *change = new_powers_changes(&r);
    if (job->options.json)
        good = compare_json(compare, next, &r, &job->diags, &out);
    else
        compare_text(compare, next, &r, &job->style, &out);
    const int code = job_print(job, good, &out, new_powers_code(job, &r));
    mem_free(change);
    return written ? code : EXIT_COULD_NOT_RUN;
}

int verb_compare(Job *job)
{
    Loaded loaded = {.cap_row = -1};
    Compare compare = {0};
    Comparison next;
    SearchOptions search;
    bool open = false;
    int code = EXIT_BAD_INPUT;
    if (!new_powers_usage_good(job))
        goto done;
    if (!loaded_read(&loaded, job->options.subject, &job->options.overrides, job->files, "", &job->diags) ||
        !outputs_good(job, loaded.scenario, &code) || !new_powers_place_good(job, loaded.instance))
        goto done;
    job_stop_gently(job);
    job_search_options(job, &search);
    job->instance = loaded.instance; /* for what reads names */
    if (compare_begin(&compare, &loaded, &search, &job->diags) &&
        (job->options.answers == NULL || answers_of_file(job, job->options.answers, &compare)) &&
        ask(job, &compare, &next, &open))
        code = show(job, &compare, open ? &next : NULL);
    job->instance = NULL;
done:
    job_show_problems(job);
    compare_release(&compare);
    loaded_release(&loaded);
    return code;
}
