/* seats.c - files and a list -> what one seat sees -> report. */
#include "report/seats_report.h"
#include "verbs/job.h"

/* The pool's cards that are no candidates. */
static int other_cards(const PoolFile *list)
{
    int others = 0;
    for (size_t k = 0; k < list->unknowns; k++)
        others += list->unknown[k].copies;
    return others;
}

/* The model's table, with the seats of the command line. False with an error: nothing says how packs are dealt, or the
 * pool does not serve so many. */
static bool table_of(Job *job, int pool, Drafting *drafting)
{
    const Model *model = job->instance->model;
    *drafting = (Drafting){job->options.has_seats ? job->options.seats : model->seats, model->packs, model->pack_size};
    const int64_t dealt = drafting_cards(drafting, DRAW_DEALT), each = drafting_cards(drafting, DRAW_OPENS);
    if (each == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "the model does not say how packs are dealt, expected a line such as 'seats: {seats: 8, packs: 3, "
                   "pack_size: 15}' in it");
    else if (dealt > pool)
        diag_error(&job->diags, (SourcePos){0},
                   "found %d cards in the pool, expected %lld: %d packs of %d for each of %d seats; it serves --seats "
                   "%d",
                   pool, (long long)dealt, drafting->packs, drafting->pack_size, drafting->seats, (int)(pool / each));
    return each > 0 && dealt <= pool;
}

static int show(Job *job, const PoolFile *list)
{
    const Options *o = &job->options;
    const int others = other_cards(list);
    Drafting drafting;
    if (!table_of(job, list->listed + others, &drafting))
        return EXIT_BAD_INPUT;
    Seats seats;
    Text out = {0};
    bool good = true;
    seats_count(job->instance, list->copies, others, &drafting, &o->package, &seats);
    if (o->json)
        good = seats_json(&seats, list, &job->diags, &out);
    else
        seats_text(&seats, list, job_sections(job).full, &job->style, &out);
    const int code = job_print(job, good, &out, EXIT_ANSWERED);
    seats_release(&seats);
    return code;
}

int verb_seats(Job *job)
{
    PoolFile list = {0};
    int code = EXIT_BAD_INPUT;
    if (job_read(job) && job_read_pool(job, &(Loaded){.scenario = job->scenario, .instance = job->instance}, &list))
        code = show(job, &list);
    job_show_problems(job);
    pool_file_release(&list);
    return code;
}
