/* best.c - files -> instance -> programme -> search -> checked answer -> first screen and list. */
#include <string.h>

#include "base/file.h"
#include "programme/answer.h"
#include "report/money.h"
#include "report/report.h"
#include "verbs/explain_job.h"
#include "verbs/job.h"

static int exit_code(const Answer *answer)
{
    switch (answer->status) {
    case ANSWER_BEST:
    case ANSWER_WITHIN_GAP: return EXIT_ANSWERED;
    case ANSWER_INFEASIBLE: return EXIT_ANSWER_NO;
    case ANSWER_STOPPED: break;
    }
    return EXIT_STOPPED;
}

static bool list_to_stdout(const Job *job)
{
    return job->options.output != NULL && strcmp(job->options.output, "-") == 0;
}

/* The list as a draft beside its file; NULL when none is asked for or it could not be written (then diags has an
 * error). */
static FileDraft *draft_list(Job *job, const Answer *answer)
{
    if (job->options.output == NULL || !answer->has_pool || list_to_stdout(job))
        return NULL;
    Text list = {0};
    list_csv(job->instance, answer, job->options.all, &list);
    FileDraft *draft = file_draft(job->options.output, text_cstr(&list), list.length, &job->diags);
    text_release(&list);
    return draft;
}

static FileDraft *draft_shopping(Job *job, const Answer *answer)
{
    if (job->options.shopping == NULL || !answer->has_pool || job->diags.errors > 0)
        return NULL;
    Text list = {0};
    shopping_csv(job->instance, answer, &list);
    FileDraft *draft = file_draft(job->options.shopping, text_cstr(&list), list.length, &job->diags);
    text_release(&list);
    return draft;
}

/* With -o - the list alone is printed. */
static bool describe(Job *job, const Answer *answer, const OldPrices *old, const Explained *explained, Text *out)
{
    if (list_to_stdout(job) && answer->has_pool) {
        list_csv(job->instance, answer, job->options.all, out);
        return true;
    }
    if (job->options.json)
        return best_json(job->instance, answer, old, explained, &job->diags, out);
    BestView view = {
        .rules = job->options.rules,
        .verbose = job->options.verbose,
        .written = answer->has_pool ? job->options.output : NULL,
        .shopping = answer->has_pool ? job->options.shopping : NULL,
        .old = old,
        .explained = explained,
        .engine = job->options.engine,
    };
    best_text(job->instance, answer, &view, &job->style, out);
    return true;
}

/* Both files or none. */
static bool commit(Job *job, FileDraft *list, FileDraft *shopping)
{
    if (list != NULL && !file_draft_commit(list, &job->diags)) {
        file_draft_discard(shopping);
        return false;
    }
    return shopping == NULL || file_draft_commit(shopping, &job->diags);
}

static int show_answer(Job *job, const Answer *answer, const OldPrices *old, const Explained *explained)
{
    FileDraft *list = draft_list(job, answer), *shopping = draft_shopping(job, answer);
    Text out = {0};
    int code = EXIT_COULD_NOT_RUN;
    bool good = job->diags.errors == 0;
    if (good && !describe(job, answer, old, explained, &out)) {
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
        good = false;
    }
    if (!good) {
        file_draft_discard(list);
        file_draft_discard(shopping);
    } else if (commit(job, list, shopping))
        code = job_print(job, &out, exit_code(answer));
    text_release(&out);
    return code;
}

static bool solve(const Job *job, const Programme *programme, Answer *answer, Diags *diags)
{
    SearchOptions options;
    job_search_options(job, &options);
    bool found = answer_find(programme, &options, answer, diags);
    job_progress_end();
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
    before->scenario = scenario_read(job->options.subject, &overrides, &before->diags);
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

static bool outputs_go_together(Job *job)
{
    const Options *o = &job->options;
    job_one_output(job);
    if (o->shopping != NULL && strcmp(o->shopping, "-") == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "--shopping: found '-', expected a file, since standard output shows the answer");
    if (o->shopping != NULL && o->output != NULL && strcmp(o->shopping, o->output) == 0)
        diag_error(&job->diags, (SourcePos){0}, "--shopping and -o name one file, expected two");
    return job->diags.errors == 0;
}

int verb_best(Job *job)
{
    Answer answer = {0};
    Before before = {0};
    int code = EXIT_BAD_INPUT;
    bool new_prices = job->options.overrides.prices_count > 0;
    if (!outputs_go_together(job) || !job_read(job) ||
        !job_may_write(job, job->scenario, "-o", job->options.output, &code) ||
        !job_may_write(job, job->scenario, "--shopping", job->options.shopping, &code))
        goto done;
    if (new_prices)
        find_before(job, &before);
    Programme *programme = programme_new(job->instance, &job->diags);
    if (programme == NULL)
        goto done;
    code = EXIT_COULD_NOT_RUN;
    OldPrices old = {before.instance, &before.answer};
    Explained explained = {0};
    if (solve(job, programme, &answer, &job->diags)) {
        if (!list_to_stdout(job))
            explain_best(job, programme, &answer, &explained);
        code = show_answer(job, &answer, before.found ? &old : NULL, &explained);
    }
    explained_release(&explained);
    programme_free(programme);
done:
    job_show_problems(job);
    answer_release(&answer);
    if (new_prices)
        release_before(&before);
    return code;
}
