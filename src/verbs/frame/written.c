/* written.c - see written.h. */
#include "verbs/frame/written.h"

#include <string.h>
#include <unistd.h>

#include "base/files/file.h"
#include "base/files/writable.h"
#include "report/intake_report.h"
#include "report/json/json.h"

static const char *const found_name[FOUND_FILES] = {"model.yaml", "scenario.yaml"};

static bool nothing_there(Job *job, const char *const *name, size_t count)
{
    for (size_t f = 0; f < count; f++)
        if (file_exists(output_in_folder(job, name[f])))
            diag_error(&job->diags, (SourcePos){.file = output_in_folder(job, name[f])},
                       "the file is there already and is not overwritten; expected another folder");
    return job->diags.errors == 0;
}

/* None of the files was there before. */
static void take_away(Job *job, const char *const *name, size_t count)
{
    for (size_t f = 0; f < count; f++)
        unlink(output_in_folder(job, name[f]));
    if (job->made_folder)
        rmdir(job->options.output);
}

static int write_all(Job *job, const char *const *name, Text *text, size_t count)
{
    if (!nothing_there(job, name, count))
        return EXIT_BAD_INPUT;
    if (!output_folder(job))
        return EXIT_COULD_NOT_RUN;
    for (size_t f = 0; f < count; f++)
        output_add(job, output_in_folder(job, name[f]), &text[f]);
    if (outputs_commit(job))
        return EXIT_ANSWERED;
    take_away(job, name, count);
    return EXIT_COULD_NOT_RUN;
}

int write_folder(Job *job, const char *const *name, Text *text, size_t count)
{
    const int code = write_all(job, name, text, count);
    for (size_t f = 0; f < count; f++)
        text_release(&text[f]);
    return code;
}

static bool is_told(const Diags *diags, const char *text)
{
    for (size_t k = 0; k < diags->count; k++)
        if (strcmp(diags->item[k].text, text) == 0)
            return true;
    return false;
}

/* As any other verb would read it. What was told of the sheets until then stays told: another reading names them by
 * other paths, so that the texts say what is the same. */
static bool reads_back(Job *job)
{
    const Overrides *o = &job->options.overrides;
    Diags before = job->diags;
    job->options.subject = job->options.output;
    job->options.overrides =
        (Overrides){.model_folders = o->model_folders, .model_folder_count = o->model_folder_count};
    diags_init(&job->diags);
    const bool good = job_read(job);
    for (size_t k = 0; k < before.count && good; k++)
        if (!is_told(&job->diags, before.item[k].text))
            diag_repeat(&job->diags, &before.item[k], "");
    diags_release(&before);
    return good;
}

bool can_be_named(Job *job, const char *path)
{
    const bool lasts = strcmp(path, "-") == 0 || !target_is_in_place(path);
    if (!lasts)
        diag_error(&job->diags, (SourcePos){.file = path},
                   "found something that is read once, such as a pipe, expected a file: the scenario names it");
    return lasts;
}

int write_found(Job *job, Text text[FOUND_FILES])
{
    const int code = write_folder(job, found_name, text, FOUND_FILES);
    if (code != EXIT_ANSWERED || reads_back(job))
        return code;
    take_away(job, found_name, FOUND_FILES);
    return EXIT_BAD_INPUT;
}

bool found_json(const Job *job, const Intake *intake, Text *out)
{
    const char *folder = job->options.output;
    json_t *root = json_object(), *files = json_array();
    for (int f = 0; f < FOUND_FILES && folder != NULL; f++)
        json_array_append_new(files, json_string(found_name[f]));
    json_object_set_new(root, "folder", json_string_or_null(folder));
    json_object_set_new(root, "files", files);
    intake_json(intake, root);
    json_object_set_new(root, "notices", json_notices(&job->diags));
    return json_finish(root, out);
}
