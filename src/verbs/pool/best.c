/* best.c - files -> instance -> programme -> search -> checked answer -> first screen and list. */
#include "programme/answer.h"
#include "report/json/json.h"
#include "report/words/money.h"
#include "report/report.h"
#include "verbs/frame/explain_job.h"
#include "verbs/outputs/outputs.h"
#include "verbs/pool/best_proof.h"

static int exit_code(const Job *job, const Answer *answer)
{
    switch (answer->status) {
    case ANSWER_BEST:
    case ANSWER_WITHIN_GAP: return EXIT_ANSWERED;
    case ANSWER_INFEASIBLE: return EXIT_ANSWER_NO;
    case ANSWER_STOPPED: break;
    }
    return job_stopped_code(job, answer->has_pool);
}

/* The list, what is to be bought and the proof, where there is one: all of them or none. The proof is released. */
static bool write_files(Job *job, const Answer *answer, Text *proof)
{
    Text shopping = {0};
    if (proof->length > 0)
        output_add(job, job->options.proof, proof);
    if (answer->has_pool && job->options.output != NULL && !is_stdout(job->options.output))
        output_add_pool(job, job->instance, answer, job->options.all);
    if (answer->has_pool && job->options.shopping != NULL) {
        shopping_csv(job->instance, answer, &shopping);
        output_add_sheet(job, job->options.shopping, "shopping", job->instance, &shopping);
    }
    return outputs_commit(job);
}

/* With -o - the list alone is printed. */
static bool describe(Job *job, const Answer *answer, const NewPrices *prices, const Explained *explained, bool stopped,
                     bool written, bool proven, Text *out)
{
    if (is_stdout(job->options.output) && answer->has_pool) {
        list_csv(job->instance, answer, job->options.all, out);
        return true;
    }
    if (job->options.json) {
        json_t *root = best_json(job->instance, answer, prices, explained, &job->diags);
        if (stopped)
            json_object_set_new(root, "stopped", json_true());
        return json_finish(root, out);
    }
    BestView view = {
        .sections = job_sections(job),
        .rules = job->options.rules,
        .verbose = job->options.verbose,
        .stopped = stopped,
        .written = answer->has_pool && written ? job->options.output : NULL,
        .shopping = answer->has_pool && written ? job->options.shopping : NULL,
        .proof = written && proven ? job->options.proof : NULL,
        .prices = prices,
        .explained = explained,
        .engine = job->options.engine,
    };
    best_text(job->instance, answer, &view, &job->style, out);
    return true;
}

/* Also where a file could not be written. */
static int show_answer(Job *job, const Answer *answer, const NewPrices *prices, const Explained *explained, Text *proof)
{
    Text out = {0};
    const bool stopped = answer->has_pool && job_is_cancelled(job); /* not by what comes while files are written */
    const bool proven = proof->length > 0, unproven = best_proof_is_due(job, answer) && !proven;
    const bool written = write_files(job, answer, proof),
               good = describe(job, answer, prices, explained, stopped, written, proven, &out);
    const int code = job_print(job, good, &out, unproven ? EXIT_STOPPED : exit_code(job, answer));
    return written ? code : EXIT_COULD_NOT_RUN;
}

static bool solve(Job *job, const Programme *programme, Answer *answer, Diags *diags)
{
    SearchOptions options;
    job_search_options(job, &options);
    bool found = answer_find(programme, &options, answer, diags);
    job_progress_end(job);
    return found;
}

/* The scenario at its own prices, solved, to compare with; where that cannot be done (they are incomplete, say) a
 * notice tells why. */
typedef struct {
    Scenario *scenario;
    Instance *instance;
    Answer answer;
    Diags diags;
    bool found;
} Before;

static void find_before(Job *job, Before *before)
{
    Overrides overrides = job->options.overrides;
    overrides.prices_count = 0;
    diags_init(&before->diags);
    before->scenario = scenario_read(job->options.subject, &overrides, job->files, &before->diags);
    if (before->scenario != NULL)
        before->instance = instance_new(before->scenario, &before->diags);
    Programme *programme = before->instance != NULL ? programme_new(before->instance, &before->diags) : NULL;
    before->found = programme != NULL && solve(job, programme, &before->answer, &before->diags);
    programme_free(programme);
    if (before->found)
        return;
    const char *why = "the search did not end";
    for (size_t k = 0; k < before->diags.count; k++)
        if (before->diags.item[k].kind == DIAG_ERROR)
            why = before->diags.item[k].text;
    diag_notice(&job->diags, (SourcePos){0}, "there is no pool at the scenario's own prices to compare with: %s", why);
}

static void release_before(Before *before)
{
    answer_release(&before->answer);
    instance_free(before->instance);
    scenario_free(before->scenario);
    diags_release(&before->diags);
}

int verb_best(Job *job)
{
    Answer answer = {0};
    Before before = {0};
    int code = EXIT_BAD_INPUT;
    bool new_prices = job->options.overrides.prices_count > 0;
    if (!outputs_go_together(job) || !job_read(job) || !outputs_good(job, job->scenario, &code))
        goto done;
    job_stop_gently(job);
    if (new_prices)
        find_before(job, &before);
    Programme *programme = programme_new(job->instance, &job->diags);
    if (programme == NULL)
        goto done;
    NewPrices prices = {0};
    Explained explained = {0};
    Text proof = {0};
    code = EXIT_COULD_NOT_RUN;
    if (solve(job, programme, &answer, &job->diags)) {
        if (best_proof_is_due(job, &answer))
            best_proof_find(job, programme, &answer, &proof);
        if (!is_stdout(job->options.output))
            explain_best(job, &answer, &explained);
        if (before.found)
            new_prices_find(before.instance, &before.answer, job->instance, &answer, &prices);
        code = show_answer(job, &answer, before.found ? &prices : NULL, &explained, &proof);
    }
    new_prices_release(&prices);
    explained_release(&explained);
    programme_free(programme);
done:
    job_show_problems(job);
    answer_release(&answer);
    if (new_prices)
        release_before(&before);
    return code;
}
