/* swap.c - files -> best pool -> what would replace each card named (none: the dearest cards to buy). */
#include "programme/protect.h"
#include "report/json.h"
#include "report/summary.h"
#include "verbs/explain_job.h"

#define BASE_EFFORT 2000000
#define SWAP_EFFORT 400000
#define SWAP_PROBE 40000

/* Without names: the dearest cards that must be bought. */
static void take_dearest(Job *job, const Answer *answer, size_t **card, size_t *count)
{
    PoolSummary sum;
    pool_summary(job->instance, answer, &sum);
    *card = mem_resize(*card, sum.dears + 1, sizeof **card);
    for (size_t k = 0; k < sum.dears; k++)
        (*card)[k] = sum.dear[k];
    *count = sum.dears;
    pool_summary_release(&sum);
}

static void swap_cards(Job *job, Explain *e, const size_t *card, size_t count, json_t *list, Text *out)
{
    for (size_t k = 0; k < count; k++) {
        const char *name = job->instance->cards->card[card[k]].name;
        if (e->copies[card[k]] <= 0) {
            json_t *item = json_object();
            json_object_set_new(item, "name", json_string(name));
            json_object_set_new(item, "in", json_false());
            json_array_append_new(list, item);
            text_printf(out, "%s%s is not in the pool; `poolwright why` says what keeps it out.\n", k > 0 ? "\n" : "", name);
            continue;
        }
        Swap swap;
        prober_tell(e->prober, "cards", (int)k, (int)count);
        swap_find(e, card[k], &swap);
        json_t *item = swap_json(e, &swap);
        json_object_set_new(item, "in", json_true());
        json_array_append_new(list, item);
        text_add(out, k > 0 ? "\n" : "");
        swap_text(e, &swap, job->options.all, &job->style, out);
        swap_release(&swap);
    }
}

static int report(Job *job, const Answer *answer, size_t **card, size_t count)
{
    Text out = {0};
    int code = EXIT_COULD_NOT_RUN;
    json_t *root = json_object(), *list = json_array();
    json_object_set_new(root, "swaps", list);
    ExplainOptions how;
    explain_job_options(job, SWAP_PROBE, SWAP_EFFORT, &how);
    Explain *e = explain_new(job->instance, answer, &how, &job->diags);
    if (e == NULL)
        goto done;
    json_object_set_new(root, "status", json_string(answer_status_name(answer->status)));
    code = answer->status == ANSWER_STOPPED ? EXIT_STOPPED : EXIT_ANSWERED;
    if (answer->has_pool) {
        if (job->options.words == 0)
            take_dearest(job, answer, card, &count);
        if (count == 0)
            text_add(&out, "Nothing must be bought, so there is no dear card to replace; name a card to see what could.\n");
        swap_cards(job, e, *card, count, list, &out);
    } else if (answer->status == ANSWER_INFEASIBLE) {
        code = EXIT_ANSWER_NO;
        text_add(&out, "No pool keeps every rule: proven. `poolwright best` says which rules stand against each other.\n");
    } else
        text_add(&out, "Stopped before a first pool was found; whether there is one is not known.\n");
    job_progress_end();
    if (job->options.json) {
        json_object_set_new(root, "notices", json_notices(&job->diags));
        text_release(&out);
        bool good = json_finish(root, &out);
        root = NULL;
        if (!good) {
            diag_error(&job->diags, (SourcePos){0}, "the answer could not be written as JSON");
            code = EXIT_COULD_NOT_RUN;
            goto done;
        }
    }
    code = job_print(job, &out, code);
done:
    if (root != NULL)
        json_decref(root);
    text_release(&out);
    explain_free(e);
    return code;
}

int verb_swap(Job *job)
{
    Programme *programme = NULL;
    Answer answer = {0};
    SearchOptions options;
    size_t count = 0, *card = mem_new(job->options.words + 1, sizeof *card);
    int code = EXIT_BAD_INPUT;
    if (!job_read(job) || !explain_job_cards(job, card, &count))
        goto done;
    programme = programme_new(job->instance, &job->diags);
    if (programme == NULL)
        goto done;
    code = EXIT_COULD_NOT_RUN;
    if (programme_at_risk(programme)) {
        diag_error(&job->diags, job->instance->model->risk_at, "swap does not reckon with price risk yet; run it on a case or a model without `risk`");
        goto done;
    }
    job_search_options(job, &options);
    if (options.effort == 0)
        options.effort = BASE_EFFORT;
    bool found = answer_find(programme, &options, &answer, &job->diags);
    job_progress_end();
    if (found)
        code = report(job, &answer, &card, count);
done:
    job_show_problems(job);
    answer_release(&answer);
    programme_free(programme);
    mem_free(card);
    return code;
}
