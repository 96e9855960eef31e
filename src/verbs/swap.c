/* swap.c - files -> best pool -> what would replace each card named (none: the dearest cards to buy). */
#include "report/explain_report.h"
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

static bool find(Job *job, const Answer *answer, Explained *all, const size_t *card, size_t count)
{
    size_t *dearest = NULL;
    if (job->options.words == 0) {
        take_dearest(job, answer, &dearest, &count);
        card = dearest;
    }
    const bool settled = explained_swaps(all, card, count);
    mem_free(dearest);
    return settled;
}

static void find_nothing(Job *job, Explained *all)
{
    (void)job;
    (void)all;
}

static void text(Job *job, const Answer *answer, const Explained *all, Text *out)
{
    if (!answer->has_pool)
        text_add(out,
                 "No pool meets every limit: proven. `poolwright best` says which limits stand against each other.\n");
    else if (all->swaps == 0 && !job_is_cancelled(job))
        text_add(out, "Nothing must be bought, so there is no dear card to replace; name a card to see what could.\n");
    for (size_t k = 0; k < all->swaps; k++) {
        text_add(out, k > 0 ? "\n" : "");
        swap_text(all->explain, &all->swap[k], job->options.all, &job->style, out);
    }
}

static void json(Job *job, const Answer *answer, const Explained *all, json_t *root)
{
    (void)job;
    (void)answer;
    json_t *list = json_array();
    for (size_t k = 0; k < all->swaps; k++)
        json_array_append_new(list, swap_json(all->explain, &all->swap[k]));
    json_object_set_new(root, "swaps", list);
}

int verb_swap(Job *job)
{
    static const ExplainVerb swap = {
        .probe = 40000, .effort = 400000, .find = find, .find_nothing = find_nothing, .text = text, .json = json};
    return explain_verb(job, &swap);
}
