/* outputs.c - what is looked at before a search: see outputs.h.
 *
 * One table says what each verb writes. What the user wrote by hand and this run reads is never written over; the
 * present pool may be replaced by a new one, and by nothing else. A folder that is written to has none of these files
 * in it, by whatever name: which names a run will use is not always known before it. */
#include <dirent.h>
#include <errno.h>
#include <stddef.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

#include "base/files/file.h"
#include "base/files/writable.h"
#include "cards/sheet/sheet.h"
#include "verbs/outputs/outputs_inner.h"

typedef enum {
    GOES_FILE,
    GOES_PAGE,    /* for a browser */
    GOES_PICTURE, /* the same */
    GOES_SHEET,   /* a file with one sheet */
    GOES_POOL,    /* the same, which may replace the present pool */
    GOES_SHEETS,  /* a file for one cards sheet, a folder for several */
    GOES_FOLDER   /* of sheets */
} OutputKind;

typedef struct {
    VerbId verb;
    const char *option;
    size_t at; /* of the path in Options */
    OutputKind kind;
    const char *no_stdout; /* why "-" will not do; NULL: it does */
} OutputInfo;

#define FOLDER_ONLY "expected a folder; one sheet alone goes to standard output with --csv -"

static const OutputInfo output_table[] = {
    {VERB_BEST, "-o", offsetof(Options, output), GOES_POOL, NULL},
    {VERB_BEST, "--shopping", offsetof(Options, shopping), GOES_SHEET,
     "expected a file, since standard output shows the answer"},
    {VERB_BEST, "--proof", offsetof(Options, proof), GOES_FILE,
     "expected a file, since standard output shows the answer"},
    {VERB_AUDIT, "-o", offsetof(Options, output), GOES_POOL, NULL},
    {VERB_BENCH, "-o", offsetof(Options, output), GOES_SHEET, NULL},
    {VERB_DECKS, "-o", offsetof(Options, output), GOES_SHEET, NULL},
    {VERB_SEATS, "-o", offsetof(Options, output), GOES_SHEET, NULL},
    {VERB_ORDER, "-o", offsetof(Options, output), GOES_SHEET, NULL},
    {VERB_BOUGHT, "-o", offsetof(Options, output), GOES_SHEET, NULL},
    {VERB_WEIGH, "-o", offsetof(Options, output), GOES_SHEET, NULL},
    {VERB_REVISE, "-o", offsetof(Options, output), GOES_POOL, NULL},
    {VERB_REVISE, "--shopping", offsetof(Options, shopping), GOES_SHEET,
     "expected a file, since standard output shows the answer"},
    {VERB_REVISE, "--apply", offsetof(Options, journal), GOES_SHEET, "expected a file"},
    {VERB_FEEDBACK, "-o", offsetof(Options, output), GOES_SHEETS, NULL},
    {VERB_COMPARE, "-o", offsetof(Options, output), GOES_SHEETS, NULL},
    {VERB_FIND, "-o", offsetof(Options, output), GOES_SHEET, NULL},
    {VERB_SLIPS, "-o", offsetof(Options, output), GOES_PAGE, NULL},
    {VERB_PAGE, "-o", offsetof(Options, output), GOES_PAGE, NULL},
    {VERB_EXPORT, "-o", offsetof(Options, output), GOES_FILE, NULL},
    {VERB_WHAT_IF, "-o", offsetof(Options, output), GOES_FOLDER, FOLDER_ONLY},
    {VERB_WHAT_IF, "--csv", offsetof(Options, csv), GOES_SHEET, NULL},
    {VERB_WHAT_IF, "--plot", offsetof(Options, plot), GOES_PICTURE, NULL},
};
#define OUTPUTS (sizeof output_table / sizeof *output_table)

typedef struct {
    const char *option, *path;
    OutputKind kind;
    const char *no_stdout;
} Output;

/* Those that the command line asks for. */
static size_t outputs_of(const Job *job, Output output[OUTPUTS])
{
    size_t count = 0;
    for (size_t k = 0; k < OUTPUTS; k++) {
        const OutputInfo *info = &output_table[k];
        const char *path;
        memcpy(&path, (const char *)&job->options + info->at, sizeof path);
        if (info->verb == job->verb->id && path != NULL)
            output[count++] = (Output){info->option, path, info->kind, info->no_stdout};
    }
    return count;
}

static bool refuse(Job *job, const Output *output, const char *what)
{
    diag_error(&job->diags, (SourcePos){0}, "%s: found '%s', %s", output->option, output->path, what);
    return false;
}

/* Sheets are written as text or as workbooks; under another ending they would be neither. What a browser shows is found
 * by its ending too. A sheet's name without one is as good. */
static bool check_ending(Job *job, const Output *output)
{
    static const struct {
        const char *ending[5], *expected;
    } known[] = {{{"csv", "tsv", "txt", "xlsx"}, "expected a name that ends in .csv or .xlsx"},
                 {{"html", "htm"}, "expected a name that ends in .html"},
                 {{"svg"}, "expected a name that ends in .svg"}};
    const char *ending = output_ending(output->path);
    const size_t which = output->kind == GOES_PAGE ? 1 : output->kind == GOES_PICTURE ? 2 : 0;
    if (output->kind == GOES_FILE || output->kind == GOES_FOLDER || (ending == NULL && which == 0) ||
        target_is_in_place(output->path))
        return true;
    for (size_t k = 0; ending != NULL && known[which].ending[k] != NULL; k++)
        if (strcasecmp(ending, known[which].ending[k]) == 0)
            return true;
    return refuse(job, output, known[which].expected);
}

bool outputs_go_together(Job *job)
{
    Output output[OUTPUTS];
    const size_t count = outputs_of(job, output), errors = job->diags.errors;
    for (size_t k = 0; k < count; k++) {
        const char *option = output[k].option;
        if (is_stdout(output[k].path) && output[k].no_stdout != NULL)
            refuse(job, &output[k], output[k].no_stdout);
        else if (is_stdout(output[k].path) && job->options.json)
            diag_error(&job->diags, (SourcePos){0}, "--json and %s - would both go to standard output; give %s a file",
                       option, option);
        for (size_t other = 0; other < k; other++)
            if (file_names_same(output[other].path, output[k].path))
                diag_error(&job->diags, (SourcePos){0}, "%s and %s name one file, expected two", output[other].option,
                           option);
    }
    return job->diags.errors == errors;
}

/* ---- what is read ---- */

/* What is known before the search. */
typedef struct {
    Job *job;
    const Scenario *scenario;
    Output output[OUTPUTS];
    size_t outputs;
} Look;

/* Is it the file that a sheet is read from? */
static bool is_sheet_of(const char *path, const char *sheet)
{
    Arena *arena = arena_new();
    const bool same = file_is_same(path, sheet_file(arena, sheet, NULL));
    arena_free(arena);
    return same;
}

static bool is_one_of(const char *path, const PathAt *file, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (is_sheet_of(path, file[k].path))
            return true;
    return false;
}

static bool is_model(const Scenario *s, const char *path)
{
    for (size_t k = 0; k < s->models_count; k++)
        if (file_is_same(path, s->models[k]))
            return true;
    return false;
}

static bool is_case_file(const Scenario *s, const char *path)
{
    for (size_t k = 0; k < s->cases_count; k++)
        if (is_one_of(path, s->cases[k].file, s->cases[k].files))
            return true;
    return false;
}

static bool is_of_scenario(const Scenario *s, const char *path)
{
    return (s->path != NULL && file_is_same(path, s->path)) || is_one_of(path, s->cards, s->cards_count) ||
           is_one_of(path, s->prices, s->prices_count) || is_one_of(path, s->own_prices, s->own_prices_count) ||
           is_one_of(path, s->owned, s->owned_count) || is_one_of(path, s->tags, s->tags_count) ||
           is_one_of(path, s->targets, s->targets_count) || (s->has_journal && is_sheet_of(path, s->journal.path)) ||
           is_model(s, path) || is_case_file(s, path);
}

/* Verbs whose further word is a pool. */
static bool takes_pool(VerbId verb)
{
    return verb == VERB_AUDIT || verb == VERB_REVISE || verb == VERB_DECKS || verb == VERB_SEATS ||
           verb == VERB_ORDER || verb == VERB_SLIPS;
}

/* The list that such a verb is given is its present pool. */
static bool is_present_pool(const Look *look, const char *path)
{
    const Options *o = &look->job->options;
    return (look->scenario->pool.path != NULL && is_sheet_of(path, look->scenario->pool.path)) ||
           (takes_pool(look->job->verb->id) && o->words > 0 && is_sheet_of(path, o->word[0]));
}

/* Verbs whose further word is a sheet that is no pool. */
static bool takes_sheet(VerbId verb)
{
    return verb == VERB_FEEDBACK || verb == VERB_WEIGH || verb == VERB_BOUGHT;
}

/* Files of the command line that no scenario names. */
static bool is_of_command_line(const Look *look, const char *path)
{
    const Options *o = &look->job->options;
    return (o->filter != NULL && file_is_same(path, o->filter)) ||
           (o->newcomers != NULL && is_sheet_of(path, o->newcomers)) ||
           (takes_sheet(look->job->verb->id) && o->words > 0 && is_sheet_of(path, o->word[0]));
}

static bool is_input(const Look *look, const char *path, OutputKind kind)
{
    return is_of_scenario(look->scenario, path) || is_of_command_line(look, path) ||
           (kind != GOES_POOL && is_present_pool(look, path));
}

/* ---- before a search ---- */

static bool is_folder(const Look *look, const Output *output)
{
    return output->kind == GOES_FOLDER || (output->kind == GOES_SHEETS && look->scenario->cards_count > 1);
}

/* --apply is asked to replace the owned sheet (bought) or the journal (revise), and nothing else. */
static bool books_into(const Look *look, const char *path)
{
    const Options *o = &look->job->options;
    const VerbId verb = look->job->verb->id;
    return o->apply && ((verb == VERB_BOUGHT && is_one_of(path, look->scenario->owned, look->scenario->owned_count)) ||
                        (verb == VERB_REVISE && is_sheet_of(path, look->scenario->journal.path) && path == o->journal));
}

static bool file_is_free(const Look *look, const Output *output)
{
    if (!is_input(look, output->path, output->kind) || books_into(look, output->path))
        return true;
    if (look->job->verb->id == VERB_REVISE && look->job->options.apply && is_present_pool(look, output->path))
        diag_error(&look->job->diags, (SourcePos){0},
                   "--apply: '%s' holds more than the present pool, so it is not written over; write the new pool with "
                   "-o FILE, and name that under 'pool' in the scenario",
                   output->path);
    else
        diag_error(&look->job->diags, (SourcePos){0},
                   "%s: '%s' is read by this scenario and would be overwritten, expected another name", output->option,
                   output->path);
    return false;
}

/* None of what is in the folder is read, or leads to what is. */
static bool folder_is_free(const Look *look, const Output *output)
{
    DIR *folder = opendir(output->path);
    bool free = folder != NULL || errno == ENOENT || target_unwritten(output->path, errno, &look->job->diags);
    for (const struct dirent *entry; folder != NULL && free && (entry = readdir(folder)) != NULL;) {
        const char *path = output_path_in(look->job, output->path, entry->d_name);
        free = !is_input(look, path, output->kind);
        if (!free)
            diag_error(&look->job->diags, (SourcePos){0},
                       "%s: '%s' is read by this scenario and could be overwritten, expected another folder than '%s'",
                       output->option, path, output->path);
    }
    if (folder != NULL)
        closedir(folder);
    return free;
}

/* The folder among the outputs that this file lies in; NULL: none. */
static const Output *folder_around(const Look *look, const Output *file)
{
    char *folder = folder_of(file->path);
    const Output *around = NULL;
    for (size_t k = 0; k < look->outputs && around == NULL; k++)
        if (is_folder(look, &look->output[k]) && file_names_same(look->output[k].path, folder))
            around = &look->output[k];
    mem_free(folder);
    return around;
}

static bool folder_is_sound(const Look *look, const Output *output)
{
    struct stat info;
    if (is_stdout(output->path))
        return refuse(look->job, output,
                      arena_printf(look->job->options.arena,
                                   "expected a folder: the cards are in %zu sheets, and each that changes is written "
                                   "there under its own name",
                                   look->scenario->cards_count));
    if (stat(output->path, &info) == 0 && !S_ISDIR(info.st_mode))
        return refuse(look->job, output, "expected a folder, and this is a file");
    return folder_is_free(look, output);
}

static bool file_is_sound(const Look *look, const Output *output)
{
    if (is_stdout(output->path))
        return true;
    if (!file_is_free(look, output) || !check_ending(look->job, output))
        return false;
    const Output *around = folder_around(look, output);
    if (around == NULL || !is_csv_path(output->path))
        return true;
    return refuse(look->job, output,
                  arena_printf(look->job->options.arena,
                               "which is in the folder whose sheets %s writes, expected a file elsewhere",
                               around->option));
}

/* As far as one can know; the folder is made before the files in it are written. */
static bool may_be_written(const Look *look, const Output *output)
{
    if (is_folder(look, output))
        return folder_may_hold(output->path, &look->job->diags);
    return is_stdout(output->path) || (!file_exists(output->path) && folder_around(look, output) != NULL) ||
           file_may_write(output->path, &look->job->diags);
}

bool outputs_good(Job *job, const Scenario *scenario, int *code)
{
    Look look = {.job = job, .scenario = scenario};
    look.outputs = outputs_of(job, look.output);
    bool sound = true, good = true;
    for (size_t k = 0; k < look.outputs; k++) {
        const Output *output = &look.output[k];
        sound = (is_folder(&look, output) ? folder_is_sound(&look, output) : file_is_sound(&look, output)) && sound;
    }
    for (size_t k = 0; k < look.outputs && sound; k++)
        good = may_be_written(&look, &look.output[k]) && good;
    if (!sound || !good)
        *code = sound ? EXIT_COULD_NOT_RUN : EXIT_BAD_INPUT;
    return sound && good;
}
