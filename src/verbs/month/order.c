/* order.c - files and a list -> what must be bought, from which shops -> report and a sheet by shop. */
#include "programme/count/checker.h"
#include "report/list/order_report.h"
#include "verbs/outputs/outputs.h"

static int exit_code(const Job *job, const Order *order, const OrderGiven *given)
{
    if (job->diags.errors > 0)
        return EXIT_COULD_NOT_RUN;
    if (order->impossible)
        return EXIT_ANSWER_NO;
    return order->proven && (given == NULL || given->proven) ? EXIT_ANSWERED : job_stopped_code(job, order->has_order);
}

static int show(Job *job, const Instance *instance, const int *list, const Order *order, const OrderGiven *given)
{
    bool good = true;
    const char *written = NULL;
    Text out = {0};
    if (order->has_order) {
        Text sheet = {0};
        order_sheet(instance, order, given, &sheet);
        written = output_sheet(job, "order", instance, &sheet);
    }
    const int code = exit_code(job, order, given);
    if (is_stdout(job->options.output))
        return code;
    if (job->options.json)
        good = order_json(instance, list, order, given, &job->diags, &out);
    else
        order_text(instance, list, order, given, job_sections(job).full, written, &job->style, &out);
    return job_print(job, good, &out, code);
}

/* The list may change: shows the cheaper of the two orders. */
static int find_giving(Job *job, const Instance *instance, const int *list, const SearchOptions *options,
                       const Order *listed, const char **why)
{
    Order order;
    int code = EXIT_COULD_NOT_RUN;
    OrderGiven given = {.listed = listed, .asked = job->options.give, .fit = pool_fit(instance, list)};
    given.floor = given.fit - given.asked;
    Programme *programme = programme_new(instance, &job->diags);
    if (programme == NULL)
        return EXIT_BAD_INPUT;
    if (order_give(programme, list, listed, given.floor, options, &order, why)) {
        given.changed = order.has_order && (!listed->has_order || order.cost < listed->cost);
        given.proven =
            given.changed ? order.proven : order.impossible || (listed->has_order && order.bound >= listed->cost);
        if (given.changed)
            exchange_between(instance->cards->count, list, order.copies, &given.change);
        job_progress_end(job);
        code = show(job, instance, given.changed ? order.copies : list, given.changed ? &order : listed, &given);
        exchange_release(&given.change);
    }
    order_release(&order);
    programme_free(programme);
    return code;
}

static int find(Job *job, const Instance *instance, const PoolFile *list)
{
    SearchOptions options;
    Order order;
    const char *why = NULL;
    int code = EXIT_COULD_NOT_RUN;
    job_stop_gently(job);
    job_search_options(job, &options);
    if (order_find(instance, list->copies, &options, &order, &why)) {
        if (job->options.has_give && !job_is_cancelled(job))
            code = find_giving(job, instance, list->copies, &options, &order, &why);
        else
            code = show(job, instance, list->copies, &order, NULL);
    }
    job_progress_end(job);
    if (why != NULL)
        diag_error(&job->diags, (SourcePos){0}, "the search could not run: %s", why);
    order_release(&order);
    return code;
}

static bool any_sold_out(const Instance *instance)
{
    for (size_t c = 0; c < instance->cards->count; c++)
        if (instance->sold_out[c])
            return true;
    return false;
}

int verb_order(Job *job)
{
    PoolFile list = {0};
    int code = EXIT_BAD_INPUT;
    if (!outputs_go_together(job) || !job_read(job) || !outputs_good(job, job->scenario, &code) ||
        !job_read_pool(job, job->instance, &list))
        goto done;
    const Model *model = job->instance->model;
    const bool accept = model->accepts[0] + model->accepts[1] > 0;
    if (job->instance->offers == 0 && !any_sold_out(job->instance))
        diag_error(&job->diags, (SourcePos){.file = job->scenario->path},
                   "found no offers%s, expected sheets of `prices` in the scenario with name, price and shop",
                   accept ? " that the model's `accept` takes" : "");
    else
        code = find(job, job->instance, &list);
done:
    job_show_problems(job);
    pool_file_release(&list);
    return code;
}
