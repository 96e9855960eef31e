/* seats.c - files and a list -> what one seat sees, a part for fewer players, or packs dealt at random -> report, and a
 * sheet of the part or the packs. */
#include "report/seats/deal_report.h"
#include "report/seats/drafts_report.h"
#include "report/seats/part_report.h"
#include "report/layout/format.h"
#include "verbs/outputs/outputs.h"

#define TRIAL_DRAFTS 2000 /* of each rule, where nobody says how many */

/* The pool's cards that are no candidates. */
static int other_cards(const PoolFile *list)
{
    int others = 0;
    for (size_t k = 0; k < list->unknowns; k++)
        others += list->unknown[k].copies;
    return others;
}

/* The model's table, with the seats of the command line. False with an error. */
static bool table_of(Job *job, int pool, Drafting *drafting)
{
    const int seats = job->options.has_seats ? job->options.seats : 0;
    return seats_table(job->instance->model, seats, pool, (SourcePos){0}, drafting, &job->diags);
}

static int show_chances(Job *job, const PoolFile *list, int others, const Drafting *drafting)
{
    const Options *o = &job->options;
    Seats seats;
    SeatsBeside beside;
    Text out = {0};
    bool good = true;
    seats_count(job->instance, list->copies, others, drafting, &o->package, &seats);
    seats_beside(job->instance, list->copies, others, &o->package, &beside);
    if (o->json)
        good = json_finish(seats_json(&seats, list->unknowns, &beside, &job->diags), &out);
    else
        seats_text(&seats, list, &beside, job_sections(job).full, &job->style, &out);
    const int code = job_print(job, good, &out, EXIT_ANSWERED);
    seats_beside_release(&beside);
    seats_release(&seats);
    return code;
}

/* ---- a part of the pool ---- */

static int show_part(Job *job, const PoolFile *list, int others, const Drafting *drafting, const Part *part)
{
    const Options *o = &job->options;
    Seats seats;
    SeatsBeside beside;
    Text out = {0};
    Text sheet = {0};
    bool good = true;
    part_sheet(part, job->instance, list, &sheet);
    const char *written = output_sheet(job, "part", job->instance, &sheet);
    const int code = job->diags.errors > 0 ? EXIT_COULD_NOT_RUN : EXIT_ANSWERED;
    if (is_stdout(o->output))
        return code;
    seats_count(job->instance, part->copies, part->others, drafting, &o->package, &seats);
    seats_beside(job->instance, list->copies, others, &o->package, &beside);
    if (o->json)
        good = part_json(part, &seats, list, &beside, o->seed, &job->diags, &out);
    else
        part_text(part, &seats, list, &beside, o->seed, written, &job->style, &out);
    seats_beside_release(&beside);
    seats_release(&seats);
    return job_print(job, good, &out, code);
}

static int find_part(Job *job, const PoolFile *list, int others, const Drafting *drafting)
{
    SearchOptions options;
    Part part;
    const char *why = NULL;
    int code = EXIT_COULD_NOT_RUN;
    job_stop_gently(job);
    job_search_options(job, &options);
    const bool good = part_find(job->instance, list->copies, others, (int)drafting_cards(drafting, DRAW_DEALT),
                                (uint64_t)job->options.seed, &options, &part, &why);
    job_progress_end(job);
    if (!good)
        diag_error(&job->diags, (SourcePos){0}, "the search could not run: %s", why);
    else if (!part.found)
        code = job_stopped_code(job, false);
    else
        code = show_part(job, list, others, drafting, &part);
    part_release(&part);
    return code;
}

/* ---- drafts ---- */

static int simulate(Job *job, const PoolFile *list, int others, const Drafting *drafting)
{
    const Options *o = &job->options;
    SearchOptions search;
    Drafts drafts;
    Text out = {0};
    bool good = true;
    job_stop_gently(job);
    job_search_options(job, &search);
    const DraftOptions options = {
        .drafts = o->drafts, .seed = (uint64_t)o->seed, .threads = search.threads, .cancel = search.cancel};
    drafts_run(job->instance, list->copies, others, drafting, &o->package, &options, &drafts);
    job_progress_end(job);
    if (o->json)
        good = drafts_json(&drafts, list, &job->diags, &out);
    else
        drafts_text(&drafts, list, job_sections(job).full, &job->style, &out);
    const int code =
        job_print(job, good, &out, drafts.stopped ? job_stopped_code(job, drafts.drafts > 0) : EXIT_ANSWERED);
    drafts_release(&drafts);
    return code;
}

/* What rules would do at the table: pools of the scenario, not the list. */
static int help_worst(Job *job)
{
    const Options *o = &job->options;
    const Model *model = job->instance->model;
    Drafting drafting;
    SearchOptions search;
    WorstSeat worst;
    Text out = {0};
    if (!table_of(job, model->size_from, &drafting))
        return EXIT_BAD_INPUT;
    job_stop_gently(job);
    job_search_options(job, &search);
    const DraftOptions options = {.drafts = o->drafts > 0 ? o->drafts : TRIAL_DRAFTS,
                                  .seed = (uint64_t)o->seed,
                                  .threads = search.threads,
                                  .cancel = search.cancel};
    bool good = worst_seat_find(job->instance, &drafting, &o->package, &options, &search, &worst, &job->diags);
    int code = EXIT_COULD_NOT_RUN;
    job_progress_end(job);
    if (good) {
        if (o->json)
            good = worst_seat_json(&worst, &job->diags, &out);
        else
            worst_seat_text(&worst, &job->style, &out);
        code = job_print(job, good, &out,
                         worst.impossible               ? EXIT_ANSWER_NO
                         : worst.stopped || !worst.near ? job_stopped_code(job, worst.has_pool)
                                                        : EXIT_ANSWERED);
    }
    worst_seat_release(&worst);
    return code;
}

/* ---- packs ---- */

static int show_deal(Job *job, const Deal *deal)
{
    const Options *o = &job->options;
    bool good = true;
    Text out = {0}, sheet = {0};
    deal_sheet(deal, &sheet);
    const char *written = output_sheet(job, "packs", job->instance, &sheet);
    const int code = job->diags.errors > 0 ? EXIT_COULD_NOT_RUN : EXIT_ANSWERED;
    if (is_stdout(o->output))
        return code;
    if (o->json)
        good = deal_json(deal, &job->diags, &out);
    else
        deal_text(deal, written, &job->style, &out);
    return job_print(job, good, &out, code);
}

static int deal(Job *job, const PoolFile *list, int others)
{
    const Options *o = &job->options;
    const int pack_size = job->instance->model->pack_size, pool = list->listed + others;
    if (pack_size == 0) {
        seats_no_packs(job->instance->model, &job->diags);
        return EXIT_BAD_INPUT;
    }
    if ((int64_t)o->deal * pack_size > pool) {
        diag_error(&job->diags, (SourcePos){0}, "--deal: found %d packs of %d, expected at most %d: the pool has %s",
                   o->deal, pack_size, pool / pack_size, format_cards(job->options.arena, pool));
        return EXIT_BAD_INPUT;
    }
    size_t count;
    int *card = pool_cards(job->instance, list->copies, others, &count);
    deal_packs(card, count, o->deal, pack_size, (uint64_t)o->seed);
    const int code = show_deal(job, &(Deal){job->instance, list, card, o->deal, pack_size, o->seed});
    mem_free(card);
    return code;
}

static int answer(Job *job, const PoolFile *list)
{
    const int others = other_cards(list);
    Drafting drafting;
    if (job->options.deal > 0)
        return deal(job, list, others);
    if (!table_of(job, list->listed + others, &drafting))
        return EXIT_BAD_INPUT;
    if (job->options.drafts > 0)
        return simulate(job, list, others, &drafting);
    return job->options.part ? find_part(job, list, others, &drafting) : show_chances(job, list, others, &drafting);
}

static bool usage_good(Job *job)
{
    const size_t errors = job->diags.errors;
    const Options *o = &job->options;
    if (o->output != NULL && o->deal == 0 && !o->part)
        diag_error(&job->diags, (SourcePos){0},
                   "-o: found no --deal and no --part, expected one of them: only packs and parts are written");
    if ((o->deal > 0) + o->part + (o->drafts > 0) > 1)
        diag_error(&job->diags, (SourcePos){0}, "found more than one of --deal, --drafts and --part, expected one");
    if (o->tighten && (o->deal > 0 || o->part || o->words > 0))
        diag_error(
            &job->diags, (SourcePos){0},
            "found --tighten with --deal, --part or a list, expected it alone or with --drafts: pools are chosen anew");
    outputs_go_together(job);
    return job->diags.errors == errors;
}

int verb_seats(Job *job)
{
    PoolFile list = {0};
    int code = EXIT_BAD_INPUT;
    if (!usage_good(job) || !job_read(job) || !outputs_good(job, job->scenario, &code))
        goto done;
    if (job->options.tighten)
        code = help_worst(job);
    else if (job_read_pool(job, job->instance, &list))
        code = answer(job, &list);
done:
    job_show_problems(job);
    pool_file_release(&list);
    return code;
}
