/* explain_verb.c - the frame that why and swap share. */
#include "report/words/format.h"
#include "report/json/json.h"
#include "verbs/explain_job.h"

#define RULES_FACTOR 40      /* more effort with --rules */
#define PROOF_EFFORT 2000000 /* pivots, to prove the best pool */

static void add_status(const Answer *answer, bool has_present, json_t *root)
{
    json_object_set_new(root, "status", json_string(answer_status_name(answer->status)));
    if (answer->has_pool) {
        json_object_set_new(root, "fit", json_number_of(answer->check.fit));
        json_object_set_new(root, "among_equals", json_among_equals(&answer->equals, has_present));
    }
    if (answer->has_bound && answer->status != ANSWER_INFEASIBLE)
        json_object_set_new(root, "bound", json_number_of(answer->bound));
}

/* What was found, and whether that is all of it. */
typedef struct {
    Explained all;
    bool settled, told; /* told: something of what was asked is there */
    int code;
} Finding;

static bool find(Job *job, const ExplainVerb *verb, const Answer *answer, const size_t *card, size_t count,
                 Finding *finding)
{
    ExplainOptions how;
    Explained *all = &finding->all;
    explain_job_options(job, verb->probe, verb->effort * (int64_t)(count > 0 ? count : 1), &how);
    if (job->options.effort > 0) {
        how.effort = job->options.effort;
        how.probe = how.effort / 10 + 1;
    } else if (job->options.rules)
        how.effort *= RULES_FACTOR;
    if (answer->status == ANSWER_INFEASIBLE)
        how.probe = 0;
    all->explain = explain_new(job->instance, answer, &how, &job->diags);
    if (all->explain == NULL)
        return false;
    if (answer->status == ANSWER_INFEASIBLE) {
        verb->find_nothing(job, all);
        finding->code = EXIT_ANSWER_NO;
    } else {
        finding->settled =
            answer->has_pool && verb->find(job, answer, all, card, count) && answer->status == ANSWER_BEST;
        finding->told = all->cards > 0 || all->swaps > 0;
        finding->code =
            finding->settled && !job_is_cancelled(job) ? EXIT_ANSWERED : job_stopped_code(job, finding->told);
    }
    job_progress_end(job);
    return true;
}

static void as_text(Job *job, const ExplainVerb *verb, const Answer *answer, const Finding *finding, Text *out)
{
    if (!answer->has_pool && answer->status != ANSWER_INFEASIBLE)
        text_add(out, "Stopped before a first pool was found; whether there is one is not known.\n");
    else
        verb->text(job, answer, &finding->all, out);
    if (answer->has_pool && job_is_cancelled(job))
        text_add(out, finding->told ? STOPPED_EARLY : "Stopped before a card was looked at.\n");
}

static bool as_json(Job *job, const ExplainVerb *verb, const Answer *answer, const Finding *finding, Text *out)
{
    json_t *root = json_object();
    add_status(answer, job->instance->has_present, root);
    if (answer->has_pool || answer->status == ANSWER_INFEASIBLE)
        verb->json(job, answer, &finding->all, root);
    if (answer->status != ANSWER_INFEASIBLE)
        json_object_set_new(root, "settled", json_boolean(finding->settled));
    json_object_set_new(root, "notices", json_notices(&job->diags));
    if (json_finish(root, out))
        return true;
    diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
    return false;
}

static int report(Job *job, const ExplainVerb *verb, const Answer *answer, const size_t *card, size_t count)
{
    Text out = {0};
    Finding finding = {.code = EXIT_COULD_NOT_RUN};
    bool good = find(job, verb, answer, card, count, &finding);
    if (good && job->options.json)
        good = as_json(job, verb, answer, &finding, &out);
    else if (good)
        as_text(job, verb, answer, &finding, &out);
    const int code = good ? job_print_text(job, &out, finding.code) : EXIT_COULD_NOT_RUN;
    text_release(&out);
    explained_release(&finding.all);
    return code;
}

/* The pool that best names; where that is not proven best and nobody said how near will do, it is tried to prove it,
 * since what a card costs is less than a gap. If there is a better one, that is meant. */
static bool find_base(Job *job, const Programme *programme, Answer *answer, Diags *diags)
{
    SearchOptions options;
    Answer nearer;
    job_search_options(job, &options);
    if (!answer_find(programme, &options, answer, diags))
        return false;
    if (answer->status != ANSWER_WITHIN_GAP || job->options.gap_given || job->options.effort > 0)
        return true;
    int64_t *x = mem_new((size_t)programme->problem.columns + 1, sizeof *x);
    programme_solution(programme, answer->copies, x);
    options.start = x;
    options.known_bound = answer->bound;
    options.gap_ppm = 0;
    options.eager = 0;
    options.effort = PROOF_EFFORT;
    const bool good = answer_find(programme, &options, &nearer, diags);
    mem_free(x);
    if (!good)
        return false;
    if (nearer.check.fit > answer->check.fit) {
        answer_release(answer);
        *answer = nearer;
        return true;
    }
    answer->status = nearer.status == ANSWER_BEST ? ANSWER_BEST : answer->status;
    answer->bound = nearer.has_bound && nearer.bound < answer->bound ? nearer.bound : answer->bound;
    answer_release(&nearer);
    return true;
}

int explain_verb(Job *job, const ExplainVerb *verb)
{
    Programme *programme = NULL;
    Answer answer = {0};
    size_t count = 0, *card = mem_new(job->options.words + 1, sizeof *card);
    int code = EXIT_BAD_INPUT;
    if (!job_read(job) || !explain_job_cards(job, card, &count))
        goto done;
    programme = programme_new(job->instance, &job->diags);
    if (programme == NULL)
        goto done;
    code = EXIT_COULD_NOT_RUN;
    job_stop_gently(job);
    bool found = find_base(job, programme, &answer, &job->diags);
    job_progress_end(job);
    if (found)
        code = report(job, verb, &answer, card, count);
done:
    job_show_problems(job);
    answer_release(&answer);
    programme_free(programme);
    mem_free(card);
    return code;
}
