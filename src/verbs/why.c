/* why.c - files -> best pool -> each card forced in or out, limits loosened one by one -> reasons. */
#include "base/number.h"
#include "report/json/json.h"
#include "verbs/explain_job.h"

static void say_base(const Answer *answer, Text *out)
{
    char fit[NUMBER_TEXT];
    if (answer->status == ANSWER_BEST)
        return;
    text_printf(out, "The pool that this is measured against has fit %s; ",
                number_format(fit, answer->check.fit, 3, 0));
    if (answer->has_bound)
        text_printf(out, "up to %s is not excluded, so some answers are ranges.\n\n",
                    number_format(fit, answer->bound, 3, 0));
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

/* True: all of it is settled. */
static bool explain_cards(Job *job, Explain *e, const size_t *card, size_t count, json_t *root, Text *out)
{
    LimitReach *reach = mem_new(job->instance->limits, sizeof *reach);
    limit_reach(job->instance, reach);
    WhyAsk ask = {.blame = true, .price = true, .far = job->options.rules ? 0 : 3, .conflicts = job->options.all};
    ExplainView view = {.all_rules = job->options.rules, .verbose = job->options.verbose};
    json_t *list = json_array();
    Together together;
    bool settled = true;
    together_find(e, card, count, &together);
    for (size_t k = 0; k < count; k++) {
        Why why;
        why_find(e, card[k], &ask, &why);
        if (job->options.json)
            json_array_append_new(list, why_json(e, &why));
        else {
            text_add(out, k > 0 ? "\n" : "");
            why_text(e, &why, reach, &view, &job->style, out);
        }
        together_learn(&together, &why);
        settled = settled && why_settled(&why);
        why_release(&why);
    }
    json_object_set_new(root, "cards", list);
    if (together.asked && job->options.json)
        json_object_set_new(root, "together", together_json(e, &together));
    else if (together.asked) {
        text_add_char(out, '\n');
        together_text(e, &together, card, count, reach, &view, &job->style, out);
    }
    settled = settled && together_settled(&together);
    together_release(&together);
    if (job->options.verbose && !job->options.json)
        text_printf(out, "\n%lld pivots for the explanations\n", (long long)oracle_used(e->oracle));
    mem_free(reach);
    return settled;
}

static bool tell(Job *job, const Answer *answer, Explained *all, const size_t *card, size_t count, json_t *root,
                 Text *out)
{
    say_base(answer, out);
    return explain_cards(job, all->explain, card, count, root, out);
}

int verb_why(Job *job)
{
    static const ExplainVerb why = {.probe = 100000, .effort = 900000, .tell = tell, .nothing = nothing_fits};
    return explain_verb(job, &why);
}
