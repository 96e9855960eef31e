/* revise.c - files and the present pool -> few changes -> curve, order of swaps, newcomers, list. */
#include <string.h>

#include "base/file.h"
#include "report/report.h"
#include "report/revise_report.h"
#include "verbs/job.h"

static int exit_code(const Revision *revision)
{
    bool stopped = false, any = false;
    for (size_t k = 0; k < revision->points; k++) {
        stopped = stopped || revision->point[k].answer.status == ANSWER_STOPPED;
        any = any || revision->point[k].answer.has_pool;
    }
    return stopped ? EXIT_STOPPED : any ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

/* The candidates that the scenario alone does not have. */
static bool find_newcomers(Job *job, const Ground *ground, const Overrides *overrides, RevisePlan *plan)
{
    if (overrides->more_cards == NULL)
        return true;
    Ground before;
    Overrides without = *overrides;
    without.more_cards = NULL;
    if (!ground_read(&before, job->options.subject, &without, "", &job->diags))
        return false;
    const CardSet *cards = ground->instance->cards;
    bool *newcomer = arena_alloc(job->options.arena, cards->count, sizeof *newcomer);
    size_t count = 0;
    for (size_t c = 0; c < cards->count; c++)
        count += newcomer[c] = card_find(before.instance->cards, cards->card[c].name) < 0;
    ground_release(&before);
    plan->newcomer = newcomer;
    if (count > REVISE_NEWCOMERS)
        diag_notice(&job->diags, (SourcePos){.file = overrides->more_cards}, "%zu new candidates; the first %d in order of names are judged one by one", count, REVISE_NEWCOMERS);
    return true;
}

static bool write_list(Job *job, const Ground *ground, const Revision *revision, bool *written)
{
    *written = false;
    const Answer *answer = revision->points > 0 ? &revision->point[revision->points - 1].answer : NULL;
    if (job->options.output == NULL || answer == NULL || !answer->has_pool)
        return true;
    Text text = {0};
    list_csv(ground->instance, answer, false, &text);
    *written = file_write(job->options.output, text_cstr(&text), text.length, &job->diags);
    text_release(&text);
    return *written;
}

static int show(Job *job, const Ground *ground, const RevisePlan *plan, const Revision *revision)
{
    bool written;
    Text out = {0};
    int code = EXIT_COULD_NOT_RUN;
    if (!write_list(job, ground, revision, &written))
        return code;
    if (written && strcmp(job->options.output, "-") == 0)
        return exit_code(revision);
    if (!job->options.json)
        revise_text(ground->instance, revision, plan, written ? job->options.output : NULL, job->options.verbose, &job->style, &out);
    else if (!revise_json(ground->instance, revision, &job->diags, &out)) {
        diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
        return code;
    }
    code = job_print(job, &out, exit_code(revision));
    text_release(&out);
    return code;
}

int verb_revise(Job *job)
{
    Ground ground = {.cap_row = -1};
    PoolFile list = {0};
    Revision revision = {0};
    SearchOptions options;
    RevisePlan plan = {.has_swaps = job->options.has_swaps, .swaps = job->options.swaps, .has_spend = job->options.has_spend, .spend = job->options.spend};
    Overrides overrides = job->options.overrides;
    int code = EXIT_BAD_INPUT;
    if (job->options.json && job->options.output != NULL && strcmp(job->options.output, "-") == 0) {
        diag_error(&job->diags, (SourcePos){0}, "--json and -o - would both go to standard output; give -o a file");
        goto done;
    }
    job_model_folders(job);
    overrides.model_folders = job->options.overrides.model_folders;
    overrides.model_folder_count = job->options.overrides.model_folder_count;
    overrides.more_cards = job->options.newcomers;
    if (!ground_read(&ground, job->options.subject, &overrides, "", &job->diags) || !find_newcomers(job, &ground, &overrides, &plan) ||
        !job_read_pool(job, &ground, &list))
        goto done;
    if (ground_at_risk(&ground)) {
        diag_error(&job->diags, (SourcePos){0}, "revise does not work under price risk: the model protects limits against risen prices; try a case without that protection");
        goto done;
    }
    code = EXIT_COULD_NOT_RUN;
    job_search_options(job, &options);
    bool good = revise_run(&ground, &list, &plan, &options, &revision, &job->diags);
    job_progress_end();
    if (good)
        code = show(job, &ground, &plan, &revision);
done:
    job_show_problems(job);
    revise_release(&revision);
    pool_file_release(&list);
    ground_release(&ground);
    return code;
}
