/* seats.c - files and a list -> what one seat sees, or packs dealt at random -> report, and a sheet of packs. */
#include "report/deal_report.h"
#include "report/seats_report.h"
#include "report/words/format.h"
#include "verbs/outputs.h"

/* The pool's cards that are no candidates. */
static int other_cards(const PoolFile *list)
{
    int others = 0;
    for (size_t k = 0; k < list->unknowns; k++)
        others += list->unknown[k].copies;
    return others;
}

static void say_no_table(Job *job)
{
    diag_error(&job->diags, (SourcePos){0},
               "the model does not say how packs are dealt, expected a line such as 'seats: {seats: 8, packs: 3, "
               "pack_size: 15}' in it");
}

/* The model's table, with the seats of the command line. False with an error: nothing says how packs are dealt, or the
 * pool does not serve so many. */
static bool table_of(Job *job, int pool, Drafting *drafting)
{
    const Model *model = job->instance->model;
    *drafting = (Drafting){job->options.has_seats ? job->options.seats : model->seats, model->packs, model->pack_size};
    const int64_t dealt = drafting_cards(drafting, DRAW_DEALT), each = drafting_cards(drafting, DRAW_OPENS);
    if (each == 0)
        say_no_table(job);
    else if (dealt > pool)
        diag_error(&job->diags, (SourcePos){0},
                   "found %d cards in the pool, expected %lld: %d packs of %d for each of %d seats; it serves --seats "
                   "%d",
                   pool, (long long)dealt, drafting->packs, drafting->pack_size, drafting->seats, (int)(pool / each));
    return each > 0 && dealt <= pool;
}

static int show_chances(Job *job, const PoolFile *list, int others)
{
    const Options *o = &job->options;
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

static int show_deal(Job *job, const Deal *deal)
{
    const Options *o = &job->options;
    bool written = true, good = true;
    Text out = {0};
    if (o->output != NULL) {
        Text sheet = {0};
        deal_sheet(deal, &sheet);
        output_add_sheet(job, o->output, "packs", job->instance, &sheet);
        written = outputs_commit(job);
    }
    if (is_stdout(o->output))
        return written ? EXIT_ANSWERED : EXIT_COULD_NOT_RUN;
    if (o->json)
        good = deal_json(deal, &job->diags, &out);
    else
        deal_text(deal, written ? o->output : NULL, &job->style, &out);
    const int code = job_print(job, good, &out, EXIT_ANSWERED);
    return written ? code : EXIT_COULD_NOT_RUN;
}

static int deal(Job *job, const PoolFile *list, int others)
{
    const Options *o = &job->options;
    const int pack_size = job->instance->model->pack_size, pool = list->listed + others;
    if (pack_size == 0) {
        say_no_table(job);
        return EXIT_BAD_INPUT;
    }
    if ((int64_t)o->deal * pack_size > pool) {
        diag_error(&job->diags, (SourcePos){0}, "--deal: found %d packs of %d, expected at most %d: the pool has %s",
                   o->deal, pack_size, pool / pack_size, format_cards(job->options.arena, pool));
        return EXIT_BAD_INPUT;
    }
    size_t count;
    int *card = pool_cards(job->instance, list->copies, others, &count);
    const int seed = o->has_seed ? o->seed : 1;
    deal_packs(card, count, o->deal, pack_size, (uint64_t)seed);
    const int code = show_deal(job, &(Deal){job->instance, list, card, o->deal, pack_size, seed});
    mem_free(card);
    return code;
}

static bool usage_good(Job *job)
{
    const size_t errors = job->diags.errors;
    if (job->options.output != NULL && job->options.deal == 0)
        diag_error(&job->diags, (SourcePos){0}, "-o: found no --deal, expected one: only packs are written as a sheet");
    outputs_go_together(job);
    return job->diags.errors == errors;
}

int verb_seats(Job *job)
{
    PoolFile list = {0};
    int code = EXIT_BAD_INPUT;
    if (usage_good(job) && job_read(job) && outputs_good(job, job->scenario, &code) &&
        job_read_pool(job, &(Loaded){.scenario = job->scenario, .instance = job->instance}, &list)) {
        const int others = other_cards(&list);
        code = job->options.deal > 0 ? deal(job, &list, others) : show_chances(job, &list, others);
    }
    job_show_problems(job);
    pool_file_release(&list);
    return code;
}
