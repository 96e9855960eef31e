/* swap.c - files -> best pool -> what would replace each card named (none: the dearest cards to buy). */
#include "report/explain_report.h"
#include "report/layout/format.h"
#include "programme/count/pool_summary.h"
#include "verbs/frame/explain_job.h"

/* Without names: the dearest cards that must be bought. */
static bool find(const Inquiry *inquiry, const Answer *answer, const size_t *card, size_t count, Explained *out,
                 bool *settled, Diags *diags)
{
    size_t dear[SUMMARY_DEAREST + 1];
    if (count > 0 || !answer->has_pool)
        return inquire_swaps(inquiry, answer, card, count, out, settled, diags);
    return inquire_swaps(inquiry, answer, dear, pool_dearest(inquiry->instance, answer->copies, dear), out, settled,
                         diags);
}

static void text(Job *job, const Answer *answer, const Explained *all, Text *out)
{
    if (!answer->has_pool)
        text_add(out, NO_POOL_SEE_BEST);
    else if (all->swaps == 0 && !job_is_cancelled(job))
        text_add(out, "There is no dear card to buy; name a card to see what could replace it.\n");
    if (all->swaps > 1 && job->options.words == 0 && !job->options.all) {
        swap_list_text(all->explain, all->swap, all->swaps, &job->style, out);
        return;
    }
    for (size_t k = 0; k < all->swaps; k++) {
        text_add(out, k > 0 ? "\n" : "");
        swap_text(all->explain, &all->swap[k], job->options.all, &job->style, out);
    }
}

int verb_swap(Job *job)
{
    static const ExplainVerb swap = {.find = find, .text = text, .json = swap_cards_json};
    return explain_verb(job, &swap);
}
