/* best.c - files -> instance -> programme -> search -> checked answer -> first screen and list. */
#include <string.h>

#include "base/file.h"
#include "programme/answer.h"
#include "report/report.h"
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

/* The list as a draft beside its file; NULL when none is asked for or it could not be written (then diags has an error). */
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

/* With -o - the list alone is printed. */
static bool describe(Job *job, const Answer *answer, bool written, Text *out)
{
    if (list_to_stdout(job) && answer->has_pool) {
        list_csv(job->instance, answer, job->options.all, out);
        return true;
    }
    if (job->options.json)
        return best_json(job->instance, answer, &job->diags, out);
    BestView view = {
        .rules = job->options.rules,
        .verbose = job->options.verbose,
        .written = written ? job->options.output : NULL,
        .engine = job->options.engine,
    };
    best_text(job->instance, answer, &view, &job->style, out);
    return true;
}

static int show_answer(Job *job, const Answer *answer)
{
    FileDraft *draft = draft_list(job, answer);
    if (job->diags.errors > 0)
        return EXIT_COULD_NOT_RUN;
    Text out = {0};
    int code = EXIT_COULD_NOT_RUN;
    if (!describe(job, answer, draft != NULL, &out)) {
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
        file_draft_discard(draft);
    } else if (draft == NULL || file_draft_commit(draft, &job->diags))
        code = job_print(job, &out, exit_code(answer));
    text_release(&out);
    return code;
}

int verb_best(Job *job)
{
    Programme *programme = NULL;
    Answer answer = {0};
    SearchOptions options;
    int code = EXIT_BAD_INPUT;
    if (job->options.json && list_to_stdout(job)) {
        diag_error(&job->diags, (SourcePos){0}, "--json and -o - would both go to standard output; give -o a file");
        goto done;
    }
    if (!job_read(job))
        goto done;
    programme = programme_new(job->instance, &job->diags);
    if (programme == NULL)
        goto done;
    code = EXIT_COULD_NOT_RUN;
    job_search_options(job, &options);
    bool found = answer_find(programme, &options, &answer, &job->diags);
    job_progress_end();
    if (found)
        code = show_answer(job, &answer);
done:
    job_show_problems(job);
    answer_release(&answer);
    programme_free(programme);
    return code;
}
