/* explain_verb.c - the frame that why and swap share. */
#include "report/json/json.h"
#include "report/layout/format.h"
#include "verbs/frame/explain_job.h"

/* What was found, and whether that is all of it. */
typedef struct {
    Explained all;
    bool settled, told; /* told: something of what was asked is there */
    int code;
} Finding;

static bool find(Job *job, const ExplainVerb *verb, const Answer *answer, const size_t *card, size_t count,
                 Finding *finding)
{
    SearchOptions search;
    const Inquiry inquiry = job_inquiry(job, job->instance, &search);
    if (!verb->find(&inquiry, answer, card, count, &finding->all, &finding->settled, &job->diags))
        return false;
    if (answer->status == ANSWER_INFEASIBLE)
        finding->code = EXIT_ANSWER_NO;
    else {
        finding->told = finding->all.cards > 0 || finding->all.swaps > 0;
        finding->code =
            finding->settled && !job_is_cancelled(job) ? EXIT_ANSWERED : job_stopped_code(job, finding->told);
    }
    job_progress_end(job);
    return true;
}

static void as_text(Job *job, const ExplainVerb *verb, const Answer *answer, const Finding *finding, Text *out)
{
    if (!answer->has_pool && answer->status != ANSWER_INFEASIBLE)
        text_add(out, STOPPED_WITHOUT_POOL);
    else
        verb->text(job, answer, &finding->all, out);
    if (answer->has_pool && job_is_cancelled(job))
        text_add(out, finding->told ? STOPPED_EARLY : "Stopped before a card was looked at.\n");
}

static int report(Job *job, const ExplainVerb *verb, const Answer *answer, const size_t *card, size_t count)
{
    Text out = {0};
    Finding finding = {.code = EXIT_COULD_NOT_RUN};
    int code = EXIT_COULD_NOT_RUN;
    if (find(job, verb, answer, card, count, &finding)) {
        bool good = true;
        if (job->options.json)
            good = json_finish(verb->json(job->instance, answer, &finding.all, finding.settled, &job->diags), &out);
        else
            as_text(job, verb, answer, &finding, &out);
        code = job_print(job, good, &out, finding.code);
    }
    explained_release(&finding.all);
    return code;
}

int explain_verb(Job *job, const ExplainVerb *verb)
{
    Programme *programme = NULL;
    Answer answer = {0};
    size_t count = 0, *card = mem_new(job->options.words + 1, sizeof *card);
    int code = EXIT_BAD_INPUT;
    if (!job_read(job) || !job_cards(job, job->options.word, job->options.words, card, &count))
        goto done;
    programme = programme_new(job->instance, &job->diags);
    if (programme == NULL)
        goto done;
    code = EXIT_COULD_NOT_RUN;
    job_stop_gently(job);
    if (explain_base(job, programme, &answer))
        code = report(job, verb, &answer, card, count);
done:
    job_show_problems(job);
    answer_release(&answer);
    programme_free(programme);
    mem_free(card);
    return code;
}
