/* slips.c - files and a list -> a page of slips to cut, or a list to tick. */
#include "page/paper/slips.h"
#include "report/words/money.h"
#include "verbs/outputs/outputs.h"
#include "verbs/pool/page_files.h"

static bool usage_good(Job *job)
{
    if (job->options.output == NULL)
        diag_error(&job->diags, (SourcePos){0}, "expected -o FILE, such as -o slips.html");
    if (job->options.ticks && job->options.all)
        diag_error(&job->diags, (SourcePos){0},
                   "found --ticks and --all, expected one of them: the list to tick has every card");
    return outputs_go_together(job) && job->diags.errors == 0;
}

static void tell(Job *job, int copies, int cut, Text *out)
{
    const char *path = job->options.output;
    const int sheets = (copies + SLIPS_TO_A_PAGE - 1) / SLIPS_TO_A_PAGE;
    if (job->options.ticks)
        text_printf(out, "%d card%s to tick: %s\n", copies, copies == 1 ? "" : "s", path);
    else if (copies == 0)
        text_printf(out, "Every card of the list is owned: no slips are in %s (--all makes them for all).\n", path);
    else
        text_printf(out, "%d slip%s on %d sheet%s of paper: %s. Print in real size (100%%).\n", copies,
                    copies == 1 ? "" : "s", sheets, sheets == 1 ? "" : "s", path);
    if (cut > 0)
        text_printf(out, "%d text%s too long for a slip: there %s with \"...\".\n", cut, cut == 1 ? " is" : "s are",
                    cut == 1 ? "it ends" : "they end");
}

static int write_page(Job *job, const PoolFile *list)
{
    const CardSet *cards = job->instance->cards;
    const bool ticks = job->options.ticks;
    const char *title = page_title(job->options.arena, job->scenario);
    int *copies = mem_new(cards->count, sizeof *copies), all = 0, cut = 0, code = EXIT_COULD_NOT_RUN;
    Text page = {0}, out = {0};
    for (size_t c = 0; c < cards->count; c++) {
        const int owned = ticks || job->options.all ? 0 : cards->card[c].owned;
        copies[c] = list->copies[c] > owned ? list->copies[c] - owned : 0;
        all += copies[c];
    }
    if (ticks)
        ticks_page(job->instance, copies, title, &page);
    else
        cut = slips_page(job->instance, copies, title, &page);
    output_add(job, job->options.output, &page);
    if (outputs_commit(job)) {
        if (!is_stdout(job->options.output))
            tell(job, all, cut, &out);
        if (!is_stdout(job->options.output) && !ticks && !job->options.all)
            pool_owned_text(job->instance, list->copies, &out);
        code = job_print(job, true, &out, EXIT_ANSWERED);
    }
    text_release(&page);
    mem_free(copies);
    return code;
}

int verb_slips(Job *job)
{
    PoolFile list = {0};
    int code = EXIT_BAD_INPUT;
    if (usage_good(job) && job_read(job) && outputs_good(job, job->scenario, &code) &&
        job_read_pool(job, job->instance, &list))
        code = write_page(job, &list);
    job_show_problems(job);
    pool_file_release(&list);
    return code;
}
