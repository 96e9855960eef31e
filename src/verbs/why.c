/* why.c - files -> best pool -> each card forced in or out, limits loosened one by one -> reasons. */
#include "base/number.h"
#include "programme/protect.h"
#include "report/json.h"
#include "verbs/explain_job.h"

#define BASE_EFFORT 2000000
#define WHY_EFFORT 900000 /* of all cards named; --effort may say more */
#define WHY_PROBE 100000

static void say_base(const Answer *answer, Text *out)
{
    char fit[NUMBER_TEXT];
    if (answer->status == ANSWER_BEST)
        return;
    text_printf(out, "The pool that this is measured against has fit %s; ", number_format(fit, answer->check.fit, 3, 0));
    if (answer->has_bound)
        text_printf(out, "up to %s is not excluded, so some answers are ranges.\n\n", number_format(fit, answer->bound, 3, 0));
    else
        text_add(out, "how good it is was not proven.\n\n");
}

static void nothing_fits(Job *job, Explained *all, json_t *root, Text *out)
{
    explain_nothing_fits(job->instance, job->options.all, all);
    if (job->options.json) {
        json_object_set_new(root, "conflict", conflict_json(all->explain, &all->conflict));
        json_object_set_new(root, "repair", repair_json(all->explain, &all->repair));
        if (all->has_list)
            conflict_list_json(all->explain, &all->list, root);
        return;
    }
    text_add(out, "No pool keeps every rule: proven. So there is none with or without the card.\n");
    conflict_text(all->explain, &all->conflict, NULL, all->reach, &job->style, out);
    repair_text(all->explain, &all->repair, &job->style, out);
    conflict_list_text(all->explain, &all->list, &job->style, out);
}

static void explain_cards(Job *job, Explain *e, const size_t *card, size_t count, json_t *root, Text *out)
{
    RuleReach *reach = mem_new(job->instance->members + 1, sizeof *reach);
    rule_reach(job->instance, reach);
    WhyAsk ask = {.blame = true, .price = true, .far = job->options.rules ? 0 : 3, .conflicts = job->options.all};
    ExplainView view = {.all_rules = job->options.rules, .verbose = job->options.verbose};
    json_t *list = json_array();
    for (size_t k = 0; k < count; k++) {
        Why why;
        why_find(e, card[k], &ask, &why);
        if (job->options.json)
            json_array_append_new(list, why_json(e, &why));
        else {
            text_add(out, k > 0 ? "\n" : "");
            why_text(e, &why, reach, &view, &job->style, out);
        }
        why_release(&why);
    }
    json_object_set_new(root, "cards", list);
    if (job->options.verbose && !job->options.json)
        text_printf(out, "\n%lld pivots for the explanations\n", (long long)prober_used(e->prober));
    mem_free(reach);
}

static void add_status(const Answer *answer, json_t *root)
{
    json_object_set_new(root, "status", json_string(answer_status_name(answer->status)));
    if (answer->has_pool)
        json_object_set_new(root, "fit", json_number_of(answer->check.fit));
    if (answer->has_bound && answer->status != ANSWER_INFEASIBLE)
        json_object_set_new(root, "bound", json_number_of(answer->bound));
}

static int report(Job *job, const Answer *answer, const size_t *card, size_t count)
{
    Text out = {0};
    int code = EXIT_COULD_NOT_RUN;
    Explained all = {0};
    json_t *root = json_object();
    ExplainOptions how;
    explain_job_options(job, WHY_PROBE, WHY_EFFORT * (int64_t)(count > 0 ? count : 1), &how);
    if (job->options.effort > 0) {
        how.effort = job->options.effort;
        how.probe = how.effort / 10 + 1;
    } else if (job->options.rules)
        how.effort *= 40;
    if (answer->status == ANSWER_INFEASIBLE)
        how.probe = 0;
    all.explain = explain_new(job->instance, answer, &how, &job->diags);
    if (all.explain == NULL)
        goto done;
    add_status(answer, root);
    code = answer->status == ANSWER_STOPPED ? EXIT_STOPPED : EXIT_ANSWERED;
    if (answer->status == ANSWER_INFEASIBLE) {
        nothing_fits(job, &all, root, &out);
        code = EXIT_ANSWER_NO;
    } else if (!answer->has_pool) {
        text_add(&out, "Stopped before a first pool was found; whether there is one is not known.\n");
    } else {
        say_base(answer, &out);
        explain_cards(job, all.explain, card, count, root, &out);
    }
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
    explained_release(&all);
    return code;
}

int verb_why(Job *job)
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
        diag_error(&job->diags, job->instance->model->risk_at, "why does not reckon with price risk yet; run it on a case or a model without `risk`");
        goto done;
    }
    job_search_options(job, &options);
    if (options.effort == 0)
        options.effort = BASE_EFFORT;
    bool found = answer_find(programme, &options, &answer, &job->diags);
    job_progress_end();
    if (found)
        code = report(job, &answer, card, count);
done:
    job_show_problems(job);
    answer_release(&answer);
    programme_free(programme);
    mem_free(card);
    return code;
}
