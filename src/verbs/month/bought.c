/* bought.c - files and a shopping list with what was paid -> report, and a sheet of owned cards. */
#include "model/sheets/matched_sheet.h"
#include "report/list/bought_report.h"
#include "verbs/outputs/outputs.h"

static bool usage_good(Job *job)
{
    const Options *o = &job->options;
    const size_t errors = job->diags.errors;
    if (o->words == 0)
        diag_error(&job->diags, (SourcePos){0},
                   "bought: found no list, expected poolwright bought SCENARIO SHOPPING.csv");
    if (o->apply && o->output != NULL)
        diag_error(&job->diags, (SourcePos){0}, "found -o and --apply, expected one of them");
    outputs_go_together(job);
    return job->diags.errors == errors;
}

/* --apply: the scenario's one owned sheet is where it goes. */
static bool find_sheet(Job *job)
{
    const Scenario *scenario = job->scenario;
    if (!job->options.apply)
        return true;
    if (scenario->owned_count != 1) {
        diag_error(&job->diags, (SourcePos){0},
                   scenario->owned_count == 0
                       ? "--apply: the scenario has no owned sheet, expected -o FILE, and then `owned: [FILE]` in it"
                       : "--apply: the scenario has more than one owned sheet, expected -o FILE");
        return false;
    }
    const char *path = scenario->owned[0].path;
    if (!is_csv_path(path)) {
        diag_error(&job->diags, scenario->owned[0].at,
                   "--apply changes text alone, and '%s' is none: save it as .csv, and name that here, or use -o FILE",
                   path);
        return false;
    }
    job->options.output = path;
    return true;
}

/* The scenario's owned sheet as it stands, with lines for what was bought. */
static bool add_lines(Job *job, const Bought *bought, Text *out)
{
    Sheet sheet;
    const PathAt *owned = &job->scenario->owned[0];
    if (!sheet_read(job->options.arena, job->files, owned->path, owned->at, &sheet, &job->diags))
        return false;
    if (side_column(&sheet, job->instance->model, "name") < 0) {
        diag_error(&job->diags, sheet_line_pos(&sheet, sheet.header.line),
                   "--apply: '%s' is a list of names without names of columns, so there is no place for what was paid; "
                   "expected -o FILE, and that file under 'owned' in the scenario instead",
                   owned->path);
        return false;
    }
    bought_lines(job->instance, bought, &sheet, out);
    return true;
}

static int show(Job *job, const Bought *bought)
{
    const Options *o = &job->options;
    bool good = true;
    Text out = {0}, sheet = {0};
    if (!o->apply)
        bought_sheet(job->instance, bought, &sheet);
    else if (!add_lines(job, bought, &sheet))
        return EXIT_BAD_INPUT;
    const char *written = output_sheet(job, "owned", job->instance, &sheet);
    const int code = job->diags.errors > 0 ? EXIT_COULD_NOT_RUN : EXIT_ANSWERED;
    if (is_stdout(o->output))
        return code;
    if (o->json)
        good = bought_json(job->instance, bought, &job->diags, &out);
    else
        bought_text(job->instance, bought, written, job_names_file(job, written), o->apply, &job->style, &out);
    return job_print(job, good, &out, code);
}

int verb_bought(Job *job)
{
    Bought bought = {0};
    int code = EXIT_BAD_INPUT;
    if (usage_good(job) && job_read(job) && find_sheet(job) && outputs_good(job, job->scenario, &code) &&
        bought_read(job->instance, job->options.word[0], &bought, &job->diags))
        code = show(job, &bought);
    job_show_problems(job);
    if (bought.arena != NULL)
        bought_release(&bought);
    return code;
}
