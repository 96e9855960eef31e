/* apply.c - see apply.h. */
#include "verbs/month/apply.h"

#include "model/sheets/matched_sheet.h"
#include "report/sheet/present_sheet.h"

static bool refuse(Job *job, SourcePos at, const char *what)
{
    diag_error(&job->diags, at, "--apply: %s", what);
    return false;
}

bool apply_usage_good(Job *job)
{
    const Options *o = &job->options;
    const size_t errors = job->diags.errors;
    if (o->reason != NULL && !o->apply)
        diag_error(&job->diags, (SourcePos){0}, "--reason: it goes into the journal, expected --apply as well");
    if (!o->apply)
        return job->diags.errors == errors;
    if (o->output != NULL)
        diag_error(&job->diags, (SourcePos){0}, "found -o and --apply, expected one of them");
    if (o->words > 0)
        refuse(job, (SourcePos){0}, "it changes the scenario's own present pool, expected no list");
    if (o->newcomers != NULL)
        refuse(job, (SourcePos){0}, "cards of --new are no candidates of the scenario; name the sheet under `cards:`");
    return job->diags.errors == errors;
}

static bool is_text(Job *job, const PathAt *path, const char *what)
{
    if (is_csv_path(path->path))
        return true;
    diag_error(&job->diags, path->at,
               "--apply changes text alone, and %s '%s' is none: save it as .csv, and name that here", what,
               path->path);
    return false;
}

/* Copies that a sheet of cards says are in, and no line of the pool's sheet takes out. */
static bool none_by_status(Job *job, const Instance *instance)
{
    for (size_t c = 0; c < instance->cards->count; c++)
        if ((instance->cards->card[c].status & STATUS_IN) != 0) {
            diag_error(&job->diags, instance->cards->card[c].at,
                       "--apply: '%s' is in the present pool by its status `in`; expected it in the sheet of the pool",
                       instance->cards->card[c].name);
            return false;
        }
    return true;
}

/* A list of names alone has no place for copies; where it is read, its columns have names. */
static bool has_columns(Job *job, const Instance *instance)
{
    Sheet sheet;
    const PathAt *pool = &instance->scenario->pool;
    if (!sheet_read(job->options.arena, job->files, pool->path, pool->at, &sheet, &job->diags))
        return false;
    if (side_column(&sheet, instance->model, "name") >= 0)
        return true;
    diag_error(&job->diags, sheet_line_pos(&sheet, sheet.header.line),
               "--apply: '%s' is a list of names without names of columns; put a line with `name` above them, or write "
               "the new pool with -o FILE, and name that under 'pool' in the scenario",
               pool->path);
    return false;
}

bool apply_find(Job *job, const Instance *instance)
{
    const Scenario *scenario = instance->scenario;
    if (!job->options.apply)
        return true;
    if (scenario->pool.path == NULL)
        return refuse(job, (SourcePos){0}, "the scenario names no present pool, expected `pool: FILE` in it");
    if (!is_text(job, &scenario->pool, "the present pool") || !is_text(job, &scenario->journal, "the journal") ||
        !none_by_status(job, instance) || !has_columns(job, instance))
        return false;
    job->options.output = scenario->pool.path;
    job->options.journal = scenario->journal.path;
    return true;
}

bool apply_add(Job *job, const Instance *instance, const Accepted *accepted)
{
    const Scenario *scenario = instance->scenario;
    Text pool = {0}, journal = {0};
    if (accepted->lines == 0)
        return true;
    if (accepted->changes > 0) {
        Sheet sheet;
        if (!sheet_read(job->options.arena, job->files, scenario->pool.path, scenario->pool.at, &sheet, &job->diags))
            return false;
        present_sheet(instance, &sheet, accepted->answer->copies, &pool);
        output_add(job, job->options.output, &pool);
    }
    journal_sheet(instance, accepted, &journal);
    output_add(job, job->options.journal, &journal);
    return true;
}
