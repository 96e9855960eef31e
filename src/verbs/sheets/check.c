/* check.c - files -> instance -> counts, and what the rules alone ask for. */
#include <string.h>

#include "base/files/file.h"
#include "cards/sheet/sheet.h"
#include "programme/programme.h"
#include "report/desk/desk.h"
#include "report/report.h"
#include "verbs/frame/explain_job.h"
#include "verbs/frame/job.h"
#include "verbs/sheets/check_sheet.h"
#include "whatif/loaded.h"

#define CHECK_EFFORT 200000 /* pivots: a relaxation, with room */

/* Any solution and any bound will do. */
static void run_quietly(Search *search, const SearchOptions *from, SearchResult *result)
{
    SearchOptions options = *from;
    options.progress = NULL; /* it would speak of a best pool */
    options.gap_ppm = 1000000;
    options.effort = CHECK_EFFORT;
    search_run(search, &options, result);
}

/* The least number of copies that meet every limit when the size is free: minimise the copies instead of maximising
 * fit, without the size's lower side. A bound of the relaxation is enough; where it is not reached, nothing is said. */
static void ask_demand(const Instance *in, const Programme *programme, const SearchOptions *from, CheckFacts *facts)
{
    Search *search = search_new(&programme->problem);
    for (int i = 0; i < programme->problem.rows; i++)
        if (programme_row_is(programme, i, LIMIT_SIZE))
            search_set_row(search, i, 0, in->model->size_to);
    for (int j = 0; j < programme->problem.columns; j++)
        search_set_objective(search, j, column_is_card(programme->column[j].role) ? -1 : 0);
    SearchResult result;
    run_quietly(search, from, &result);
    facts->demand_possible = result.status != SEARCH_INFEASIBLE;
    facts->demand_known =
        result.status != SEARCH_INFEASIBLE && result.bound != SEARCH_PLUS_INFINITY && result.bound <= 0;
    facts->demand = facts->demand_known ? -result.bound : 0;
    facts->demand_exact = facts->demand_known && result.has_solution && result.value == result.bound;
    search_result_release(&result);
    search_free(search);
}

/* Is there a pool at all? What the demand leaves out, the size's lower side, counts here. */
static void ask_possible(const Programme *programme, const SearchOptions *from, CheckFacts *facts)
{
    if (!facts->demand_possible)
        return;
    Search *search = search_new(&programme->problem);
    for (int j = 0; j < programme->problem.columns; j++)
        search_set_objective(search, j, 0);
    SearchResult result;
    run_quietly(search, from, &result);
    facts->demand_possible = result.status != SEARCH_INFEASIBLE;
    search_result_release(&result);
    search_free(search);
}

/* Can each case be read? What is wrong in one is an error here too, not only once somebody asks for it. */
static bool cases_are_sound(Job *job)
{
    const Scenario *scenario = job->scenario;
    bool good = true;
    for (size_t k = 0; k < scenario->cases_count && job->options.overrides.case_name == NULL; k++) {
        Overrides overrides = job->options.overrides;
        Loaded loaded;
        Diags found;
        diags_init(&found);
        overrides.case_name = scenario->cases[k].name;
        const char *where = arena_printf(job->options.arena, "in case '%s': ", overrides.case_name);
        if (loaded_read(&loaded, job->options.subject, &overrides, job->files, where, &found))
            loaded_release(&loaded);
        else
            loaded_tell(&job->diags, &found, "");
        good = good && found.errors == 0;
        diags_release(&found);
    }
    return good;
}

static bool show_tags(Job *job, Text *out)
{
    if (job->options.json)
        return tags_json(job->instance, &job->diags, out);
    tags_text(job->instance, &job->style, out);
    return true;
}

static bool show_themes(Job *job, Text *out)
{
    Scouting scouting;
    bool good = true;
    scouting_find(job->instance, &job->options.package, &scouting);
    if (job->options.json)
        good = scouting_json(job->instance, &scouting, &job->diags, out);
    else
        scouting_text(job->instance, &scouting, &job->style, out);
    scouting_release(&scouting);
    return good;
}

/* --tags and --themes: nothing but that. */
static int check_desk(Job *job)
{
    Text out = {0};
    const Options *o = &job->options;
    int code = EXIT_BAD_INPUT;
    if (o->tags && o->scout)
        diag_error(&job->diags, (SourcePos){0}, "--tags and --themes are two answers; expected one of them");
    else if (job_read(job)) {
        const bool good = o->tags ? show_tags(job, &out) : show_themes(job, &out);
        code = job_print(job, good, &out, EXIT_ANSWERED);
    }
    job_show_problems(job);
    return code;
}

/* A sheet that is there, and no model. */
static bool asks_of_sheet(const Job *job)
{
    const Options *o = &job->options;
    return o->overrides.model == NULL && strcmp(o->subject, "-") != 0 && !scenario_is(o->subject) &&
           file_exists(sheet_file(o->arena, o->subject, NULL));
}

int verb_check(Job *job)
{
    if (job->options.tags || job->options.scout)
        return check_desk(job);
    if (asks_of_sheet(job))
        return check_sheet(job);
    Programme *programme = NULL;
    LimitReach *reach = NULL;
    Explained explained = {0};
    Text out = {0};
    int code = EXIT_BAD_INPUT;
    if (!job_read(job))
        goto done;
    programme = programme_new(job->instance, &job->diags);
    if (programme == NULL || !cases_are_sound(job))
        goto done;
    reach = mem_new(job->instance->limits, sizeof *reach);
    limit_reach(job->instance, reach);
    CheckFacts facts = {.reach = reach, .scales = scales_find(job->instance)};
    instance_copies(job->instance, &facts.copies_most, &facts.copies_least);
    SearchOptions options;
    job_search_options(job, &options);
    ask_demand(job->instance, programme, &options, &facts);
    ask_possible(programme, &options, &facts);
    if (!facts.demand_possible && explain_causes(job, job->instance, &explained))
        facts.explained = &explained;
    bool good = true;
    if (job->options.json)
        good = check_json(job->instance, &facts, &job->diags, &out);
    else
        check_text(job->instance, &facts, job->options.rules, &job->style, &out);
    code = job_print(job, good, &out, facts.demand_possible ? EXIT_ANSWERED : EXIT_ANSWER_NO);
done:
    job_show_problems(job);
    mem_free(reach);
    explained_release(&explained);
    programme_free(programme);
    return code;
}
