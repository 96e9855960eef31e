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

/* Something of what was asked is there. */
static bool has_told(const json_t *root, const Text *out)
{
    return out->length > 0 || json_array_size(json_object_get(root, "cards")) > 0 ||
           json_array_size(json_object_get(root, "swaps")) > 0;
}

static int tell(Job *job, const ExplainVerb *verb, const Answer *answer, Explained *all, const size_t *card,
                size_t count, json_t *root, Text *out)
{
    add_status(answer, job->instance->has_present, root);
    if (answer->status == ANSWER_INFEASIBLE) {
        verb->nothing(job, all, root, out);
        return EXIT_ANSWER_NO;
    }
    const bool settled = answer->has_pool && verb->tell(job, answer, all, card, count, root, out) &&
                         answer->status == ANSWER_BEST,
               told = has_told(root, out), stopped = job_is_cancelled(job);
    json_object_set_new(root, "settled", json_boolean(settled));
    if (!answer->has_pool)
        text_add(out, "Stopped before a first pool was found; whether there is one is not known.\n");
    else if (stopped)
        text_add(out, told ? STOPPED_EARLY : "Stopped before a card was looked at.\n");
    return settled && !stopped ? EXIT_ANSWERED : job_stopped_code(job, told);
}

/* The answer as JSON instead of the text; root is used up. */
static bool as_json(Job *job, json_t *root, Text *out)
{
    json_object_set_new(root, "notices", json_notices(&job->diags));
    text_release(out);
    if (json_finish(root, out))
        return true;
    diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
    return false;
}

static int report(Job *job, const ExplainVerb *verb, const Answer *answer, const size_t *card, size_t count)
{
    Text out = {0};
    Explained all = {0};
    ExplainOptions how;
    json_t *root = json_object();
    int code = EXIT_COULD_NOT_RUN;
    explain_job_options(job, verb->probe, verb->effort * (int64_t)(count > 0 ? count : 1), &how);
    if (job->options.effort > 0) {
        how.effort = job->options.effort;
        how.probe = how.effort / 10 + 1;
    } else if (job->options.rules)
        how.effort *= RULES_FACTOR;
    if (answer->status == ANSWER_INFEASIBLE)
        how.probe = 0;
    all.explain = explain_new(job->instance, answer, &how, &job->diags);
    if (all.explain != NULL) {
        code = tell(job, verb, answer, &all, card, count, root, &out);
        job_progress_end(job);
    }
    bool good = all.explain != NULL;
    if (good && job->options.json) {
        good = as_json(job, root, &out);
        root = NULL;
    }
    code = good ? print_text(&out, code) : EXIT_COULD_NOT_RUN;
    if (root != NULL)
        json_decref(root);
    text_release(&out);
    explained_release(&all);
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
