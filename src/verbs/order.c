/* order.c - files and a list -> what must be bought, from which shops -> report and a sheet by shop. */
#include "report/order_report.h"
#include "verbs/outputs.h"

static int exit_code(const Job *job, const Order *order)
{
    if (job->diags.errors > 0)
        return EXIT_COULD_NOT_RUN;
    if (order->impossible)
        return EXIT_ANSWER_NO;
    return order->proven ? EXIT_ANSWERED : job_stopped_code(job, order->has_order);
}

static int show(Job *job, const Instance *instance, const Order *order)
{
    bool good = true;
    const char *written = NULL;
    Text out = {0};
    if (order->has_order) {
        Text sheet = {0};
        order_sheet(instance, order, &sheet);
        written = output_sheet(job, "order", instance, &sheet);
    }
    const int code = exit_code(job, order);
    if (is_stdout(job->options.output))
        return code;
    if (job->options.json)
        good = order_json(instance, order, &job->diags, &out);
    else
        order_text(instance, order, job_sections(job).full, written, &job->style, &out);
    return job_print(job, good, &out, code);
}

static int find(Job *job, const Instance *instance, const PoolFile *list)
{
    SearchOptions options;
    Order order;
    const char *why = NULL;
    int code = EXIT_COULD_NOT_RUN;
    int *need = mem_new(instance->cards->count, sizeof *need);
    for (size_t c = 0; c < instance->cards->count; c++)
        need[c] = list->copies[c] - instance->cards->card[c].owned;
    job_stop_gently(job);
    job_search_options(job, &options);
    const bool good = order_find(instance, need, &options, &order, &why);
    job_progress_end(job);
    if (good)
        code = show(job, instance, &order);
    else
        diag_error(&job->diags, (SourcePos){0}, "the search could not run: %s", why);
    order_release(&order);
    mem_free(need);
    return code;
}

int verb_order(Job *job)
{
    PoolFile list = {0};
    int code = EXIT_BAD_INPUT;
    if (!outputs_go_together(job) || !job_read(job) || !outputs_good(job, job->scenario, &code) ||
        !job_read_pool(job, job->instance, &list))
        goto done;
    if (job->instance->offers == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "found no offers, expected sheets of `prices` in the scenario with name, price and shop");
    else
        code = find(job, job->instance, &list);
done:
    job_show_problems(job);
    pool_file_release(&list);
    return code;
}
