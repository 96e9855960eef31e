/* revise.c - files and the present pool -> few changes -> curve, order of swaps, newcomers, list. */
#include "report/json/json.h"
#include "report/list/revise_report.h"
#include "report/words/money.h"
#include "verbs/month/apply.h"
#include "verbs/frame/explain_job.h"
#include "verbs/outputs/outputs.h"

static int exit_code(const Job *job, const Revision *revision)
{
    bool stopped = revision->stopped, any = false;
    for (size_t k = 0; k < revision->points; k++) {
        stopped = stopped || revision->point[k].answer.status == ANSWER_STOPPED;
        any = any || revision->point[k].answer.has_pool;
    }
    return stopped ? job_stopped_code(job, any) : any ? EXIT_ANSWERED : EXIT_ANSWER_NO;
}

/* The candidates that the scenario alone does not have. */
static bool find_newcomers(Job *job, const Loaded *loaded, const Overrides *overrides, RevisePlan *plan)
{
    if (overrides->more_cards == NULL)
        return true;
    Loaded before;
    Overrides without = *overrides;
    without.more_cards = NULL;
    if (!loaded_read(&before, job->options.subject, &without, job->files, "", &job->diags))
        return false;
    const CardSet *cards = loaded->instance->cards;
    bool *newcomer = arena_alloc(job->options.arena, cards->count, sizeof *newcomer);
    size_t count = 0;
    for (size_t c = 0; c < cards->count; c++)
        count += newcomer[c] = card_find(before.instance->cards, cards->card[c].name) < 0;
    loaded_release(&before);
    plan->newcomer = newcomer;
    if (count == 0)
        diag_notice(&job->diags, (SourcePos){.file = overrides->more_cards},
                    "each of its cards is a candidate already, so there is nothing new to judge");
    if (count > REVISE_NEWCOMERS)
        diag_notice(&job->diags, (SourcePos){.file = overrides->more_cards},
                    "%zu new candidates; the first %d in order of names are judged one by one", count,
                    REVISE_NEWCOMERS);
    return true;
}

static bool spend_fits(Job *job, const Model *model)
{
    const char *spend = job->options.spend_text;
    return spend == NULL ||
           currency_alike(model->currency, model->met, "--spend: ", spend, (SourcePos){0}, &job->diags);
}

/* The list, or with --apply the present pool and the journal, and what the changes cost: all files or none. False where
 * none was asked for, found or written. */
static bool write_files(Job *job, const Loaded *loaded, const Revision *revision, Accepted *accepted)
{
    const Answer *last = revision->points > 0 ? &revision->point[revision->points - 1].answer : NULL;
    Text shopping = {0};
    if (last == NULL || !last->has_pool || (job->options.output == NULL && job->options.shopping == NULL))
        return false;
    if (job->options.apply &&
        (!accept_revision(job->options.arena, loaded->instance, revision, job->options.reason, accepted) ||
         !apply_add(job, loaded->instance, accepted)))
        return false;
    if (job->options.output != NULL && !job->options.apply)
        output_add_pool(job, loaded->instance, last, false);
    if (job->options.shopping != NULL) {
        shopping_changes_csv(loaded->instance, last, revision->present->copies, &shopping);
        output_add_sheet(job, job->options.shopping, "shopping", loaded->instance, &shopping);
    }
    return outputs_commit(job);
}

static int show(Job *job, const Loaded *loaded, const RevisePlan *plan, const Revision *revision, const Explained *why)
{
    bool good = true;
    Text out = {0};
    Accepted accepted = {0};
    const bool written = write_files(job, loaded, revision, &accepted);
    if (written && is_stdout(job->options.output))
        return exit_code(job, revision);
    const RevisedFiles files = {.list = written ? job->options.output : NULL,
                                .shopping = written ? job->options.shopping : NULL,
                                .journal = written ? job->options.journal : NULL,
                                .accepted = job->options.apply ? &accepted : NULL};
    if (job->options.json)
        good = json_finish(revise_json(loaded->instance, revision, &files, why, &job->diags), &out);
    else
        revise_text(loaded->instance, revision, plan, &files, why, job_sections(job).full, &job->style, &out);
    return job_print(job, good, &out, job->diags.errors > 0 ? EXIT_COULD_NOT_RUN : exit_code(job, revision));
}

int verb_revise(Job *job)
{
    Loaded loaded = {.cap_row = -1};
    PoolFile list = {0};
    Revision revision = {0};
    SearchOptions options;
    RevisePlan plan = {.has_swaps = job->options.has_swaps,
                       .swaps = job->options.swaps,
                       .has_spend = job->options.has_spend,
                       .spend = job->options.spend};
    Overrides overrides = job->options.overrides;
    overrides.more_cards = job->options.newcomers;
    int code = EXIT_BAD_INPUT;
    if (!apply_usage_good(job) || !outputs_go_together(job))
        goto done;
    if (!loaded_read(&loaded, job->options.subject, &overrides, job->files, "", &job->diags) ||
        !spend_fits(job, loaded.scenario->model) || !find_newcomers(job, &loaded, &overrides, &plan) ||
        !job_read_pool(job, loaded.instance, &list) || !apply_find(job, loaded.instance) ||
        !outputs_good(job, loaded.scenario, &code))
        goto done;
    code = EXIT_COULD_NOT_RUN;
    job_stop_gently(job);
    job_search_options(job, &options);
    bool good = revise_run(&loaded, &list, &plan, &options, &revision, &job->diags);
    job_progress_end(job);
    if (good) {
        Explained why = {0};
        if (revision.no_pool)
            explain_causes(job, loaded.instance, &why);
        code = show(job, &loaded, &plan, &revision, why.has_causes ? &why : NULL);
        explained_release(&why);
    }
done:
    job_show_problems(job);
    revise_release(&revision);
    pool_file_release(&list);
    loaded_release(&loaded);
    return code;
}
