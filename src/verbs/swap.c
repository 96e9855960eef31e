/* swap.c - files -> best pool -> what would replace each card named (none: the dearest cards to buy). */
#include "report/json/json.h"
#include "report/words/summary.h"
#include "verbs/explain_job.h"

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

/* True: all of it is settled. */
static bool swap_cards(Job *job, Explain *e, const size_t *card, size_t count, json_t *list, Text *out)
{
    bool settled = true;
    for (size_t k = 0; k < count; k++) {
        if (job_is_cancelled(job))
            return false;
        const char *name = job->instance->cards->card[card[k]].name;
        if (e->copies[card[k]] <= 0) {
            json_t *item = json_object();
            json_object_set_new(item, "name", json_string(name));
            json_object_set_new(item, "in", json_false());
            json_array_append_new(list, item);
            text_printf(out, "%s%s is not in the pool; `poolwright why` says what keeps it out.\n", k > 0 ? "\n" : "",
                        name);
            continue;
        }
        Swap swap;
        oracle_tell(e->oracle, "cards", (int)k, (int)count);
        swap_find(e, card[k], &swap);
        json_t *item = swap_json(e, &swap);
        json_object_set_new(item, "in", json_true());
        json_array_append_new(list, item);
        text_add(out, k > 0 ? "\n" : "");
        swap_text(e, &swap, job->options.all, &job->style, out);
        settled = settled && swap_settled(&swap);
        swap_release(&swap);
    }
    return settled;
}

static bool tell(Job *job, const Answer *answer, Explained *all, const size_t *card, size_t count, json_t *root,
                 Text *out)
{
    json_t *list = json_array();
    size_t *dearest = NULL;
    json_object_set_new(root, "swaps", list);
    if (job->options.words == 0) {
        take_dearest(job, answer, &dearest, &count);
        card = dearest;
    }
    if (count == 0)
        text_add(out, "Nothing must be bought, so there is no dear card to replace; name a card to see what could.\n");
    const bool settled = swap_cards(job, all->explain, card, count, list, out);
    mem_free(dearest);
    return settled;
}

static void nothing_fits(Job *job, Explained *all, json_t *root, Text *out)
{
    (void)job;
    (void)all;
    json_object_set_new(root, "swaps", json_array());
    text_add(out, "No pool keeps every rule: proven. `poolwright best` says which rules stand against each other.\n");
}

int verb_swap(Job *job)
{
    static const ExplainVerb swap = {.probe = 40000, .effort = 400000, .tell = tell, .nothing = nothing_fits};
    return explain_verb(job, &swap);
}
