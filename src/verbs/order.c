/* order.c - files and a list -> what must be bought, from which shops -> report and a sheet by shop. */
#include "report/order_report.h"
#include "verbs/outputs.h"

static int exit_code(const Job *job, const Order *order)
{
    if (order->impossible)
        return EXIT_ANSWER_NO;
    return order->proven ? EXIT_ANSWERED : job_stopped_code(job, order->has_order);
}

static int show(Job *job, const Instance *instance, const Order *order)
{
    const Options *o = &job->options;
    bool written = true, good = true;
    Text out = {0};
    if (o->output != NULL && order->has_order) {
        Text sheet = {0};
        order_sheet(instance, order, &sheet);
        output_add_sheet(job, o->output, "order", instance, &sheet);
        written = outputs_commit(job);
    }
    if (is_stdout(o->output))
        return written ? exit_code(job, order) : EXIT_COULD_NOT_RUN;
    if (o->json)
        good = order_json(instance, order, &job->diags, &out);
    else
        order_text(instance, order, job_sections(job).full, written && order->has_order ? o->output : NULL, &job->style,
                   &out);
    const int code = job_print(job, good, &out, exit_code(job, order));
    return written ? code : EXIT_COULD_NOT_RUN;
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
