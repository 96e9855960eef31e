/* why.c - files -> best pool -> each card forced in or out, limits loosened one by one -> reasons. */
#include "base/number.h"
#include "report/explain_report.h"
#include "verbs/frame/explain_job.h"

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

static void add_nothing(const Job *job, const Explained *all, Text *out)
{
    text_add(out, "No pool meets every limit: proven. So there is none with or without the card.\n");
    nothing_fits_text(all, &job->style, out);
}

static void text(Job *job, const Answer *answer, const Explained *all, Text *out)
{
    const ExplainView view = {.all_rules = job->options.rules, .verbose = job->options.verbose};
    if (!answer->has_pool) {
        add_nothing(job, all, out);
        return;
    }
    say_base(answer, out);
    for (size_t k = 0; k < all->cards; k++) {
        text_add(out, k > 0 ? "\n" : "");
        why_text(all->explain, &all->card[k], all->reach, &view, &job->style, out);
    }
    if (all->together.asked) {
        text_add_char(out, '\n');
        together_text(all, &view, &job->style, out);
    }
    if (job->options.verbose)
        text_printf(out, "\n%lld pivots for the explanations\n", (long long)oracle_used(all->explain->oracle));
}

int verb_why(Job *job)
{
    static const ExplainVerb why = {.find = inquire_why, .text = text, .json = why_cards_json};
    return explain_verb(job, &why);
}
